"""Placing the files of an issued deck again: the kept bytes, never a new build."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.issuing.folder import stage
from cardgen.register.code import Code
from cardgen.register.currency import UnknownCode
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.rows import DeckRow
from cardgen.register.state import Standing, standing


@dataclass(frozen=True)
class Reprinted:
    """A deck whose files stand in a folder again."""

    standing: Standing
    folder: Path


@dataclass(frozen=True)
class NotCurrent:
    """A deck that may not go back to a bench, and where it stands."""

    standing: Standing


@troubles_as_values
def reprint(
    register: Register, code: Code, out: Path, today: date, *, for_records: bool = False
) -> Reprinted | NotCurrent | UnknownCode | RegisterTrouble:
    """Copy a deck's kept files to ``out/<set_id>-r<revision>/``, every byte checked first.

    A deck that is not current is refused unless it is wanted for the records.
    """
    deck = register.by_code(code)
    if deck is None:
        return UnknownCode(code)
    register.confirm(deck)
    where = standing(register, deck, today)
    if where.state != "current" and not for_records:
        return NotCurrent(where)
    files = kept_files(register, deck)
    if isinstance(files, RegisterTrouble):
        return files
    staged = stage(out, deck.folder, files)
    if isinstance(staged, RegisterTrouble):
        return staged
    folder = staged.publish()
    if isinstance(folder, RegisterTrouble):
        staged.discard()
        return folder
    return Reprinted(where, folder)


def kept_files(register: Register, deck: DeckRow) -> dict[str, bytes] | RegisterTrouble:
    """Read every file of a deck from the store, or say which is missing or damaged."""
    files: dict[str, bytes] = {}
    for row in register.files(deck.id):
        content = register.store.read(row.sha256)
        if isinstance(content, RegisterTrouble):
            return content
        files[row.name] = content
    return files
