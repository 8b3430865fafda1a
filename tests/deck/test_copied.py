"""The sheet for the second reader: everything that was typed, in the order of the papers, on few pages."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from cardgen.deck.build import build_deck
from cardgen.deck.card import Card, Deck, Stamp
from cardgen.deck.context import path_of
from cardgen.deck.copied import check_of, doubts_of
from cardgen.deck.copied_values import copied_values
from cardgen.deck.landing import said_otherwise
from cardgen.figures import compute
from cardgen.layouts_root import layouts_root
from cardgen.press.notice import copied_notice
from cardgen.press.plain import to_text
from cardgen.proof.prove import print_notice
from cardgen.spec.load import Loaded, load, load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path as KeyPath
from tests.cli.running import INCH, METRIC
from tests.editing import edited, without_group

COMPLETE = Path(__file__).resolve().parents[1] / "spec" / "complete.toml"
#: They stand on the sheet as the heading and the first column, and as the list at its end.
SOURCES = {"source", "sources", "not_given"}


@cache
def deck_of(path: Path) -> Deck:
    loaded = load(path, date(2026, 7, 1))
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None, loaded.problems
    return build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())


def leaves(value: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """Walk the file as the language's own reader gives it; a list of plain values is one."""
    if isinstance(value, dict):
        for key, inside in value.items():
            if key not in SOURCES:
                yield from leaves(inside, (*path, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for place, inside in enumerate(value):
            yield from leaves(inside, (*path, place))
    else:
        yield path, value


@pytest.mark.parametrize("path", [INCH, METRIC, COMPLETE])
def test_every_value_of_the_file_stands_on_the_sheet_once_and_as_typed(path: Path) -> None:
    shown = [(each, value) for value in copied_values(deck_of(path)) for each in value.paths]
    typed = dict(leaves(tomllib.loads(path.read_text("utf-8"))))
    assert sorted(map(str, typed)) == sorted(str(each) for each, _ in shown)
    for each, row in shown:
        if isinstance(typed[each], str):
            assert typed[each] in row.typed


def test_pages_stand_in_a_reader_s_order_and_what_names_no_document_comes_last() -> None:
    """The sample names MAKER-1, CLUB-2 and GLUE-1, in this order."""
    values = copied_values(deck_of(INCH))
    assert list(dict.fromkeys(each.document for each in values)) == ["MAKER-1", "CLUB-2", "GLUE-1", ""]
    maker = [each.place for each in values if each.document == "MAKER-1" and each.place]
    pages = [int(place.removeprefix("p.")) for place in maker]
    assert pages == sorted(pages)
    # As text p.12 would come before p.3.
    assert maker.index("p.3") < maker.index("p.12")


def test_a_value_names_the_cards_that_print_it_or_a_number_made_from_it() -> None:
    rows = {path: each for each in copied_values(deck_of(INCH)) for path in each.paths}
    assert "Torque" in rows["fasteners", 0, "torque_min"].became
    # What the dial shows is the rule times this lever over that of the adjuster.
    assert "Track" in rows["track", "dial_lever"].became
    assert rows["rotor", "diameter"].became.startswith("25 ft 6 in")


def test_values_that_belong_together_share_a_row() -> None:
    rows = {path: each for each in copied_values(deck_of(INCH)) for path in each.paths}
    bolts = rows["fasteners", 0, "stations"]
    assert bolts.typed == "strap; 1, 2, 3, 4; root / middle, front / middle, rear / outer; strap bolt"
    assert rows["track", "to_lower", "a", "loosen"].typed == "one groove; two grooves"
    assert rows["track", "sides"].typed == "one groove / two grooves"
    assert rows["tightening", "abreast"].typed == "2, 3"
    # The same year and month stand on the paper, not a day that nobody knows.
    assert rows["documents", 2, "date"].typed.endswith("; 2024-11")


def test_what_is_not_given_stands_at_the_end_with_the_place_where_it_would_stand() -> None:
    """The metric sample lists two keys: the pin's head on Blatt 9, and a good split on Blatt 8."""
    text = " ".join(to_text(deck_of(METRIC)).partition("COPIED VALUES OF FT-7400")[2].split())
    asked = text.partition("NOT GIVEN: LOOK ONCE MORE")[2].partition("LEFT OUT")[0]
    assert "fasteners 2 (Schlagbolzen), pin head: MAKER-4 Blatt 9" in asked
    assert "track, good enough: MAKER-4 Blatt 8" in asked
    assert asked.count("MAKER-4") == 2
    assert "LOOK ONCE MORE" not in to_text(deck_of(INCH)).partition("COPIED VALUES")[2]


def test_the_sheet_lists_what_the_cover_says_is_left_out() -> None:
    """Damper and joint are no card of their own, and are left out all the same."""
    text = without_group(INCH.read_text("utf-8"), "hub")
    loaded = load_bytes(text.encode(), "rotor.toml", date(2026, 7, 1))
    assert loaded.spec is not None, loaded.problems
    deck = build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())
    (left,) = (lines for title, lines in doubts_of(deck) if title == "Left out")
    assert left[0].startswith("Damper and joint: left out, because the specification has no hub group")


def test_a_word_that_a_card_says_in_other_words_names_the_card_and_what_no_card_says_is_not_denied() -> None:
    deck = deck_of(INCH)
    rows = {each: value for value in copied_values(deck) for each in value.paths}
    assert rows["fasteners", 0, "threads"].typed == "dry"
    assert rows["fasteners", 0, "threads"].became == "Assembly, Torque, in other words"
    # The column of a table that bounds a torque stands on no card.
    assert rows["fasteners", 0, "nut"].became == "no card; checks"


@pytest.mark.parametrize("path", [INCH, METRIC, COMPLETE])
def test_every_value_lands_on_a_card_or_is_said_to_serve_something_else(path: Path) -> None:
    deck = deck_of(path)
    titles = {card.title for card in deck.cards}
    for row in copied_values(deck):
        became = row.became.rpartition(": ")[2].removesuffix(", in other words")
        assert became in {"every side", "no card; checks"} or {
            "no card; how the file is read": row.paths == (("schema",),),
            "no card; how cards are printed": row.paths[0][0] == "print",
        }.get(became, set(became.split(", ")) <= titles), row


#: Keys of which this page says that they serve the checks alone, each with another value.
JUDGED_ALONE = {
    "rotor.pitch": '"fixed"',
    "blades.chord": '"9 in"',
    "aircraft.mass": '"190 kg"',
    "fasteners[1].nut": '"shear"',
}


@pytest.mark.parametrize("key", JUDGED_ALONE)
def test_what_serves_the_checks_alone_changes_no_card(key: str) -> None:
    text = COMPLETE.read_text("utf-8")
    assert unjudged(text) == unjudged(edited(text, key, JUDGED_ALONE[key]))


#: Another choice for each that cards say in other words.
OTHERS: dict[str, str | None] = {
    "rotor.alignment": '"self-centring"',
    "rotor.drawn_a": '"dots 1"',
    "rotor.drawn_b": '"dots 2"',
    "fasteners[1].where": '"head"',
    "fasteners[1].stations": "[7]",
    "fasteners[2].places": '["one", "other"]',
    "fasteners[2].name": '"other bolt"',
    "tightening.abreast": None,
    "track.rule_reads": '"adjuster"',
    "track.sides": '["one groove", "red"]',
    "track.sides_drawn": '["grooves 1", "dots 2"]',
    "track.to_lower.b": '{ loosen = "red", tighten = "blue" }',
    "track.dial_offset": '"1 in"',
    "reflectors.pattern_a": '"square"',
    "reflectors.pattern_b": '"circle"',
    "run.track_read_in": '"flight"',
    "blades.strap_pads": '"none"',
    "fasteners[1].fitted_by": '"maker"',
    "fasteners[1].locking": '"lock wire"',
    "fasteners[1].threads": '"greased"',
    "fasteners[1].drag": '"included"',
    "fasteners[1].turned_at": '"head"',
    "tightening.pattern": '"circle"',
    "track.method": '"none"',
    "track.split": '"half"',
    "track.basis": '"one blade"',
    "track.set_by": '"flats"',
    "track.first_move": '"tighten"',
    "track.max_total_reads": '"adjuster"',
    "track.max_total_of": '"one blade"',
    "teeter.thrust": '"bearing"',
    "authority.jurisdiction": '"au"',
}


def test_every_choice_that_is_said_to_be_told_in_other_words_is_tried() -> None:
    listed = tomllib.loads((layouts_root() / "words" / "choices.toml").read_text("utf-8"))
    del listed["schema"]
    keys = {f"{group}.{key}" for group, held in listed.items() for key in held if isinstance(held[key], list)}
    assert keys == {re.sub(r"\[\d\]|\.b$", "", key) for key in OTHERS}


@pytest.mark.parametrize("key", OTHERS)
def test_another_choice_makes_another_card(key: str) -> None:
    """Nothing judges these rotors: that a card says something else is all that is asked."""
    # What the rules ask an entry to hold is said only where the keeper has not listed it.
    text = re.sub(r"(?m)^record .*$", "", COMPLETE.read_text("utf-8"))
    before, after = unjudged(text), unjudged(edited(text, key, OTHERS[key]))
    cards = said_otherwise(path_of(key))
    assert cards
    assert [card for card in cards if before[card] == after.get(card)] == []


@cache
def unjudged(text: str) -> dict[str, Card]:
    table = tomllib.loads(text, parse_float=Decimal)
    read = RotorSpec.model_validate(table)
    groups = {name: getattr(read, name) for name in RotorSpec.model_fields}
    spec = RotorSpec.of(groups, text.encode(), table)
    return {card.id: card for card in build_deck(spec, compute(spec), (), Stamp()).cards}


def test_the_sample_takes_at_most_four_sheets_and_the_check_is_on_the_last() -> None:
    pdf = print_notice(copied_notice(deck_of(INCH)))
    assert isinstance(pdf, bytes), pdf
    file = pypdfium2.PdfDocument(pdf)
    pages = [file[at].get_textpage().get_text_range() for at in range(len(file))]
    file.close()
    assert len(pages) <= 4
    assert check_of(deck_of(INCH)) in pages[-1]
    assert "Signature" in pages[-1]


def test_the_plain_text_says_the_same() -> None:
    deck = deck_of(INCH)
    text = to_text(deck).partition("COPIED VALUES OF NR-0306")[2]
    assert check_of(deck) in text
    words = " ".join(text.split())
    assert "175 in·lbf" in words
