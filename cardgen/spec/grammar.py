"""The strict grammar of a quantity: a plain number, one space, a unit from a closed list.

    quantity = number " " unit
             | whole " ft + " number " in"        a length in feet and inches
             | whole " deg + " number " arcmin"   an angle in degrees and minutes
    number   = decimal | fraction | whole "+" fraction
    decimal  = ["-"] whole ["." digits]           never a comma, an exponent or nan
    fraction = whole "/" whole                    such as 1/16; with a whole, and less than one: 5+1/16

A whole and a numerator have at most six digits, a denominator four, a decimal part six.
Everything else is refused with a reason and a text that would be read. Accepted text becomes
an exact quantity; nothing is rounded on the way in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from cardgen.spec.units import UNITS, Quantity, Unit, quantity

_WHOLE = r"(?:0|[1-9]\d{0,5})"
_DECIMAL = re.compile(rf"-?{_WHOLE}(?:\.\d{{1,6}})?", re.ASCII)
_FRACTION = re.compile(rf"({_WHOLE})/([1-9]\d{{0,3}})", re.ASCII)
_MIXED = re.compile(rf"({_WHOLE})\+({_WHOLE})/([1-9]\d{{0,3}})", re.ASCII)

#: Pairs of units that may be added in one quantity, and how many of the second make one of the first.
_SUMS = {("ft", "in"): 12, ("deg", "arcmin"): 60}

#: Characters that look and mean the same; keyboards differ in which one they give.
_LOOKALIKES = str.maketrans({"⋅": "·", "∙": "·", "‧": "·", "º": "°", "˚": "°"})


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


@dataclass(frozen=True)
class _Term:
    value: Fraction
    number: str
    unit: Unit


def read(text: str, kind: Kind) -> Reading | Unread:
    """Read one quantity of one kind, exactly, or say why it is not one and what would be read."""
    reading = _strictly(text, kind)
    return reading if isinstance(reading, Reading) else _explained(text, kind, reading)


def _strictly(text: str, kind: Kind) -> Reading | Unread:
    parts = text.translate(_LOOKALIKES).split(" + ")
    terms = [_term(part, kind, alone=len(parts) == 1) for part in parts]
    for term in terms:
        if isinstance(term, Unread):
            return term
    known = [term for term in terms if isinstance(term, _Term)]
    if len(known) == 1:
        return _single(known[0], kind)
    if len(known) == 2:
        return _sum(known[0], known[1], kind)
    return Unread("quantity-form", f"{kind.name} has at most two parts", kind.write)


def _explained(text: str, kind: Kind, refused: Unread) -> Unread:
    """Answer a refused text with the one that was meant, where that is beyond doubt and would be read."""
    # Loaded only for a refused text: a good file never pays for it.
    from cardgen.spec.quantity_hints import is_range, mended

    if is_range(text):
        why = "this is a range, and one key holds one value"
        write = "one value; where a group has a key for the least and one for the most, one in each"
        return Unread("quantity-form", why, write)
    meant = mended(text, kind.units)
    if meant is None:
        return refused
    reading = _strictly(meant.text, kind)
    if isinstance(reading, Unread):
        return reading
    return Unread(meant.rule, meant.why, f'"{meant.text}"{_provided(text)}')


def _provided(text: str) -> str:
    """Say what a suggestion takes for granted; a comma and a mil mean different things to different people."""
    if "," in text and " ft" not in text:
        return ", if the comma is a decimal point"
    return ", if mil means a thousandth of an inch there" if re.search(r"\bmils?\b", text) else ""


def pattern(kind: Kind) -> str:
    """Write the grammar of one kind as a regular expression, for editors.

    It is short enough to be shown in a message, and so lets through a few texts that `read`
    refuses, such as a leading zero or a fraction of one or more behind a whole.
    """
    number = r"([0-9]+([.][0-9]+)?|([0-9]+[+])?[0-9]+/[1-9][0-9]*)"
    forms = [f"{'-?' if kind.signed else ''}{number} ({_spellings(kind.units)})"]
    for first, second in _SUMS:
        if {first, second} <= set(kind.units):
            forms.append(f"[0-9]+ ({_spellings((first,))}) [+] {number} {second}")
    return f"^({'|'.join(forms)})$"


def _spellings(units: tuple[str, ...]) -> str:
    names = [name for name, unit in UNITS.items() if unit.shown in units]
    return "|".join(name.replace("·", "[·⋅∙‧]").replace("°", "[°º˚]") for name in names)


def _term(text: str, kind: Kind, alone: bool) -> _Term | Unread:
    head, _, name = text.partition(" ")
    value = _number(head)
    if value is None:
        return _not_a_number(text, kind)
    if not name:
        sure = alone and (kind.signed or not head.startswith("-"))
        write = _with_each_unit(kind, head) if sure else kind.write
        return Unread("quantity-unit-missing", _without_unit(kind, head), write)
    unit = UNITS.get(name)
    if unit is None or unit.shown not in kind.units:
        return _wrong_unit(name, kind)
    return _Term(value, _printed(head), unit)


def _single(term: _Term, kind: Kind) -> Reading | Unread:
    if term.number.startswith("-") and not kind.signed:
        return Unread("quantity-negative", f"{kind.name} is never negative", kind.write)
    return Reading(quantity(term.value, term.unit.shown), term.number, term.unit.shown)


def _sum(first: _Term, second: _Term, kind: Kind) -> Reading | Unread:
    if first.unit.system != second.unit.system:
        why = "one quantity must not mix inch and metric units: nobody can tell which one was measured"
        return Unread("quantity-two-systems", why, kind.write)
    whole = _SUMS.get((first.unit.shown, second.unit.shown))
    if whole is None:
        return Unread("quantity-form", "only feet + inches and degrees + minutes may be added", kind.write)
    if not first.number.isdigit() or second.number.startswith("-") or second.value >= whole:
        why = f"the first part is a whole number and the second less than {whole} {second.unit.shown}"
        return Unread("quantity-form", why, kind.write)
    total = quantity(first.value * whole + second.value, second.unit.shown)
    return Reading(total, f"{first.number} {first.unit.shown} {second.number}", second.unit.shown)


def _number(text: str) -> Fraction | None:
    if _DECIMAL.fullmatch(text):
        return Fraction(text)
    if match := _FRACTION.fullmatch(text):
        return Fraction(int(match[1]), int(match[2]))
    if (match := _MIXED.fullmatch(text)) and (part := Fraction(int(match[2]), int(match[3]))) < 1:
        return int(match[1]) + part
    return None


def _printed(number: str) -> str:
    # The shop writes 5-1/16; a plus sign on a card could be taken for a tolerance.
    return number.replace("+", "-")


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
    if name in {"lb", "lbs"} and ("lbf" in kind.units or "in·lbf" in kind.units):
        why = "a bare lb is a mass; a force is written lbf"
        return Unread("quantity-pound-as-force", why, kind.write)
    if name in UNITS:
        why = f"{UNITS[name].shown} does not measure {kind.name} here"
        return Unread("quantity-unit-wrong", f"{why}; allowed: {', '.join(kind.units)}", kind.write)
    why = f'"{name}" is not a unit this file uses; allowed: {", ".join(kind.units)}'
    return Unread("quantity-unit-unknown", why, kind.write)
