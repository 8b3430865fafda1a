"""The sheet for the second reader: every value as it was typed, with its document and place, and no other.

Each row says what it is in the specification's own keys; value, document and place are looked up by them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from cardgen.proof.meaning.pages import Page, Run

_HEADS = ("Place", "What it is", "As typed")
#: What stands behind the last table.
_ENDS = (
    "Warnings",
    "Let pass all the same",
    "Not given: look once more",
    "Left out",
    "Read by a second person",
)
#: Keys that say where a value comes from.
_ORIGINS = frozenset({"source", "sources", "not_given"})
#: Points by which a letter may stand before its column's head.
_BEFORE = 2.0
_MEANING = re.compile(r"\([^()]*\)")
_CODE = re.compile(r"\(U\+([0-9A-F]{4,6})\)")
_NUMBERS = re.compile(r"(\D+?)((?:\d+(?:,|and|to)?)+)$")


@dataclass(frozen=True)
class Typed:
    """One value of a file: without blanks as it was typed, its document and its place there."""

    text: str
    document: str
    place: str


@dataclass
class _Row:
    document: str
    cells: list[str] = field(default_factory=lambda: ["", "", "", ""])


def values_against(pages: Iterable[Page], spec: Mapping[str, Any]) -> Iterator[str]:
    """Name values that do not stand on the sheet as they were typed, or not at their document and place."""
    wanted, seen = dict(_values(spec)), set[str]()
    documents = [each["id"] for each in spec.get("documents", ())]
    for row in _rows(pages, documents):
        place, what, shown, _ = row.cells
        if not what:
            continue
        for keys in _keys(what):
            values = [wanted.get(key) for key in keys]
            seen.update(keys)
            known = [value for value in values if value is not None]
            if len(known) < len(values):
                yield f'"{what}" is no value of the file'
                continue
            text = ";".join(value.text for value in known)
            if text != _CODE.sub(lambda code: chr(int(code[1], 16)), shown):
                yield f'"{what}" is "{shown}" and not "{text}", as it was typed'
            if any((value.document, value.place) != (row.document, place) for value in known):
                yield f'"{what}" stands at "{row.document} {place}"'
    yield from (f"{key} is missing" for key in wanted if key not in seen)


def _values(value: Any, path: tuple[str, ...] = (), origin: str = "") -> Iterator[tuple[str, Typed]]:
    """Walk to every value of a file, with the source that holds for it."""
    if isinstance(value, Mapping):
        origin, others = value.get("source", origin), value.get("sources", {})
        if path[:1] and path[0].startswith("documents"):
            origin = value["id"]
        for key, inner in value.items():
            if key not in _ORIGINS:
                yield from _values(inner, (*path, key), others.get(key, origin))
    elif isinstance(value, list) and any(isinstance(each, Mapping) for each in value):
        *above, last = path
        for at, each in enumerate(value, 1):
            yield from _values(each, (*above, f"{last}{at}"), origin)
    else:
        document, _, place = origin.partition(" ")
        key = ",".join(path).replace("_", "")
        yield key, Typed(_bare(_written(value)), document, _bare(place))


def _written(value: Any) -> str:
    if isinstance(value, list):
        return ("/" if any(isinstance(each, str | list) for each in value) else ",").join(map(_written, value))
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def _bare(text: str) -> str:
    return "".join(text.split())


def _keys(what: str) -> list[list[str]]:
    """Take apart what a row says it is: the keys of its values, and for each of several alike."""
    while what != (shorter := _MEANING.sub("", what)):
        what = shorter
    group, colon, together = what.partition(":")
    group, last = (
        (group, together.split(",")) if colon else (group.rpartition(",")[0], [group.rpartition(",")[2]])
    )
    return [[f"{each},{key}" if each else key for key in last] for each in _several(group)]


def _several(group: str) -> list[str]:
    found = _NUMBERS.match(group)
    if not found or found[2].isdigit():
        return [group]
    numbers: list[int] = []
    for part in re.split("and|,", found[2]):
        first, _, end = part.partition("to")
        numbers += range(int(first), int(end or first) + 1)
    return [f"{found[1]}{number}" for number in numbers]


def _rows(pages: Iterable[Page], documents: list[str]) -> Iterator[_Row]:
    """Read the rows of all tables: a run further left than the one before it begins another."""
    captions = {f"From{_bare(each)}": each for each in documents} | {"Fromnodocument": ""}
    document, row = "", _Row("")
    for page in pages:
        lefts: list[float] = []
        before, skip = 9, 0
        for at, run in enumerate(page.runs):
            if tuple(each.text for each in page.runs[at : at + 3]) == _HEADS:
                yield row
                document = _caption(page.runs[:at], captions, document)
                lefts, skip = _columns(page.runs[at:])
                row, before = _Row(document), 9
            elif run.text in _ENDS:
                lefts = []
            if skip or not lefts:
                skip = max(0, skip - 1)
                continue
            column = max(place for place, left in enumerate(lefts) if not place or left <= run.box.x1 + _BEFORE)
            if not column and run.box.x2 > lefts[1] + _BEFORE:
                lefts = []
                continue
            if column < before:
                yield row
                row = _Row(document)
            row.cells[min(column, 3)] += _bare(run.text)
            before = column
    yield row


def _caption(runs: tuple[Run, ...], captions: Mapping[str, str], document: str) -> str:
    """Find the document that a table is from; one that goes on, on another sheet, has no caption."""
    for count in (1, 2, 3):
        said = _bare("".join(run.text for run in runs[-count:]))
        if said in captions:
            return captions[said]
    return document


def _columns(runs: tuple[Run, ...]) -> tuple[list[float], int]:
    """Find where the columns begin, and how many runs their heads take."""
    last = next(at for at, run in enumerate(runs) if run.text == "Read")
    return [run.box.x1 for run in runs[:4]], last + 1
