from __future__ import annotations

from io import BytesIO

import pikepdf
import pytest

from cardgen.press.canvas import paint
from cardgen.press.edition import NAMES, EditionName, PaperKind, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import ArcMark, LineMark, Mark, PolygonMark, QrMark, Rect, RectMark, Side, TextMark
from cardgen.press.sheets import two_up
from cardgen.proof.geometry import box_of, check_clips, check_geometry
from tests.press.paper_deck import ISSUED, deck

TEXT = TextMark(50, 50, "160", "bold", 14, 27)


def side(*marks: Mark) -> Side:
    return Side("torque", "Torque", 1, 1, 1, 1, 200, 200, Rect(20, 20, 180, 180), marks)


def faults(*marks: Mark) -> list[str]:
    return [f"{fault.text} {fault.what}" for fault in check_geometry([side(*marks)])]


@pytest.mark.parametrize(
    ("mark", "box"),
    [
        # Descenders reach a fifth of the size under the baseline, 2.8, capitals seven tenths over it, 9.8.
        (TEXT, (50, 47.2, 77, 59.8)),
        (LineMark(60, 70, 40, 50, 3), (40, 50, 60, 70)),
        # Half of an outline lies outside.
        (RectMark(Rect(21, 22, 60, 70), weight=2), (20, 21, 61, 71)),
        (ArcMark(50, 60, 10, weight=2), (39, 49, 61, 71)),
        (PolygonMark(((40, 30), (70, 35), (50, 60))), (40, 30, 70, 60)),
        (QrMark(30, 40, 2.0, ((True, False, True),) * 3), (30, 40, 36, 46)),
    ],
)
def test_a_mark_stays_inside_its_box(mark: Mark, box: tuple[float, float, float, float]) -> None:
    assert tuple(box_of(mark)) == pytest.approx(box)


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


# The text's box is 50 to 77 and 47.2 to 59.8, the frame 20 to 180, and 0.05 points are no difference.
@pytest.mark.parametrize(
    ("inside", "outside"),
    [
        (TEXT._replace(x=19.96), TEXT._replace(x=19.94)),
        (TEXT._replace(x=153.04), TEXT._replace(x=153.06)),
        (TEXT._replace(y=22.76), TEXT._replace(y=22.74)),
        (TEXT._replace(y=170.24), TEXT._replace(y=170.26)),
    ],
)
def test_a_text_stays_inside_on_every_side(inside: Mark, outside: Mark) -> None:
    assert faults(inside) == []
    assert faults(outside) == ["160 stands 0.1 pt outside the frame"]


def test_how_far_a_mark_stands_outside_is_told() -> None:
    assert faults(TEXT._replace(x=10)) == ["160 stands 10.0 pt outside the frame"]
    assert faults(LineMark(60, 50, 60, 187.5, 1)) == ["line stands 7.5 pt outside the frame"]


@pytest.mark.parametrize(
    ("apart", "meeting"),
    [
        (TEXT._replace(y=62.56), TEXT._replace(y=62.54)),  # its own lower edge is 2.8 below, at 59.76 and 59.74
        (TEXT._replace(y=37.44), TEXT._replace(y=37.46)),
        (TEXT._replace(x=76.96), TEXT._replace(x=76.94)),
        (TEXT._replace(x=23.04), TEXT._replace(x=23.06)),
    ],
)
def test_texts_may_touch_and_not_overlap(apart: TextMark, meeting: TextMark) -> None:
    assert faults(TEXT, apart._replace(text="190")) == []
    (found,) = faults(TEXT, meeting._replace(text="190"))
    assert found in {'160 meets "190"', '190 meets "160"'}


def test_a_text_meets_one_further_up_than_its_neighbour() -> None:
    tall = TextMark(50, 50, "160", "bold", 40, 80)  # 42 to 78
    beside = TextMark(140, 55, "7", "bold", 10, 6)
    over = TextMark(50, 70, "190", "bold", 10, 20)
    assert faults(tall, beside, over) == ['160 meets "190"']


