"""The index of a fleet on paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cardgen.deck.card import (
    Block,
    Card,
    Column,
    Items,
    Paragraph,
    Row,
    Runs,
    Said,
    Section,
    Table,
    Words,
    WriteIn,
)
from cardgen.issuing.fleet.index import HEADS, Index
from cardgen.press.edition import PaperKind
from cardgen.press.notice import Notice
from cardgen.press.type import has_glyph
from cardgen.proof.prove import Against, print_notice

#: Columns whose words are other people's, and may break anywhere.
_TOLD = frozenset({"state"})


def print_index(index: Index, paper: PaperKind) -> bytes | Against:
    """Print the index as a PDF, or say what stands against it."""
    card = Card("index", index.title, "", tuple(_sections(index)))
    return print_notice(Notice(card, "Destroy this sheet when the next one is made.", paper))


def _sections(index: Index) -> Iterable[Section]:
    blocks: list[Block] = [Paragraph((Words(says),)) for says in index.says]
    if index.rows:
        heads = tuple(Column(head, strong=head == "code") for head in HEADS)
        blocks.append(Table("rotors", "", heads, tuple(map(_row, index.rows))))
    yield Section("", tuple(blocks))
    for heading, lines, ticked in index.lists():
        yield Section(heading, (_ticked(lines) if ticked else Items(tuple(map(_said, lines))),))


def _row(cells: Sequence[str]) -> Row:
    return Row(
        tuple(
            _said(cell) if head in _TOLD else (Words(cell, strong=head == "code"),)
            for head, cell in zip(HEADS, cells, strict=True)
        )
    )


def _ticked(lines: Iterable[str]) -> Table:
    """List copies with a box each; the head that is repeated on every sheet says what the box is for."""
    rows = tuple(Row((_said(line), (WriteIn("", ""),))) for line in lines)
    return Table("copies", "", (Column("copy"), Column("destroyed")), rows)


def _said(text: str) -> Runs:
    """Quote words in which file names may stand: they break anywhere, and may hold what cannot be drawn."""
    return (Said("".join(each if _drawable(each) else "?" for each in text)),)


def _drawable(character: str) -> bool:
    return has_glyph(character) and (character.isprintable() or character == "\u00a0")
