"""Sheets that are no card of a deck: printed and proved as cards are, or not given at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from cardgen.deck.card import Block, Card, Drawing, Items, Paragraph, Said, Section, Step, Steps, Value, Words
from cardgen.deck.diagram import Diagram, Label, Line
from cardgen.press.canvas import paint_bare
from cardgen.press.edition import PaperKind
from cardgen.press.marks import Side, TextMark
from cardgen.press.notice import Notice
from cardgen.proof.prove import Against, print_notice
from tests.press.paper_deck import ISSUED, MIN, deck


def notice(*blocks: Block, paper: PaperKind = "iso") -> Notice:
    return Notice(Card("list", "A list of the hangar", "", (Section("", blocks),)), "looked up today", paper)


def texts(pdf: bytes | Against) -> list[str]:
    assert isinstance(pdf, bytes), pdf
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf), strict=True).pages]


@pytest.mark.parametrize(("paper", "size"), [("iso", (210, 297)), ("ansi", (215.9, 279.4))])
def test_every_sheet_has_the_title_the_foot_and_its_number(paper: PaperKind, size: tuple[float, float]) -> None:
    lines = tuple((Words(f"Look at rotor {number}."),) for number in range(90))
    pdf = print_notice(notice(Items(lines), paper=paper))
    sheets = texts(pdf)
    assert len(sheets) > 1
    for number, sheet in enumerate(sheets, start=1):
        assert "A list of the hangar" in sheet
        assert "looked up today" in sheet
        assert f"sheet {number} of {len(sheets)}" in sheet
    assert isinstance(pdf, bytes)
    page = PdfReader(BytesIO(pdf)).pages[0].mediabox
    assert [float(side) / 72 * 25.4 for side in (page.width, page.height)] == pytest.approx(size, abs=0.5)


def test_beside_a_deck_it_stands_in_the_frame_of_that_deck_s_cards_and_shows_its_figures() -> None:
    of = deck(stamp=ISSUED)
    card = Card("next", "For one run", "Log", (Section("", (Paragraph((Value(of.figures[MIN]),)),)),))
    (sheet,) = texts(print_notice(Notice(card, "for one run, then destroyed", deck=of)))
    assert ISSUED.code in sheet
    assert of.spec.blades.serial_a in sheet
    assert "for one run, then destroyed" in sheet
    assert of.figures[MIN].parts.number in sheet


def test_a_figure_of_no_deck_stops_it() -> None:
    found = print_notice(notice(Paragraph((Value(deck().figures[MIN]),))))
    assert isinstance(found, Against)
    assert found.kind == "proof"


def test_what_does_not_fit_is_told() -> None:
    found = print_notice(notice(Steps((Step(1, (Words("W" * 90),)),))))
    assert isinstance(found, Against)
    assert found.kind == "fit"
    assert "WWW" in found.lines[0]


def test_lettering_that_a_line_runs_through_stops_it() -> None:
    shapes = (Label(80, 30, "limit"), Line(10, 31, 150, 31))
    found = print_notice(notice(Drawing(Diagram("chart", 160, 60, "Chart", "Words.", shapes))))
    assert isinstance(found, Against)
    assert any("is crossed by a line" in line for line in found.lines)


def test_paper_that_says_something_else_stops_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def slipped(sides: Sequence[Side], title: str = "") -> bytes:
        (side,) = sides
        marks = tuple(
            mark._replace(text="8TK2") if isinstance(mark, TextMark) and mark.text == "7TK2" else mark
            for mark in side.marks
        )
        return paint_bare([replace(side, marks=marks)], title)

    monkeypatch.setattr("cardgen.proof.prove.paint_bare", slipped)
    found = print_notice(notice(Paragraph((Said("7TK2"),))))
    assert isinstance(found, Against)
    assert any('"7TK2" expected, "8TK2" found' in line for line in found.lines)
