"""The strict spelling of a quantity, against a second reader written here from its wording alone.

How people write quantities otherwise is in `test_spellings`.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec.grammar import Kind, Reading, Unread, read
from cardgen.spec.model import base
from cardgen.spec.quantity_pattern import pattern
from cardgen.spec.units import UNITS, magnitude

KINDS = tuple(kind for kind in vars(base).values() if isinstance(kind, Kind))
LENGTH, TORQUE = base.LENGTH, base.TORQUE

_DIGITS = "0123456789"


def _second_reading(text: str, units: tuple[str, ...]) -> tuple[Fraction, str] | None:
    """Read character by character, without regular expressions: value and unit, or nothing."""
    for first, second, whole in (("ft", "in", 12), ("deg", "arcmin", 60)):
        left, plus, right = text.partition(" + ")
        if plus and {first, second} <= set(units):
            high, low = _one(left, (first,)), _one(right, (second,))
            if high is None or low is None or not _is_whole(left.split(" ")[0]) or not 0 <= low[0] < whole:
                return None
            return high[0] * whole + low[0], second
    return _one(text, units)


def _one(text: str, units: tuple[str, ...]) -> tuple[Fraction, str] | None:
    if text.count(" ") != 1:
        return None
    number, name = text.split(" ")
    value = _number(number)
    return (value, name) if value is not None and name in UNITS and name in units else None


def _number(text: str) -> Fraction | None:
    if "/" in text:
        whole, plus, part = text.rpartition("+")
        top, _, bottom = part.partition("/")
        good = _is_whole(top) and _is_whole(bottom) and 0 < int(bottom) <= 9999
        if not good or (plus and not (_is_whole(whole) and int(top) < int(bottom))):
            return None
        return Fraction(int(top), int(bottom)) + (int(whole) if plus else 0)
    sign = -1 if text.startswith("-") else 1
    whole, point, digits = text.removeprefix("-").partition(".")
    if not _is_whole(whole) or (point and not 1 <= len(digits) <= 6) or any(d not in _DIGITS for d in digits):
        return None
    return sign * (int(whole) + Fraction(int(digits or "0"), 10 ** len(digits)))


def _is_whole(text: str) -> bool:
    good = 0 < len(text) <= 6 and all(digit in _DIGITS for digit in text)
    return good and (text == "0" or not text.startswith("0"))


_wholes = st.integers(0, 999_999).map(str)
_numbers = st.one_of(
    _wholes,
    st.tuples(_wholes, st.text(_DIGITS, min_size=1, max_size=6)).map(".".join),
    st.tuples(_wholes, st.integers(1, 9999).map(str)).map("/".join),
    st.builds(
        lambda whole, bottom, top: f"{whole}+{top % bottom}/{bottom}",
        _wholes,
        st.integers(1, 9999),
        st.integers(0),
    ),
)


@given(st.sampled_from(KINDS), _numbers, st.data())
def test_every_number_in_the_grammar_becomes_exactly_that_fraction(
    kind: Kind, number: str, data: st.DataObject
) -> None:
    unit = data.draw(st.sampled_from(kind.units))
    reading = read(f"{number} {unit}", kind)
    assert isinstance(reading, Reading)
    assert (magnitude(reading.quantity, unit), unit) == _second_reading(f"{number} {unit}", kind.units)
    assert (reading.number, reading.unit) == (number.removeprefix("0+").replace("+", "-"), unit)


@given(_wholes, st.integers(0, 11), st.sampled_from(["", ".5", "+1/16", "+15/16"]))
def test_feet_and_inches_are_added_exactly(feet: str, inches: int, rest: str) -> None:
    text = f"{feet} ft + {inches}{rest} in"
    reading = read(text, LENGTH)
    assert isinstance(reading, Reading)
    assert (magnitude(reading.quantity, "in"), "in") == _second_reading(text, LENGTH.units)


_junk = st.text(st.sampled_from("0123456789-+./ ,ftinmlbf·degNrpmkhouo°C'\"e٣½\u00a0\t"), max_size=24)


@given(st.one_of(_junk, st.text(max_size=40)), st.sampled_from(KINDS))
def test_any_text_is_read_or_refused_and_never_raises(text: str, kind: Kind) -> None:
    reading = read(text, kind)
    if isinstance(reading, Reading):
        # As it is printed, a sum has no plus sign and a whole has a hyphen before its fraction.
        strict = re.sub(r"(?<=\d)-(?=\d)", "+", re.sub(" (ft|deg) (?=.* )", r" \1 + ", reading.shown))
        assert (magnitude(reading.quantity, reading.unit), reading.unit) == _second_reading(strict, kind.units)
        assert re.search(pattern(kind), text)
    else:
        assert reading.rule.startswith("quantity-")
        assert reading.why and reading.write


@given(_junk, st.sampled_from(KINDS))
def test_what_the_second_reader_accepts_is_accepted(text: str, kind: Kind) -> None:
    expected = _second_reading(text, kind.units)
    if expected is not None and (kind.signed or not text.startswith("-")):
        reading = read(text, kind)
        assert isinstance(reading, Reading)
        assert magnitude(reading.quantity, reading.unit) == expected[0]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_example_shown_to_a_keeper_is_read(kind: Kind) -> None:
    for example in kind.examples:
        assert isinstance(read(example, kind), Reading)
        assert re.search(pattern(kind), example)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("22-26 N·m", TORQUE),
        ("22\u201326 N·m", TORQUE),
        ("22 - 26 N·m", TORQUE),
        ("22 to 26 N·m", TORQUE),
        ("22 N·m - 26 N·m", TORQUE),
        ("24±2 N·m", TORQUE),
        ("22-26", TORQUE),
        ("120-150 rpm", base.SPEED),
        ("1/2-3/4 in", LENGTH),
    ],
)
def test_a_range_is_named_as_one_and_never_answered_with_a_piece_of_it(text: str, kind: Kind) -> None:
    refused = read(text, kind)
    assert isinstance(refused, Unread)
    assert (refused.rule, refused.why) == ("quantity-form", "this is a range, and one key holds one value")
    assert re.findall(r'"([^"]*)"', refused.write) == list(kind.examples)


@pytest.mark.parametrize("text", ["110 in-1b", "110 in 1bs", "110 in·1bf"])
def test_a_digit_in_place_of_a_letter_is_no_range(text: str) -> None:
    refused = read(text, TORQUE)
    assert isinstance(refused, Unread)
    assert (refused.why, refused.write) == (
        "the digit 1 stands there in place of the letter l",
        '"110 in·lbf"',
    )


@pytest.mark.parametrize("text", ["23 ft + 3", "23 ft 3", "-5"])
def test_half_a_measurement_is_never_offered_as_the_whole(text: str) -> None:
    refused = read(text, LENGTH)
    assert isinstance(refused, Unread)
    assert (refused.rule, refused.write) == ("quantity-unit-missing", LENGTH.write)
