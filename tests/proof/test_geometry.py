from __future__ import annotations

from io import BytesIO

import pikepdf
import pytest

from cardgen.press.canvas import paint
from cardgen.press.edition import NAMES, EditionName, PaperKind, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import ArcMark, LineMark, Mark, PolygonMark, Rect, RectMark, Side, TextMark
from cardgen.press.sheets import two_up
from cardgen.proof.geometry import check_clips, check_geometry
from tests.press.paper_deck import ISSUED, deck

TEXT = TextMark(50, 50, "160", "bold", 14, 27)


def side(*marks: Mark) -> Side:
    return Side("torque", "Torque", 1, 1, 1, 1, 200, 200, Rect(20, 20, 180, 180), marks)


def faults(*marks: Mark) -> list[str]:
    return [f"{fault.text} {fault.what}" for fault in check_geometry([side(*marks)])]


@pytest.mark.parametrize("paper", ["iso", "ansi"])
@pytest.mark.parametrize("name", NAMES)
def test_a_true_layout_has_no_fault(name: EditionName, paper: PaperKind) -> None:
    edition = load_edition(name, paper)
    for stamp in (None, ISSUED):
        sides = [item for item in lay_out(deck(stamp=stamp), edition) if isinstance(item, Side)]
        assert [str(fault) for fault in check_geometry(sides)] == []
        if edition.two_up:
            assert [str(fault) for fault in check_geometry(two_up(sides, edition))] == []


@pytest.mark.parametrize(
    "mark",
    [
        TEXT._replace(x=160),
        TEXT._replace(y=20),
        LineMark(10, 50, 60, 50, 1),
        RectMark(Rect(20, 20, 60, 60), weight=2),
        ArcMark(30, 30, 12),
        PolygonMark(((30, 30), (190, 30), (30, 60))),
    ],
)
def test_print_outside_the_frame_is_found(mark: Mark) -> None:
    assert any("outside the frame" in fault for fault in faults(mark))


def test_two_texts_that_meet_are_found() -> None:
    assert faults(TEXT, TEXT._replace(x=60, y=55, text="190")) == ['160 meets "190"']


def test_texts_on_lines_of_their_own_do_not_meet() -> None:
    assert faults(TEXT, TEXT._replace(y=50 + 1.3 * 14)) == []


def test_a_white_rectangle_over_a_digit_is_found() -> None:
    assert faults(TEXT, RectMark(Rect(48, 48, 60, 62), fill="white")) == ["160 is painted over"]


def test_a_black_shape_over_a_digit_is_found() -> None:
    assert "160 is painted over" in faults(TEXT, ArcMark(55, 54, 3, fill="black"))
    assert "160 is painted over" in faults(TEXT, PolygonMark(((50, 50), (60, 50), (55, 60)), fill="black"))


def test_white_letters_need_black_under_them_and_black_letters_must_not_have_it() -> None:
    band = RectMark(Rect(40, 40, 120, 70), fill="black")
    white = TEXT._replace(tone="white")
    assert faults(white) == ["160 is white on white"]
    assert faults(band, TEXT) == ["160 is black on black"]
    assert faults(band, white) == []
    assert faults(band, RectMark(Rect(45, 45, 100, 65), fill="white"), TEXT) == []


def test_a_line_through_a_digit_is_found_and_one_under_it_is_not() -> None:
    assert faults(TEXT, LineMark(45, 53, 90, 53, 0.5)) == ["160 is crossed by a line"]
    assert faults(TEXT, LineMark(45, 40, 90, 65, 0.5)) == ["160 is crossed by a line"]
    assert faults(TEXT, LineMark(45, 47, 90, 47, 0.5)) == []


def test_a_clip_path_is_found_in_a_finished_file() -> None:
    edition = load_edition("pouch", "iso")
    sides = [item for item in lay_out(deck(), edition) if isinstance(item, Side)]
    pdf = paint(sides, deck(), edition)
    assert check_clips(pdf) == ()
    with pikepdf.open(BytesIO(pdf)) as opened:
        content = opened.pages[2].Contents.read_bytes()
        opened.pages[2].Contents = opened.make_stream(b"30 30 100 500 re W n\n" + content)
        out = BytesIO()
        opened.save(out)
    assert [fault.side for fault in check_clips(out.getvalue())] == [3]
