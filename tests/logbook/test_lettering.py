"""A chart's lettering stands free of discs, of lines and of other lettering, whatever was measured.

Widths are taken from the embedded type by fontTools, a general-purpose library.
"""

from __future__ import annotations

import random
from importlib.resources import files
from itertools import combinations

import pytest
from fontTools.ttLib import TTFont

from cardgen.deck.diagram import Disc, DrawnShape, Label, Line
from cardgen.logbook.charts import in_short
from cardgen.logbook.lettering import ChartPart, Choice, around, lettered

WIDE, HIGH = 160.0, 96.0
_FOLDER = files("fontpkg_atkinson_hyperlegible") / "files"
_TYPES = {
    bold: TTFont(str(_FOLDER / f"AtkinsonHyperlegible-{face}.ttf"))
    for bold, face in ((True, "Bold"), (False, "Regular"))
}


def box(label: Label) -> tuple[float, float, float, float]:
    font = _TYPES[label.bold]
    glyphs, advances = font.getBestCmap(), font["hmtx"]
    ems = sum(advances[glyphs[ord(character)]][0] for character in label.text) / font["head"].unitsPerEm
    wide = ems * label.size
    left = {"start": label.x, "middle": label.x - wide / 2, "end": label.x - wide}[label.anchor]
    return left, label.y - 0.2 * label.size, left + wide, label.y + 0.7 * label.size


def meet(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def runs_through(line: Line, space: tuple[float, ...]) -> bool:
    """Walk along a line in steps of a fiftieth of a millimetre at most."""
    steps = 8000
    for step in range(steps + 1):
        x = line.x1 + (line.x2 - line.x1) * step / steps
        y = line.y1 + (line.y2 - line.y1) * step / steps
        if space[0] < x < space[2] and space[1] < y < space[3]:
            return True
    return False


def measured(seed: int) -> tuple[list[ChartPart], list[str]]:
    """Make up discs with their numbers and lines anywhere between them."""
    chance = random.Random(seed)
    parts: list[ChartPart] = []
    texts = [str(number) for number in range(1, chance.randint(2, 14))]
    for _ in range(8):
        ends = [(chance.uniform(20, 154), chance.uniform(18, 84)) for _ in range(2)]
        parts.append(Line(*ends[0], *ends[1]))
    parts.append(Line(80, 60, 80, 40, arrow=True))
    for text in texts:
        x, y = chance.uniform(20, 154), chance.uniform(18, 84)
        parts += [Disc(x, y, 1.6, "black"), around(x, y, text, 3.4)]
    return parts, texts


@pytest.mark.parametrize("seed", range(12))
def test_no_word_meets_a_disc_a_line_or_another_word(seed: int) -> None:
    parts, texts = measured(seed)
    shapes = lettered(parts, WIDE, HIGH)
    labels = [shape for shape in shapes if isinstance(shape, Label)]
    assert sorted(label.text for label in labels) == sorted(texts)
    for one, other in combinations(labels, 2):
        assert not meet(box(one), box(other)), (one, other)
    for label in labels:
        left, low, right, high = box(label)
        assert left >= 0 and low >= 0 and right <= WIDE and high <= HIGH, label
        for shape in shapes:
            if isinstance(shape, Disc):
                r = shape.radius
                assert not meet((shape.x - r, shape.y - r, shape.x + r, shape.y + r), box(label)), label
            if isinstance(shape, Line):
                assert not runs_through(shape, box(label)), (shape, label)


def test_a_line_gives_way_to_a_word_and_goes_on_behind_it() -> None:
    shapes = lettered([Label(80, 48, "limit", 3.4), Line(20, 49, 140, 49)], WIDE, HIGH)
    before, after = (shape for shape in shapes if isinstance(shape, Line))
    assert (before.x1, after.x2) == (20, 140)
    assert before.x2 < 80 < after.x1


def test_a_word_that_finds_no_room_beside_its_point_is_led_to_it() -> None:
    x, y = 80.0, 48.0
    crowd: list[DrawnShape] = [Disc(x + dx, y + dy, 1.6) for dx in (-4, 0, 4) for dy in (-4, 0, 4)]
    shapes = lettered([*crowd, around(x, y, "7", 3.4)], WIDE, HIGH)
    (leader,) = (shape for shape in shapes if isinstance(shape, Line))
    assert (leader.x1, leader.y1) == (x, y)


def test_a_word_led_to_its_point_is_led_by_the_nearest_way() -> None:
    x, y = 80.0, 48.0
    away = Label(x - 20, y + 12, "7", 3.4)
    places = ((Label(x, y, "7", 3.4),), (away,))
    shapes = lettered([Disc(x, y, 1.6), Choice(places, (x, y))], WIDE, HIGH)
    (leader,) = (shape for shape in shapes if isinstance(shape, Line))
    # The word stands up and to the left, so that its lower right corner is nearest; there is white round it.
    _, low, right, _ = box(away)
    assert (leader.x2, leader.y2) == pytest.approx((right, low), abs=0.6)
    assert leader.x2 > right


@pytest.mark.parametrize("size", [2.8, 3.4])
def test_words_stand_as_far_under_a_point_as_over_it_and_as_far_to_either_side(size: float) -> None:
    x, y = 80.0, 48.0
    for ring in around(x, y, "7", size).places:
        boxes = [box(label) for label in ring]
        turned = [(2 * x - right, 2 * y - high, 2 * x - left, 2 * y - low) for left, low, right, high in boxes]
        for one in turned:
            assert any(one == pytest.approx(other) for other in boxes), one


def test_words_take_the_first_place_that_is_free() -> None:
    places = ((Label(80, 48, "limit"),), (Label(80, 60, "limit"),))
    (alone,) = lettered([Choice(places)], WIDE, HIGH)
    assert alone == places[0][0]
    assert lettered([Disc(80, 49, 2), Choice(places)], WIDE, HIGH)[-1] == places[1][0]


@pytest.mark.parametrize(
    ("numbers", "said"), [([1], "1"), ([1, 2], "1, 2"), ([4, 5, 6, 7], "4–7"), ([1, 3, 4, 5, 9], "1, 3–5, 9")]
)
def test_runs_in_one_place_are_numberedin_short(numbers: list[int], said: str) -> None:
    assert in_short(numbers) == said
