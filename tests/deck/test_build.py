"""The deck as a whole: which cards, in which order, with which numbers, and what is left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import reduce

import pytest

from cardgen.deck.build import build_deck, payload
from cardgen.deck.card import Card, Deck, Inline, Said, Stamp, Step, Table, Value, Words
from cardgen.deck.diagram import Label
from cardgen.deck.library import library
from cardgen.deck.listed_cards import listed_cards
from cardgen.deck.walk import walk
from cardgen.deck.write_ins import write_ins
from cardgen.figures import compute
from cardgen.spec.load import load_bytes
from cardgen.spec.problem import Problem
from tests.deck.conftest import Builder
from tests.deck.readable import readable
from tests.deck.test_diagrams import many_bolts
from tests.deck.wording import CARDS
from tests.editing import edited, without_group


def runs(card: Card) -> Iterator[Inline]:
    for place in walk(card.sections):
        yield from place.says


def steps(card: Card) -> Iterator[tuple[str, Step]]:
    """Each step, with the title of the section that it stands in."""
    for place in walk(card.sections):
        if place.step and place.what == "step":
            yield place.section.title, place.step


def tables(card: Card, *ids: str) -> list[Table]:
    return [
        place.table
        for place in walk(card.sections)
        if place.what == "table" and place.table and place.table.id in ids
    ]


def named(deck: Deck, name: str) -> Card:
    return next(card for card in deck.cards if card.id == name)


def text_of(deck: Deck, name: str) -> str:
    return readable(named(deck, name))


def test_every_number_on_a_card_is_a_figure_of_the_deck(decks: list[Deck]) -> None:
    for deck in decks:
        for card in deck.cards:
            for run in runs(card):
                if isinstance(run, Value):
                    assert deck.figures[run.figure.id] is run.figure


def test_every_quotation_with_a_key_is_what_the_specification_says(decks: list[Deck]) -> None:
    checked = 0
    for deck in decks:
        for card in deck.cards:
            for run in runs(card):
                if not isinstance(run, Said) or "[" in run.key:
                    continue
                if run.key.startswith(("rotor.", "blades.", "track.", "tip.")):
                    assert run.text == str(reduce(getattr, run.key.split("."), deck.spec))
                    checked += 1
    assert checked > 40


def test_every_lettering_that_shows_a_figure_shows_it_as_printed(decks: list[Deck]) -> None:
    for deck in decks:
        for card in deck.cards:
            for diagram in (place.diagram for place in walk(card.sections) if place.diagram):
                for label in diagram.shapes:
                    if isinstance(label, Label) and label.figure:
                        parts = deck.figures[label.figure].parts
                        assert label.text in {parts.number, f"{parts.number} {parts.unit}"}


def test_every_box_of_a_deck_has_an_id_of_its_own_within_its_card(decks: list[Deck]) -> None:
    for deck in decks:
        for card in deck.cards:
            ids = [box.id for box in write_ins(card.sections)]
            assert len(ids) == len(set(ids))


def test_the_code_of_a_card_says_which_deck_and_which_card(complete: Deck) -> None:
    assert complete.spec.log is not None
    for card in complete.cards:
        for code in (place.code for place in walk(card.sections) if place.code):
            assert code.payload == f"https://log.example.org/test-77/#c=DRAFT&k={card.id}"
    assert payload(complete.spec, Stamp(2, "ABCD-EFGH-J"), "track").endswith("#c=ABCD-EFGH-J&k=track")


def test_without_a_form_the_code_says_set_revision_code_and_card(today: date, shape_text: str) -> None:
    """As the shape of a specification asks: plain text that any reader of codes shows."""
    loaded = load_bytes(without_group(shape_text, "log").encode(), "rotor.toml", today)
    assert loaded.spec is not None, loaded.problems
    assert payload(loaded.spec, Stamp(2, "ABCD-EFGH-J"), "track") == "TEST-77 r2 ABCD-EFGH-J track"
    deck = build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())
    codes = [place.code for card in deck.cards for place in walk(card.sections) if place.code]
    assert {code.payload.rpartition(" ")[0] for code in codes} == {"TEST-77 DRAFT"}
    says = {run.text for code in codes for run in code.says if isinstance(run, Words)}
    assert says == {library().terms["scan-code"]}


def test_a_complete_specification_has_every_card(complete: Deck) -> None:
    assert {card.id for card in complete.cards} == {name for name, card in listed_cards().items() if card.order}
    assert complete.left_out == ()


@pytest.mark.parametrize(
    ("group", "card", "stays"),
    [
        ("string", "string", "the blades' line is not checked"),
        ("pitch", "pitch", "the blade angles stay as they are"),
        ("teeter", "teeter", "for the maker's instructions"),
        ("head", "head", "for the maker's instructions"),
        ("reflectors", "reflectors", "by the marks on the metal"),
        ("shake", "shake", "a matter for the maker"),
    ],
)
def test_a_missing_group_leaves_out_its_card_and_the_cover_says_why(
    build: Builder, shape_text: str, group: str, card: str, stays: str
) -> None:
    text = shape_text
    if group == "string":
        text = edited(text, "rotor.alignment", '"self-centring"')
    deck = build(without_group(text, group))
    gone = next(gone for gone in deck.left_out if gone.id == card)
    assert f"the specification has no {group} group" in gone.why
    assert stays in gone.why
    assert card not in {each.id for each in deck.cards}
    assert gone.why in text_of(deck, "cover")


def test_without_balance_and_tip_the_tips_stay_closed(build: Builder, shape_text: str) -> None:
    text = shape_text
    for group in ("shake", "balance", "tip"):
        text = without_group(text, group)
    why = {gone.id: gone.why for gone in build(text).left_out}
    assert "the tips stay closed" in why["balance"]
    assert "the tips stay closed" in why["sealing"]


def test_blades_set_by_string_are_strung_before_the_torque(build: Builder, shape_text: str) -> None:
    strung = [card.id for card in build(edited(shape_text, "rotor.alignment", '"set by string"')).cards]
    found = [card.id for card in build(edited(shape_text, "rotor.alignment", '"self-centring"')).cards]
    assert strung.index("string") < strung.index("torque")
    assert found.index("torque") < found.index("string")


def test_a_string_on_a_hub_that_finds_its_own_line_is_an_optional_check(
    build: Builder, shape_text: str
) -> None:
    card = named(build(edited(shape_text, "rotor.alignment", '"self-centring"')), "string")
    assert "Only a check." in readable(card)
    assert "Never move a blade to please the string" in readable(card)


def test_blades_set_by_string_are_strung_again_before_any_pin(build: Builder, shape_text: str) -> None:
    text = text_of(build(edited(shape_text, "rotor.alignment", '"set by string"')), "torque")
    assert text.index("Read the string once more") < text.index("HOLD: ") < text.index("Fit new pins")


def test_run_up_comes_before_track_and_second_reading_after(decks: list[Deck]) -> None:
    for deck in decks:
        order = [card.id for card in deck.cards]
        assert order.index("run-up") < order.index("track") < order.index("second-reading")


def test_torque_is_checked_by_a_second_person_before_any_pin_goes_in(decks: list[Deck]) -> None:
    for deck in decks:
        text, told = text_of(deck, "torque"), [step for _, step in steps(named(deck, "torque"))]
        check = next(
            step for step in told if readable_step(step.says).startswith("Check each bolt at the least")
        )
        assert check.ticks == 2
        assert text.index("HOLD: ") < text.index(readable_step(check.says))
        pins = [step for step in told if "new pin" in readable_step(step.says)]
        assert all(check.number < step.number for step in pins)


def readable_step(says: tuple[Inline, ...]) -> str:
    from tests.deck.readable import said

    return said(says)


def test_every_strap_bolt_that_is_yours_is_in_the_window_table(decks: list[Deck]) -> None:
    for deck in decks:
        (table,) = tables(named(deck, "torque"), "windows")
        orders = {
            run.id
            for figures in compute(deck.spec).fastening
            if figures.where == "strap" and figures.low
            for run in figures.orders
            if run
        }
        shown = [run for row in table.rows for run in row.cells[0]]
        named_alone = {run.figure.id for run in shown if isinstance(run, Value)}
        # Three and more in a row are named by their first and last.
        spans = any(isinstance(run, Words) and "to" in run.text for run in shown)
        assert named_alone <= orders
        assert named_alone == orders or spans


def test_the_largest_row_of_the_track_table_is_followed_by_a_stop(decks: list[Deck]) -> None:
    for deck in decks:
        found = tables(named(deck, "track"), "track-rows", "track-first")
        assert found
        assert all(table.rows[-1].stop and not any(row.stop for row in table.rows[:-1]) for table in found)


def test_a_rule_between_two_rules_gets_a_table_of_its_own_for_the_first_change(complete: Deck) -> None:
    captions = [line for line in text_of(complete, "track").splitlines() if "TABLE track-" in line]
    assert [caption.partition(":")[2].strip() for caption in captions] == [
        "On each blade, opposite ways: the first change",
        "On each blade, opposite ways: every change after it",
    ]


def test_where_both_blades_move_the_card_says_so_for_each_high_blade(complete: Deck) -> None:
    text = " ".join(text_of(complete, "track").split())
    for high, low in (("A", "B"), ("B", "A")):
        assert f"If blade {high} flies high: lower blade {high}, raise blade {low}." in text
        assert f"On {high}: loosen the one marked one groove, then tighten the one marked two grooves." in text
        assert f"On {low}: loosen the one marked two grooves, then tighten the one marked one groove." in text
    # The maker's own words stand beside.
    assert complete.spec.track.said is not None
    assert f"‹{complete.spec.track.said.lower_a}›" in text


def test_a_track_that_is_read_and_not_adjusted_has_no_table(build: Builder, shape_text: str) -> None:
    head, tail = shape_text.split("[track]\n")
    rest = tail[tail.index("[run]") :]
    deck = build(head + '[track]\nmethod = "none"\nsource = "BOOK-A p.1"\n\n' + rest)
    text = text_of(deck, "track")
    assert "Read, never adjusted." in text
    assert "TABLE track-rows" not in text
    assert "second-reading" not in {card.id for card in deck.cards}


def test_general_cards_do_without_their_optional_groups(build: Builder, shape_text: str) -> None:
    text = shape_text
    for group in ("straps", "run", "care", "wrenches", "aircraft", "print"):
        text = without_group(text, group)
    deck = build(text)
    assert {"assembly", "run-up", "care", "torque", "cover"} <= {card.id for card in deck.cards}
    assert "No setting here." in text_of(deck, "torque")


def test_a_draft_says_so_and_an_issue_shows_revision_code_and_date(complete: Deck) -> None:
    from datetime import date

    draft = text_of(complete, "cover")
    assert "DRAFT, not issued" in draft
    spec = complete.spec
    stamp = Stamp(3, "ABCD-EFGH-J", date(2026, 7, 2))
    issued = text_of(build_deck(spec, compute(spec), (), stamp, ("torque: 160 to 165",)), "cover")
    assert "DRAFT" not in issued
    assert all(f"‹{text}›" in issued for text in ("3", "ABCD-EFGH-J", "2026-07-02", "torque: 160 to 165"))


def test_warnings_and_overrides_are_printed_on_the_cover(complete: Deck) -> None:
    doubt = Problem("a.toml", 1, 1, "track.points", "track-rate", "30", "the rule is far from physics", "")
    deck = build_deck(complete.spec, compute(complete.spec), (doubt,), Stamp())
    assert "‹track, points: the rule is far from physics›" in text_of(deck, "cover")
    assert deck.warnings == (doubt,)


def test_a_doubt_about_a_card_s_numbers_stands_on_that_card_too(complete: Deck) -> None:
    about = {"track": "track.points[1].rule", "torque": "fasteners[2].torque_max", "head": "head.radial_play"}
    doubts = [
        Problem("a.toml", 1, 1, key, "a-rule", "x", f"doubt about {card}", "") for card, key in about.items()
    ]
    deck = build_deck(complete.spec, compute(complete.spec), doubts, Stamp())
    for card in about:
        found = {each.id for each in deck.cards if f"doubt about {card}" in readable(each)}
        assert found == {"cover", card}


def test_an_override_of_a_track_flag_stands_on_the_track_card(build: Builder, shape_text: str) -> None:
    """The sample rule lies far from what the blade's size suggests, and was let pass by name."""
    deck = build(with_far_rule(shape_text))
    assert "‹track-rule-physics›, by ‹inspector on duty›" in text_of(deck, "track")
    assert "track-rule-physics" in text_of(deck, "cover")
    assert "track-rule-physics" not in text_of(deck, "torque")


