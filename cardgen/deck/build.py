"""From a specification and its figures to the deck: every card this rotor has, in the order of work."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from cardgen.deck.bolts import bolt_book
from cardgen.deck.card import Card, Deck, Stamp
from cardgen.deck.card_warnings import doubts_about
from cardgen.deck.care import changes_undo
from cardgen.deck.context import CardContext
from cardgen.deck.cover import CoverWords
from cardgen.deck.diagrams import diagram
from cardgen.deck.diagrams.move_lines import moves_are_drawn, moves_are_lettered
from cardgen.deck.diagrams.patterns import patterns_are_drawn
from cardgen.deck.diagrams.pins import pin_along_strap, pin_can_be_drawn
from cardgen.deck.diagrams.strap_map import places_are_drawn
from cardgen.deck.library import Library, library
from cardgen.deck.listed_cards import listed_cards
from cardgen.deck.papers import Papers, with_papers
from cardgen.deck.practice import practice
from cardgen.deck.reader import Shelf, read_card
from cardgen.deck.selection import cards_of, left_out
from cardgen.deck.templates import render
from cardgen.deck.track_card import TrackWords
from cardgen.figures import Figures
from cardgen.figures.balance import LeadRow
from cardgen.layouts_root import edition_names
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Problem

#: The edition that is read before the day: it has what no hand at the work needs.
READ_AT_A_TABLE = "handout"
#: The edition that hangs where the work is done.
ON_THE_WALL = "wall"
#: What stands where the code would stand while no register knows the deck.
DRAFT = "DRAFT"


def build_deck(
    spec: RotorSpec,
    figures: Figures,
    warnings: Sequence[Problem],
    stamp: Stamp,
    changes: Sequence[str] = (),
    only: Collection[str] = (),
) -> Deck:
    """Build every card of a rotor, or only some of them.

    ``warnings`` are printed on the cover, and so are the ``changes`` since the deck before.
    Raises `BuildFault` where a template is at fault; a specification never is.
    """
    cover = CoverWords(spec, stamp, tuple(changes), cards_of(spec), left_out(spec))
    context = _context(spec, figures, cover)
    shelf = Shelf(_words(spec), figures.all, partial(diagram, spec, figures), partial(payload, spec, stamp))
    papers = Papers(spec, figures.all)
    return Deck(
        spec=spec,
        figures=figures.all,
        stamp=stamp,
        cards=tuple(
            with_papers(
                _card(name, context | {"doubts": doubts_about(name, spec, warnings)}, shelf),
                papers,
                _elsewhere(),
            )
            for name in cover.cards
            if name in (only or cover.cards)
        ),
        left_out=cover.left_out,
        warnings=tuple(warnings),
        names=cover.cards,
        only=tuple(only),
    )


def _words(spec: RotorSpec) -> Library:
    """Give the fixed words; without a form there is nothing to scan but the code."""
    known = library()
    if spec.log is not None:
        return known
    return replace(known, terms={**known.terms, "scan-log": known.terms["scan-code"]})


def payload(spec: RotorSpec, stamp: Stamp, card: str) -> str:
    """Make what a card's code says: the form's address, the deck's code and the card, nothing personal.

    Both stand after the ``#``, which a browser keeps to itself (RFC 3986, section 3.5). Without an address
    it says set, revision, code and card as plain text.
    """
    code = stamp.code or DRAFT
    if spec.log is None:
        revision = f" r{stamp.revision}" if stamp.revision is not None else ""
        return f"{spec.rotor.set_id}{revision} {code} {card}"
    return f"{spec.log.form_url}#c={code}&k={card}"


def _context(spec: RotorSpec, figures: Figures, cover: CoverWords) -> dict[str, Any]:
    facts = CardContext(spec, figures.all)
    return {
        "spec": spec,
        "fig": facts.fig,
        "said": facts.said,
        "has": facts.has,
        "given": facts.given,
        "each": facts.each,
        "limit": facts.limit,
        "locks": {lock.subject: lock.serves for lock in figures.locks},
        "known": facts.known,
        "cover": cover,
        "balance": figures.balance,
        "lead_rows": _every_other(figures.balance.rows) if figures.balance else (),
        "castle": figures.castle,
        "practice": practice(figures),
        "changes_undo": changes_undo(),
        "bolts": bolt_book(spec, figures.fastening),
        "patterns_are_drawn": patterns_are_drawn(spec),
        "places_are_drawn": places_are_drawn(spec, figures),
        "moves_are_lettered": moves_are_lettered(spec),
        "moves_are_drawn": moves_are_drawn(spec),
        "pin_beside_nut": pin_along_strap(spec),
        "pin_can_be_drawn": pin_can_be_drawn(spec),
        "track": TrackWords(spec, figures.track),
        "runs": ("first", "second", "third", "fourth"),
        "tips_title": listed_cards()["sealing"].title,
        "off_wall": " ".join(name for name in edition_names() if name != ON_THE_WALL),
        "elsewhere": " ".join(_elsewhere()),
    }


def _elsewhere() -> tuple[str, ...]:
    return tuple(name for name in edition_names() if name != READ_AT_A_TABLE)


def _every_other(rows: Sequence[LeadRow]) -> Sequence[LeadRow]:
    """Give a long table of lead with every other row, the last among them; a slug is weighed in any case."""
    return rows[::-2][::-1] if len(rows) > 5 else rows


def _card(name: str, context: dict[str, Any], shelf: Shelf) -> Card:
    return read_card(render(name, context | {"card": listed_cards()[name]}), name, shelf)
