"""The register's sheet on paper, for a hangar without a signal."""

from __future__ import annotations

from cardgen.deck.card import Block, Card, Column, Paragraph, Row, Said, Section, Stop, Table, Words
from cardgen.press.edition import PaperKind
from cardgen.press.frame import day
from cardgen.press.notice import Notice
from cardgen.proof.prove import Against, print_notice
from cardgen.register.head import told_from
from cardgen.register.listing import SHEET_WORDS, Sheet, SheetRow

_HEADS = ("Rotor", "Diameter", "Rev.", "Code", "Issued", "Use until", "Copies")


def print_register_sheet(sheet: Sheet, paper: PaperKind) -> bytes | Against:
    """Print the sheet as a PDF, or say what stands against it."""
    rows, today = sheet.rows, sheet.today
    compare, newest = SHEET_WORDS
    blocks: list[Block] = [
        Paragraph((Words(compare),)),
        Stop((Words(newest),)),
        Paragraph((Words(told_from(sheet.head)),)),
    ]
    if rows:
        heads = tuple(Column(head, strong=head == "Code") for head in _HEADS)
        blocks.append(Table("decks", "", heads, tuple(map(_row, rows))))
    else:
        blocks.append(Paragraph((Words("No deck has been issued."),)))
    card = Card("register", f"Current bench cards on {day(today)}", "", (Section("", tuple(blocks)),))
    return print_notice(Notice(card, f"looked up on {day(today)}", paper))


def _row(row: SheetRow) -> Row:
    deck = row.standing.deck
    # Names, codes and dates are the program's own: they never part inside a word, as a place may.
    known = (deck.set_id, row.diameter.replace(" ", "\u00a0") or "not known", str(deck.revision), row.code)
    days = (day(deck.issued), day(deck.use_until))
    cells = tuple(
        (Words(cell, strong=head == "Code"),) for cell, head in zip((*known, *days), _HEADS, strict=False)
    )
    return Row((*cells, (Said("; ".join(row.notes()) or "none listed"),)))