def with_far_rule(text: str) -> str:
    """Four times the rule of each point, with the override that such a rule needs."""
    far = text.replace('rule = "26 thou/in"', 'rule = "104 thou/in"').replace(
        'rule = "23 thou/in"', 'rule = "92 thou/in"'
    )
    assert far != text
    return far + "".join(
        f'\n[[overrides]]\nrule = "track-rule-physics"\nreason = "confirmed in writing"\n'
        f'key = "track.points[{place}].rule"\nvalue = "{rule} thou/in"\n'
        'document = "BOOK-A"\nacknowledged_by = "inspector on duty"\ndate = 2026-03-16\n'
        for place, rule in ((1, 104), (2, 92))
    )


def test_hostile_words_of_a_specification_reach_the_card_unchanged(build: Builder, shape_text: str) -> None:
    hostile = "{{ 7*7 }} <step>&amp; ]]> 'x'"
    deck = build(edited(shape_text, "rotor.marks_at", f'"{hostile}"'))
    assert f"‹{hostile}›" in text_of(deck, "cover")
    assert f"‹{hostile}›" in text_of(deck, "track")


def test_the_same_specification_gives_the_same_deck(complete: Deck, build: Builder, shape_text: str) -> None:
    again = build(shape_text)
    assert [readable(card) for card in again.cards] == [readable(card) for card in complete.cards]
    assert replace(again, spec=complete.spec, figures=complete.figures).left_out == complete.left_out