def test_two_texts_that_meet_are_found() -> None:
    assert faults(TEXT, TEXT._replace(x=60, y=55, text="190")) == ['160 meets "190"']


def test_texts_on_lines_of_their_own_do_not_meet() -> None:
    assert faults(TEXT, TEXT._replace(y=50 + 1.3 * 14)) == []


def test_a_white_rectangle_over_a_digit_is_found() -> None:
    assert faults(TEXT, RectMark(Rect(48, 48, 60, 62), fill="white")) == ["160 is painted over"]


# No line or shape may cross 0.08 to 0.46 of the size over the baseline: 51.12 to 56.44.
@pytest.mark.parametrize(
    ("beside", "over"),
    [
        (Rect(48, 40, 60, 51.16), Rect(48, 40, 60, 51.18)),
        (Rect(48, 56.40, 60, 70), Rect(48, 56.38, 60, 70)),
        (Rect(40, 45, 50.04, 60), Rect(40, 45, 50.06, 60)),
        (Rect(76.96, 45, 90, 60), Rect(76.94, 45, 90, 60)),
    ],
)
def test_a_rectangle_may_touch_a_digit_and_not_cover_it(beside: Rect, over: Rect) -> None:
    assert faults(TEXT, RectMark(beside, fill="white")) == []
    assert faults(TEXT, RectMark(over, fill="white")) == ["160 is painted over"]


def test_a_rectangle_that_only_shares_lines_or_columns_covers_nothing() -> None:
    for rect in (Rect(100, 45, 120, 60), Rect(25, 45, 40, 60), Rect(48, 70, 60, 90), Rect(48, 25, 60, 40)):
        assert faults(TEXT, RectMark(rect, fill="white")) == []


def test_an_outline_covers_nothing_and_a_code_does() -> None:
    assert faults(TEXT, RectMark(Rect(48, 48, 60, 62), weight=0.0)) == []
    assert faults(TEXT, QrMark(48, 48, 2.0, ((True,) * 5,) * 5)) == ["160 is painted over"]


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


@pytest.mark.parametrize(
    ("line", "crosses"),
    [
        ((45, 51.2, 90, 51.2), True),
        ((45, 51.0, 90, 51.0), False),
        ((45, 56.3, 90, 56.3), True),
        ((45, 56.6, 90, 56.6), False),
        ((50.1, 40, 50.1, 70), True),
        ((49.9, 40, 49.9, 70), False),
        ((76.9, 40, 76.9, 70), True),
        ((77.1, 40, 77.1, 70), False),
        ((40, 53, 50.1, 53), True),
        ((40, 53, 49.9, 53), False),
        ((90, 53, 76.9, 53), True),
        ((90, 53, 77.1, 53), False),
        ((60, 40, 60, 51.2), True),
        ((60, 40, 60, 51.0), False),
        ((60, 70, 60, 56.3), True),
        ((60, 70, 60, 56.6), False),
        # Past the corners: at the left edge, x = 50, the line is at 52 and 57, or at 51 and 56; likewise right.
        ((40, 57, 60, 47), True),
        ((40, 56, 60, 46), False),
        ((40, 51, 60, 61), True),
        ((40, 52, 60, 62), False),
        ((87, 57, 67, 47), True),
        ((87, 56, 67, 46), False),
        ((87, 51, 67, 61), True),
        ((87, 52, 67, 62), False),
    ],
)
def test_a_line_crosses_only_where_it_enters_the_digits(
    line: tuple[float, float, float, float], crosses: bool
) -> None:
    there, back = LineMark(*line, 0.5), LineMark(*line[2:], *line[:2], 0.5)
    assert faults(TEXT, there) == faults(TEXT, back) == (["160 is crossed by a line"] if crosses else [])


def test_faults_name_their_card_and_count_their_page_from_one() -> None:
    found = check_geometry([side(TEXT), side(TEXT._replace(x=10))])
    assert [str(fault) for fault in found] == ['card torque, page 2, "160": stands 10.0 pt outside the frame']


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
