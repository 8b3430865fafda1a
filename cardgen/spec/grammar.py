"""The grammar of a quantity: a plain number and a unit from a closed list, as people write them.

    quantity = number unit
             | whole feet number inches         23 ft + 6 in, 23 ft 6 in, 23'6", 23'-6"
             | whole degrees number minutes     5 deg + 30 arcmin, 5°30'
    number   = decimal | fraction | mixed
    decimal  = ["-"] whole ["." digits]         the whole may be left out: .035
    fraction = whole "/" whole                  1/16
    mixed    = whole fraction                   less than one behind the whole: 5+1/16, 5-1/16, 5 1/16, 5½

A space between number and unit may be left out. How units and signs may be written stands in
`spellings`. Everything with two meanings is refused, with a reason and a text that would be read: a
decimal comma, an exponent, no unit; a hyphen behind a zero, which could run from none to so much; a
full stop between a unit and a second number, which could end the one or begin the other. A whole and
a numerator have at most six digits, a denominator four, a decimal part six.

Accepted text becomes an exact quantity; nothing is rounded on the way in. What is printed is always in
one spelling, and that is read again as the same.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from cardgen.spec.spellings import plain, unit_named
from cardgen.spec.units import UNITS, Quantity, Unit, quantity

_WHOLE = r"(?:0|[1-9]\d{0,5})"
_FRACTION = rf"{_WHOLE}/[1-9]\d{{0,3}}"
_MIXED = rf"{_WHOLE}(?: ?\+ ?|[- ]){_FRACTION}"
_DECIMAL = rf"-?(?:{_WHOLE}(?:\.\d{{1,6}})?|\.\d{{1,6}})"
_NUMBER = rf"(?:{_MIXED}|{_FRACTION}|{_DECIMAL})"
_UNIT = r"[^\d\s.,/+-]"
_SINGLE = re.compile(rf"(?P<number>{_NUMBER}) ?(?P<unit>{_UNIT}[^\d,]*)", re.ASCII)
_SUM = re.compile(
    rf"(?P<first>{_NUMBER}) ?(?P<large>(?![eE]\d){_UNIT}+(?:\.(?=[ +-]))?)(?P<joint> ?\+ ?|[- ]?)"
    rf"(?P<second>(?!(?<={_UNIT})\.){_NUMBER})(?: ?(?P<small>{_UNIT}[^\d,/+]*))?",
    re.ASCII,
)
_PARTS = re.compile(rf"(?P<whole>{_WHOLE})(?P<joint> ?\+ ?|[- ])(?P<fraction>{_FRACTION})", re.ASCII)
_ALONE = re.compile(_NUMBER, re.ASCII)

#: Characters of the longest text that is looked at; hostile ones go on without end.
LONGEST = 100

#: Pairs of units that may be added in one quantity, and how many of the second make one of the first.
SUMS = {("ft", "in"): 12, ("deg", "arcmin"): 60}


@dataclass(frozen=True)
class Kind:
    """One kind of measurement a key may ask for: its name, allowed units and texts that are read."""

    name: str
    units: tuple[str, ...]
    examples: tuple[str, ...]
    signed: bool = False

    @property
    def write(self) -> str:
        """Say what would be accepted, without proposing a value."""
        shapes = " or ".join(f'"{example}"' for example in self.examples)
        return f"the figure from its document, in the form {shapes}"


@dataclass(frozen=True)
class Unread:
    """A text outside the grammar: the rule it breaks, why that matters, what to write."""

    rule: str
    why: str
    write: str


@dataclass(frozen=True)
class Reading:
    """A text inside the grammar: its exact quantity, and its number and unit as a card prints them."""

    quantity: Quantity
    number: str
    unit: str

    @property
    def shown(self) -> str:
        """The quantity in its one printed spelling, such as ``23 ft 6-1/2 in``."""
        return f"{self.number} {self.unit}"


@dataclass(frozen=True)
class _Term:
    value: Fraction
    number: str
    unit: Unit


def read(text: str, kind: Kind) -> Reading | Unread:
    """Read one quantity of one kind, exactly, or say why it is not one and what would be read."""
    if len(text) > LONGEST:
        return Unread("quantity-form", f"{kind.name} is never so long", kind.write)
    words = plain(text)
    reading = _read(words, kind)
    return reading if isinstance(reading, Reading) else _explained(words, kind, reading)


def _read(text: str, kind: Kind) -> Reading | Unread:
    if found := _SUM.fullmatch(text):
        if found["small"] is None:
            return Unread("quantity-unit-missing", "its second number has no unit", kind.write)
        first = _term(found["first"], found["large"], kind)
        second = _term(found["second"], found["small"], kind)
        if isinstance(first, Unread):
            return first
        return second if isinstance(second, Unread) else _sum(first, found["joint"], second, kind)
    if found := _SINGLE.fullmatch(text):
        term = _term(found["number"], found["unit"], kind)
        return term if isinstance(term, Unread) else _single(term, kind)
    if number := _number(text):
        sure = kind.signed or not number.shown.startswith("-")
        write = _with_each_unit(kind, number.shown) if sure else kind.write
        return Unread("quantity-unit-missing", _without_unit(kind, number.shown), write)
    return _not_a_number(text, kind)


def _explained(text: str, kind: Kind, refused: Unread) -> Unread:
    """Answer a refused text with the one that was meant, where that is beyond doubt and would be read."""
    # Loaded only for a refused text: a good file never pays for it.
    from cardgen.spec.quantity_hints import is_range, mended

    if is_range(text):
        why = "this is a range, and one key holds one value"
        places = "where a group has a key for the least and one for the most, one in each"
        return Unread("quantity-form", why, f"one value; {places}; {kind.write}")
    meant = mended(text, kind.units)
    if meant is None:
        return refused
    reading = _read(meant.text, kind)
    if isinstance(reading, Unread):
        return reading
    return Unread(meant.rule, meant.why, f'"{reading.shown}"{_provided(text)}')


def _provided(text: str) -> str:
    """Say what a suggestion takes for granted; a comma and a mil mean different things to different people."""
    comma = "," in text and not re.search("ft|feet|foot|'", text)
    said = ["the comma is a decimal point"] if comma else []
    said += ["mil means a thousandth of an inch there"] if re.search(r"mils?\b", text) else []
    return f", if {' and '.join(said)}" if said else ""


def _term(number: str, name: str, kind: Kind) -> _Term | Unread:
    read_number = _number(number)
    if read_number is None:
        return Unread("quantity-form", f"this cannot be read as {kind.name}", kind.write)
    unit = unit_named(name, kind.units)
    return _wrong_unit(name, kind) if unit is None else _Term(read_number.value, read_number.shown, unit)


def _single(term: _Term, kind: Kind) -> Reading | Unread:
    if term.number.startswith("-") and not kind.signed:
        return Unread("quantity-negative", f"{kind.name} is never negative", kind.write)
    return Reading(quantity(term.value, term.unit.shown), term.number, term.unit.shown)


def _sum(first: _Term, joint: str, second: _Term, kind: Kind) -> Reading | Unread:
    if first.unit.system != second.unit.system:
        why = "one quantity must not mix inch and metric units: nobody can tell which one was measured"
        return Unread("quantity-two-systems", why, kind.write)
    whole = SUMS.get((first.unit.shown, second.unit.shown))
    if whole is None:
        return Unread("quantity-form", "only feet + inches and degrees + minutes may be added", kind.write)
    if not first.number.isdigit() or second.number.startswith("-") or second.value >= whole:
        why = f"the first part is a whole number and the second less than {whole} {second.unit.shown}"
        return Unread("quantity-form", why, kind.write)
    if joint == "-" and (first.value == 0 or first.unit.shown != "ft"):
        why = "a hyphen between two parts of a measurement could mean from the one to the other"
        return Unread("quantity-form", why, kind.write)
    total = quantity(first.value * whole + second.value, second.unit.shown)
    return Reading(total, f"{first.number} {first.unit.shown} {second.number}", second.unit.shown)


@dataclass(frozen=True)
class _Number:
    value: Fraction
    shown: str


def _number(text: str) -> _Number | None:
    """Read a number, and write it as the shop does: in 5+1/16 the plus could be taken for a tolerance."""
    if found := _PARTS.fullmatch(text):
        whole, part = int(found["whole"]), Fraction(found["fraction"])
        if part >= 1 or (found["joint"] == "-" and whole == 0):
            return None
        return _Number(whole + part, f"{whole}-{found['fraction']}" if whole else found["fraction"])
    if not _ALONE.fullmatch(text):
        return None
    shown = re.sub(r"^(-?)\.", r"\g<1>0.", text)
    return _Number(Fraction(shown), shown)


def _without_unit(kind: Kind, number: str) -> str:
    if "in·lbf" in kind.units:
        return f"a torque needs a unit: {number} in·lbf and {number} ft·lbf differ by 12 times"
    return f"{kind.name} needs a unit: the same number in another unit is another part"


def _with_each_unit(kind: Kind, number: str) -> str:
    choices = [f'"{number} {unit}"' for unit in kind.units]
    if len(choices) == 1:
        return choices[0]
    return f"{', '.join(choices[:-1])} or {choices[-1]}, whichever the document states"


def _not_a_number(text: str, kind: Kind) -> Unread:
    lowered = text.lower()
    if "," in text:
        why = "a comma is a decimal point to some and a thousands mark to others"
        return Unread("quantity-comma", why, f"a decimal point, and nothing between thousands; {kind.write}")
    if "nan" in lowered or "inf" in lowered.split(" ")[0]:
        return Unread("quantity-not-finite", "this is not a number that can be measured", kind.write)
    if re.match(r"[-+]?[\d.]+e[-+]?\d", lowered):
        why = "an exponent is easily misread by a power of ten"
        return Unread("quantity-exponent", why, f"the number in full; {kind.write}")
    return Unread("quantity-form", f"this cannot be read as {kind.name}", kind.write)


def _wrong_unit(name: str, kind: Kind) -> Unread:
    known = unit_named(name, UNITS)
    if known is None:
        why = f'"{name}" is not a unit this file uses; allowed: {", ".join(kind.units)}'
        return Unread("quantity-unit-unknown", why, kind.write)
    if known.shown in {"lb", "kg"} and ("lbf" in kind.units or "in·lbf" in kind.units):
        why = f"a bare {known.shown} is a mass; a force is written {'lbf' if known.shown == 'lb' else 'N'}"
        return Unread("quantity-pound-as-force", why, kind.write)
    why = f"{known.shown} does not measure {kind.name} here"
    if name == '"' and "deg" in kind.units:
        why = 'the sign " means inches to some and seconds of arc to others'
    return Unread("quantity-unit-wrong", f"{why}; allowed: {', '.join(kind.units)}", kind.write)
