"""From a place in a specification back to the text that stands there."""

from __future__ import annotations

from functools import cache

from cardgen.spec.fields import expected
from cardgen.spec.grammar import Kind, Reading, read
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path


def reading_of(spec: RotorSpec, path: Path) -> Reading:
    """Read a quantity again from its typed text, for its number and unit as they are printed.

    Raises `LookupError` where the path leads to no quantity.
    """
    kind = _kind_at(tuple(0 if isinstance(part, int) else part for part in path))
    reading = read(spec.typed(path), kind) if kind else None
    if not isinstance(reading, Reading):
        raise LookupError(f"no quantity at {path}")
    return reading


@cache
def _kind_at(path: Path) -> Kind | None:
    # Every entry of a list is of one kind, so few places are ever looked up.
    place = expected(path)
    return place.kind if place else None
