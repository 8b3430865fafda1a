"""Specifications with something left away: each key and group alone, each open key said to be not given."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from datetime import date
from decimal import Decimal
from typing import Any, TypeAlias

from cardgen.spec.fields import expected, fields_of
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN

Path: TypeAlias = tuple[str | int, ...]


def as_toml(table: Mapping[str, Any]) -> str:
    """Write a specification's table as TOML again, a group a line."""
    return "\n".join(f"{key} = {_inline(value)}" for key, value in table.items()) + "\n"


def table_of(text: str) -> dict[str, Any]:
    """Read a specification's text, its numbers as they stand."""
    return tomllib.loads(text, parse_float=Decimal)


def may_be_left_away(path: Path) -> bool:
    """Whether the shape of the file needs no value at a place: an optional key or group, or a row of a list."""
    *above, last = path
    if isinstance(last, int):
        return True
    if not above:
        return not RotorSpec.model_fields["schema_version" if last == "schema" else last].is_required()
    holder = expected(tuple(0 if isinstance(part, int) else part for part in above))
    kind = holder.type if holder and holder.group else None
    return kind is None or last not in fields_of(kind) or not fields_of(kind)[last].is_required()


def with_one_left_away(
    table: Mapping[str, Any], may_go: Callable[[Path], bool] = lambda path: True
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give the table without each of its keys, groups and rows, one at a time, and what is gone."""
    for path in filter(may_go, _places(table)):
        less = deepcopy(dict(table))
        holder, last = _held(less, path)
        del holder[last]
        yield f"without {_named(path)}", less


def with_one_not_given(table: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give the table with each key of the closed list said to be not given, in each group that has it."""
    for group, keys in MAY_BE_NOT_GIVEN.items():
        held = table.get(group)
        places: list[Path] = [(group, at) for at in range(len(held))] if isinstance(held, list) else [(group,)]
        for place in places if held is not None else ():
            for key in keys:
                yield f"{_named((*place, key))} not given", not_given(table, (*place, key))


def not_given(table: Mapping[str, Any], *paths: Path) -> dict[str, Any]:
    """Take keys out and list them as not given."""
    less = deepcopy(dict(table))
    for path in paths:
        holder, key = _held(less, path)
        holder.pop(key, None)
        holder["not_given"] = [*holder.get("not_given", []), key]
        holder.get("sources", {}).pop(key, None)
    return less


def _places(value: Any, path: Path = ()) -> Iterator[Path]:
    inside = value.items() if isinstance(value, Mapping) else enumerate(value)
    for key, each in inside:
        yield (*path, key)
        if isinstance(each, (Mapping, list)) and not all(isinstance(one, int) for one in each):
            yield from _places(each, (*path, key))


def _held(table: dict[str, Any], path: Path) -> tuple[Any, Any]:
    holder: Any = table
    for part in path[:-1]:
        holder = holder[part]
    return holder, path[-1]


def _named(path: Path) -> str:
    return "".join(f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path).lstrip(".")


def _inline(value: Any) -> str:
    match value:
        case bool():
            return str(value).lower()
        case str():
            return json.dumps(value, ensure_ascii=False)
        case date():
            return value.isoformat()
        case list():
            return f"[{', '.join(map(_inline, value))}]"
        case dict():
            return f"{{{', '.join(f'{key} = {_inline(each)}' for key, each in value.items())}}}"
    return str(value)
