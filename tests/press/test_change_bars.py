"""What changed since the deck before is marked on every medium, and a deck that fits still fits."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest
from justhtml import JustHTML

from cardgen.deck.card import Change, Deck
from cardgen.deck.changed import mark_changes
from cardgen.press.canvas import paint
from cardgen.press.deck_json import to_json
from cardgen.press.edition import MM, NAMES, EditionName, load_edition
from cardgen.press.html import to_html
from cardgen.press.layout import lay_out
from cardgen.press.marks import LineMark, Side, TextMark
from cardgen.press.plain import to_text
from cardgen.proof.geometry import check_geometry
from cardgen.proof.read_back import check_places
from tests.press.paper_deck import MIN, deck
from tests.press.reading import every, facts_of_page

DIAL = "track.row.3.dial"


#: A tenth of the least rung of each edition's ladder; no other line is as thick.
_WEIGHTS = {load_edition(name, "iso").type.ladder[-1] / 10 for name in NAMES}


def change(figure: str, old: str, new: str) -> Change:
    return Change(figure, ("torque",), "Torque, step", old, new, "", "MAKER-1 p.7")


@cache
def changed(old: str = "150") -> Deck:
    figures = deck().figures
    changes = []
    for name in (MIN, DIAL):
        parts = figures[name].parts
        changes.append(change(name, f"{old} {parts.unit}", f"{parts.number} {parts.unit}"))
    return mark_changes(deck(), changes)


def sides_of(a_deck: Deck, name: EditionName) -> tuple[Side, ...]:
    laid = lay_out(a_deck, load_edition(name, "iso"))
    sides = tuple(side for side in laid if isinstance(side, Side))
    assert len(sides) == len(laid), laid
    return sides


def bars(side: Side) -> list[LineMark]:
    """Upright lines left of a column, a tenth as thick as the least text of their edition is high."""
    upright = [mark for mark in side.marks if isinstance(mark, LineMark) and mark.x1 == mark.x2]
    return [mark for mark in upright if any(abs(mark.weight - each) < 1e-6 for each in _WEIGHTS)]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("150 in·lbf", "160 in·lbf", "was 150"),
        ("18 N·m", "160 in·lbf", "was 18 N·m"),
        ("5 + 1/16 in", "5 + 1/8 in", "was 5 + 1/16"),
        ("3", "4", "was 3"),
        ("", "4", "new"),
        ("160 in·lbf", "160 in·lbf", ""),
    ],
)
def test_the_old_number_is_said_with_its_unit_only_where_that_is_another(old: str, new: str, said: str) -> None:
    assert change(MIN, old, new).was == said


@pytest.mark.parametrize("name", NAMES)
def test_every_line_with_a_changed_number_has_a_bar_beside_it_and_no_other_line_has(name: EditionName) -> None:
    found = 0
    for side in sides_of(changed(), name):
        texts = [mark for mark in side.marks if isinstance(mark, TextMark) and mark.figure in {MIN, DIAL}]
        beside = [(bar.y1, bar.y2) for bar in bars(side)]
        for text in texts:
            assert any(low <= text.y <= text.y + 0.6 * text.size <= high for low, high in beside)
        for low, high in beside:
            assert any(low <= text.y <= high for text in texts)
        found += len(beside)
    assert found >= 2


@pytest.mark.parametrize("name", NAMES)
def test_what_is_added_passes_the_proof_and_keeps_clear_of_trim_and_holes(name: EditionName) -> None:
    edition, sides = load_edition(name, "iso"), sides_of(changed(), name)
    assert check_geometry(sides) == ()
    assert check_places(paint(sides, changed(), edition), sides, changed()) == ()
    # The punched margin's white, or the 8 mm that nothing may enter.
    clear = (edition.holes.from_edge + edition.holes.keep_out) if edition.duplex and edition.holes else 8 * MM
    for number, side in enumerate(sides):
        if not (edition.duplex and number % 2):
            assert side.frame.x1 >= clear - 0.01


def test_a_deck_without_changes_is_laid_out_as_before() -> None:
    assert sides_of(mark_changes(deck(), ()), "pouch") == sides_of(deck(), "pouch")


def test_an_old_number_that_is_not_what_it_was_stops_the_proof() -> None:
    sides = sides_of(changed(), "pouch")
    pdf = paint(sides, changed(), load_edition("pouch", "iso"))
    lied = replace(changed(), changes=tuple(replace(each, old="140 in·lbf") for each in changed().changes))
    found = check_places(pdf, sides, lied)
    assert {mismatch.figure for mismatch in found} == {MIN, DIAL}
    assert {mismatch.found for mismatch in found} == {"(was 150)"}


def test_old_numbers_give_way_where_they_would_not_fit_and_the_bars_stay() -> None:
    crowded = changed("1234567890" * 12)
    sides = sides_of(crowded, "pouch")
    assert not any(isinstance(mark, TextMark) and mark.role == "was" for side in sides for mark in side.marks)
    assert sum(len(side.marks) for side in sides) > sum(len(side.marks) for side in sides_of(deck(), "pouch"))


def test_screen_and_text_say_it_beside_the_number() -> None:
    html, text = to_html(changed()), to_text(changed())
    shown = [element.to_text() for element in every(JustHTML(html, strict=True, sanitize=False), ".was")]
    assert set(shown) == {"(was 150)"}
    assert text.count("(was 150)") == len(shown) > 0
    # The old number is no fact of the card: a reader of figures meets the same ones as before.
    assert facts_of_page(html) == facts_of_page(to_html(deck()))


def test_the_data_list_the_changes_and_describe_the_cards_as_if_nothing_had_changed() -> None:
    before, after = json.loads(to_json(deck())), json.loads(to_json(changed()))
    assert [each["figure"] for each in after["changes"]] == [MIN, DIAL]
    assert after["changes"][0]["old"] == f"150 {deck().figures[MIN].parts.unit}"
    assert before["changes"] == []
    assert {**after, "changes": []} == before
