"""What a second person has to read of a specification, in the order of the papers, and what of it is new.

It is the list that copied.pdf prints. What was read last, word for word, at the same place of the same
edition of the same document, was read then; everything else is read now. That is the text of the newest
reading that there is, or else the text that the deck issued last was read from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

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
from cardgen.spec.problem import Problem
from cardgen.spec.read_check import ReadCheck, read_check


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


def to_read(
    spec: RotorSpec, warnings: tuple[Problem, ...], register: Register | None, text: bytes = b""
) -> ToRead | RegisterTrouble:
    """List what is to be read of a specification. Raises `BuildFault` where a layout is at fault.

    ``text`` is one that may have been read since the last deck; the register tells whether it was.
    """
    deck = build_deck(spec, compute(spec), warnings, Stamp())
    items = tuple(_items(deck))
    last = _last_read(register, spec.rotor.set_id, text) if register is not None else None
    if last is None or isinstance(last, RegisterTrouble):
        return ToRead(check_of(deck), items) if last is None else last
    reading, text, issued = last
    loaded = load_bytes(text, "the deck before", issued)
    if loaded.spec is None:
        # Its rules are no longer those of this version: everything is read again.
        return ToRead(check_of(deck), items)
    old = set(_items(build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())))
    again = {each.document for each in items if each.document and each.place == "" and each not in old}
    new = tuple(each for each in items if each not in old or each.document in again)
    if not new and reading.check != check_of(deck):
        # Something changed that no row tells: nothing is taken as read.
        return ToRead(check_of(deck), items)
    return ToRead(check_of(deck), new, tuple(each for each in items if each not in new), reading)


def _last_read(
    register: Register, set_id: str, since: bytes
) -> tuple[ReadingRow, bytes, date] | RegisterTrouble | None:
    """Find the newest reading and the very text that was read; nothing where there is none."""
    deck = register.newest(set_id)
    reading = register.reading_of(deck.id) if deck is not None else None
    later = _read_since(register, set_id, since)
    if later is not None and (reading is None or later.id > reading.id):
        return later, since, later.day
    if deck is None or reading is None:
        return None
    text = register.store.read(deck.spec_sha256)
    if isinstance(text, RegisterTrouble):
        return text
    return (reading, text, deck.issued) if read_check(text) == reading.check else None


def _read_since(register: Register, set_id: str, text: bytes) -> ReadingRow | None:
    try:
        readings = register.readings(read_check(text)) if text else ()
    except ValueError:
        # It is no specification any more.
        return None
    return next((each for each in reversed(readings) if each.set_id == set_id), None)


def _items(deck: Deck) -> Iterator[ReadItem]:
    yield from map(_item, copied_values(deck))
    for title, lines in doubts_of(deck):
        yield from (ReadItem(title, "", "", "", line, "") for line in lines)


def _item(value: CopiedValue) -> ReadItem:
    group = f"From {value.document}" if value.document else "From no document"
    return ReadItem(group, value.document, value.place, value.what, value.typed, value.became)
