"""Other words for a limit change what the cards say, and nothing that anything is judged by."""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from shutil import copytree
from typing import Any, NamedTuple

import pytest
from justhtml import JustHTML

from cardgen.deck import library as words
from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.layouts_root import layouts_root
from cardgen.logbook.against_deck import boxes_of
from cardgen.press.deck_json import to_json
from cardgen.press.form import to_form
from cardgen.press.plain import to_text
from cardgen.spec.bound import ENDS
from tests.logbook.logs import sample
from tests.press.reading import attribute, every, only

OTHER = {
    "limit-least": "no less than",
    "limit-most": "no more than",
    "limit-from": "between",
    "limit-to": "and",
}

#: Read off the samples' own text, each in the unit of its box.
STATED: dict[str, dict[str, dict[str, str]]] = {
    "nr-0306": {
        "assembly.joint-a": {"most": "3"},
        "assembly.joint-b": {"most": "3"},
        "balance.rotor-share": {"most": "3/8"},
        **{f"head.play-{side}": {"most": "2"} for side in ("front", "rear", "left", "right")},
        "install.gap": {"least": "9"},
        "sealing.lead-a": {"most": "80"},
        "sealing.lead-b": {"most": "80"},
        "string.mark-a-middle": {"most": "1/16"},
        # Its thrust parts are adjustable: both sides touch, and there is no play.
        "teeter.teeter-play": {"most": "0"},
    },
    "ft-7400": {
        "install.gap": {"least": "250"},
        # Before the bolts are torqued, and after.
        **{
            f"string.sweep-a-{blade}{when}": {"least": "8", "most": "11"}
            for blade in "ab"
            for when in ("", "-torqued")
        },
        **{f"string.mark-b-middle{when}": {"most": "3/2"} for when in ("", "-torqued")},
        "teeter.teeter-play": {"most": "3/100"},
    },
}


class Judged(NamedTuple):
    """Everything by which form, deck.json and log judge what is written into a box."""

    kept: dict[str, Any]
    form: dict[str, Any]
    answers: dict[str, list[str]]
    log: dict[str, Any]


@pytest.fixture
def reworded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let the cards be made with the layouts of this program, their words for limits replaced."""
    root = tmp_path / "layouts"
    copytree(layouts_root(), root)
    terms = (root / "words" / "terms.toml").read_text("utf-8")
    for name, said in OTHER.items():
        head, found, rest = terms.partition(f"[{name}]\ntext = ")
        assert found
        terms = f'{head}{found}"{said}"\n{rest.partition(chr(10))[2]}'
    (root / "words" / "terms.toml").write_text(terms, "utf-8")
    monkeypatch.setattr(words, "layouts_root", lambda: root)
    words.library.cache_clear()
    yield
    monkeypatch.undo()
    words.library.cache_clear()


def made(name: str) -> tuple[str, str, Judged]:
    """Make a sample's cards: their words, those of the form, and what is judged by."""
    spec = sample(name)
    deck = build_deck(spec, compute(spec), (), Stamp())
    described = json.loads(to_json(deck))
    page = JustHTML(to_form(deck), strict=True, sanitize=False)
    boxes = {f"{card['id']}.{box['id']}": box for card in described["cards"] for box in card["write_ins"]}
    log = {
        f"{card}.{name}": box.bounds
        for card, held in boxes_of(described).boxes.items()
        for name, box in held.items()
        if box.bounds
    }
    answers = {
        attribute(one, "data-name"): [option.to_text() for option in every(one, "option")]
        for one in every(page, "details select[data-name]")
    }
    kept = {
        name: (box["bounds"], box["choices"]) for name, box in boxes.items() if box["bounds"] or box["choices"]
    }
    return (
        to_text(deck),
        page.to_text(),
        Judged(kept, json.loads(only(page, "#deck").to_text())["bounds"], answers, log),
    )


BEFORE = {name: made(name) for name in ("nr-0306", "ft-7400")}


@pytest.mark.parametrize("name", BEFORE)
@pytest.mark.usefixtures("reworded")
def test_other_words_change_no_limit(name: str) -> None:
    text, form, judged = made(name)
    before, form_before, as_before = BEFORE[name]
    assert judged == as_before
    assert judged.form and judged.answers
    assert "at most" in before and "no more than" not in before
    assert "no more than" in text and "at most" not in text
    assert "at most" in form_before and "no more than" in form


@pytest.mark.parametrize("name", BEFORE)
def test_form_deck_and_log_have_the_limits_that_the_sample_states(name: str) -> None:
    judged = BEFORE[name][-1]
    assert judged.form == STATED[name]
    assert {box: bounds for box, (bounds, _) in judged.kept.items() if bounds} == STATED[name]
    said = {
        box: {end: bounds[ENDS[end]] for end in ENDS if ENDS[end] in bounds}
        for box, bounds in judged.log.items()
    }
    assert said == {box: {end: Fraction(at) for end, at in ends.items()} for box, ends in STATED[name].items()}


@pytest.mark.parametrize("name", BEFORE)
def test_a_box_that_takes_only_some_answers_offers_these(name: str) -> None:
    judged = BEFORE[name][-1]
    assert judged.kept["track.lowered"] == ({}, ["A", "B"])
    # Tips that look level are an answer too.
    assert judged.kept["track.high-blade"] == ({}, ["A", "B", "level"])
    choices = {box: ["", *offered] for box, (_, offered) in judged.kept.items() if offered}
    asked = {box: offered for box, offered in judged.answers.items() if not box.startswith("run-")}
    # The slip asks again what the form asks, and for a run the form asks in a block of its own.
    apart = ("log-slip.", "track.", "second-reading.")
    assert asked == {box: offered for box, offered in choices.items() if not box.startswith(apart)}
    assert judged.answers["run-1.high"] == judged.answers["run-1.last-high"] == choices["track.high-blade"]
    assert judged.answers["run-1.lowered"] == choices["track.lowered"]
    assert len(judged.answers["run-1.method"]) == len(choices["track.read-by"])
