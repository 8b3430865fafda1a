"""Sheets, lettering, boxes and lines, measured in the finished files and judged by published sizes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from io import BytesIO
from math import atan, degrees
from pathlib import Path

import pikepdf
import pytest
from fontTools.ttLib import TTFont

from cardgen.deck.card import Value, WriteIn
from cardgen.deck.shown import shown_on
from cardgen.deck.walk import walk
from cardgen.press.edition import NAMES, Edition, EditionName, PaperKind, load_edition
from cardgen.press.marks import RectMark, TextMark
from cardgen.press.type import font_file
from tests.outside.pages import Sheets, sheets
from tests.press.samples import SAMPLES

MM = 25.4 / 72
each_sample = pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
each_edition = pytest.mark.parametrize("name", NAMES)


def a_size(number: int) -> tuple[int, int]:
    """Sheet An of ISO 216: A0 is 841 x 1189 mm; each next one is the longer side halved and cut down."""
    wide, high = 841, 1189
    for _ in range(number):
        wide, high = high // 2, wide
    return wide, high


@pytest.mark.parametrize(("name", "number"), [("pouch", 5), ("handout", 4), ("large", 4), ("wall", 3)])
def test_iso_sheets_are_halvings_of_a_square_metre(name: EditionName, number: int) -> None:
    paper = load_edition(name, "iso").paper
    assert (round(paper.width * MM, 3), round(paper.height * MM, 3)) == a_size(number)
    assert paper.name == f"A{number}"


@pytest.mark.parametrize(
    ("name", "size"), [("pouch", (5.5, 8.5)), ("handout", (8.5, 11)), ("large", (8.5, 11)), ("wall", (11, 17))]
)
def test_ansi_sheets_are_letter_tabloid_and_half_a_letter(name: EditionName, size: tuple[float, float]) -> None:
    # ANSI/ASME Y14.1: A is 8.5 x 11 in, B 11 x 17 in; half of A is 5.5 x 8.5 in.
    paper = load_edition(name, "ansi").paper
    assert (paper.width / 72, paper.height / 72) == pytest.approx(size)


@each_sample
@each_edition
def test_every_page_is_its_editions_sheet_and_no_other_box_differs(path: Path, name: EditionName) -> None:
    printed = sheets(path, name)
    paper = printed.edition.paper
    with pikepdf.open(BytesIO(printed.pdf)) as opened:
        assert len(opened.pages) == len(printed.sides)
        for page in opened.pages:
            for box in (page.mediabox, page.cropbox, page.trimbox):
                edges = [float(edge) for edge in box]
                assert edges == pytest.approx([0, 0, paper.width, paper.height], abs=0.01)


@cache
def capitals(face: str) -> float:
    """Height of capitals in ems, as the font's own OS/2 table has it."""
    font = TTFont(font_file("bold" if face == "bold" else "regular"))
    assert {font["glyf"][letter].yMax for letter in "HEI"} == {font["OS/2"].sCapHeight}
    return float(font["OS/2"].sCapHeight / font["head"].unitsPerEm)


def arc(mark: TextMark, distance: float) -> float:
    """Minutes of arc of a run's capitals from a distance in points."""
    return degrees(atan(capitals(mark.face) * mark.size / distance)) * 60


def _distance(mark: TextMark, edition: Edition) -> float:
    """From where a run must be readable: diameter, titles, halts and main numbers from afar, else near by."""
    is_far = mark.size >= edition.type.number or mark.text in {"STOP", "HOLD"}
    return edition.far if is_far else edition.near


@each_sample
@each_edition
def test_capitals_are_at_least_fifteen_minutes_of_arc_high(path: Path, name: EditionName) -> None:
    """NUREG-0700 revision 3, 11.4.1.5-1: at least 15 minutes."""
    printed = sheets(path, name)
    low = {
        (mark.text, round(arc(mark, distance), 1))
        for side in printed.sides
        for mark in side.marks
        if isinstance(mark, TextMark)
        and mark.role != "watermark"
        and arc(mark, distance := _distance(mark, printed.edition)) < 15.0
    }
    assert not low


@each_sample
@each_edition
def test_the_numbers_of_main_tables_and_the_words_of_halts_are_readable_from_afar(
    path: Path, name: EditionName
) -> None:
    """What both hands work by is a two-hundredth of the distance high: common practice, no source."""
    printed = sheets(path, name)
    main = _main_numbers(printed)
    least = printed.edition.far / 200 if printed.edition.hand != "lines" else 0.0
    marks = [mark for side in printed.sides for mark in side.marks if isinstance(mark, TextMark)]
    halts = [mark for mark in marks if mark.text in {"STOP", "HOLD"} and mark.face == "bold"]
    largest = {
        figure: max(mark.size for mark in marks if mark.figure == figure)
        for figure in main & {mark.figure for mark in marks}
    }
    assert halts or not printed.sides
    assert all(capitals(mark.face) * mark.size >= least - 0.05 for mark in halts)
    assert all(capitals("bold") * size >= least - 0.05 for size in largest.values())


