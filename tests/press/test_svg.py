from __future__ import annotations

import xml.etree.ElementTree as ET
from math import atan2, degrees, hypot
from typing import Literal

import pytest

from cardgen.deck.diagram import Arc, Diagram, Disc, DrawnShape, Label, Line
from cardgen.press.svg import qr_to_svg, to_svg
from tests.press.screen_deck import arrow

NS = "{http://www.w3.org/2000/svg}"


def painted(*shapes: DrawnShape) -> ET.Element:
    return ET.fromstring(to_svg(Diagram("d", 100, 50, "Title", "Words", shapes), "card-1"))


def points(polygon: ET.Element) -> list[tuple[float, float]]:
    pairs = [pair.split(",") for pair in polygon.attrib["points"].split()]
    return [(float(x), float(y)) for x, y in pairs]


def test_a_drawing_is_an_image_with_a_name_and_a_description() -> None:
    root = ET.fromstring(to_svg(arrow(), "track-1-2"))
    assert root.attrib["role"] == "img"
    named = {element.attrib["id"]: element.text for element in root.iter() if "id" in element.attrib}
    assert named[root.attrib["aria-labelledby"]] == "The two adjusters"
    assert (named[root.attrib["aria-describedby"]] or "").startswith("Looking outboard")


def test_ids_differ_from_place_to_place() -> None:
    first, second = (ET.fromstring(to_svg(arrow(), place)) for place in ("track-1-1", "track-1-2"))
    ids = [
        element.attrib["id"] for root in (first, second) for element in root.iter() if "id" in element.attrib
    ]
    assert len(ids) == 4 == len(set(ids))


def test_nothing_needs_a_style_attribute_or_a_fixed_ink() -> None:
    text = to_svg(arrow(), "track-1-1")
    assert "style" not in text
    inks = {element.get("stroke") for element in ET.fromstring(text).iter()} - {None, "none"}
    assert inks == {"currentColor"}


def test_lettering_is_shown_literally_and_keeps_its_figure() -> None:
    root = ET.fromstring(to_svg(arrow(), "t"))
    letters = {element.text: element for element in root.iter(f"{NS}text")}
    assert "one notch < two notches & more" in letters
    assert [element.get("data-figure") for element in root.iter(f"{NS}text") if element.get("data-figure")] == [
        "track.max_split"
    ]


def test_the_board_is_turned_over_so_that_up_is_up() -> None:
    circle = painted(Disc(10, 40, 3)).find(f"{NS}circle")
    assert circle is not None
    assert (circle.attrib["cx"], circle.attrib["cy"], circle.attrib["r"]) == ("10", "10", "3")


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_lettering_is_anchored_as_on_the_board(anchor: Literal["start", "middle", "end"]) -> None:
    text = painted(Label(5, 6, "x", anchor=anchor)).find(f"{NS}text")
    assert text is not None and text.attrib["text-anchor"] == anchor


def test_an_arrow_head_has_its_point_at_the_end_of_the_line() -> None:
    head = painted(Line(10, 10, 60, 10, arrow=True)).find(f"{NS}polygon")
    assert head is not None
    corners = points(head)
    assert corners[0] == pytest.approx((60, 40))
    assert max(x for x, _ in corners[1:]) < 60


@pytest.mark.parametrize(("start", "end"), [(0, 90), (90, 0), (180, 270), (0, -90)])
def test_an_arc_and_its_head_end_at_the_same_angle(start: float, end: float) -> None:
    root = painted(Arc(50, 25, 20, start, end, arrow=True))
    head = root.find(f"{NS}polygon")
    assert head is not None
    tip = points(head)[0]
    assert hypot(tip[0] - 50, tip[1] - 25) == pytest.approx(20, abs=0.01)
    seen = degrees(atan2(25 - tip[1], tip[0] - 50)) % 360
    assert seen == pytest.approx(end % 360, abs=0.1) or seen == pytest.approx(360, abs=0.1)


def test_an_arc_drawn_counter_clockwise_on_the_board_stays_so_on_the_screen() -> None:
    # SVG 2, 9.3.8: sweep-flag 0 turns toward smaller angles where y points down.
    ahead, back = (painted(Arc(50, 25, 20, *angles)).find(f"{NS}path") for angles in ((10, 80), (80, 10)))
    assert ahead is not None and back is not None
    assert " 0 0 0 " in ahead.attrib["d"] and " 0 0 1 " in back.attrib["d"]


def test_a_whole_circle_as_an_arc_is_not_lost() -> None:
    path = painted(Arc(50, 25, 20, 0, 360)).find(f"{NS}path")
    assert path is not None
    assert path.attrib["d"] == "M70 25A20 20 0 0 0 30 25A20 20 0 0 0 70 25"


def test_a_code_is_dark_on_light_module_by_module() -> None:
    rows = ((False, True, True), (True, False, True), (False, False, False))
    root = ET.fromstring(qr_to_svg(rows, "code"))
    ground, dark = root.findall(f"{NS}path")
    assert (ground.attrib["fill"], dark.attrib["fill"]) == ("#fff", "#000")
    assert dark.attrib["d"] == "M1 0h2v1h-2zM0 1h1v1h-1zM2 1h1v1h-1z"
