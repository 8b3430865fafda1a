"""Faults are planted in a finished PDF with another library; each must be found where it is."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from io import BytesIO

import pikepdf
import pytest

from cardgen.figures.figure import Parts
from cardgen.press.canvas import paint
from cardgen.press.edition import NAMES, EditionName, PaperKind, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import Face, Mark, Side, TextMark
from cardgen.press.sheets import two_up
from cardgen.press.type import width
from cardgen.proof.read_back import check_places
from cardgen.spec.text import DRAWABLE
from tests.press.paper_deck import MIN, deck


@cache
def sides(name: EditionName = "pouch", paper: PaperKind = "iso") -> tuple[Side, ...]:
    return tuple(side for side in lay_out(deck(), load_edition(name, paper)) if isinstance(side, Side))


@cache
def printed(name: EditionName = "pouch", paper: PaperKind = "iso") -> bytes:
    return paint(sides(name, paper), deck(), load_edition(name, paper))


def repainted(page: int, marks: tuple[Mark, ...]) -> bytes:
    """The pouch edition with one page's marks exchanged."""
    changed = [replace(side, marks=marks) if n == page else side for n, side in enumerate(sides())]
    return paint(changed, deck(), load_edition("pouch", "iso"))


def page_of(figure: str) -> int:
    return next(
        number
        for number, side in enumerate(sides())
        if any(isinstance(mark, TextMark) and mark.figure == figure for mark in side.marks)
    )


@pytest.mark.parametrize("paper", ["iso", "ansi"])
@pytest.mark.parametrize("name", NAMES)
def test_a_true_print_reads_back_run_by_run(name: EditionName, paper: PaperKind) -> None:
    assert check_places(printed(name, paper), sides(name, paper), deck()) == ()


def test_two_up_sheets_read_back_too() -> None:
    edition = load_edition("pouch", "iso")
    sheets = two_up(sides(), edition)
    assert check_places(paint(sheets, deck(), edition), sheets, deck()) == ()


def test_a_changed_digit_is_found_at_its_figure() -> None:
    page = page_of(MIN)
    number = deck().figures[MIN].parts.number
    wrong = str(int(number) + 100)
    marks = tuple(
        mark._replace(text=wrong) if isinstance(mark, TextMark) and mark.text == number else mark
        for mark in sides()[page].marks
    )
    found = check_places(repainted(page, marks), sides(), deck())
    assert (found[0].figure, found[0].expected, found[0].found) == (MIN, number, wrong)
    assert (found[0].card, found[0].side) == ("torque", page + 1)
    assert str(found[0]) == f'card torque, page {page + 1}, figure {MIN}: "{number}" expected, "{wrong}" found'


def test_a_print_that_agrees_with_its_record_but_not_with_the_figure_is_found() -> None:
    figure = deck().figures[MIN]
    other = replace(figure, parts=Parts("999", figure.parts.unit, ""))
    found = check_places(printed(), sides(), replace(deck(), figures={**deck().figures, MIN: other}))
    assert {mismatch.figure for mismatch in found} == {MIN}


def test_a_run_of_a_figure_the_deck_has_not_got_is_found() -> None:
    without = {name: figure for name, figure in deck().figures.items() if name != MIN}
    found = check_places(printed(), sides(), replace(deck(), figures=without))
    assert found and {mismatch.expected for mismatch in found} == {"a figure of this deck"}


def test_a_moved_run_is_found() -> None:
    page = page_of(MIN)
    marks = tuple(
        mark._replace(y=mark.y + 40) if isinstance(mark, TextMark) and mark.figure == MIN else mark
        for mark in sides()[page].marks
    )
    assert MIN in {mismatch.figure for mismatch in check_places(repainted(page, marks), sides(), deck())}


def test_a_digit_that_nobody_recorded_is_found() -> None:
    page = page_of(MIN)
    extra = TextMark(200, 300, "7", "bold", 14.5, 9)
    (found,) = check_places(repainted(page, (*sides()[page].marks, extra)), sides(), deck())
    assert (found.side, found.expected, found.found) == (page + 1, "nothing more", "7")


def test_a_lost_page_is_found() -> None:
    with pikepdf.open(BytesIO(printed())) as pdf:
        del pdf.pages[1]
        out = BytesIO()
        pdf.save(out)
    (found,) = check_places(out.getvalue(), sides(), deck())
    assert found.expected == f"{len(sides())} pages"
    assert found.found == f"{len(sides()) - 1} pages"


def test_pages_that_changed_places_are_found() -> None:
    with pikepdf.open(BytesIO(printed())) as pdf:
        pdf.pages.reverse()
        out = BytesIO()
        pdf.save(out)
    assert check_places(out.getvalue(), sides(), deck())


def test_another_size_of_paper_is_found() -> None:
    with pikepdf.open(BytesIO(printed())) as pdf:
        pdf.pages[0].obj.MediaBox = pikepdf.Array([0, 0, 400, 600])
        out = BytesIO()
        pdf.save(out)
    found = check_places(out.getvalue(), sides(), deck())
    assert found[0].expected == "a sheet of 419.5 x 595.3 pt"


def test_an_edited_content_stream_is_found() -> None:
    page = page_of("track.row.3.dial")
    with pikepdf.open(BytesIO(printed())) as pdf:
        stream = pdf.pages[page].Contents
        content = stream.read_bytes()
        # The subset font's codes of the last text shown with two or more glyphs are exchanged.
        texts = list(re.finditer(rb"\((\w{2})\) Tj", content))
        assert texts
        last = texts[-1]
        swapped = last[1][::-1]
        pdf.pages[page].Contents = pdf.make_stream(content[: last.start(1)] + swapped + content[last.end(1) :])
        out = BytesIO()
        pdf.save(out)
    assert content[last.start(1) : last.end(1)] != swapped
    assert check_places(out.getvalue(), sides(), deck())


@pytest.mark.parametrize("pdf", [b"", b"%PDF-1.4\n", printed()[:2000]])
def test_a_damaged_file_is_a_mismatch_and_no_crash(pdf: bytes) -> None:
    (found,) = check_places(pdf, sides(), deck())
    assert found.expected == "a PDF that can be opened"


def test_every_character_that_a_specification_may_hold_reads_back_alone_and_in_a_word() -> None:
    """Also those with no ink between the baseline and half the size, such as the underscore or an accent."""
    edition, side = load_edition("pouch", "iso"), sides()[0]
    characters = sorted(DRAWABLE - {" "})
    marks = []
    for place, character in enumerate(characters):
        face: Face = ("regular", "bold")[place % 2]
        for text, x in ((character, 40.0), (f"torque{character}min", 60.0)):
            y = 30.0 + 22 * (place % 24)
            marks.append((place // 24, TextMark(x, y, text, face, 14.5, width(text, face, 14.5))))
    count = marks[-1][0] + 1
    pages = [
        replace(side, card_id="cover", marks=tuple(mark for page, mark in marks if page == number))
        for number in range(count)
    ]
    assert check_places(paint(pages, deck(), edition), pages, deck()) == ()
