"""The next-step sheet: one change, for one rotor, for one run, from this rotor's own runs.

It is no card of the deck, has no code of its own and is on no list; the maker's table is never
touched. Its numbers carry the letter of what was measured on this rotor. Like a card, it is read
back from the finished PDF before anybody gets it.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any, Literal

from markupsafe import Markup

from cardgen.deck.context import path_of
from cardgen.deck.library import library
from cardgen.deck.listed_cards import listed_cards
from cardgen.deck.reader import Shelf, read_card
from cardgen.deck.templates import quoted, render
from cardgen.figures import Figure, Origin
from cardgen.figures.figure import computed
from cardgen.logbook.entry import Blade
from cardgen.logbook.keeping import IssuedDeck
from cardgen.logbook.kept_moves import kept_move
from cardgen.logbook.printing import print_beside
from cardgen.logbook.track_learning import Learned, NextStep
from cardgen.logbook.track_rule import NoRule, TrackRule
from cardgen.press.frame import day as in_words
from cardgen.proof.prove import Against
from cardgen.register.kept import KeptDeck
from cardgen.spec.bound import Bound
from cardgen.spec.units import quantity

_NAME = "next-step"
_FROM = "the runs in this rotor's log"
#: How a blade and the other one stand in a key.
_LETTERS: Mapping[Blade, tuple[Literal["a", "b"], Literal["a", "b"]]] = {"A": ("a", "b"), "B": ("b", "a")}
_CAPTIONS = {
    "one blade": "One blade only",
    "both blades, opposite": "Each blade, in opposite senses",
    "whole bar": "One adjuster for the whole bar",
}


def next_sheet(learned: Learned, deck: IssuedDeck, today: date) -> bytes | Against:
    """Print the next step as a PDF, or say what stands against it.

    Raises `ValueError` where no step may be made.
    """
    step, rule = learned.step, learned.history.rule
    if step is None or isinstance(rule, NoRule) or (rule.dial is None and rule.adjuster is None):
        raise ValueError("no step may be made")
    figures = {"track.max_total": deck.kept.figures["track.max_total"], **_figures(learned, step, rule)}
    markup = render(_NAME, _context(learned, step, rule, deck.kept, figures, today))
    card = read_card(markup, _NAME, Shelf(library(), figures, lambda _: None, lambda _: ""))
    return print_beside(deck, card, figures, "next-step sheet: for one run, then destroyed")


def _context(
    learned: Learned,
    step: NextStep,
    rule: TrackRule,
    kept: KeptDeck,
    figures: Mapping[str, Figure],
    today: date,
) -> dict[str, Any]:
    def said(key: str) -> Markup:
        words = kept.typed(*path_of(key))
        if not words:
            raise LookupError(f"the specification has no {key}")
        return quoted(words, key)

    mine, other = _LETTERS[step.blade]
    both = rule.moves == "both blades, opposite"
    return {
        "card": listed_cards()[_NAME],
        "fig": figures.__getitem__,
        "said": said,
        "known": figures.__contains__,
        "day": quoted(in_words(today)),
        "provisional": learned.provisional,
        "held_back": step.capped,
        "caption": f"{_CAPTIONS[rule.moves]}: lower blade {step.blade}",
        "unit": rule.scale.thin,
        "blade": step.blade,
        "mark": f"rotor.mark_{mine}",
        "lower": kept_move(kept, "to_lower", mine),
        "raise": kept_move(kept, "to_raise", other) if both else "",
        "added": rule.added,
        "total_blade": "A" if step.total > 0 else "B",
    }


def _figures(learned: Learned, step: NextStep, rule: TrackRule) -> dict[str, Figure]:
    """Make every number of the sheet; amounts are rounded down to the dial's mark, spreads up."""
    size, spread = abs(step.step), Fraction(step.uncertainty).limit_denominator(10_000)
    one_blade = rule.dial if rule.dial is not None else rule.adjuster or Fraction(1)
    total = abs(step.total) * one_blade
    made: list[Figure | None] = [_thin(rule, "next.total", total, "total after this step", Bound.AT_LEAST)]
    if rule.dial is not None:
        made.append(_thin(rule, "next.dial", size * rule.dial, "next step, as one blade's dial shows it"))
        made.append(
            _thin(rule, "next.dial-spread", spread * rule.dial, "one standard deviation", Bound.AT_LEAST)
        )
    if rule.adjuster is not None:
        made.append(_thin(rule, "next.adjust", size * rule.adjuster, "next step at one blade's adjuster"))
        made.append(_flats(rule, size * rule.adjuster))
    if learned.fit is not None and not learned.provisional:
        made.append(_rate(rule, "next.rate", learned.fit.rate, "own rate, fitted to the runs"))
        uncertain = Fraction(learned.fit.rate_uncertainty).limit_denominator(10_000)
        made.append(_rate(rule, "next.rate-spread", uncertain, "one standard deviation", Bound.AT_LEAST))
    return {figure.id: figure for figure in made if figure is not None}


def _thin(rule: TrackRule, name: str, thou: Fraction, formula: str, bound: Bound = Bound.AT_MOST) -> Figure:
    scale = rule.scale
    return computed(
        name,
        quantity(rule.thin(thou), scale.thin),
        scale.thin,
        decimals=scale.decimals,
        step=scale.mark,
        bound=bound,
        formula=formula,
        inputs=("track.rate",),
        reference=_FROM,
        origin=Origin.MEASURED,
    )


def _flats(rule: TrackRule, thou: Fraction) -> Figure | None:
    if rule.flat is None:
        return None
    return computed(
        "next.flats",
        quantity(thou / rule.flat, "flats"),
        "flats",
        decimals=1,
        bound=Bound.AT_MOST,
        formula="movement of the adjuster over a sixth of the thread's pitch, rounded down",
        inputs=("next.adjust", "track.adjuster_thread"),
        reference=_FROM,
        origin=Origin.MEASURED,
    )


def _rate(rule: TrackRule, name: str, rate: Fraction, formula: str, bound: Bound = Bound.NEITHER) -> Figure:
    inch = rule.scale.thin == "thou"
    return computed(
        name,
        quantity(rate if inch else rate / 1000, "thou/in" if inch else "mm/mm"),
        "thou/in" if inch else "mm/mm",
        decimals=1 if inch else 4,
        bound=bound,
        formula=formula,
        inputs=("track.rate",),
        reference=_FROM,
        origin=Origin.MEASURED,
    )