def _main_numbers(printed: Sheets) -> set[str]:
    """The figures in the columns of main tables that hold numbers alone."""
    sections = (each for card in printed.deck.cards for each in shown_on(card, printed.edition.name))
    cells = (place for place in walk(each for each in sections if each.role == "numbers") if place.row)
    return {
        run.figure.id
        for place in cells
        for run in place.says
        if isinstance(run, Value) and run.show == "number" and place.at and place.row and not place.row.stop
    }


def _strokes(pdf: bytes) -> Iterator[tuple[float, list[tuple[float, float]]]]:
    """Every stroked path of a file: its line weight, and the sizes of the rectangles in it, in points."""
    with pikepdf.open(BytesIO(pdf)) as opened:
        for page in opened.pages:
            weight, boxes = 1.0, []
            for instruction in pikepdf.parse_content_stream(page):
                operator = str(instruction.operator)
                numbers = [float(each) for each in instruction.operands] if operator in {"w", "re"} else []
                if operator == "w":
                    weight = numbers[0]
                elif operator == "re":
                    boxes.append((abs(numbers[2]), abs(numbers[3])))
                elif operator in {"S", "s", "B", "b", "B*", "b*"}:
                    yield weight, boxes
                    boxes = []
                elif operator in {"f", "F", "f*", "n"}:
                    boxes = []


@each_sample
@each_edition
def test_no_line_is_thinner_than_half_a_point(path: Path, name: EditionName) -> None:
    # Common practice of printing: a quarter of a point is a hairline; a copy keeps half a point.
    weights = {weight for weight, _ in _strokes(sheets(path, name).pdf)}
    assert min(weights) >= 0.5
    assert len(weights) >= 3


@each_sample
@pytest.mark.parametrize("name", ["pouch", "large"])
def test_boxes_are_large_enough_for_a_gloved_tick_and_a_grease_pencil(path: Path, name: EditionName) -> None:
    """A tick 5 mm square; to write in, 7 to 9 mm high, 24 mm wide for four digits, 12 mm for a letter or two.

    Common practice, no source.
    """
    printed = sheets(path, name)
    sizes = [
        ((wide + weight) * MM, (high + weight) * MM)
        for weight, boxes in _strokes(printed.pdf)
        for wide, high in boxes
        if weight == pytest.approx(1.0, abs=0.001)
    ]
    ticks = [wide for wide, high in sizes if wide == pytest.approx(high, abs=0.02)]
    assert len(ticks) > 20
    assert min(ticks) >= 4.99
    values = [wide for wide, high in sizes if 6.99 <= high <= 9.01 and wide > 1.2 * high]
    for digits in (4, 5, 6):
        asked = sum(1 for box in _labelled(printed) if digits <= box.digits < 20)
        assert sum(1 for wide in values if wide >= 6 * digits - 0.02) >= asked


@each_sample
@pytest.mark.parametrize("name", ["wall", "handout"])
def test_nothing_is_ticked_where_nobody_can_write(path: Path, name: EditionName) -> None:
    marks = [mark for side in sheets(path, name).sides for mark in side.marks]
    squares = [
        mark
        for mark in marks
        if isinstance(mark, RectMark)
        and not mark.fill
        and abs(mark.rect.x2 - mark.rect.x1 - mark.rect.y2 + mark.rect.y1) < 0.01
    ]
    assert marks and not squares


def _labelled(printed: Sheets) -> Iterator[WriteIn]:
    """The boxes to write in that have a line of their own, on the cards of an edition."""
    ids = {side.card_id for side in printed.sides}
    for card in (card for card in printed.deck.cards if card.id in ids):
        for place in walk(shown_on(card, printed.edition.name)):
            if place.box is not None and place.row is None:
                yield place.box


_PAPERS: list[PaperKind] = ["iso", "ansi"]


@each_edition
@pytest.mark.parametrize("paper", _PAPERS)
def test_print_keeps_away_from_trim_and_holes(name: EditionName, paper: PaperKind) -> None:
    """ISO 838: holes of 6 mm, 80 mm apart, their middles 12 mm from the edge. Lamination: common practice."""
    edition = load_edition(name, paper)
    if edition.holes:
        assert edition.holes.spacing * MM == pytest.approx(80)
        assert edition.holes.from_edge * MM == pytest.approx(12)
        margin = edition.margins.left if edition.holes.edge == "left" else edition.margins.top
        assert margin * MM >= 12 + 3 + 5
    assert (
        min(edition.margins.top, edition.margins.right, edition.margins.bottom, edition.margins.left) * MM >= 8
    )
