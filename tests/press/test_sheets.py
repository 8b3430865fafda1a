from __future__ import annotations

import pytest

from cardgen.press.edition import MM, PaperKind, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import LineMark, Side, TextMark
from cardgen.press.sheets import BLANK, FLIP_LEAF, FLIP_SHEET, two_up, with_backs
from tests.press.paper_deck import deck

EDITION = load_edition("pouch", "iso")


def sides(paper: PaperKind = "iso") -> tuple[Side, ...]:
    return tuple(side for side in lay_out(deck(), load_edition("pouch", paper)) if isinstance(side, Side))


def halves(sheet: Side) -> list[str]:
    """What the two halves of a sheet say of themselves, left then right."""
    found = []
    for low, high in ((0.0, sheet.width / 2), (sheet.width / 2, sheet.width)):
        marks = [mark for mark in sheet.marks if isinstance(mark, TextMark) and low <= mark.x < high]
        found.append(next(mark.text for mark in marks if mark.text.startswith(("card ", BLANK))))
    return found


def test_the_back_of_a_side_lies_behind_it_when_the_sheet_turns_over_its_short_edge() -> None:
    sheets = two_up(sides(), EDITION)
    for front, back in zip(sheets[::2], sheets[1::2], strict=True):
        for face, behind in zip(halves(front), reversed(halves(back)), strict=True):
            if BLANK in (face, behind):
                continue
            card, _, side = face.partition(", side ")
            assert int(side.split(" ")[0]) % 2 == 1
            assert behind.startswith(f"{card}, side {int(side.split(' ')[0]) + 1} ")


def test_every_side_is_there_once_and_a_card_begins_on_a_front() -> None:
    said = [half for sheet in two_up(sides(), EDITION) for half in halves(sheet) if half != BLANK]
    wanted = [
        f"card {s.card_number} of {s.card_count}"
        + (f", side {s.side_number} of {s.side_count}" if s.side_count > 1 else "")
        for s in sides()
    ]
    assert sorted(said) == sorted(wanted)
    fronts = [half for sheet in two_up(sides(), EDITION)[::2] for half in halves(sheet)]
    assert {half for half in wanted if ", side 1 of" in half or ", side" not in half} <= set(fronts)


@pytest.mark.parametrize(("paper", "width", "height"), [("iso", 297 * MM, 210 * MM), ("ansi", 792, 612)])
def test_a_sheet_is_a4_or_letter_across(paper: PaperKind, width: float, height: float) -> None:
    # ISO 216: A4 is 210 x 297 mm. ANSI size A is 8.5 x 11 in.
    sheet = two_up(sides(paper), load_edition("pouch", paper))[0]
    assert (sheet.width, sheet.height) == pytest.approx((width, height))


def test_sides_are_drawn_again_at_their_own_size() -> None:
    first, sheet = sides()[0], two_up(sides(), EDITION)[0]
    own = [mark for mark in first.marks if isinstance(mark, TextMark)]
    again = [mark for mark in sheet.marks if isinstance(mark, TextMark)][: len(own)]
    assert [(m.text, m.size, m.y) for m in own] == [(m.text, m.size, m.y) for m in again]
    assert {round(b.x - a.x, 6) for a, b in zip(own, again, strict=True)} == {round(0.5 * MM, 6)}


def test_the_cut_is_marked_at_both_edges_in_the_middle() -> None:
    sheet = two_up(sides(), EDITION)[0]
    cuts = [
        m for m in sheet.marks if isinstance(m, LineMark) and m.x1 == m.x2 == pytest.approx(sheet.width / 2)
    ]
    assert len(cuts) == 2
    assert min(mark.y1 for mark in cuts) < 10 * MM
    assert max(mark.y2 for mark in cuts) > sheet.height - 10 * MM


def test_a_card_begins_on_a_front_and_a_blank_back_says_on_which_edge_to_flip() -> None:
    backed = with_backs(sides(), EDITION)
    assert [side for side in backed if side.card_id] == list(sides())
    for place, side in enumerate(backed):
        if side.side_number == 1:
            assert place % 2 == 0
        if not side.card_id:
            assert [mark.text for mark in side.marks if isinstance(mark, TextMark)] == [BLANK, FLIP_LEAF]


def test_a_sheet_of_two_says_how_it_is_printed() -> None:
    for sheet in two_up(sides(), EDITION)[::2]:
        assert any(isinstance(mark, TextMark) and mark.text == FLIP_SHEET for mark in sheet.marks)


def test_a_side_without_a_back_says_that_nothing_is_printed_there() -> None:
    (front, back) = two_up(sides()[:1], EDITION)
    assert halves(front)[1] == BLANK
    assert halves(back) == [BLANK, BLANK]
