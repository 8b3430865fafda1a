"""From what a person did on the page to the text of the specification."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from cardgen.desk.fill.typed import value_from
from cardgen.desk.fill.unsaved import Unsaved
from cardgen.spec.fields import expected
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Path
from cardgen.spec.written import value_at, with_row, with_value, without_group, without_row

#: A person who types this means: as in the line above.
DITTO = ('"', "''", "”", "〃")
#: What two bolts, or two of anything, never share.
_OWN = frozenset({"stations", "places", "id", "blade", "corner"})


def filled(kept: Unsaved, path: Path, text: str, unit: str) -> Unsaved:
    """Put what stands in a box into its key; an empty box takes the key out. Raises `NotWrittenError`."""
    meaning = expected(path)
    assert meaning is not None
    if text.strip() in DITTO and _row_of(path) is not None:
        value = _above(kept.text, path)
    else:
        value = value_from(path, meaning, text, unit)
    if value is None and path[-1] not in _needed(path):
        made = with_value(kept.text, path, None)
    else:
        made = with_value(kept.text, path, ([] if meaning.many else "") if value is None else value)
    if value is not None:
        made = _with_source(_without_open(made, path), path, kept.source)
    return replace(kept, text=made)


def sourced(kept: Unsaved, path: Path, document: str, place: str) -> Unsaved:
    """Say where a group's values come from, or one key's; it is carried on to groups that have none yet."""
    source = f"{document.strip()} {place.strip()}".strip()
    own = len(path) > 1 and path[-2] == "sources"
    made = with_value(kept.text, path, source if source or not own else None)
    return replace(kept, text=made, source=kept.source if own else source)


def left_open(kept: Unsaved, path: Path, is_open: bool) -> Unsaved:
    """Say that the paper does not give a key, or take that back. Raises `NotWrittenError`."""
    if path[-1] not in MAY_BE_NOT_GIVEN.get(str(path[0]), ()):
        return kept
    text = kept.text
    if is_open:
        text = with_value(text, path, None)
        listed = _listed(text, path)
        text = with_value(text, (*path[:-1], "not_given"), [*listed, path[-1]])
        return replace(kept, text=_with_source(text, path, kept.source))
    return replace(kept, text=_without_open(text, path))


def row_added(kept: Unsaved, path: Path, like: bool) -> Unsaved:
    """Add one more to a list; ``like`` the one above in all but what is its own. Raises `NotWrittenError`."""
    rows = _at(kept.text, path) or []
    row: dict[str, Any] = (
        {key: each for key, each in rows[-1].items() if key not in _OWN} if like and rows else {}
    )
    for key in _needed((*path, 0, "")):
        meaning = expected((*path, 0, key))
        row.setdefault(key, [] if meaning and meaning.many else "")
    if "source" in row and not row["source"]:
        row["source"] = kept.source
    return replace(kept, text=with_row(kept.text, path, row))


def row_removed(kept: Unsaved, path: Path) -> Unsaved:
    """Take one out of a list. Raises `NotWrittenError`."""
    return replace(kept, text=without_row(kept.text, path))


def left_out(kept: Unsaved, path: Path) -> Unsaved:
    """Leave a group out that need not be there. Raises `NotWrittenError`."""
    return replace(kept, text=without_group(kept.text, path))


def _row_of(path: Path) -> int | None:
    """Find where on a path its row is counted."""
    return next((at for at in range(len(path) - 2, -1, -1) if isinstance(path[at], int)), None)


def _above(text: bytes, path: Path) -> Any:
    at = _row_of(path)
    place = path[at] if at is not None else 0
    if at is None or not isinstance(place, int) or not place:
        return None
    return _at(text, (*path[:at], place - 1, *path[at + 1 :]))


def _needed(path: Path) -> tuple[str, ...]:
    group = expected(path[:-1])
    return group.needed if group else ()


def _listed(text: bytes, path: Path) -> list[str]:
    listed = _at(text, (*path[:-1], "not_given"))
    return [str(each) for each in listed] if isinstance(listed, list) else []


def _without_open(text: bytes, path: Path) -> bytes:
    listed = _listed(text, path)
    if path[-1] not in listed:
        return text
    return with_value(text, (*path[:-1], "not_given"), [each for each in listed if each != path[-1]])


def _with_source(text: bytes, path: Path, source: str) -> bytes:
    """Give a group that names no source the one that was typed last."""
    group = expected(path[:-1])
    here = (*path[:-1], "source")
    if not source or group is None or "source" not in group.keys or _at(text, here):
        return text
    return with_value(text, here, source)


def _at(text: bytes, path: Path) -> Any:
    return value_at(tomllib.loads(text.decode(), parse_float=Decimal), path)


def flat(table: Mapping[str, Any] | None, text: bytes) -> dict[str, str]:
    """Name every value of a file by its key, to set two files side by side; lines where it cannot be read."""
    if table is None:
        return {f"line {at}": line for at, line in enumerate(text.decode("utf-8", "replace").splitlines(), 1)}
    found: dict[str, str] = {}

    def walk(value: Any, key: str) -> None:
        if isinstance(value, Mapping):
            for name, each in value.items():
                walk(each, f"{key}.{name}" if key else name)
        elif isinstance(value, list) and any(isinstance(each, Mapping) for each in value):
            for at, each in enumerate(value, 1):
                walk(each, f"{key}[{at}]")
        else:
            found[key] = ", ".join(map(str, value)) if isinstance(value, list) else str(value)

    walk(table, "")
    return found
