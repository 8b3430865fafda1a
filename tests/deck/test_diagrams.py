"""Every drawing can be read: lettering inside the board and apart, whatever the rotor.

Widths are taken from the embedded type by ReportLab, a general-purpose library.
"""

from __future__ import annotations

import re
from datetime import date
from importlib.resources import files
from itertools import combinations

import pytest
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from cardgen.deck.card import Deck
from cardgen.deck.diagram import Diagram, Disc, Label, Line
from cardgen.deck.diagrams import DIAGRAMS
from cardgen.figures import compute
from cardgen.spec.load import Loaded, load_bytes
from tests.deck.conftest import Builder
from tests.editing import edited, without_group

_NEEDS = {
    "balance-bench": "balance",
    "reflector-fold": "reflectors",
    "shim-swap": "pitch",
    "string-line": "string",
    "tip-section": "tip",
}
_FOLDER = files("fontpkg_atkinson_hyperlegible") / "files"
for _face in ("Regular", "Bold"):
    pdfmetrics.registerFont(TTFont(f"Test-{_face}", str(_FOLDER / f"AtkinsonHyperlegible-{_face}.ttf")))


def box(label: Label) -> tuple[float, float, float, float]:
    width = pdfmetrics.stringWidth(label.text, "Test-Bold" if label.bold else "Test-Regular", label.size)
    left = {"start": label.x, "middle": label.x - width / 2, "end": label.x - width}[label.anchor]
    return left, label.y - 0.2 * label.size, left + width, label.y + 0.7 * label.size


def labels(diagram: Diagram) -> list[Label]:
    return [shape for shape in diagram.shapes if isinstance(shape, Label)]


def drawn(deck: Deck) -> list[Diagram]:
    figures = compute(deck.spec)
    have = [name for name in DIAGRAMS if getattr(deck.spec, _NEEDS.get(name, "rotor")) is not None]
    return [DIAGRAMS[name](deck.spec, figures) for name in have]


def diagram_of(name: str, text: str, today: date) -> Diagram:
    """Draw one diagram of a specification given as text."""
    loaded = load_bytes(text.encode(), "edited.toml", today)
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None, loaded.problems
    return DIAGRAMS[name](loaded.spec, compute(loaded.spec))


def check(diagram: Diagram) -> None:
    for label in labels(diagram):
        left, low, right, high = box(label)
        assert left >= 0, f"{diagram.name}: {label.text}"
        assert low >= 0, f"{diagram.name}: {label.text}"
        assert right <= diagram.width, f"{diagram.name}: {label.text}"
        assert high <= diagram.height, f"{diagram.name}: {label.text}"
    for one, other in combinations(labels(diagram), 2):
        a, b = box(one), box(other)
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, f"{diagram.name}: {one.text} and {other.text}"


@pytest.fixture(scope="module")
def diagrams(decks: list[Deck]) -> list[Diagram]:
    """Every drawing of every deck."""
    return [diagram for deck in decks for diagram in drawn(deck)]


def test_lettering_stays_on_the_board_and_apart(diagrams: list[Diagram]) -> None:
    for diagram in diagrams:
        check(diagram)


def test_lines_and_discs_stay_on_the_board(diagrams: list[Diagram]) -> None:
    for diagram in diagrams:
        for shape in diagram.shapes:
            match shape:
                case Line(x1, y1, x2, y2):
                    assert 0 <= min(x1, x2) <= max(x1, x2) <= diagram.width, diagram.name
                    assert 0 <= min(y1, y2) <= max(y1, y2) <= diagram.height, diagram.name
                case Disc(x, y, radius):
                    assert radius <= x <= diagram.width - radius, diagram.name
                    assert radius <= y <= diagram.height - radius, diagram.name


def test_every_drawing_has_a_title_and_is_told_in_words(diagrams: list[Diagram]) -> None:
    for diagram in diagrams:
        assert diagram.title
        assert len(diagram.description.splitlines()) >= 2
        assert diagram.name in DIAGRAMS


def many_bolts(text: str, count: int, pattern: str, order: list[int], abreast: int = 0, makers: int = 0) -> str:
    """Put ``count`` strap bolts of a long name in place of those that are there, the last ones the maker's."""
    parts = text.split("[[fasteners]]")
    first = parts[1]
    for key in ("places",):
        first = re.sub(rf"^{key} .*\n", "", first, flags=re.M)
    first = re.sub(r"^name .*$", f'name = "{"W" * 40}"', first, flags=re.M)
    yours = re.sub(r"^stations .*$", f"stations = {list(range(1, count - makers + 1))}", first, flags=re.M)
    theirs = (
        f'\nwhere = "strap"\nstations = {list(range(count - makers + 1, count + 1))}\nname = "doubler"\n'
        'fitted_by = "maker"\nsource = "BOOK-A p.6"\n\n'
    )
    kept = [part for part in parts[2:] if not re.search(r'^where\s+= "strap"', part, re.M)]
    blocks = [yours, *([theirs] if makers else []), *kept]
    whole = parts[0] + "".join(f"[[fasteners]]{block}" for block in blocks)
    whole = edited(whole, "tightening.pattern", f'"{pattern}"')
    if pattern == "circle":
        whole = edited(edited(whole, "tightening.counted", '"clockwise"'), "tightening.seen_from", '"above"')
    pairs = [[station - 1, station] for station in range(2, count + 1, 2)] if abreast else []
    whole = edited(whole, "tightening.abreast", str(pairs) if pairs else None)
    return edited(whole, "tightening.order", str(order))


