"""The sheet for the second reader: every value as it was typed, with its document and place, and no other.

Each row says what it is in the specification's own keys; value, document and place are looked up by them.
What became of each value is compared in `landed`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from cardgen.proof.meaning.pages import Page, Run, joined
from cardgen.spec.read_check import read_check

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
class Row:
    """One row of the sheet: the document over it; place, what it is, as typed, and on which cards."""

    document: str
    cells: list[str] = field(default_factory=lambda: ["", "", "", ""])

    def bare(self) -> list[str]:
        """Give the cells without blanks, which stand wherever lines end."""
        return list(map(bare, self.cells))


def head_against(pages: Sequence[Page], spec: Mapping[str, Any], text: bytes) -> Iterator[str]:
    """Name what the sheet does not say of whose values they are, or of the check that its reader hands on."""
    name, said = bare(spec["rotor"]["set_id"]), [bare(joined((page,)).text) for page in pages]
    for page, words in zip(pages, said, strict=True):
        if not words.startswith(f"Copiedvaluesof{name}{name}:forreadingagainst"):
            yield f"page {page.number}: it does not say whose values they are"
        if f"sheet{page.number}of{len(said)}" not in words:
            yield f"page {page.number}: it is not numbered {page.number} of {len(said)}"
    if f"Rotor{name},{bare(spec['rotor']['diameter'])}.Somebody" not in _decoded(said[0]):
        yield "its first page does not say the rotor's diameter as it was typed"
    if not said[-1].endswith(f"keepsthisreading:{read_check(text)}"):
        yield "it does not end with the check of this specification"


def values_against(rows: Iterable[Row], spec: Mapping[str, Any]) -> Iterator[str]:
    """Name values that do not stand on the sheet as they were typed, or not at their document and place."""
    wanted, seen = dict(_values(spec)), set[str]()
    for row in rows:
        place, what, shown, _ = row.bare()
        for keys in keys_of(what):
            values = [wanted.get(key) for key in keys]
            seen.update(keys)
            known = [value for value in values if value is not None]
            if len(known) < len(values):
                yield f'"{what}" is no value of the file'
                continue
            text = ";".join(value.text for value in known)
            if text != _decoded(shown):
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
        yield key, Typed(bare(_written(value)), document, bare(place))


def _written(value: Any) -> str:
    if isinstance(value, list):
        return ("/" if any(isinstance(each, str | list) for each in value) else ",").join(map(_written, value))
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def bare(text: str) -> str:
    """Take every blank out of a text."""
    return "".join(text.split())


def _decoded(shown: str) -> str:
    """Put characters back that the type has not got, and that stand by their codes."""
    return _CODE.sub(lambda code: chr(int(code[1], 16)), shown)


def keys_of(what: str) -> list[list[str]]:
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


def rows_of(pages: Iterable[Page], spec: Mapping[str, Any]) -> list[Row]:
    """Read the rows of all tables."""
    return [row for row in _rows(pages, [each["id"] for each in spec.get("documents", ())]) if row.cells[1]]


def _rows(pages: Iterable[Page], documents: list[str]) -> Iterator[Row]:
    """Walk through tables: a run further left than the one before it begins another row."""
    captions = {f"From{bare(each)}": each for each in documents} | {"Fromnodocument": ""}
    document, row = "", Row("")
    for page in pages:
        lefts: list[float] = []
        before, skip = 9, 0
        for at, run in enumerate(page.runs):
            if tuple(each.text for each in page.runs[at : at + 3]) == _HEADS:
                yield row
                document = _caption(page.runs[:at], captions, document)
                lefts, skip = _columns(page.runs[at:])
                row, before = Row(document), 9
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
                row = Row(document)
            row.cells[min(column, 3)] += f"{run.text} "
            before = column
    yield row


def _caption(runs: tuple[Run, ...], captions: Mapping[str, str], document: str) -> str:
    """Find the document that a table is from; one that goes on, on another sheet, has no caption."""
    for count in (1, 2, 3):
        said = bare("".join(run.text for run in runs[-count:]))
        if said in captions:
            return captions[said]
    return document


def _columns(runs: tuple[Run, ...]) -> tuple[list[float], int]:
    """Find where the columns begin, and how many runs their heads take."""
    last = next(at for at, run in enumerate(runs) if run.text == "Read")
    return [run.box.x1 for run in runs[:4]], last + 1
