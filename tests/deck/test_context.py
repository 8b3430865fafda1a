"""What templates may ask, and what the word files may hold."""

from __future__ import annotations

from pathlib import Path

import pytest

from cardgen.deck import library as words
from cardgen.deck.bolts import bolt_book, labels
from cardgen.deck.card import Deck
from cardgen.deck.context import CardContext, path_of
from cardgen.deck.fault import BuildFault
from cardgen.figures import compute
from cardgen.spec.problem import key_of
from tests.deck.conftest import Builder
from tests.deck.test_diagrams import many_bolts
from tests.editing import edited


@pytest.mark.parametrize(
    "key", ["rotor.set_id", "fasteners[3].torque_max", "string.checks[1].limit", "straps.notes[2]"]
)
def test_a_key_leads_to_the_path_that_is_written_so(key: str) -> None:
    assert key_of(path_of(key)) == key


@pytest.mark.parametrize("key", ["", "rotor..set_id", "Rotor.set_id", "fasteners[x].name", "fasteners[1]name"])
def test_what_is_no_key_is_refused(key: str) -> None:
    with pytest.raises(LookupError, match="is not a key"):
        path_of(key)


def test_a_value_is_quoted_as_it_was_typed(complete: Deck) -> None:
    facts = CardContext(complete.spec, complete.figures)
    assert facts.said("fasteners[1].thread") == '<said key="fasteners[1].thread">3/8-24</said>'
    assert facts.said("authority.use_until").unescape().count("-") == 2


def test_a_thread_and_a_choice_are_said_in_our_words(build: Builder, shape_text: str) -> None:
    text = edited(shape_text, "fasteners[1].thread", "'3/8″-24 UNF'")
    deck = build(edited(text, "fasteners[1].locking", '"split pin"'))
    facts = CardContext(deck.spec, deck.figures)
    assert facts.said("fasteners[1].thread") == '<said key="fasteners[1].thread">3/8-24</said>'
    assert facts.said("fasteners[1].locking") == '<said key="fasteners[1].locking">cotter pin</said>'


def test_what_the_specification_does_not_give_cannot_be_quoted_or_shown(complete: Deck) -> None:
    facts = CardContext(complete.spec, complete.figures)
    assert not facts.has("fasteners[99].name")
    assert not facts.has("rotor.colour")
    assert not facts.has("fasteners[4].torque_min")
    with pytest.raises(LookupError, match=r"the specification has no rotor\.colour"):
        facts.said("rotor.colour")
    with pytest.raises(LookupError, match=r"there is no figure rotor\.colour"):
        facts.fig("rotor.colour")


def test_three_bolts_in_a_row_are_named_first_to_last(build: Builder, shape_text: str) -> None:
    spec = build(many_bolts(shape_text, 5, "row", [1, 2, 3, 4, 5])).spec
    bolts = bolt_book(spec, compute(spec).fastening).straps
    text = labels([bolts[0], bolts[1], bolts[2], bolts[4]])
    shown = '<value id="torque.strap.{}.order" show="number"/>'
    assert text == f"{shown.format(1)} to {shown.format(3)}, {shown.format(5)}"
    assert labels(bolts[:2]) == f"{shown.format(1)}, {shown.format(2)}"


def test_bolts_are_listed_in_the_maker_s_order_and_not_by_station(build: Builder, shape_text: str) -> None:
    spec = build(many_bolts(shape_text, 4, "circle", [1, 3, 2, 4])).spec
    assert [bolt.station for bolt in bolt_book(spec, compute(spec).fastening).straps] == [1, 3, 2, 4]


def test_bolts_that_share_every_number_share_one_table_and_those_locked_otherwise_have_their_own(
    complete: Deck,
) -> None:
    book = bolt_book(complete.spec, compute(complete.spec).fastening)
    # One has a castle nut, which is set to the least; the two others aim at the middle.
    assert [len(use.bolts) for use in book.settings] == [1, 2]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ('[a]\nsignal = "DANGER"\ntext = "x"', "there is no signal word DANGER"),
        ('[a]\nsignal = "NOTE"', "a must have exactly signal, text"),
        ('[a]\nsignal = "NOTE"\ntext = "x"\nmore = "y"', "a must have exactly signal, text"),
        ('[a]\nsignal = "NOTE"\ntext = " "', "each with words"),
    ],
)
def test_a_caution_that_is_not_whole_stops_the_build(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, reason: str
) -> None:
    (tmp_path / "words").mkdir()
    (tmp_path / "words" / "cautions.toml").write_text(text, encoding="utf-8")
    (tmp_path / "words" / "terms.toml").write_text("", encoding="utf-8")
    monkeypatch.setattr(words, "layouts_root", lambda: tmp_path)
    with pytest.raises(BuildFault, match=reason):
        words.library.__wrapped__()
