"""Every guard that keeps somebody alive: the card and step it stands before, in each edition with that card.

Common practice of the trade, no source: which hazards of a two-blade rotor hurt, and at which hand's work.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from cardgen.deck.card import Deck, Step, Steps, Stop
from cardgen.deck.shown import shown_on
from cardgen.press.plain import plainly

PAPERS = ("pouch", "handout", "large")
ALL = ("wall", *PAPERS)

#: Guard, card, words of the caution, words of the step it stands before, editions.
GUARDS = (
    ("other diameter or old card", "cover", "old card", "issued deck", PAPERS),
    ("other diameter or old card", "cover", "old card", "serials and marks", PAPERS),
    ("A and B ends", "assembly", "wrong end of the bar", "Match each root", PAPERS),
    ("A and B ends", "install", "wrong way round", "Match A and B", PAPERS),
    ("maker's bolts", "torque", "cross is the maker's", "Find each bolt", ALL),
    ("hold before pins", "torque", "nobody can check", "Check each bolt", ALL),
    ("never back", "torque", "turned back", "first slot", ALL),
    ("teeter clamped", "torque", "Clamped", "Leave the teeter bolt", ALL),
    ("teeter clamped", "install", "Clamped", "its nut", PAPERS),
    ("teeter clamped", "teeter", "Clamped", "Teeter slowly", PAPERS),
    ("place of the lead", "sealing", "rear of a blade", "Fit the slug", PAPERS),
    ("hold of the lead", "sealing", "comes loose", "Fit the slug", PAPERS),
    ("breather", "sealing", "breather closed", "threadlocker", PAPERS),
    ("cure", "sealing", "Before it has cured", "not to be turned", PAPERS),
    ("hands at the hub", "head", "turns by itself", "Make it still", PAPERS),
    ("hands at the hub", "teeter", "turns by itself", "Make it still", PAPERS),
    ("hands at the hub", "track", "turns by itself", "Make it still", ALL),
    ("hands at the hub", "care", "turns by itself", "Make it still", PAPERS),
    ("hands at the hub", "shake", "turns by itself", "Take the trial mass out", PAPERS),
    ("disc plane", "run-up", "along the disc", "Send everybody", ALL),
    ("people", "run-up", "hardly seen", "Send everybody", ALL),
    ("disc plane", "track", "along the disc", "disc's plane", PAPERS),
    ("slow rotor in wind", "run-up", "slow rotor in wind", "nose into the wind", ALL),
    ("rotor brought up too fast", "run-up", "too fast", "up slowly", ALL),
    ("touching a turning blade", "track", "turning blade takes", "Call the high blade", PAPERS),
    ("low rotor speed", "pitch", "slows the rotor", "raises or lowers", PAPERS),
    ("wrong blade", "track", "wrong blade", "high blade", ALL),
    ("new zero", "track", "second zero", "read the dial", ALL),
    ("lock nut", "track", "loose lock nut", "Check", ALL),
    ("under a lifted rotor", "install", "lifted rotor", "Lift with", PAPERS),
    ("under a rolling rotor", "balance", "rolls off", "nobody under", PAPERS),
    ("new shake: land", "run-up", "new shake", "Land at once", ALL),
)
#: The same where only some rotors have the step.
SOMETIMES = (("low rotor speed", "track", "slows the rotor", "Turn the other blade", ALL),)


def guarded(deck: Deck, card_id: str, edition: str) -> Iterator[tuple[Step, str]]:
    """Every step of a card in an edition, with the cautions directly before it."""
    card = next(card for card in deck.cards if card.id == card_id)
    for section in shown_on(card, edition):
        for block in section.blocks:
            cautions = ""
            for step in block.steps if isinstance(block, Steps) else ():
                own = " ".join(plainly(caution.says) for caution in step.cautions)
                cautions = f"{cautions} {own}" if step.joined else own
                yield step, cautions


def unguarded(deck: Deck, row: tuple[str, str, str, str, tuple[str, ...]]) -> list[str]:
    """Name the editions in which no step of these words stands, or one without its caution."""
    _, card, caution, words, editions = row
    missing = []
    for edition in editions:
        steps = [cautions for step, cautions in guarded(deck, card, edition) if words in plainly(step.says)]
        if not any(caution in cautions for cautions in steps):
            missing.append(edition)
    return missing


@pytest.mark.parametrize("row", GUARDS, ids=lambda row: f"{row[0]}, {row[1]}")
def test_every_guard_stands_directly_before_its_step_in_every_edition(
    row: tuple[str, str, str, str, tuple[str, ...]], decks: list[Deck]
) -> None:
    having = [deck for deck in decks if row[1] in deck.order]
    assert having
    drawn = [deck for deck in having if row[0] != "maker's bolts" or _has_makers_bolts(deck)]
    assert drawn
    assert {deck.spec.rotor.set_id: missing for deck in drawn if (missing := unguarded(deck, row))} == {}


@pytest.mark.parametrize("row", GUARDS, ids=lambda row: f"{row[0]}, {row[1]}")
def test_no_edition_has_a_step_without_its_guard(
    row: tuple[str, str, str, str, tuple[str, ...]], decks: list[Deck]
) -> None:
    """Where a wall sheet leaves a step to the pouch, its guard goes with it; no step stands alone."""
    _, card, caution, words, editions = row
    for deck in (deck for deck in decks if card in deck.order):
        for edition in set(ALL) - set(editions):
            steps = [said for step, said in guarded(deck, card, edition) if words in plainly(step.says)]
            assert not steps or any(caution in said for said in steps), (deck.spec.rotor.set_id, edition)


def _has_makers_bolts(deck: Deck) -> bool:
    return any(bolt.where == "strap" and bolt.fitted_by == "maker" for bolt in deck.spec.fasteners)


@pytest.mark.parametrize("row", SOMETIMES, ids=lambda row: row[0])
def test_a_guard_stands_wherever_its_step_does(
    row: tuple[str, str, str, str, tuple[str, ...]], decks: list[Deck]
) -> None:
    having = [
        deck
        for deck in decks
        if any(row[3] in plainly(step.says) for step, _ in guarded(deck, row[1], "pouch"))
    ]
    assert having
    assert [deck.spec.rotor.set_id for deck in having if unguarded(deck, row)] == []


def test_the_second_person_is_called_before_anything_is_locked(decks: list[Deck]) -> None:
    for deck in decks:
        for edition in ALL:
            said = list(_torque(deck, edition))
            hold = next(at for at, words in enumerate(said) if words.startswith("HOLD"))
            locked = next(at for at, words in enumerate(said) if "first slot" in words)
            assert hold < locked
            assert "Check each bolt" in said[hold + 1]


def _torque(deck: Deck, edition: str) -> Iterator[str]:
    card = next(card for card in deck.cards if card.id == "torque")
    for section in shown_on(card, edition):
        for block in section.blocks:
            if isinstance(block, Stop):
                yield f"{block.word} {plainly(block.says)}"
            elif isinstance(block, Steps):
                yield from (plainly(step.says) for step in block.steps)


def test_the_most_lead_stands_on_the_card_that_puts_it_in(complete: Deck) -> None:
    card = next(card for card in complete.cards if card.id == "sealing")
    rows = [
        " ".join(plainly(cell) for cell in row.cells)
        for section in card.sections
        for block in section.blocks
        for row in getattr(block, "rows", ())
        if row.stop
    ]
    assert any(
        "in one tip, old lead counted: STOP" in row or "does not fit the cavity: STOP" in row for row in rows
    )


def test_what_is_not_given_stands_in_a_stop_of_its_own(decks: list[Deck]) -> None:
    """FT-7400 has two: which way a pin's head points, and the split at which the work is done."""
    deck = next(deck for deck in decks if deck.spec.rotor.set_id == "FT-7400")
    stops = [
        (card.id, plainly(block.says))
        for card in deck.cards
        for section in card.sections
        for block in section.blocks
        if isinstance(block, Stop) and "NOT GIVEN: STOP, ASK THE MAKER" in plainly(block.says)
    ]
    assert sorted(card for card, _ in stops) == ["install", "track"]
