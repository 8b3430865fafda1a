"""Placing the files of an issued deck again, or some of its cards: from the kept bytes, never a new build."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.issuing.folder import stage
from cardgen.issuing.part_of_deck import OtherCards, PartOfDeck, cards_of, is_part, part_of
from cardgen.register.code import Code
from cardgen.register.currency import UnknownCode, read_bounded
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, trouble, troubles_as_values
from cardgen.register.foreign_file import claimed_cards
from cardgen.register.kept import description
from cardgen.register.kept_pdf import NotAPdfError
from cardgen.register.records_stamp import claimed_stamp, stamp_of
from cardgen.register.rows import DeckRow
from cardgen.register.state import Standing
from cardgen.register.trust import trusted


@dataclass(frozen=True)
class Reprinted:
    """A deck whose files stand in a folder again."""

    standing: Standing
    folder: Path
    part: PartOfDeck | None = None


@dataclass(frozen=True)
class Wanted:
    """Which cards of a deck are wanted, and what for; ``if_there`` are those it may lack."""

    name: str
    cards: tuple[str, ...]
    if_there: tuple[str, ...] = ()


@dataclass(frozen=True)
class NotCurrent:
    """A deck that may not go back to a bench, and where it stands."""

    standing: Standing


@dataclass(frozen=True)
class Gathered:
    """A deck's files as they go out, or a part's: stamped where the deck is not current."""

    standing: Standing
    files: Mapping[str, bytes]
    part: PartOfDeck | None = None


@troubles_as_values
def gather(
    register: Register,
    code: Code,
    today: date,
    *,
    for_records: bool = False,
    wanted: Wanted | None = None,
) -> Gathered | NotCurrent | UnknownCode | OtherCards | RegisterTrouble:
    """Take a deck's kept files out of the register, every byte checked; of some cards their pages alone.

    Files of a deck that is not current are stamped with that and since when, on every page; it is
    refused unless it is wanted for the records.
    """
    with trusted(register, today) as book:
        deck = register.by_code(code)
        if deck is None:
            return UnknownCode(code)
        where = book.standing(deck)
    if where.state != "current" and not for_records:
        return NotCurrent(where)
    files = kept_files(register, deck)
    if isinstance(files, RegisterTrouble):
        return files
    part = _part(register, deck, files, wanted) if wanted else None
    if isinstance(part, OtherCards | RegisterTrouble):
        return part
    placed = _stamped(part.files if part else files, where)
    return placed if isinstance(placed, RegisterTrouble) else Gathered(where, placed, part)


@troubles_as_values
def reprint(
    register: Register,
    code: Code,
    out: Path,
    today: date,
    *,
    for_records: bool = False,
    wanted: Wanted | None = None,
) -> Reprinted | NotCurrent | UnknownCode | OtherCards | RegisterTrouble:
    """Copy a deck's kept files to ``out/<set_id>-r<revision>/``, every byte checked first.

    Where some cards are wanted, their pages alone go to ``out/<set_id>-r<revision>-part-<name>/``.
    See `gather` for a deck that is not current.
    """
    found = gather(register, code, today, for_records=for_records, wanted=wanted)
    if not isinstance(found, Gathered):
        return found
    name = found.standing.deck.folder + (f"-part-{wanted.name}" if wanted else "")
    staged = stage(out, name, found.files)
    if isinstance(staged, RegisterTrouble):
        return staged
    folder = staged.publish()
    if isinstance(folder, RegisterTrouble):
        staged.discard()
        return folder
    return Reprinted(found.standing, folder, found.part)


def _stamped(files: Mapping[str, bytes], where: Standing) -> Mapping[str, bytes] | RegisterTrouble:
    """Stamp the files of a deck that is not current; those of a current one stay as they are."""
    if where.state == "current":
        return files
    stamped = {}
    for file, content in files.items():
        try:
            stamped[file] = stamp_of(file, where).on(content)
        except NotAPdfError as error:
            return _no_pages(
                file, "stamped", error, "keep it as it is: its bytes stay in the register's folder"
            )
    return stamped


def _part(
    register: Register, deck: DeckRow, files: Mapping[str, bytes], wanted: Wanted
) -> PartOfDeck | OtherCards | RegisterTrouble:
    told = description(register, deck)
    if isinstance(told, RegisterTrouble):
        return told
    there = [card for card in wanted.if_there if card in cards_of(told)]
    asked = (*wanted.cards, *there) or wanted.if_there
    try:
        return part_of(files, told, asked, wanted.name)
    except NotAPdfError as error:
        return _no_pages(f"a PDF of {deck.folder}", "parted into cards", error, "reprint the whole deck")


def _no_pages(file: str, what: str, error: NotAPdfError, write: str) -> RegisterTrouble:
    why = f"it is as it was issued, but cannot be {what}: {error}"
    return trouble("damaged", Path(file), why, write)


@dataclass(frozen=True)
class Part:
    """The cards in a file that is a part of a deck, and whether it is stamped for the records."""

    cards: tuple[str, ...]
    for_records: bool


@troubles_as_values
def known_part(register: Register, path: Path, where: Standing) -> Part | RegisterTrouble | None:
    """Tell of a file that was reprinted as a part of a deck, byte for byte; nothing where it was not.

    What the file says of itself is only tried: the part is taken out of the kept files again, stamped again
    where it was for the records, and compared.
    """
    content = read_bounded(path)
    files = kept_files(register, where.deck)
    if isinstance(content, RegisterTrouble):
        return content
    if isinstance(files, RegisterTrouble):
        return files
    cards = claimed_cards(content)
    stamp = claimed_stamp(content)
    if stamp is None:
        return Part(cards, for_records=False) if is_part(content, files, frozenset(cards)) else None
    if where.state == "current" or stamp.code != where.deck.code:
        return None
    stamped = is_part(content, files, frozenset(cards), stamp.on)
    return Part(cards, for_records=True) if stamped else None


def kept_files(register: Register, deck: DeckRow) -> dict[str, bytes] | RegisterTrouble:
    """Read every file of a deck from the store, or say which is missing or damaged."""
    files: dict[str, bytes] = {}
    for row in register.files(deck.id):
        content = register.store.read(row.sha256)
        if isinstance(content, RegisterTrouble):
            return content
        files[row.name] = content
    return files
