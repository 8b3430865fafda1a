"""What would change on the cards if a specification were issued now, in the words of a comparison."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from typing import Any

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.press.deck_json import to_json
from cardgen.register.changes import compare, titles_of
from cardgen.register.compare_lines import lines, rotor_lines, rotor_of, taken_down
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Problem


def described(spec: RotorSpec, warnings: tuple[Problem, ...]) -> dict[str, Any]:
    """Describe the deck that a specification makes. Raises `BuildFault` where a layout is at fault."""
    # Stamped, so that an issued deck does not differ from it by being issued.
    deck = build_deck(spec, compute(spec), warnings, Stamp(1, "", date.min, "...", date.min, "..."))
    told = json.loads(to_json(deck))
    assert isinstance(told, dict)
    return told


def compared_lines(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[str, ...]:
    """Say what differs between two described decks, the weightiest first."""
    comparison = compare(before, after)
    first = (
        *rotor_lines(rotor_of(before), rotor_of(after)),
        *taken_down(before, after, comparison),
    )
    return (*first, *lines(comparison, titles_of(before, after)))
