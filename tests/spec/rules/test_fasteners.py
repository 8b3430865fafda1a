"""One block of bolts: its torque or fit, drag and locking, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Changes, Edge, judged, one, speaks_just_beyond

MAKERS: Changes = {"fasteners.0.fitted_by": "maker"}
STIFF: Changes = {"fasteners.0.locking": "self-locking nut", "fasteners.0.pin_head": None}


def without(key: str) -> Edge:
    """What the maker fitted is not asked for the words of a hand that never turns it."""
    needed = {
        "pin_head": "pin-head-missing",
        "drag": "drag-missing",
        "nut": "nut-missing",
        "entered_from": "entered-from-missing",
    }
    gone: Changes = {f"fasteners.0.{key}": None}
    return needed.get(key, "bolt-key-missing"), {**MAKERS, **gone}, gone


EDGES: list[Edge] = [
    one("fasteners.0.torque_min", "torque-order", "189.9", "190", "in·lbf"),
    *map(without, ("pin_head", "drag", "nut", "entered_from")),
    *map(without, ("thread", "locking", "threads", "turned_at")),
    # Metric threads have no table, and a fit in words has nothing to compare.
    ("nut-missing", {"fasteners.0.thread": "M10x1.25", "fasteners.0.nut": None}, {"fasteners.0.nut": None}),
    ("nut-missing", {"fasteners.2.nut": None}, {"fasteners.0.thread": "3/8-16", "fasteners.0.nut": None}),
    # AC 43.13-1B, table 7-1, 3/8-24: full nut from 160, thin nut to 110 in·lbf; well outside is a quarter.
    *(
        (
            "nut-missing",
            {
                "fasteners.0.nut": None,
                "fasteners.0.torque_min": "128 in·lbf",
                "fasteners.0.torque_max": "137 in·lbf",
            },
            {"fasteners.0.nut": None, "fasteners.0.torque_min": low, "fasteners.0.torque_max": high},
        )
        for low, high in (("128 in·lbf", "138 in·lbf"), ("127 in·lbf", "137 in·lbf"))
    ),
    # Washers belong to a torque; beside a fit in words the papers seldom name them.
    ("open-key-missing", {"fasteners.2.washer": None}, {"fasteners.0.washer": None}),
    # What the papers leave open is said, and then it is no problem of the file's.
    *(
        (
            rule,
            {f"fasteners.0.{key}": None, "fasteners.0.not_given": [key]},
            {f"fasteners.0.{key}": None, "fasteners.0.not_given": []},
        )
        for key, rule in (
            ("pin_head", "pin-head-missing"),
            ("drag_max", "drag-max-missing"),
            ("entered_from", "entered-from-missing"),
            ("washer", "open-key-missing"),
        )
    ),
    (
        "threadlocker-dry",
        {"fasteners.0.locking": "threadlocker", "fasteners.0.threads": "oiled"},
        {"fasteners.0.locking": "threadlocker", "fasteners.0.threads": "dry"},
    ),
    (
        "self-locking-teeter",
        {"fasteners.0.locking": "self-locking nut"},
        {"fasteners.2.locking": "self-locking nut"},
    ),
    (
        "drag-none-self-locking",
        {**STIFF, "fasteners.0.drag": "included"},
        {**STIFF, "fasteners.0.drag": "none"},
    ),
    ("drag-none-self-locking", {"fasteners.0.drag": "none"}, {**STIFF, "fasteners.0.drag": "none"}),
    (
        "drag-none-self-locking",
        {**MAKERS, **STIFF, "fasteners.0.drag": "none"},
        {**STIFF, "fasteners.0.drag": "none"},
    ),
    # A slot is brought to its hole by the nut; without a pin there is no slot.
    (
        "pin-turned-at-head",
        {**STIFF, "fasteners.0.turned_at": "head"},
        {"fasteners.0.turned_at": "head"},
    ),
    (
        "entered-from-unlike",
        {"fasteners.0.entered_from": "above"},
        {"fasteners.0.entered_from": "trailing side of blade A"},
    ),
    (
        "entered-from-unlike",
        {"fasteners.2.entered_from": "trailing side of blade A"},
        {"fasteners.2.entered_from": "above"},
    ),
    (
        "torque-two-units",
        {"fasteners.0.drag_max": "20 in·lbf"},
        {"fasteners.0.drag_max": "2 N·m"},
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


@pytest.mark.parametrize("words", ["oiled", "greased"])
def test_slippery_threads_are_as_good_as_dry_ones(words: str) -> None:
    low = {"fasteners.0.torque_min": "120 in·lbf", "fasteners.0.torque_max": "140 in·lbf"}
    assert not judged({"fasteners.0.threads": words, **low}).keys() & {"threads-slippery", "word-unknown"}


@pytest.mark.parametrize("locking", ["lock wire", "tab washer"])
def test_a_nut_may_be_locked_by_wire_or_tab(locking: str) -> None:
    assert judged({"fasteners.0.locking": locking, "fasteners.0.pin_head": None}).keys() == {"override-unused"}


# Words a maker may well use; every amount in them is a torque that no wrench here would be set to.
@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("30 in-lb", "3"),
        ("hand tight plus ½ turn", "1"),
        ("about five inch-pounds", "inch-pounds"),
        ("zwanzig Nm", "Nm"),
        ("a few N·m", "N·m"),
        ("ten foot pounds at most", "foot pounds"),
        ("TEN FT-LBS", "FT-LBS"),
        ("leave a thou of play", "thou"),
        ("back it off some degrees", "degrees"),
        ("ganz leicht, 2 kp·m", "2"),
    ],
)
def test_a_number_or_unit_in_a_fit_is_found_and_named(words: str, found: str) -> None:
    assert judged({"fasteners.2.fit": words})["fit-number"].why.startswith(f'"{found}" stands in it')


@pytest.mark.parametrize(
    "words",
    [
        "snug, the bolt must still turn by hand",
        "finger tight, on to the first slot, then pinned",
        "just touching; in no case tight",
        "gerade anliegend, der Bolzen dreht von Hand",
        "à la main, sans forcer; l'axe doit tourner",
        "thoughtfully, as the hand feels it",
    ],
)
def test_a_fit_in_words_alone_is_taken(words: str) -> None:
    assert "fit-number" not in judged({"fasteners.2.fit": words})


def test_a_kind_of_nut_that_no_paper_names_is_left_away() -> None:
    """A form that says nothing was read must not ask for nothing to be written."""
    found = judged({"fasteners.0.nut": None})["nut-missing"]
    assert "if one is on the bolt, stop, and ask the maker" in found.why
    assert found.write.endswith("leave the key out, if no paper says")
