"""What a reader is told, sentence by sentence, on the finished cards of every kind of rotor.

Twenty words a sentence: ASD-STE100, as summarised in public guides. Every step asks for something to be done.
A value with its unit, and a list of values, count as one word. Words quoted from a specification
are the maker's and are not judged.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from cardgen.deck.card import Card, Runs, Said, Step, Value, Was, WriteIn
from cardgen.deck.walk import Place, walk
from tests.deck.wording import FIRST_VERBS, asks, sentences, words
from tests.press.samples import SAMPLES, sample
from tests.press.variants import TEXTS, deck_of

LONGEST = 20
#: Stands for a value and for words of the specification.
_QUOTED = "this"
_SYMBOLS = re.compile(r"[+=<>×÷±≤≥≈→←↑↓°%/\\*^~|#@&$€§µ½¼¾Δαβγδ]")


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    """Every card of the samples and of every kind of rotor, by rotor and card."""
    decks = {**{path.stem: sample(path) for path in SAMPLES}, **{name: deck_of(name) for name in TEXTS}}
    return {f"{name}: {card.id}": card for name, deck in decks.items() for card in deck.cards}


def spoken(runs: Runs) -> str:
    """What is said in the card's own words, everything else as one word."""
    said = ""
    for run in runs:
        match run:
            case Value() | Said():
                said += _QUOTED
            case WriteIn() | Was():
                pass
            case _:
                said += run.text
    return re.sub(f"{_QUOTED}(, {_QUOTED})+", _QUOTED, " ".join(said.split()))


def steps(card: Card) -> Iterator[Step]:
    return (place.step for place in walk(card.sections) if place.step and place.what == "step")


def speech(card: Card) -> Iterator[str]:
    """Every piece of speech of a card."""
    yield from (card.title, card.phase)
    for place in walk(card.sections):
        yield spoken(place.says)
        yield from _own_words(place)


def _own_words(place: Place) -> Iterator[str]:
    if place.what == "section":
        yield place.section.title
    if place.table and place.what == "table":
        yield from (place.table.caption, *(column.head for column in place.table.columns))
    if place.box:
        yield place.box.label


def test_there_are_cards_of_both_samples_and_of_every_kind(cards: dict[str, Card]) -> None:
    assert len(cards) > 300
    assert sum(1 for card in cards.values() for _ in steps(card)) > 3000


def test_no_sentence_of_any_card_is_longer_than_twenty_words(cards: dict[str, Card]) -> None:
    long = {
        part
        for card in cards.values()
        for text in speech(card)
        for part in sentences(text)
        if words(part) > LONGEST
    }
    assert not long


def test_every_step_asks_for_something_in_at_most_five_short_sentences(cards: dict[str, Card]) -> None:
    told = {(name, spoken(step.says)) for name, card in cards.items() for step in steps(card)}
    assert not {says for _, says in told if not asks(says)}
    # A colon opens a list of checks or a value, which ends the sentence as well.
    assert not {says for _, says in told if len(sentences(says)) > 5 or says[-1] not in ".:" + _QUOTED[-1]}


def test_every_step_has_its_reason(cards: dict[str, Card]) -> None:
    assert not {spoken(step.says) for card in cards.values() for step in steps(card) if not step.why}


def test_nothing_is_ticked_while_the_rotor_turns(cards: dict[str, Card]) -> None:
    """Until the rotor is still again no hand is free to tick: common practice, no source."""
    for name, card in cards.items():
        if card.id not in {"run-up", "track"}:
            continue
        turning = False
        for step in steps(card):
            text = spoken(step.says)
            if "chock comes off last" in text or "Hold each speed" in text or "each speed steady" in text:
                turning = True
            if "Make it still" in text or "Stop the rotor" in text:
                turning = False
            if turning:
                assert not step.ticks and not any(check.ticks for check in step.checks), (name, text)


def test_a_rotor_is_made_still_before_hands_are_at_it(cards: dict[str, Card]) -> None:
    for name, card in cards.items():
        if card.id in {"head", "pitch", "teeter", "care"}:
            first = next(steps(card))
            assert spoken(first.says).startswith("Make it still"), name
            assert [caution.id for caution in first.cautions] == ["hands-at-hub"], name


def test_no_symbol_sign_or_formula_stands_on_any_card(cards: dict[str, Card]) -> None:
    found = {text for card in cards.values() for text in speech(card) if _SYMBOLS.search(text)}
    assert not found


def test_every_caution_is_whole_sentences_and_no_hidden_action(cards: dict[str, Card]) -> None:
    said = {
        spoken(caution.says) for card in cards.values() for step in steps(card) for caution in step.cautions
    }
    assert len(said) > 15
    for text in said:
        assert text.endswith(".")
        assert not [part for part in sentences(text) if part.split()[0] in FIRST_VERBS]


def test_steps_are_numbered_without_a_gap_from_one(cards: dict[str, Card]) -> None:
    for card in cards.values():
        assert [step.number for step in steps(card)] == list(range(1, sum(1 for _ in steps(card)) + 1))


@pytest.mark.parametrize("mark", ["±", "°", "%", "<", "/", "½"])
def test_the_search_for_symbols_finds_one(mark: str) -> None:
    assert _SYMBOLS.search(f"Set the dial {mark} here.")
