"""From a place in a specification back to the text that stands there."""

from __future__ import annotations

from cardgen.spec.grammar import Kind, Reading, read
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path
from cardgen.spec.units import UNITS


def reading_of(spec: RotorSpec, path: Path) -> Reading:
    """Read a quantity again from its typed text, for its number and unit as typed.

    Raises `LookupError` where the path leads to no quantity.
    """
    anything = Kind("a quantity", tuple({unit.shown for unit in UNITS.values()}), (), signed=True)
    reading = read(spec.typed(path), anything)
    if not isinstance(reading, Reading):
        raise LookupError(f"no quantity at {path}")
    return reading
