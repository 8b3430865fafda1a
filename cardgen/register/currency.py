"""Whether a card is current, asked with its code or with the printed file.

A file is known by the hash of its bytes and by nothing it says about itself. Only where the hash
is unknown are its pages searched for a code, to tell an altered file from a foreign one.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.plain_file import NotPlainError, read_plain
from cardgen.register.code import Code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, trouble, trouble_of_system, troubles_as_values
from cardgen.register.foreign_file import claimed_codes
from cardgen.register.kept_pdf import NotAPdfError
from cardgen.register.records_stamp import claimed_stamp
from cardgen.register.state import Standing
from cardgen.register.trust import trusted
from cardgen.spec.canonical import sha256

LARGEST_FILE = 64 << 20


@dataclass(frozen=True)
class UnknownCode:
    """A code that is well formed, but that no deck here has; or a file that names none.

    ``cut_short`` says why such a file was not searched to its end; empty where it was.
    """

    asked: str
    cut_short: str = ""


@dataclass(frozen=True)
class Altered:
    """A file that names a deck of this register without being one of its files, byte for byte."""

    file: str
    claims: Standing


@dataclass(frozen=True)
class ForRecords:
    """A file of a deck out of use, stamped when it was placed again for the records, and nothing else."""

    file: str
    standing: Standing


@troubles_as_values
def verify_code(register: Register, code: Code, today: date) -> Standing | UnknownCode | RegisterTrouble:
    """Tell where the deck with this code stands."""
    with trusted(register, today) as book:
        deck = register.by_code(code)
        return UnknownCode(code) if deck is None else book.standing(deck, read_files=True)


@troubles_as_values
def verify_file(
    register: Register, path: Path, today: date
) -> Standing | ForRecords | Altered | UnknownCode | RegisterTrouble:
    """Tell where the deck of an issued file stands, or that the file is not one that was issued."""
    content = read_bounded(path)
    if isinstance(content, RegisterTrouble):
        return content
    with trusted(register, today) as book:
        deck = register.by_file(sha256(content))
        if deck is not None:
            return book.standing(deck, read_files=True)
    claims = claimed_codes(content)
    for code in claims.codes:
        claimed = verify_code(register, code, today)
        if isinstance(claimed, RegisterTrouble):
            return claimed
        if isinstance(claimed, Standing):
            if _is_for_records(register, content, claimed):
                return ForRecords(str(path), claimed)
            return Altered(str(path), claimed)
    return UnknownCode(str(path), claims.cut_short)


def _is_for_records(register: Register, content: bytes, where: Standing) -> bool:
    """Whether a file is one of this deck's, stamped: the kept file is stamped again, and compared."""
    stamp = claimed_stamp(content)
    if stamp is None or where.state == "current" or stamp.code != where.deck.code:
        return False
    for file in register.files(where.deck.id):
        if file.name == stamp.file:
            kept = register.store.read(file.sha256)
            # A file that cannot be stamped never was.
            with suppress(NotAPdfError):
                return isinstance(kept, bytes) and stamp.on(kept) == content
    return False


def read_bounded(path: Path) -> bytes | RegisterTrouble:
    """Read a plain file of reasonable size; pipes, devices and folders are not waited for."""
    try:
        content = read_plain(path, LARGEST_FILE)
    except (NotPlainError, IsADirectoryError):
        return trouble("missing", path, "this is not a file", "the path of a printed file, or a code")
    except FileNotFoundError:
        return trouble("missing", path, "there is no such file", "the path of a printed file, or a code")
    except OSError as error:
        return trouble_of_system(error, path)
    if len(content) > LARGEST_FILE:
        why = "the file is larger than any deck this program makes"
        return trouble("input/output", path, why, "the printed file as it was issued, or the code from a card")
    return content
