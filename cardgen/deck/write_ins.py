"""The boxes of a card, wherever on it they stand: the form has a field for each."""

from __future__ import annotations

from collections.abc import Iterable

from cardgen.deck.card import Section, WriteIn
from cardgen.deck.walk import walk


def write_ins(sections: Iterable[Section]) -> tuple[WriteIn, ...]:
    """Every box of these sections, in reading order: in steps, in tables and by themselves."""
    return tuple(place.box for place in walk(sections) if place.box)
