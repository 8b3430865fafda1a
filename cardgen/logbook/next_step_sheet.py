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
from cardgen.logbook.fit_report import why_this
from cardgen.logbook.keeping import IssuedDeck
from cardgen.logbook.kept_moves import kept_move
from cardgen.logbook.printing import print_beside
from cardgen.logbook.track_learning import Learned, NextStep
from cardgen.logbook.track_rule import NoRule, TrackRule
from cardgen.press.frame import day as in_words
from cardgen.proof.prove import Against
from cardgen.register.kept import KeptDeck
from cardgen.spec.bound import Bound
from cardgen.spec.units import magnitude, quantity

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
    if step is None or isinstance(rule, NoRule):
        raise ValueError("no step may be made")
    figures = {**_limit(deck.kept), **_figures(learned, step, rule)}
    markup = render(_NAME, _context(step, rule, deck.kept, figures, today))
    card = read_card(markup, _NAME, Shelf(library(), figures, lambda _: None, lambda _: ""))
    return print_beside(deck, card, figures, "next-step sheet: for one run, then destroyed")


def _limit(kept: KeptDeck) -> Mapping[str, Figure]:
    """Find the largest total where the hand reads it, else as it is stated."""
    found = kept.figures.get("track.max_total_read") or kept.figures.get("track.max_total")
    return {} if found is None else {found.id: found}


def _context(
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

    blade = step.blade
    mine, other = _LETTERS[blade]
    both = rule.moves == "both blades, opposite"
    of = kept.typed("track", "max_total_of")
    return {
        "card": listed_cards()[_NAME],
        "fig": figures.__getitem__,
        "said": said,
        "known": figures.__contains__,
        "most": next(iter(_limit(kept)), ""),
        "day": quoted(in_words(today)),
        "why_this": quoted(why_this(step)),
        "caption": f"{_CAPTIONS[rule.moves]}: lower blade {blade}",
        "by_flats": rule.by_flats,
        "touching": rule.touching,
        "unit": "flats" if rule.by_flats else rule.scale.thin,
        "blade": blade,
        "mark": f"rotor.mark_{mine}",
        "lower": kept_move(kept, "to_lower", mine),
        "raise": kept_move(kept, "to_raise", other) if both else "",
        "added": of == "both, added" if of else rule.added,
        "total_blade": "A" if step.total > 0 else "B",
    }


def _figures(learned: Learned, step: NextStep, rule: TrackRule) -> dict[str, Figure]:
    """Make every number of the sheet; amounts are rounded down to the dial's mark, or to a tenth of a flat."""
    size = abs(step.step)
    made: list[Figure | None] = [
        _split(rule, "next.split", step.split, "mean of the last readings that agree"),
        _split(rule, "next.row-split", step.row_split, "row of the card at this split, or the next smaller"),
        _read(rule, "next.row", abs(step.row), "what the row of the card says"),
        _read(rule, "next.total", abs(step.total), "total after this step", Bound.AT_LEAST),
        _read(rule, "next.read", size, "next step, as the hand reads it on one blade"),
    ]
    if step.learned is not None:
        made.append(_read(rule, "next.learned", abs(step.learned), "what the fitted runs ask for"))
    if rule.adjuster is not None:
        made.append(_thin(rule, "next.adjust", size * rule.adjuster, "next step at one blade's adjuster"))
        made.append(None if rule.by_flats else _flats(rule, size * rule.adjuster))
    if learned.fit is not None:
        made.append(_rate(rule, "next.rate", learned.fit.rate, "own rate, fitted to the runs"))
    return {figure.id: figure for figure in made if figure is not None}


def _read(
    rule: TrackRule, name: str, amount: Fraction, formula: str, bound: Bound = Bound.AT_MOST
) -> Figure | None:
    """Give an amount of the rule as the hand reads it: in flats where it counts them, else on the dial."""
    turned = rule.flats(amount)
    if turned is None:
        return _thin(rule, name, amount * (rule.dial or 1), formula, bound)
    return computed(
        name,
        quantity(turned, "flats"),
        "flats",
        decimals=1,
        bound=bound,
        formula=formula,
        inputs=("track.rate", "track.adjuster_thread"),
        reference=_FROM,
        origin=Origin.MEASURED,
    )


def _split(rule: TrackRule, name: str, inches: Fraction, formula: str) -> Figure:
    unit = rule.scale.split
    return computed(
        name,
        quantity(magnitude(quantity(abs(inches), "in"), unit), unit),
        unit,
        decimals=2 if unit == "in" else 0,
        formula=formula,
        inputs=(),
        reference=_FROM,
        origin=Origin.MEASURED,
    )


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
