from __future__ import annotations

from pathlib import Path

import pytest

from cardgen.layouts_root import layouts_root
from cardgen.press.edition import (
    MM,
    NAMES,
    EditionError,
    EditionName,
    PaperKind,
    editions_of,
    floor_for,
    load_edition,
)
from cardgen.press.edition_file import read_edition
from tests.editing import replaced
from tests.press.paper_deck import spec

# ISO 216 (A series, trimmed, millimetres); ANSI/ASME Y14.1 sizes A and B and a half of A (inches).
_ISO = {"A6": (105, 148), "A5": (148, 210), "A4": (210, 297), "A3": (297, 420)}
_ANSI = {"half letter": (5.5, 8.5), "letter": (8.5, 11), "tabloid": (11, 17)}


def _file(name: str) -> Path:
    return layouts_root() / "editions" / f"{name}.toml"


@pytest.mark.parametrize("name", NAMES)
def test_paper_is_exactly_the_standards_size(name: EditionName) -> None:
    iso, ansi = load_edition(name, "iso").paper, load_edition(name, "ansi").paper
    assert (iso.width * 25.4 / 72, iso.height * 25.4 / 72) == pytest.approx(_ISO[iso.name])
    assert (ansi.width / 72, ansi.height / 72) == pytest.approx(_ANSI[ansi.name])


@pytest.mark.parametrize("paper", ["iso", "ansi"])
@pytest.mark.parametrize("name", NAMES)
def test_no_margin_is_under_eight_millimetres(name: EditionName, paper: PaperKind) -> None:
    # Clear film round a laminated sheet: common practice, no source.
    margins = load_edition(name, paper).margins
    assert min(margins.top, margins.right, margins.bottom, margins.left) >= 8 * MM


def test_type_read_from_a_distance_has_capitals_of_fifteen_minutes_of_arc() -> None:
    # Worked by hand: tan 15' = 0.0043633; of 1500 mm that is 6.545 mm of capitals, 18.55 pt, over 0.668
    # of the type: 27.8 pt. A two-hundredth of 1500 mm is 7.5 mm, 21.26 pt, over 0.668: 31.8 pt.
    assert floor_for(1500 * MM) == pytest.approx(27.77, abs=0.01)
    wall = load_edition("wall", "iso").type
    assert min(wall.number, wall.stop, wall.stop_row, wall.title, wall.diameter) >= 31.8


@pytest.mark.parametrize("name", NAMES)
def test_running_text_is_ten_points_and_white_on_black_twelve_at_least(name: EditionName) -> None:
    # ISO/IEC Guide 37.
    edition = load_edition(name, "iso")
    assert min(edition.type.ladder) >= 10
    assert min(edition.type.stop, edition.type.stop_row) >= 12
    assert all(edition.sizes(body).white >= 12 for body in edition.type.ladder)
    assert all(edition.sizes(body).tag >= 11 for body in edition.type.ladder)


def test_an_edition_on_request_is_made_only_where_it_is_named() -> None:
    bare = spec().model_copy(update={"print": None})
    assert [edition.name for edition in editions_of(bare)] == ["handout", "pouch", "wall"]
    assert [edition.name for edition in editions_of(bare, "large")] == ["large"]


def test_a_specification_chooses_its_editions_and_paper() -> None:
    wanted = spec().print
    assert wanted is not None
    chosen = editions_of(spec())
    assert {edition.name for edition in chosen} == set(wanted.editions)
    assert [edition.name for edition in editions_of(spec(), "wall")] == ["wall"]
    names = {"iso": {"A3", "A4", "A5"}, "ansi": {"half letter", "letter", "tabloid"}}[wanted.paper]
    assert {edition.paper.name for edition in chosen} <= names


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('left   = "10 mm"', 'left   = "7 mm"', "margins.left: nothing may stand within 8 mm"),
        ("11, 10.5]", "11, 9.5]", "type.ladder: at this reading distance at least 10.0"),
        ("[14.5, 14,", "[14, 14.5,", "type.ladder: it goes down, step by step"),
        ("[14.5, 14,", '["14.5", 14,', "type.ladder: a number of points above zero"),
        ("number      = 15", "number      = 9", "type.number: at this reading distance at least 12.7"),
        ("stop        = 12.8", "stop        = 11.5", "type.stop: at this reading distance at least 12.7"),
        ("small       = 8.5", "small       = 7", "type.small: at this reading distance at least 8.0"),
        ("diameter    = 28", "diameter    = 22", "type.diameter: the diameter is the largest"),
        ("number_most = 24", "number_most = 14", "type.number_most: it is at least number"),
        ('scale_bar      = "100 mm"', 'scale_bar      = "140 mm"', "longer than the sheet between"),
        ("qr_module_dots = 12", "qr_module_dots = 7", "qr_module_dots: a module is at least"),
        ("columns  = 1", "columns  = 4", "fit.columns: one, two or three"),
        ("lift     = []", 'lift     = ["words"]', "fit.lift: a list of know, numbers, work, hold"),
        ("cautions = 4", "cautions = -1", "fit.cautions: a number is expected here"),
        ('first    = "sheets"', 'first    = "paper"', "fit.first: one of sheets, type"),
        ('hand           = "boxes"', 'hand           = "pen"', "hand: one of boxes, lines, none"),
        ('width  = "148 mm"', "width  = 148", "paper.width: a length with its unit"),
        ('width  = "148 mm"', 'width  = "148 pt"', "paper.width: a length with its unit"),
        ("why_lines      = false", "why_lines      = 0", "why_lines: true or false"),
        ("why_lines ", "why_line ", "why_line: unknown; known are"),
        ("small       = 8.5", "", "type.small: missing"),
        ("title          = ", 'name = "purse"\ntitle = ', "name: unknown; known are"),
        ('copies         = "pouch cards"', "", "copies: missing"),
        ("small       = 8.5", "small       =", "this is not TOML"),
        ('without = ["flow", "newcomer"]', 'without = ["flows"]', "cards.without: a list of cards that"),
        ('without = ["flow", "newcomer"]', 'without = [["flow"]]', "cards.without: a list of cards that"),
        ('without = ["flow", "newcomer"]', "only = []", "cards: an edition has one card at least"),
        ('without = ["flow", "newcomer"]', "", "cards: either only or without is expected"),
        ('without = ["flow", "newcomer"]', 'without = []\nonly = ["flow"]', "cards: either only or without"),
        ('without = ["flow", "newcomer"]', 'with = ["flow"]', "cards.with: unknown; known are only, without"),
    ],
)
def test_a_wrong_edition_file_is_refused_by_name_and_key(old: str, new: str, says: str) -> None:
    text = replaced(_file("pouch").read_text("utf-8"), old, new)
    with pytest.raises(EditionError, match=says) as refused:
        read_edition(text, "iso", "editions/pouch.toml")
    assert str(refused.value).startswith("editions/pouch.toml: ")


def test_print_in_the_punched_holes_is_refused() -> None:
    text = replaced(_file("handout").read_text("utf-8"), 'left   = "22 mm"', 'left   = "20 mm"')
    with pytest.raises(EditionError, match="print would stand in the holes"):
        read_edition(text, "iso", "handout")


def test_a_missing_edition_is_named() -> None:
    with pytest.raises(EditionError, match="there is no such edition"):
        load_edition("nowhere", "iso")