# Star order of a circle of twelve: ASME PCC-1, legacy pattern (from memory).
STAR = [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]


@pytest.mark.parametrize(
    ("count", "pattern", "order", "abreast"),
    [
        (1, "row", [1], 0),
        (7, "row", list(range(1, 8)), 0),
        (8, "row", list(range(1, 9)), 0),
        (9, "row", list(range(1, 10)), 0),
        (24, "row", list(range(1, 25)), 0),
        (24, "row", list(range(1, 25)), 2),
        (12, "row", list(range(1, 13)), 2),
        (1, "circle", [1], 0),
        (4, "circle", [1, 3, 2, 4], 0),
        (12, "circle", STAR, 0),
        (24, "circle", list(range(1, 25)), 0),
    ],
)
def test_one_to_twenty_four_bolts_of_long_names_draw_clearly(
    today: date, shape_text: str, count: int, pattern: str, order: list[int], abreast: int
) -> None:
    diagram = diagram_of("strap-map", many_bolts(shape_text, count, pattern, order, abreast), today)
    check(diagram)
    numbers = [label for label in labels(diagram) if label.figure]
    assert sorted(int(label.text) for label in numbers) == list(range(1, count + 1))
    assert not any("W" in label.text for label in labels(diagram))


def test_a_star_order_is_drawn_with_each_number_at_its_own_bolt(today: date, shape_text: str) -> None:
    """The first four bolts of the star stand at opposite ends of two diameters."""
    diagram = diagram_of("strap-map", many_bolts(shape_text, 12, "circle", STAR), today)
    at = {int(label.text): (label.x, label.y) for label in labels(diagram) if label.figure}
    centre = ((at[1][0] + at[2][0]) / 2, (at[1][1] + at[2][1]) / 2)
    assert ((at[3][0] + at[4][0]) / 2, (at[3][1] + at[4][1]) / 2) == pytest.approx(centre)


def test_the_words_of_the_map_are_in_the_maker_s_order(today: date, shape_text: str) -> None:
    diagram = diagram_of("strap-map", many_bolts(shape_text, 4, "circle", [1, 3, 2, 4]), today)
    lines = diagram.description.splitlines()[1:]
    assert [line.split(".")[0] for line in lines] == ["1", "2", "3", "4"]
    assert [line.split(", ")[1].removesuffix(".") for line in lines] == [
        "station 1",
        "station 3",
        "station 2",
        "station 4",
    ]


def test_the_maker_s_bolt_is_crossed_and_has_no_number(today: date, shape_text: str) -> None:
    text = many_bolts(shape_text, 3, "row", [1, 2], makers=1)
    diagram = diagram_of("strap-map", text, today)
    assert sorted(label.text for label in labels(diagram) if label.figure) == ["1", "2"]
    assert "Not to be touched" in diagram.description


def test_patterns_that_cannot_be_drawn_leave_no_empty_field(today: date, shape_text: str) -> None:
    """An empty strip between lines of lettering is at most as high as two of them."""
    text = edited(edited(shape_text, "reflectors.pattern_a", '"round"'), "reflectors.pattern_b", '"square"')
    diagram = diagram_of("reflector-fold", edited(text, "reflectors.holder", '"glued on"'), today)
    assert max(label.y for label in labels(diagram)) + 2 * 4.5 > diagram.height
    assert "said in words" in diagram.description


@pytest.mark.parametrize("rotation", ["counter-clockwise", "clockwise"])
def test_the_pin_s_direction_follows_the_words_and_the_turning(
    today: date, shape_text: str, rotation: str
) -> None:
    """Hub at the left, tip at the right: turning counter-clockwise from above, the tip moves up the page."""
    text = edited(shape_text, "rotor.rotation", f'"{rotation}"')
    words = diagram_of("pin-direction", text, today)
    edge = next(label for label in labels(words) if label.text == "leading edge")
    assert (edge.y > words.height / 2) == (rotation == "counter-clockwise")
    toward = diagram_of("pin-direction", edited(text, "fasteners[1].pin_head", '"toward the hub"'), today)
    head = next(label for label in labels(toward) if label.text == "head")
    assert head.x < words.width / 2


def test_an_unknown_direction_of_a_pin_is_said_and_not_drawn(today: date, shape_text: str) -> None:
    text = edited(shape_text, "fasteners[1].pin_head", '"away from the hub"')
    diagram = diagram_of("pin-direction", text, today)
    assert "head" not in {label.text for label in labels(diagram)}
    assert "away from the hub" in diagram.description


def test_drawings_do_without_their_optional_values(build: Builder, shape_text: str) -> None:
    for diagram in drawn(build(without_group(shape_text, "run"))):
        check(diagram)
