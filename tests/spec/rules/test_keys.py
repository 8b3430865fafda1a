"""Each rule names exactly the keys it reads, and waits for no other."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from pathlib import Path as FilePath

import pytest

from cardgen.spec import load
from cardgen.spec.bound import Bound
from cardgen.spec.fields import bound_of, expected, group_types
from cardgen.spec.model.base import Group
from cardgen.spec.problem import Path
from cardgen.spec.rules import RULES
from cardgen.spec.rules.rule import Reads, Rule
from cardgen.spec.unjudged import Findings, Unjudged
from tests.editing import edited
from tests.spec.rules.cases import BASE, cases

TODAY = date(2026, 6, 1)
CASES = cases()

#: A key of the model: its group's class and its name.
Key = tuple[str, str]


@pytest.fixture(scope="module")
def drafts() -> list[Unjudged]:
    """Everything that was read of the base, of every case, and of both samples, before it is judged."""
    samples = sorted((FilePath(__file__).parents[3] / "sample_inputs").glob("*.toml"))
    # Where the mass centre is not given, the pull of a blade is reckoned from the diameter.
    without = edited(BASE, "blades.mass_centre", None)
    texts = [
        BASE,
        without,
        *(case.text for case in CASES.values()),
        *(path.read_text("utf-8") for path in samples),
    ]
    kept: list[Unjudged] = []

    def keep(draft: Unjudged) -> Findings:
        kept.append(draft)
        return Findings()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(load, "examine", keep)
        for text in texts:
            load.load_bytes(text.encode(), "rotor.toml", TODAY)
    assert len(kept) > 200
    return kept


def test_the_keys_that_a_rule_names_are_those_it_reads(
    drafts: list[Unjudged], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: set[Key] = set()

    def spy(group: Group, name: str) -> object:
        if name in type(group).model_fields:
            seen.add((type(group).__name__, name))
        return object.__getattribute__(group, name)

    kinds = {rule.id: rule.kind for rule in RULES}
    beside = {"kinds": kinds, "looked_for": frozenset({"tip-speed"}), "raised": frozenset()}
    monkeypatch.setattr(Group, "__getattribute__", spy)
    read: dict[Rule, set[Key]] = defaultdict(set)
    for rule in RULES:
        for draft in drafts:
            seen.clear()
            assert all(found.why for found in rule.findings(draft, beside))
            read[rule] |= seen
    # A rule about every source walks all groups for them, and is told of what it may not look into.
    monkeypatch.undo()
    wrong = {}
    for rule, keys in read.items():
        own = {key for key in keys if key[1] not in {"source", "sources"} and key != ("Tip", "cure")}
        named = {key for reads in (*rule.reads, *rule.shows) for key in _keys(reads)}
        if found := (own if rule.id.startswith("source-") else keys) ^ named:
            wrong[rule.id] = found
    assert not wrong


def test_every_key_that_a_rule_names_is_in_the_model() -> None:
    for rule in RULES:
        for reads in rule.reads:
            assert len(list(_keys(reads))) >= len(reads.keys) or reads.keys == ((),), rule.id


def _keys(reads: Reads) -> Iterator[Key]:
    """Name every step from a top-level group down to the keys of a rule."""
    for key in reads.keys:
        path: Path = reads.owner[:1]
        for name in (*reads.owner[1:], *key):
            place = expected(path)
            if place is not None and place.many:
                path = (*path, 0)
                place = expected(path)
            assert place is not None and name in place.keys, (reads, name)
            yield place.type.__name__, name
            path = (*path, name)


#: No key that holds one value is read from a list.
BROKEN = "[7]"


@pytest.mark.parametrize("name", dict.fromkeys(rule.id for rule in RULES))
def test_a_slip_in_a_key_that_a_rule_does_not_read_hides_nothing(name: str) -> None:
    case = CASES[name]
    named = {key for rule in RULES if rule.id == name for reads in rule.reads for key in _keys(reads)}
    group = case.at[0].partition(".")[0]
    place = expected(_path(group))
    group = f"{group}[1]" if place is not None and place.many else group
    text, broken = case.text, 0
    for key in _file_keys(case.text, group):
        path = _path(key)
        place, holder = expected(path), expected(path[:-1])
        assert place is not None and holder is not None
        if (holder.type.__name__, path[-1]) not in named and path[-1] != "source" and not place.many:
            text, broken = edited(text, key, BROKEN), broken + 1
    loaded = load.load_bytes(text.encode(), "rotor.toml", TODAY)
    assert name in {found.rule for found in (*loaded.problems, *loaded.warnings)}
    assert len([found for found in loaded.problems if found.read == BROKEN]) == broken


def _file_keys(text: str, group: str) -> Iterator[str]:
    """Name the keys that stand below a group's own header, as a problem names them."""
    name, _, number = group.rstrip("]").partition("[")
    sections = re.split(rf"(?m)^\[+{name}\]+\n", text)
    for line in sections[int(number or 1)].splitlines():
        if line.startswith("[") or not line:
            return
        yield f"{group}.{line.partition(' =')[0]}"


def _path(key: str) -> Path:
    steps = re.findall(r"\w+", key)
    return tuple(int(step) - 1 if step.isdigit() else step for step in steps)


def test_a_slip_in_one_row_hides_nothing_about_the_others() -> None:
    text = edited(edited(BASE, "fasteners[1].torque_max", '"190"'), "fasteners[2].pin_head", None)
    text = edited(text, "fasteners[1].pin_head", None)
    found = {
        (problem.key, problem.rule) for problem in load.load_bytes(text.encode(), "r.toml", TODAY).problems
    }
    assert found == {
        ("fasteners[1].torque_max", "quantity-unit-missing"),
        ("fasteners[1].pin_head", "pin-head-missing"),
        ("fasteners[2].pin_head", "pin-head-missing"),
    }


def test_a_misspelt_key_is_not_also_asked_for() -> None:
    text = edited(edited(BASE, "fasteners[1].drag_max", None), "fasteners[1].drag_mx", '"25 in·lbf"')
    (found,) = load.load_bytes(text.encode(), "r.toml", TODAY).problems
    assert (found.rule, found.key) == ("key-unknown", "fasteners[1].drag_mx")


def test_a_misspelt_group_is_not_also_asked_for() -> None:
    (found,) = load.load_bytes(
        BASE.replace("[tip]", "[tipp]").replace("[tip.", "[tipp.").encode(), "r", TODAY
    ).problems
    assert (found.rule, found.key) == ("key-unknown", "tipp")


def test_every_pair_of_least_and_most_has_a_rule_for_its_order() -> None:
    ordered = {
        frozenset(_keys(reads))
        for rule in RULES
        for reads in rule.reads
        if rule.id.endswith(("-order", "-range"))
    }
    pairs = 0
    for name in group_types():
        for path in _groups((name,)):
            place = expected(path)
            assert place is not None
            for key in place.keys:
                most = key.removesuffix("_min") + "_max"
                if bound_of((*path, key)) is Bound.AT_LEAST and most in place.keys:
                    pairs += 1
                    pair = {(place.type.__name__, key), (place.type.__name__, most)}
                    assert any(pair <= keys for keys in ordered), (path, key)
    assert pairs == 4


def _groups(path: Path) -> Iterator[Path]:
    place = expected(path)
    if place is not None and place.many:
        yield from _groups((*path, 0))
    elif place is not None and place.group:
        yield path
        for key in place.keys:
            yield from _groups((*path, key))
