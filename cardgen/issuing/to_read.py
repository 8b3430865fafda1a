"""What a second person has to read of a specification, in the order of the papers, and what of it is new.

It is the list that copied.pdf prints. What was read last, for the deck issued last or since, is not read
again where the same key says the same, word for word, at the same place of the same edition of the same
document, of the same bolt; everything else is read now. So is what was taken out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeAlias

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck, Stamp
from cardgen.deck.copied import check_of, doubts_of
from cardgen.deck.copied_values import CopiedValue, copied_values
from cardgen.figures import compute
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.rows import ReadingRow
from cardgen.spec.load import load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path, Problem
from cardgen.spec.read_check import ReadCheck, read_check

#: The heading of what the file said when it was read and says no more.
_GONE = "Taken out since: right where the papers do not say it"
#: What tells one block of a list from another.
_WHICH = ("id", "where", "stations", "places", "name", "blade", "edition", "place")


@dataclass(frozen=True)
class ReadItem:
    """One thing to read: where it stands, what it is, what was typed, on which cards it is.

    ``document`` is empty for what no document gives; ``group`` is its heading.
    """

    group: str
    document: str
    place: str
    what: str
    typed: str
    became: str


@dataclass(frozen=True)
class ToRead:
    """Everything to be read: ``new`` now, ``known`` was read before, as ``before`` tells."""

    check: ReadCheck
    new: tuple[ReadItem, ...]
    known: tuple[ReadItem, ...] = ()
    before: ReadingRow | None = None


#: What was read of one key: where it stands, what was typed, and of which bolt.
_Fact: TypeAlias = tuple[str, str, Path, str, str]


def to_read(
    spec: RotorSpec, warnings: tuple[Problem, ...], register: Register | None, read_since: bytes = b""
) -> ToRead | RegisterTrouble:
    """List what is to be read of a specification. Raises `BuildFault` where a layout is at fault.

    ``read_since`` is the text that was read last, where it was kept; it counts only where the register
    holds a reading with its check, entered after that of the newest deck.
    """
    deck = build_deck(spec, compute(spec), warnings, Stamp())
    everything = ToRead(check_of(deck), tuple(_items(deck)))
    last = _last_read(register, spec.rotor.set_id, read_since) if register is not None else None
    if last is None or isinstance(last, RegisterTrouble):
        return everything if last is None else last
    reading, text, day = last
    loaded = load_bytes(text, "what was read before", day)
    if loaded.spec is None:
        # Its rules are no longer those of this version: everything is read again.
        return everything
    return _since(deck, build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp()), reading)


def _since(deck: Deck, before: Deck, reading: ReadingRow) -> ToRead:
    rows, old_rows = copied_values(deck), copied_values(before)
    facts, old = (
        {fact for row in each for fact in _facts(of, row)} for of, each in ((deck, rows), (before, old_rows))
    )
    changed = [not set(_facts(deck, row)) <= old for row in rows]
    # Another edition of a document may say anything else, too.
    again = {row.document for row, is_new in zip(rows, changed, strict=True) if is_new and not row.place}
    new: list[ReadItem] = []
    known: list[ReadItem] = []
    for row, is_new in zip(rows, changed, strict=True):
        (new if is_new or row.document in again - {""} else known).append(_item(row))
    keys = {fact[2] for fact in facts}
    new += [_item(row, _GONE) for row in old_rows if not keys.issuperset(row.paths)]
    doubts, old_doubts = tuple(_doubts(deck)), set(_doubts(before))
    new += [each for each in doubts if each not in old_doubts]
    known += [each for each in doubts if each in old_doubts]
    if not new and reading.check != check_of(deck):
        # Something changed that no row tells: nothing is taken as read.
        return ToRead(check_of(deck), (*known,))
    return ToRead(check_of(deck), tuple(new), tuple(known), reading)


def _facts(deck: Deck, row: CopiedValue) -> Iterator[_Fact]:
    for path in row.paths:
        value: Any = deck.spec.table
        for part in path:
            value = value[part]
        yield row.document, row.place, path, repr(value), _owner(deck.spec, path)


def _owner(spec: RotorSpec, path: Path) -> str:
    """Tell what a value of a list belongs to: the same number in another bolt's block was not read."""
    if len(path) < 3 or not isinstance(path[1], int):
        return ""
    block = spec.table[str(path[0])][path[1]]
    return repr([block.get(key) for key in _WHICH]) if isinstance(block, Mapping) else ""


def _last_read(
    register: Register, set_id: str, since: bytes
) -> tuple[ReadingRow, bytes, date] | RegisterTrouble | None:
    """Find the newest reading and the very text that was read; nothing where there is none."""
    issued = _issued_on(register, set_id)
    if isinstance(issued, RegisterTrouble) or not since:
        return issued
    try:
        kept = [each for each in register.readings(read_check(since)) if each.set_id == set_id]
    except ValueError:
        return issued
    if not kept or (issued is not None and kept[-1].id <= issued[0].id):
        return issued
    return kept[-1], since, kept[-1].day


def _issued_on(register: Register, set_id: str) -> tuple[ReadingRow, bytes, date] | RegisterTrouble | None:
    deck = register.newest(set_id)
    reading = register.reading_of(deck.id) if deck is not None else None
    if deck is None or reading is None:
        return None
    text = register.store.read(deck.spec_sha256)
    if isinstance(text, RegisterTrouble):
        return text
    return (reading, text, deck.issued) if read_check(text) == reading.check else None


def _items(deck: Deck) -> Iterator[ReadItem]:
    yield from map(_item, copied_values(deck))
    yield from _doubts(deck)


def _doubts(deck: Deck) -> Iterator[ReadItem]:
    for title, lines in doubts_of(deck):
        yield from (ReadItem(title, "", "", "", line, "") for line in lines)


def _item(value: CopiedValue, group: str = "") -> ReadItem:
    group = group or (f"From {value.document}" if value.document else "From no document")
    return ReadItem(group, value.document, value.place, value.what, value.typed, value.became)
