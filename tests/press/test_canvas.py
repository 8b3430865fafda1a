"""The finished PDF, read by pypdf: a library that had no part in making it."""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from io import BytesIO

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from cardgen.deck.card import Stamp
from cardgen.press.canvas import paint, paint_bare
from cardgen.press.edition import EditionName, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import ArcMark, LineMark, Rect, Side, TextMark
from cardgen.press.sheets import two_up
from cardgen.press.type import has_glyph, width
from tests.cli.running import TREE
from tests.press.paper_deck import ISSUED, deck


@cache
def sides(name: EditionName = "pouch", stamp: Stamp | None = None) -> tuple[Side, ...]:
    laid = lay_out(deck(stamp=stamp), load_edition(name, "iso"))
    return tuple(side for side in laid if isinstance(side, Side))


@cache
def printed(name: EditionName = "pouch", stamp: Stamp | None = None) -> bytes:
    return paint(sides(name, stamp), deck(stamp=stamp), load_edition(name, "iso"))


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf), strict=True)


def catalog(pdf: bytes) -> DictionaryObject:
    root = reader(pdf).root_object
    assert isinstance(root, DictionaryObject)
    return root


def test_the_same_deck_gives_the_same_bytes() -> None:
    edition = load_edition("pouch", "iso")
    assert paint(sides(), deck(), edition) == printed()


def test_printing_changes_no_setting_of_the_writer_and_leaves_it_only_faces_of_our_own_names() -> None:
    # In a process of its own: a setting that an earlier test changed could not be seen to change here.
    script = (
        "from reportlab import rl_config\n"
        "from reportlab.pdfbase import pdfmetrics\n"
        "rl_config.useA85 = 1\n"
        "before, known = dict(vars(rl_config)), set(pdfmetrics._fonts)\n"
        "from tests.press.test_canvas import printed\n"
        "pdf = printed()\n"
        "assert b'ASCII85Decode' not in pdf\n"
        "now = vars(rl_config)\n"
        "assert {name for name in now if now[name] != before.get(name)} == set()\n"
        "print(*sorted(set(pdfmetrics._fonts) - known))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=TREE, capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == ["cardgen-bold", "cardgen-even", "cardgen-even-bold", "cardgen-regular"]


def test_title_language_and_empty_author() -> None:
    info = reader(printed()).metadata
    assert info is not None
    assert info.title == f"{deck().spec.rotor.set_id} pouch card"
    assert not info.author
    assert info.subject == "DRAFT, not issued"
    assert str(catalog(printed())["/Lang"]) == "en"
    issued = reader(printed("pouch", ISSUED)).metadata
    assert issued is not None and issued.subject == "revision 3, code 7K2M-9QXD-4"


def test_pages_are_labelled_as_their_own_frames_number_them() -> None:
    labels = reader(printed()).page_labels
    assert labels[0] == "1/3 side 1"
    assert labels == [f"{side.card_number}/{side.card_count} side {side.side_number}" for side in sides()]


def test_the_outline_has_one_entry_a_card_and_leads_to_its_first_side() -> None:
    read = reader(printed())
    entries = [entry for entry in read.outline if not isinstance(entry, list)]
    assert [entry.title for entry in entries] == [card.title for card in deck().cards]
    firsts = [number for number, side in enumerate(sides()) if side.side_number == 1]
    assert [read.get_destination_page_number(entry) for entry in entries] == firsts


def test_a_printer_is_asked_not_to_scale() -> None:
    preferences = catalog(printed())["/ViewerPreferences"]
    assert isinstance(preferences, DictionaryObject)
    assert str(preferences["/PrintScaling"]) == "/None"
    assert str(preferences["/Duplex"]) == "/DuplexFlipLongEdge"


def test_two_up_sheets_turn_over_their_short_edge() -> None:
    edition = load_edition("pouch", "iso")
    sheets = two_up(sides(), edition)
    pdf = paint(sheets, deck(), edition)
    preferences = catalog(pdf)["/ViewerPreferences"]
    assert isinstance(preferences, DictionaryObject)
    assert str(preferences["/Duplex"]) == "/DuplexFlipShortEdge"
    assert reader(pdf).page_labels[:2] == ["sheet 1, front", "sheet 1, back"]


def test_the_specification_is_attached_byte_for_byte_as_the_source() -> None:
    read = reader(printed())
    name = f"{deck().spec.rotor.set_id}.toml"
    assert read.attachments[name] == [deck().spec.text]
    associated = catalog(printed())["/AF"]
    (file,) = [item.get_object() for item in associated]  # type: ignore[attr-defined]
    assert file["/AFRelationship"] == "/Source"
    assert file["/EF"]["/F"].get_object()["/Subtype"] == "/application/toml"


def test_one_line_is_one_text_object_so_that_text_is_read_in_order() -> None:
    text = " ".join(reader(printed()).pages[1].extract_text().split())
    number, other = (deck().figures[f"fasteners[1].torque_{end}"].parts.number for end in ("min", "max"))
    whole = " ".join(" ".join(page.extract_text().split()) for page in reader(printed()).pages)
    assert text
    assert f"no less than {number} in·lbf M and no more than {other} in·lbf M." in whole


def test_an_arc_of_a_circle_is_drawn_and_not_filled() -> None:
    marks = (ArcMark(50, 50, 20, 0, 90, weight=1), LineMark(10, 10, 90, 10, 1, dashed=True))
    side = Side("", "sheet", 1, 1, 1, 1, 100, 100, Rect(0, 0, 100, 100), marks)
    stream = reader(paint_bare([side])).pages[0].get_contents()
    assert stream is not None
    operators = stream.get_data().decode().split()
    assert "c" in operators and "S" in operators
    assert "f" not in operators


def test_more_characters_than_one_font_subset_holds_read_as_they_were_written() -> None:
    # A simple font of a PDF has at most 256 codes (ISO 32000-2, 9.6), so that these need two of them.
    characters = [chr(code) for code in range(0x21, 0x180) if chr(code).isprintable() and has_glyph(chr(code))]
    assert len(characters) > 256
    words = ["".join(characters[at : at + 20]) for at in range(0, len(characters), 20)]
    marks = tuple(
        TextMark(20, 20 + 14 * line, text, "regular", 10, width(text, "regular", 10))
        for line, text in enumerate([*words, *words])
    )
    side = Side("", "", 1, 1, 1, 1, 500, 700, Rect(0, 0, 500, 700), marks)
    page = reader(paint_bare([side])).pages[0]
    assert "".join(page.extract_text().split()) == "".join(characters) * 2
    assert len(page["/Resources"]["/Font"]) >= 2  # type: ignore[index]
