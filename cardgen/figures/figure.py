"""The one type that every number on a card is: a figure with its source.

A card template can print a number only through a `Figure`. What is printed, how it was rounded,
where it came from and what it was made from travel together, so that `explain` and the proof
never have to guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from cardgen.figures.rounding import decimal_text, on_grid, printed
from cardgen.spec.bound import Bound
from cardgen.spec.fields import bound_of
from cardgen.spec.grammar import Reading
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path, key_of
from cardgen.spec.typed_quantity import reading_of
from cardgen.spec.units import Quantity, magnitude, quantity, unit_named


class Origin(StrEnum):
    """Who answers for a number; the letter stands beside it on the card."""

    MAKER = "M"
    CLUB = "K"
    RULE = "R"
    COMPUTED = "C"
    MEASURED = "L"
    GENERAL = "G"


_ORIGIN_OF_KIND = {
    "maker": Origin.MAKER,
    "club": Origin.CLUB,
    "adhesive": Origin.GENERAL,
    "general": Origin.GENERAL,
}

#: What stands behind values of groups that name no document.
_UNSOURCED: dict[str | int, str] = {
    "wrenches": "the wrench and its calibration sheet",
    "aircraft": "the aircraft's papers",
}


#: Nothing on a bench is finer than a millionth of its unit.
_MOST_DECIMALS = 6


@dataclass(frozen=True)
class Parts:
    """A number as it is printed: the number, its unit, and the same in the other system or nothing."""

    number: str
    unit: str
    second: str = ""


@dataclass(frozen=True)
class Figure:
    """One number that a card may show.

    ``quantity`` is exact; ``parts`` are what is printed, rounded to the safe side. ``formula`` says
    in words how it was computed, and ``inputs`` name the figures or keys it was computed from.
    ``bound`` is the end of a range that it is, and with it the side it was rounded to.
    """

    id: str
    quantity: Quantity
    parts: Parts
    origin: Origin
    reference: str
    formula: str = ""
    inputs: tuple[str, ...] = ()
    bound: Bound = Bound.NEITHER

    @property
    def shown(self) -> str:
        """The printed parts joined: ``160 in·lbf (18.1 N·m) M``."""
        unit = f" {self.parts.unit}" if self.parts.unit else ""
        second = f" ({self.parts.second})" if self.parts.second else ""
        return f"{self.parts.number}{unit}{second} {self.origin}"


def second_unit(value: Quantity, unit: str, bound: Bound, step: Fraction = Fraction(1)) -> str:
    """Print a quantity in the other system's unit, never past its bound; nothing where there is none.

    It keeps two significant digits at least, so that a small limit does not lose half of itself. Where the
    first number is on a coarse ``step``, the second is on the power of ten just below it: it must not look
    more exact than the first.
    """
    other = unit_named(unit).second
    if other is None:
        return ""
    name, decimals = other
    if step <= 1:
        exact = magnitude(value, name)
        return f"{printed(exact, _two_digits(exact, decimals), bound)} {name}"
    coarse = Fraction(1)
    while 10 * coarse <= magnitude(quantity(step, unit), name):
        coarse *= 10
    return f"{decimal_text(on_grid(magnitude(value, name), coarse, bound), 0)} {name}"


def _two_digits(value: Fraction, fewest: int) -> int:
    """Count the decimals that show two significant digits of a value; never less than ``fewest``."""
    wanted = (count for count in range(fewest, _MOST_DECIMALS) if abs(value) * 10**count >= 10)
    return next(wanted, _MOST_DECIMALS) if value else fewest


def stated(spec: RotorSpec, path: Path) -> Figure:
    """Take a value of the specification as a figure, printed exactly as its keeper typed it.

    Its bound is that of its key, and converting to the second unit never widens it. The letter follows
    the kind of the document that the value's source names.
    """
    reading: Reading = reading_of(spec, path)
    source, origin = source_and_origin(spec, path)
    bound = bound_of(path)
    return Figure(
        id=key_of(path),
        quantity=reading.quantity,
        parts=Parts(reading.number, reading.unit, second_unit(reading.quantity, reading.unit, bound)),
        origin=origin,
        reference=source,
        bound=bound,
    )


def source_and_origin(spec: RotorSpec, path: Path) -> tuple[str, Origin]:
    """Tell where a value comes from, and the letter of who answers for it.

    Groups that describe what stands on this bench name no document; their values were measured here.
    """
    try:
        source = spec.source(path)
    except LookupError:
        return _UNSOURCED.get(path[0], "as stated by the keeper"), Origin.MEASURED
    return source, _ORIGIN_OF_KIND[spec.document(source).kind]


def computed(
    name: str,
    value: Quantity,
    unit: str,
    *,
    decimals: int,
    formula: str,
    inputs: tuple[str, ...],
    bound: Bound = Bound.NEITHER,
    step: Fraction | None = None,
    reference: str = "computed",
    origin: Origin = Origin.COMPUTED,
    one_unit: bool = False,
) -> Figure:
    """Make a figure from a computed quantity, rounded to the side that keeps its bound.

    It is printed with ``decimals`` in ``unit``, on whole steps of ``step`` where one is given, such
    as the marks of a scale. ``one_unit`` prints it in that unit alone: what is read off an
    instrument has the instrument's unit and no other.
    """
    grid = Fraction(1, 10**decimals) if step is None else step
    kept = on_grid(magnitude(value, unit), grid, bound)
    # What stands on a mark has that mark in the second unit too, and so has nothing at all: the two must not
    # contradict each other.
    beside = value if kept and grid == Fraction(1, 10**decimals) else quantity(kept, unit)
    number = decimal_text(kept, decimals)
    parts = Parts(number, unit, "" if one_unit else second_unit(beside, unit, bound, grid))
    return Figure(name, value, parts, origin, reference, formula, inputs, bound)
