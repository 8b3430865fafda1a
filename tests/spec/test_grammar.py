"""The grammar of a quantity, against a second reader written here from its wording alone."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec.grammar import Kind, Reading, Unread, pattern, read
from cardgen.spec.model import base
from cardgen.spec.units import UNITS, magnitude

KINDS = tuple(kind for kind in vars(base).values() if isinstance(kind, Kind))
LENGTH, TORQUE, ANGLE, MASS = base.LENGTH, base.TORQUE, base.ANGLE, base.MASS

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
    shown = {spelling: unit.shown for spelling, unit in UNITS.items()}.get(name)
    value = _number(number)
    return (value, shown) if value is not None and shown in units else None


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
    assert (reading.number, reading.unit) == (number.replace("+", "-"), unit)


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
        # The look-alikes of the dot and of the degree are the only freedom beyond the wording.
        plain = re.sub("[⋅∙‧]", "·", re.sub("[º˚]", "°", text))
        assert (magnitude(reading.quantity, reading.unit), reading.unit) == _second_reading(plain, kind.units)
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
    ("text", "kind", "rule"),
    [
        ("190", TORQUE, "quantity-unit-missing"),
        ("190in·lbf", TORQUE, "quantity-form"),
        ("190  in·lbf", TORQUE, "quantity-form"),
        (" 190 in·lbf", TORQUE, "quantity-form"),
        ("190 in·lbf ", TORQUE, "quantity-form"),
        ("21,4 N·m", TORQUE, "quantity-comma"),
        ("1,190 in·lbf", TORQUE, "quantity-comma"),
        ("1.9e2 in·lbf", TORQUE, "quantity-exponent"),
        ("nan in·lbf", TORQUE, "quantity-not-finite"),
        ("inf in·lbf", TORQUE, "quantity-not-finite"),
        ("-190 in·lbf", TORQUE, "quantity-negative"),
        ("-0 in", LENGTH, "quantity-negative"),
        ("21 Nm", TORQUE, "quantity-unit-unknown"),
        ("190 lb", TORQUE, "quantity-pound-as-force"),
        ("190 in-lb", TORQUE, "quantity-unit-unknown"),
        ("190 mm", TORQUE, "quantity-unit-wrong"),
        ("5 mil", base.THIN, "quantity-unit-unknown"),
        ("5 + 1/16 in", LENGTH, "quantity-form"),
        ("5-1/16 in", LENGTH, "quantity-form"),
        ("5+1/0 in", LENGTH, "quantity-form"),
        ("5+17/16 in", LENGTH, "quantity-form"),
        ("1 in + 2 in", LENGTH, "quantity-form"),
        ("1 ft + 30 mm", LENGTH, "quantity-two-systems"),
        ("1 m + 3 in", LENGTH, "quantity-two-systems"),
        ("1 ft + 12 in", LENGTH, "quantity-form"),
        ("1 ft + -1 in", LENGTH, "quantity-form"),
        ("-1 ft + 1 in", LENGTH, "quantity-form"),
        ("1.5 ft + 1 in", LENGTH, "quantity-form"),
        ("46/2 ft + 0 in", LENGTH, "quantity-form"),
        ("1 ft + 1 in + 1 in", LENGTH, "quantity-form"),
        ("007 in", LENGTH, "quantity-form"),
        (".5 in", LENGTH, "quantity-form"),
        ("5. in", LENGTH, "quantity-form"),
        ("+5 in", LENGTH, "quantity-form"),
        ("٣ in", LENGTH, "quantity-form"),
        ("½ in", LENGTH, "quantity-form"),
        ("5\u00a0in", LENGTH, "quantity-form"),
        ("1234567 in", LENGTH, "quantity-form"),
        ("", LENGTH, "quantity-form"),
        ("5 deg + 60 arcmin", ANGLE, "quantity-form"),
    ],
)
def test_what_is_outside_the_grammar_is_refused_by_its_rule(text: str, kind: Kind, rule: str) -> None:
    refused = read(text, kind)
    assert isinstance(refused, Unread)
    assert refused.rule == rule


@pytest.mark.parametrize(
    ("text", "kind", "write"),
    [
        ("21 Nm", TORQUE, '"21 N·m"'),
        ("190in·lbf", TORQUE, '"190 in·lbf"'),
        ("190 in-lbs", TORQUE, '"190 in·lbf"'),
        ("5 mil", base.THIN, '"5 thou", if mil means a thousandth of an inch there'),
        ("7 7/8 in", LENGTH, '"7+7/8 in"'),
        ("7-7/8 in", LENGTH, '"7+7/8 in"'),
        ("7 + 7/8 in", LENGTH, '"7+7/8 in"'),
        ("7½ in", LENGTH, '"7+1/2 in"'),
        ("24' 3\"", base.DIAMETER, '"24 ft + 3 in"'),
        ("24'3\"", base.DIAMETER, '"24 ft + 3 in"'),
        ("24 ft 3 7/8 in", base.DIAMETER, '"24 ft + 3+7/8 in"'),
        ("24 ft, 3 in", base.DIAMETER, '"24 ft + 3 in"'),
        ("5° 30'", ANGLE, '"5 deg + 30 arcmin"'),
        (".03 mm", base.THIN, '"0.03 mm"'),
        ("7.40 metres", base.DIAMETER, '"7.40 m"'),
        ("21 N.m", TORQUE, '"21 N·m"'),
        ("21 newton metres", TORQUE, '"21 N·m"'),
        ("30 thou per inch", base.RATE, '"30 thou/in"'),
        ("7,40 m", base.DIAMETER, '"7.40 m", if the comma is a decimal point'),
        ("0,125 in", LENGTH, '"0.125 in", if the comma is a decimal point'),
        ("5\u00a0in", LENGTH, '"5 in"'),
        ("\u22125 °C", base.TEMPERATURE, '"-5 °C"'),
        ("190", TORQUE, '"190 in·lbf", "190 ft·lbf" or "190 N·m", whichever the document states'),
    ],
)
def test_a_habit_is_answered_with_the_text_to_write(text: str, kind: Kind, write: str) -> None:
    refused = read(text, kind)
    assert isinstance(refused, Unread)
    assert refused.write == write


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
    assert '"' not in refused.write


@pytest.mark.parametrize("text", ["1,190 in·lbf", "7,400 N·m", "1,234,5 N·m", "190 lb", "5-17/16 in·lbf"])
def test_where_two_readings_are_possible_nothing_is_made_of_what_was_typed(text: str) -> None:
    refused = read(text, TORQUE)
    assert isinstance(refused, Unread)
    assert refused.write.endswith(TORQUE.write)


@pytest.mark.parametrize("text", ["23 ft + 3", "-5", "1 + 2"])
def test_half_a_measurement_is_never_offered_as_the_whole(text: str) -> None:
    refused = read(text, LENGTH)
    assert isinstance(refused, Unread)
    assert (refused.rule, refused.write) == ("quantity-unit-missing", LENGTH.write)


def test_a_look_alike_in_a_quantity_is_named() -> None:
    # Unicode Character Database, names of U+00A0 and U+2212.
    for text, name in (
        ("5\u00a0in", "a no-break space (U+00A0)"),
        ("\u22125 °C", "a minus sign of another kind"),
    ):
        refused = read(text, base.LENGTH if text.endswith("in") else base.TEMPERATURE)
        assert isinstance(refused, Unread)
        assert name in refused.why


_PIECES = [
    "1",
    "0",
    "24",
    "7/8",
    "½",
    ".",
    ",",
    "-",
    "–",
    "+",
    "−",
    "'",
    '"',
    "ft",
    "in",
    "N.m",
    "lb",
    "°",
    "deg",
    "rpm",
    "mil",
    "·",
    "to",
    "metres",
    "per",
    "/",
    "\xa0",
]
_typed = st.lists(st.sampled_from([*_PIECES, " "]), max_size=8).map("".join)


@given(st.one_of(_junk, _typed), st.sampled_from(KINDS))
def test_every_text_that_is_offered_is_read(text: str, kind: Kind) -> None:
    refused = read(text, kind)
    if isinstance(refused, Unread):
        for offered in re.findall(r'"([^"]*)"', refused.write):
            assert isinstance(read(offered, kind), Reading), (text, refused)


@pytest.mark.parametrize(
    ("text", "kind", "value", "unit"),
    [
        ("5+1/16 in", LENGTH, Fraction(81, 16), "in"),
        ("23 ft + 3 in", LENGTH, Fraction(279), "in"),
        ("5 deg + 30 arcmin", ANGLE, Fraction(330), "arcmin"),
        ("-1.5 deg", ANGLE, Fraction(-3, 2), "deg"),
        ("-5 °C", base.TEMPERATURE, Fraction(-5), "°C"),
        ("20 degC", base.TEMPERATURE, Fraction(20), "°C"),
        ("20 ºC", base.TEMPERATURE, Fraction(20), "°C"),
        ("190 in-lbf", TORQUE, Fraction(190), "in·lbf"),
        ("190 in⋅lbf", TORQUE, Fraction(190), "in·lbf"),
        ("0.1 in", LENGTH, Fraction(1, 10), "in"),
    ],
)
def test_common_forms_are_read(text: str, kind: Kind, value: Fraction, unit: str) -> None:
    # Plain arithmetic: sixteenths, twelve inches a foot, sixty minutes a degree.
    reading = read(text, kind)
    assert isinstance(reading, Reading)
    assert (magnitude(reading.quantity, unit), reading.unit) == (value, unit)
