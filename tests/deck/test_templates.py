"""What a template may print: a figure, words of the specification, the program's own words; nothing else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.deck import templates
from cardgen.deck.fault import BuildFault
from cardgen.deck.library import Library
from cardgen.deck.reader import Shelf, read_card
from cardgen.figures.figure import Figure, Origin, Parts
from cardgen.spec.bound import Bound
from cardgen.spec.text import Text
from cardgen.spec.units import quantity

FIGURE = Figure("a.torque", quantity(160, "in·lbf"), Parts("160", "in·lbf"), Origin.MAKER, "MK p.1")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "cards").mkdir()
    monkeypatch.setattr(templates, "layouts_root", lambda: tmp_path)
    monkeypatch.setattr(templates, "_environment", templates._environment.__wrapped__)
    return tmp_path / "cards"


def rendered(folder: Path, text: str, **context: object) -> str:
    (folder / "try.xml.j2").write_text(text, encoding="utf-8")
    return templates.render("try", context)


def test_places_beyond_the_alphabet_have_letters_of_their_own() -> None:
    """As the columns of a sheet of sums count on: after z comes aa."""
    letters = {0: "a", 25: "z", 26: "aa", 51: "az", 52: "ba", 701: "zz", 702: "aaa"}
    assert {place: templates.letter(place) for place in letters} == letters
    assert len({templates.letter(place) for place in range(2000)}) == 2000


def test_a_figure_is_printed_as_a_reference_to_it(folder: Path) -> None:
    assert rendered(folder, "{{ f }}", f=FIGURE) == '<value id="a.torque"/>'


def test_a_figure_under_a_unit_in_the_head_is_its_number(folder: Path) -> None:
    assert rendered(folder, "{{ f | number }}", f=FIGURE) == '<value id="a.torque" show="number"/>'


def test_a_limit_is_printed_behind_the_words_of_its_bound(folder: Path) -> None:
    most = replace(FIGURE, bound=Bound.AT_MOST)
    assert rendered(folder, "{{ f | limit }}", f=most) == 'at most <value id="a.torque"/>'
    assert (
        rendered(folder, "{{ f | bound | capitalised }}", f=replace(FIGURE, bound=Bound.AT_LEAST)) == "At least"
    )


def test_what_bounds_nothing_is_no_limit(folder: Path) -> None:
    with pytest.raises(BuildFault, match=r"a\.torque bounds nothing"):
        rendered(folder, "{{ f | limit }}", f=FIGURE)


@pytest.mark.parametrize("hostile", ["<step>", "&amp;", "{{ f }}", "{% raw %}", "]]>", "'\"", "</said>"])
def test_words_of_the_specification_come_through_as_data(folder: Path, hostile: str) -> None:
    from xml.etree import ElementTree

    said = rendered(folder, "{{ t }}", t=Text(hostile), f=FIGURE)
    element = ElementTree.fromstring(said)
    assert element.tag == "said"
    assert element.text == hostile
    assert len(element) == 0


def test_own_words_are_escaped_as_well(folder: Path) -> None:
    assert rendered(folder, "{{ w }}", w="a < b") == "a &lt; b"


@pytest.mark.parametrize("bare", [160, 1.5, True, None, ["a"], quantity(160, "in·lbf")])
def test_anything_else_stops_the_build(folder: Path, bare: object) -> None:
    with pytest.raises(BuildFault, match="neither a figure nor words"):
        rendered(folder, "{{ n }}", n=bare)


@pytest.mark.parametrize("text", ["{{ f.quantity }}", "{{ f.quantity.magnitude }}", "{{ f.inputs }}"])
def test_no_part_of_a_figure_is_printed_alone(folder: Path, text: str) -> None:
    with pytest.raises(BuildFault, match="neither a figure nor words"):
        rendered(folder, text, f=FIGURE)


@pytest.mark.parametrize("text", ["{{ 160 }}", "{{ 1 + 1 }}", "{{ f.quantity | string }}", "{{ '160' }}"])
def test_a_number_that_was_made_to_text_stops_the_build_when_it_is_read(folder: Path, text: str) -> None:
    card = f'<card id="try" title="x" phase="x"><section title="x"><para>{text}</para></section></card>'
    shelf = Shelf(Library({}, {}), {}, lambda name: None, lambda name: name)
    with pytest.raises(BuildFault, match="a digit without a figure"):
        read_card(rendered(folder, card, f=FIGURE), "try", shelf)


def test_only_a_figure_has_a_number_to_show(folder: Path) -> None:
    with pytest.raises(BuildFault, match="only a figure has a number"):
        rendered(folder, "{{ n | number }}", n="160")


def test_a_name_that_is_not_known_stops_the_build_at_its_line(folder: Path) -> None:
    with pytest.raises(BuildFault) as caught:
        rendered(folder, "one\ntwo\n{{ nobody }}")
    assert (caught.value.card, caught.value.line) == ("try", 3)
    assert "nobody" in caught.value.reason


def test_a_template_that_cannot_be_read_stops_the_build_at_its_line(folder: Path) -> None:
    with pytest.raises(BuildFault) as caught:
        rendered(folder, "one\n{% if %}")
    assert caught.value.line == 2
