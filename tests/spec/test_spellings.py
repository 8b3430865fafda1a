"""Quantities as people write them: each is read exactly, printed in one spelling, or refused with a cure."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.proof.recheck_input import ANGLES, SI, quantity
from cardgen.spec.fields import expected, group_types
from cardgen.spec.grammar import SUMS, Kind, Reading, Unread, read
from cardgen.spec.model import base
from cardgen.spec.problem import Path
from cardgen.spec.quantity_pattern import pattern
from cardgen.spec.spellings import unit_named
from cardgen.spec.units import UNITS, magnitude
from tests.spec.spellings import NAMES, REFUSED, TABLE

KINDS = tuple(kind for kind in vars(base).values() if isinstance(kind, Kind))


def reading(text: str, kind: Kind) -> Reading:
    found = read(text, kind)
    assert isinstance(found, Reading), (text, found)
    return found


@pytest.mark.parametrize(("text", "kind", "value", "printed"), TABLE)
def test_what_people_write_is_read_exactly_and_printed_in_one_spelling(
    text: str, kind: Kind, value: Fraction, printed: str
) -> None:
    found = reading(text, kind)
    assert (magnitude(found.quantity, found.unit), found.shown) == (value, printed)


@pytest.mark.parametrize(("text", "kind", "rule", "offered"), REFUSED)
def test_what_has_two_meanings_is_refused_with_what_to_write(
    text: str, kind: Kind, rule: str, offered: str
) -> None:
    refused = read(text, kind)
    assert isinstance(refused, Unread)
    assert refused.rule == rule
    shown = re.findall(r'"([^"]*)"', refused.write)
    assert shown
    for each in shown:
        reading(each, kind)
    # Where nothing is offered, only the forms of the kind are shown, and nothing is made of what was typed.
    assert shown[0] == offered if offered else tuple(shown) == kind.examples


def test_every_unit_is_named_as_people_name_it_and_none_twice() -> None:
    assert set(NAMES) == set(UNITS)
    for kind in KINDS:
        for unit in kind.units:
            for name in NAMES[unit]:
                assert reading(f"1 {name}", kind).unit == unit
                assert [each for each in kind.units if unit_named(name, (each,))] in ([unit], [])


_wholes = st.integers(0, 999_999).map(str)
_decimals = st.tuples(st.integers(0, 9999).map(str), st.text("0123456789", min_size=1, max_size=6)).map(
    ".".join
)
_parts = st.integers(2, 9999).flatmap(lambda bottom: st.tuples(st.integers(0, bottom - 1), st.just(bottom)))


@st.composite
def numbers(draw: st.DrawFn) -> tuple[str, str]:
    """Give one number in the strict spelling, and as somebody writes it."""
    if draw(st.booleans()):
        strict = draw(st.one_of(_wholes, _decimals))
        return strict, strict.removeprefix("0") if strict.startswith("0.") and draw(st.booleans()) else strict
    (top, bottom), whole = draw(_parts), draw(st.integers(1, 9999))
    joint = draw(st.sampled_from(["+", " + ", "-", " ", "–", "‑", "\u00a0"]))
    slash = draw(st.sampled_from("/⁄∕"))
    return f"{whole}+{top}/{bottom}", f"{whole}{joint}{top}{slash}{bottom}"


_gap = st.sampled_from(["", " ", "  ", "\u00a0", "\u2009", "\u202f"])


@given(st.sampled_from(KINDS), numbers(), _gap, st.data())
def test_every_spelling_is_the_same_quantity_as_the_strict_one(
    kind: Kind, number: tuple[str, str], gap: str, data: st.DataObject
) -> None:
    unit = data.draw(st.sampled_from(kind.units))
    strict = reading(f"{number[0]} {unit}", kind)
    written = f"{number[1]}{gap}{data.draw(st.sampled_from(NAMES[unit]))}"
    found = reading(written, kind)
    assert (found.quantity, found.shown) == (strict.quantity, strict.shown)
    whole, _, part = number[0].rpartition("+")
    assert magnitude(found.quantity, unit) == Fraction(whole or 0) + Fraction(part)
    assert re.search(pattern(kind), written)


@given(st.sampled_from(list(SUMS)), _wholes, numbers(), _gap, st.data())
def test_every_sum_is_the_same_quantity_as_the_strict_one(
    pair: tuple[str, str], first: str, number: tuple[str, str], gap: str, data: st.DataObject
) -> None:
    kind = base.LENGTH if pair[0] == "ft" else base.ANGLE
    strict = read(f"{first} {pair[0]} + {number[0]} {pair[1]}", kind)
    large, small = (data.draw(st.sampled_from(NAMES[unit])) for unit in pair)
    joint = data.draw(st.sampled_from([" + ", "+", " "]))
    found = read(f"{first}{gap}{large}{joint}{number[1]}{gap}{small}", kind)
    if isinstance(strict, Unread):
        assert isinstance(found, Unread)
    else:
        assert isinstance(found, Reading)
        assert (found.quantity, found.shown) == (strict.quantity, strict.shown)


_pieces = [
    *(
        "1",
        "0",
        "12",
        "7/8",
        ".5",
        "½",
        ".",
        ",",
        "-",
        "–",
        "+",
        "\u2212",
        "'",
        '"',
        "′",
        "″",
        "°",
        " ",
        "\u00a0",
    ),
    *(
        "ft",
        "in",
        "in.",
        "lb",
        "lbf",
        "N",
        "m",
        "mm",
        "kg",
        "cm",
        "deg",
        "min",
        "rpm",
        "r/min",
        "C",
        "per",
        "/",
        "·",
    ),
    *("thou", "mil", "e", "inf", "MM", "and", "to", "±"),
]
_typed = st.one_of(st.lists(st.sampled_from(_pieces), max_size=8).map("".join), st.text(max_size=40))


@given(_typed, st.sampled_from(KINDS))
def test_any_text_is_read_alike_on_both_paths_or_refused_with_a_cure(text: str, kind: Kind) -> None:
    found = read(text, kind)
    if isinstance(found, Unread):
        offered = re.findall(r'"([^"]*)"', found.write)
        assert found.why and offered
        assert all(isinstance(read(each, kind), Reading) for each in offered), (text, found)
        return
    assert re.search(pattern(kind), text)
    # What is printed is read again as the same, and printed the same.
    again = reading(found.shown, kind)
    assert (again.quantity, again.shown) == (found.quantity, found.shown)
    for each in (text, found.shown):
        value, unit = quantity(each, angle="deg" in kind.units)
        exact = float(magnitude(found.quantity, found.unit)) * SI[found.unit]
        assert unit == found.unit
        assert value == pytest.approx(exact, rel=1e-12, abs=1e-15)


@pytest.mark.parametrize("piece", ["1", "1 ", "1'", "½", "1-", "1,", "a", " ", "1 ft.", "lb·"])
@pytest.mark.parametrize("kind", [base.LENGTH, base.ANGLE, base.TORQUE], ids=lambda kind: kind.name)
def test_a_text_without_end_is_refused_at_once(piece: str, kind: Kind) -> None:
    # Before there was a limit, a few thousand digits took half a minute; a million must take none.
    refused = read(piece * 1_000_000, kind)
    assert isinstance(refused, Unread)
    assert refused.write == kind.write


@pytest.mark.parametrize(("text", "kind", "value", "printed"), TABLE)
def test_the_second_calculation_reads_the_same_spellings(
    text: str, kind: Kind, value: Fraction, printed: str
) -> None:
    found, unit = quantity(text, angle="deg" in kind.units)
    assert unit == printed.rpartition(" ")[2]
    assert found / SI[unit] == pytest.approx(float(value), rel=1e-12)


@pytest.mark.parametrize("unit", list(NAMES))
def test_the_second_calculation_knows_every_name_of_a_unit(unit: str) -> None:
    angle = unit in {"deg", "arcmin"}
    assert {quantity(f"1 {name}", angle)[1] for name in NAMES[unit]} == {unit}


def test_the_second_calculation_knows_which_keys_are_angles() -> None:
    kinds: dict[str, set[Kind]] = {}
    for path, kind in _quantities():
        kinds.setdefault(str(path[-1]), set()).add(kind)
    assert {key for key, found in kinds.items() if base.ANGLE in found} == ANGLES
    assert all(kinds[key] == {base.ANGLE} for key in ANGLES)


def _quantities() -> Iterator[tuple[Path, Kind]]:
    """Walk to every key that takes a quantity."""
    paths: list[Path] = [(name,) for name in group_types()]
    for path in paths:
        place = expected(path)
        assert place is not None
        if place.kind:
            yield path, place.kind
        paths += [(*path, key) for key in place.keys]
        paths += [(*path, 0)] if place.many else []
