"""Where the chain ends: told on every sheet and in every deck, and noted beside the kept files.

With it anybody can find out later whether a register still has that very chain. The note in the store
is written after each commit, so that it never runs ahead of what was entered.
"""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from cardgen.placing import make_folder, place_file
from cardgen.plain_file import read_plain

#: So many characters of a link's hash, 64 bits, stand on paper.
_SHOWN = 16
_LETTERS = "[0-9A-HJKMNP-TV-Z]{4}"
_MARK = re.compile(
    rf"register\s+({_LETTERS}(?:-{_LETTERS}){{3}}),\s+entry\s+(\d{{1,9}}),\s+chain\s+([0-9a-f]{{{_SHOWN}}})"
)
_MOST = 1000


@dataclass(frozen=True)
class Head:
    """The register's identity, how many links its chain has, and the beginning of the last one's hash."""

    identity: str
    links: int
    hash: str

    @classmethod
    def of(cls, identity: str, links: int, digest: str) -> Head:
        """Make a head from the whole hash of a link."""
        return cls(identity, links, digest[:_SHOWN])

    def words(self) -> str:
        """Say it as it stands on a sheet; nothing for a register that has no identity yet."""
        if not self.identity:
            return ""
        return f"register {self.identity}, entry {self.links}, chain {self.hash}"


def told_from(head: Head) -> str:
    """Say which register a sheet was told from, and up to which of its entries."""
    words = head.words()
    return f"Told from {words}." if words else "Told from a register that has no identity yet."


def heads_in(text: str) -> tuple[Head, ...]:
    """Find every head that a text tells, each once."""
    found = (Head(each[1], int(each[2]), each[3]) for each in _MARK.finditer(text))
    return tuple(dict.fromkeys(found))


def note_path(store: Path) -> Path:
    """Where a store's note of the chain's end stands."""
    return store / "head"


def noted(store: Path) -> Head | None:
    """Read the note; nothing where there is none. Raises `OSError`, or `ValueError` for one that is damaged."""
    try:
        text = read_plain(note_path(store), _MOST).decode("ascii")
    except FileNotFoundError:
        # A store of an earlier version, or one in which nothing was entered yet.
        return None
    found = heads_in(text)
    if len(found) != 1 or text != f"{found[0].words()}\n":
        raise ValueError("the note of the chain's end is damaged")
    return found[0]


def note(store: Path, head: Head) -> None:
    """Note the chain's end, where the note is not further on already. What was entered stands without it."""
    # A note that lags lets an old copy pass; one that cannot be written must not undo what is entered.
    with suppress(OSError, ValueError):
        earlier = noted(store)
        if earlier is None or (earlier.identity == head.identity and earlier.links < head.links):
            make_folder(store)
            place_file(note_path(store), f"{head.words()}\n".encode("ascii"))