def test_a_teeter_bolt_is_fitted_by_feel_and_never_clamped(complete: Deck) -> None:
    text = text_of(complete, "install")
    assert text.index("Clamped, the teeter bolt") < text.index("by feel, no torque")


def test_the_maker_s_bolts_are_named_and_guarded(build: Builder, shape_text: str) -> None:
    torque = text_of(build(many_bolts(shape_text, 3, "row", [1, 2], makers=1)), "torque")
    assert "A bolt with a cross is the maker's." in torque
    assert "Not to be touched: doubler, station 3, fitted by the maker." in torque


def test_the_maker_s_bolts_that_no_paper_numbers_are_named_in_words_and_drawn_nowhere(
    build: Builder, shape_text: str
) -> None:
    text = many_bolts(shape_text, 3, "row", [1, 2], makers=1).replace("stations = [3]\n", "")
    deck = build(text)
    for card in ("assembly", "torque"):
        said = text_of(deck, card)
        guard, named = said.index("no map shows them"), said.index("Leave these alone")
        assert guard < named < said.index("doubler", named) < named + 30
        assert "with a cross" not in said
        assert "Not to be touched" not in said


def test_every_card_that_prints_doubts_has_a_place_for_them() -> None:
    doubted = {name for name, card in listed_cards().items() if card.groups or card.flags}
    assert len(doubted) > 10
    for card in doubted | {"cover"}:
        assert 'include "parts/doubts.xml.j2"' in (CARDS / f"{card}.xml.j2").read_text(encoding="utf-8")
