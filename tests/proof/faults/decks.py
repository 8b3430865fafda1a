"""The samples' decks, built, printed and laid out once for all faults that are planted in them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck, Stamp
from cardgen.figures import compute
from cardgen.press.deck_json import to_json
from cardgen.press.edition import Edition, load_edition
from cardgen.press.marks import Side
from cardgen.press.notice import copied_notice, lay_out_notice
from cardgen.press.publish import Printed, print_edition, screens
from cardgen.proof.meaning.asked import Asked
from cardgen.proof.meaning.compare import asked_of
from cardgen.spec.load import Loaded, load_bytes

_TREE = Path(__file__).parents[3]
_DAY = date(2026, 11, 25)
_ISSUED = Stamp(2, "ABCD-EFGH-7", _DAY, "reader", _DAY, "inspector")
_STAMPS = MappingProxyType({"issued": _ISSUED, "draft": Stamp()})


@cache
def deck_of(rotor: str, state: str) -> Deck:
    """Build a sample's deck once."""
    file = _TREE / "sample_inputs" / f"{rotor}.toml"
    read = load_bytes(file.read_bytes(), file.name, _DAY)
    assert isinstance(read, Loaded) and read.spec is not None
    return build_deck(read.spec, compute(read.spec), (), _STAMPS[state])


@cache
def asked_of_sample(rotor: str, state: str) -> Asked:
    """Work out once what a sample's deck must say."""
    deck = deck_of(rotor, state)
    return asked_of(deck.spec.text, deck.figures, deck.stamp)


def edition_of(rotor: str, state: str, edition: str) -> Edition:
    """Read an edition for a sample's paper."""
    paper = deck_of(rotor, state).spec.print
    return load_edition(edition, paper.paper if paper else "iso")


@cache
def printed_of(rotor: str, state: str, edition: str) -> Printed:
    """Print one of a sample's editions once."""
    made = print_edition(deck_of(rotor, state), edition_of(rotor, state, edition))
    assert isinstance(made, Printed)
    return made


@cache
def screens_of(rotor: str, state: str) -> Mapping[str, bytes]:
    """Make a sample's screens and text once."""
    return screens(deck_of(rotor, state))


@cache
def copied_sides(rotor: str) -> tuple[Side, ...]:
    """Lay out once the sheet on which a sample is read."""
    laid = lay_out_notice(copied_notice(deck_of(rotor, "draft")))
    return tuple(side for side in laid if isinstance(side, Side))


@cache
def told_of(rotor: str) -> Mapping[str, Any]:
    """Give the description of a sample's draft once."""
    told: Mapping[str, Any] = json.loads(to_json(deck_of(rotor, "draft")))
    return told
