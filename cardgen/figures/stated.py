"""Every number that the specification states, as a figure under its own key.

A card may print any of them. They are printed as typed.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pint

from cardgen.figures.figure import Figure, Parts, source_and_origin, stated
from cardgen.spec.fields import bound_of
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.base import Group
from cardgen.spec.problem import Path, key_of
from cardgen.spec.units import quantity


def stated_figures(spec: RotorSpec) -> Iterator[Figure]:
    """Walk the whole specification and give each of its numbers as a figure."""
    for name in type(spec).model_fields:
        if name != "schema_version":
            yield from _walk(spec, (name,), getattr(spec, name))


def plain(spec: RotorSpec, path: Path) -> Figure:
    """Take a stated number that has no unit as a figure: a station, a place in an order, a percentage."""
    unit = "percent" if _last_key(path) in {"stages", "error"} else ""
    source, origin = source_and_origin(spec, path)
    value = quantity(Fraction(spec.value(path)), unit)
    return Figure(key_of(path), value, Parts(spec.typed(path), unit), origin, source, bound=bound_of(path))


def _walk(spec: RotorSpec, path: Path, value: object) -> Iterator[Figure]:
    if isinstance(value, Group):
        for name in type(value).model_fields:
            yield from _walk(spec, (*path, name), getattr(value, name))
    elif isinstance(value, tuple):
        for at, item in enumerate(value):
            yield from _walk(spec, (*path, at), item)
    elif isinstance(value, pint.Quantity):
        yield stated(spec, path)
    elif isinstance(value, int | Fraction) and not isinstance(value, bool):
        yield plain(spec, path)


def _last_key(path: Path) -> str:
    return next(part for part in reversed(path) if isinstance(part, str))
