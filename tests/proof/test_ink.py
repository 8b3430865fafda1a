"""Hidden digits still read back; their ink does not. Faults are planted with another library."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from io import BytesIO

import pikepdf
import pytest

from cardgen.press.canvas import paint
from cardgen.press.edition import NAMES, EditionName, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import Side, TextMark
from cardgen.press.sheets import two_up
from cardgen.proof.ink import check_ink
from cardgen.proof.read_back import check_places
from tests.press.paper_deck import ISSUED, MAX, deck


@cache
def sides(name: EditionName = "pouch") -> tuple[Side, ...]:
    return tuple(side for side in lay_out(deck(), load_edition(name, "iso")) if isinstance(side, Side))


@cache
def printed(name: EditionName = "pouch") -> bytes:
    return paint(sides(name), deck(), load_edition(name, "iso"))


def place_of(figure: str) -> tuple[int, TextMark]:
    return next(
        (number, mark)
        for number, side in enumerate(sides())
        for mark in side.marks
        if isinstance(mark, TextMark) and mark.figure == figure and mark.text.replace(".", "").isdigit()
    )


def with_content(page: int, before: bytes = b"", after: bytes = b"") -> bytes:
    with pikepdf.open(BytesIO(printed())) as pdf:
        content = pdf.pages[page].Contents.read_bytes()
        pdf.pages[page].Contents = pdf.make_stream(before + b"\n" + content + b"\n" + after)
        out = BytesIO()
        pdf.save(out)
    return out.getvalue()


@pytest.mark.parametrize("name", NAMES)
def test_a_true_print_shows_its_ink(name: EditionName) -> None:
    assert [str(fault) for fault in check_ink(printed(name), sides(name))] == []


def test_white_numbers_on_black_and_sheets_of_two_show_theirs() -> None:
    edition = load_edition("pouch", "iso")
    issued = deck(stamp=ISSUED)
    laid = tuple(side for side in lay_out(issued, edition) if isinstance(side, Side))
    white = [
        mark for side in laid for mark in side.marks if isinstance(mark, TextMark) and mark.tone == "white"
    ]
    assert any(mark.role == "figure" for mark in white)
    sheets = two_up(laid, edition)
    assert check_ink(paint(sheets, issued, edition), sheets) == ()


@pytest.mark.parametrize("figure", [MAX, "track.row.2.dial", "track.max_split"])
def test_one_digit_under_a_white_rectangle_reads_back_but_is_found(figure: str) -> None:
    page, mark = place_of(figure) if figure != "track.max_split" else white_place()
    shade = 0 if mark.tone == "white" else 1
    wide = mark.width / len(mark.text)
    cover = f"{shade} g {mark.x:.2f} {mark.y - 2:.2f} {wide:.2f} {mark.size:.2f} re f".encode()
    pdf = with_content(page, after=cover)
    assert check_places(pdf, sides(), deck()) == ()
    assert [(fault.side, fault.text) for fault in check_ink(pdf, sides())] == [(page + 1, mark.text)]


def white_place() -> tuple[int, TextMark]:
    return next(
        (number, mark)
        for number, side in enumerate(sides())
        for mark in side.marks
        if isinstance(mark, TextMark) and mark.figure == "track.max_split" and mark.tone == "white"
    )


def test_a_clipped_number_reads_back_but_is_found() -> None:
    page, mark = place_of(MAX)
    # The page is clipped half way up the number's digits.
    clip = f"0 {mark.y + 0.3 * mark.size:.2f} 500 700 re W n".encode()
    pdf = with_content(page, before=clip)
    assert check_places(pdf, sides(), deck()) == ()
    assert (page + 1, mark.text) in [(fault.side, fault.text) for fault in check_ink(pdf, sides())]


def test_the_foot_of_a_number_under_a_white_line_is_found() -> None:
    # A twentieth of its size is covered, the stroke at the foot of a 2: without it that may be a 7.
    page, mark = place_of(MAX)
    cover = f"1 g {mark.x:.2f} {mark.y - 1:.2f} {mark.width:.2f} {1 + 0.05 * mark.size:.2f} re f".encode()
    pdf = with_content(page, after=cover)
    assert [(fault.side, fault.text) for fault in check_ink(pdf, sides())] == [(page + 1, mark.text)]


def test_every_missing_page_with_numbers_is_found() -> None:
    with pikepdf.open(BytesIO(printed())) as pdf:
        while len(pdf.pages) > 1:
            del pdf.pages[-1]
        out = BytesIO()
        pdf.save(out)
    numbered = [
        number
        for number, side in enumerate(sides(), start=1)
        if any(isinstance(mark, TextMark) and mark.role == "figure" for mark in side.marks)
    ]
    found = check_ink(out.getvalue(), sides())
    assert [fault.side for fault in found] == numbered
    assert {fault.what for fault in found} == {"this page is missing"}


def test_a_number_off_the_sheet_has_no_place() -> None:
    page, mark = place_of(MAX)
    away = mark._replace(x=sides()[page].width + 20)
    moved = (*sides()[:page], replace(sides()[page], marks=(away,)), *sides()[page + 1 :])
    assert f'"{mark.text}": has no place on this page' in " ".join(map(str, check_ink(printed(), moved)))
