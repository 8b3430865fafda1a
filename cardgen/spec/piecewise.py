"""Reads a group key by key where it cannot be read whole, so that one slip hides nothing beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from typing import Any

from pydantic import BaseModel, TypeAdapter, create_model

from cardgen.spec.fields import KeyMeaning, expected, fields_of, group_types
from cardgen.spec.model.base import Group
from cardgen.spec.nearest import misspelt
from cardgen.spec.problem import Path


def read_whole(name: str, raw: object) -> Any:
    """Read a top-level group as it must be; raises Pydantic's error with everything that stands against it."""
    return _group_reader(name)(raw)


def read_pieces(name: str, raw: object, refused: Iterable[Path]) -> tuple[Any, frozenset[Path]]:
    """Read all of a group but what was refused: what came of it, and the places that are left empty."""
    bad = frozenset(refused)
    place = expected((name,)) or KeyMeaning(object)
    return _read(place, _group_reader(name), raw, (name,), bad)


def _read(
    place: KeyMeaning, whole: Callable[[object], Any], raw: Any, path: Path, bad: frozenset[Path]
) -> tuple[Any, frozenset[Path]]:
    below = frozenset(each for each in bad if each[: len(path)] == path)
    if not below:
        return whole(raw), frozenset()
    if path not in below and place.group:
        return _pieces(place.type, raw, path, below)
    if path not in below and place.many and (row := expected((*path, 0))) and row.group:
        rows = [_read(row, row.type.model_validate, item, (*path, n), below) for n, item in enumerate(raw)]
        holes = frozenset[Path]().union(*(holes for _, holes in rows))
        # A row that is no group at all leaves the list without a meaning.
        if not any((*path, n) in below for n in range(len(rows))):
            return tuple(value for value, _ in rows), holes
    return None, frozenset({path})


def _pieces(
    kind: type[BaseModel], raw: Any, path: Path, below: frozenset[Path]
) -> tuple[BaseModel, frozenset[Path]]:
    values: dict[str, Any] = {}
    holes: frozenset[Path] = frozenset()
    elsewhere = misspelt(fields_of(kind), raw)
    for key, field in fields_of(kind).items():
        here = (*path, key)
        if key in raw:
            place = expected(here) or KeyMeaning(object)
            values[key], found = _read(place, _key_reader(kind, key), raw[key], here, below)
        elif here in below or key in elsewhere:
            found = frozenset({here})
        else:
            values[key], found = field.get_default(call_default_factory=True), frozenset()
        holes |= found
    kept = {key: value for key, value in values.items() if (*path, key) not in holes}
    return kind.model_construct(**kept), holes


@cache
def _group_reader(name: str) -> Callable[[object], Any]:
    kind = group_types()[name]
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind.model_validate
    return TypeAdapter(kind).validate_python


@cache
def _key_reader(kind: type[BaseModel], key: str) -> Callable[[object], Any]:
    """Read one key as its group does: by a group that has no other."""
    field = fields_of(kind)[key]
    only: dict[str, Any] = {key: (field.annotation, field)}
    alone = create_model(kind.__name__, __base__=Group, **only)
    return lambda raw: getattr(alone.model_validate({key: raw}), key)
