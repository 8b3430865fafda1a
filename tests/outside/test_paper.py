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
from cardgen.deck.diagram import Label
from cardgen.deck.shown import shown_on
from cardgen.deck.walk import Place, walk
from cardgen.press.edition import NAMES, Edition, EditionName, PaperKind, load_edition
from cardgen.press.marks import Side, TextMark
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


@pytest.mark.parametrize(("name", "number"), [("pouch", 5), ("handout", 4), ("wall", 3)])
def test_iso_sheets_are_halvings_of_a_square_metre(name: EditionName, number: int) -> None:
    paper = load_edition(name, "iso").paper
    assert (round(paper.width * MM, 3), round(paper.height * MM, 3)) == a_size(number)
    assert paper.name == f"A{number}"


@pytest.mark.parametrize(("name", "size"), [("pouch", (5.5, 8.5)), ("handout", (8.5, 11)), ("wall", (11, 17))])
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


#: A card taken into the hand or stepped up to: common practice, no source.
IN_HAND = 400 / MM


def _distance(mark: TextMark, side: Side, edition: Edition) -> float:
    """From where a run must be readable.

    The work itself from the edition's reading distance. Heads, small print and the lettering of
    drawings from its nearer one. What is looked up, not worked by, in the hand: the frame, the letter
    behind a number that names its source, what a number was before.
    """
    if mark.role == "was" or (mark.role == "frame" and mark.size <= edition.sizes.frame):
        return min(IN_HAND, edition.label_distance)
    if mark.role == "figure" and len(mark.text) == 1 and mark.text.isalpha() and mark.size < edition.sizes.head:
        return min(IN_HAND, edition.label_distance)
    if mark.text in {"M", "K", "R", "C", "L", "G"} and mark.face == "regular":
        return min(IN_HAND, edition.label_distance)
    at_the_work = min(edition.sizes.body, edition.sizes.table)
    if mark.role == "label" or mark.size < at_the_work:
        return edition.label_distance
    return edition.reading_distance


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
        and arc(mark, distance := _distance(mark, side, printed.edition)) < 15.0
    }
    assert not low


@each_sample
@each_edition
def test_numbers_steps_and_safety_words_are_readable_from_the_work(path: Path, name: EditionName) -> None:
    """What a hand works by is never lettering for a nearer eye: each number in bold stands in full size."""
    printed = sheets(path, name)
    safety = {"WARNING", "CAUTION", "NOTE", "STOP"}
    for side in printed.sides:
        for mark in side.marks:
            if not isinstance(mark, TextMark):
                continue
            in_drawing = mark.role == "label" or (mark.role == "figure" and mark.text in _drawn(printed, side))
            works = mark.role == "step" or mark.text.split(" ")[0] in safety
            if (works or (mark.role == "figure" and mark.face == "bold")) and not in_drawing:
                small = _limits(printed, side)
                assert arc(mark, printed.edition.reading_distance) >= 15.0 or mark.figure in small, mark


def _drawn(printed: Sheets, side: Side) -> set[str]:
    diagrams = (place.diagram for place in walk(printed.card(side).sections) if place.diagram)
    shapes = (shape for diagram in diagrams for shape in diagram.shapes)
    return {shape.text for shape in shapes if isinstance(shape, Label)}


def _limits(printed: Sheets, side: Side) -> set[str]:
    """Figures that stand, once more, in the small print beside a box to write in or in a reason."""
    places = (place for place in walk(printed.card(side).sections) if place.what == "why" or _has_a_line(place))
    return {run.figure.id for place in places for run in place.says if isinstance(run, Value)}


def _has_a_line(place: Place) -> bool:
    """Whether a place is a box with a line of its own, not in a table."""
    return place.box is not None and place.row is None


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
@each_edition
def test_boxes_are_large_enough_for_a_gloved_tick_and_a_grease_pencil(path: Path, name: EditionName) -> None:
    """A tick 8 mm square; to write in, 10 mm high and 25 mm wide for four digits, 12.5 mm for a letter or two.

    Common practice, no source.
    """
    printed = sheets(path, name)
    sizes = [
        ((wide + weight) * MM, (high + weight) * MM)
        for weight, boxes in _strokes(printed.pdf)
        for wide, high in boxes
    ]
    ticks = [size for size in sizes if size == pytest.approx((8, 8), abs=0.01)]
    values = [wide for wide, high in sizes if high == pytest.approx(10, abs=0.01)]
    assert len(ticks) > 20
    assert min(values) > 12.49
    for digits in (4, 5, 6):
        asked = sum(1 for box in _labelled(printed) if box.digits >= digits)
        assert sum(1 for wide in values if wide > 6.249 * digits) >= asked


def _labelled(printed: Sheets) -> Iterator[WriteIn]:
    """The boxes to write in that have a line of their own, on the cards of an edition."""
    ids = {side.card_id for side in printed.sides}
    for card in (card for card in printed.deck.cards if card.id in ids):
        for place in walk(shown_on(card, printed.edition.name)):
            if place.box and _has_a_line(place):
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
