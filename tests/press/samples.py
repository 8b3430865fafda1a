"""The decks of the sample specifications, for tests that ask about whole decks."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck
from cardgen.figures import compute
from cardgen.spec.load import Loaded, load
from tests.press.screen_deck import ISSUED

SAMPLES = sorted((Path(__file__).parents[2] / "sample_inputs").glob("*.toml"))


@cache
def sample(path: Path) -> Deck:
    """Build the deck of one sample, as if it had been issued."""
    loaded = load(path, date(2026, 11, 25))
    assert isinstance(loaded, Loaded) and loaded.spec, loaded
    return build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, ISSUED)
