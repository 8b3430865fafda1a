"""Decks that the tests of cards look at: each sample, the complete specification, edited ones."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TypeAlias

import pytest

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck, Stamp
from cardgen.figures import compute
from cardgen.spec.load import Loaded, load_bytes

Builder: TypeAlias = Callable[[str], Deck]


@pytest.fixture(scope="session")
def build(today: date) -> Builder:
    """Build the draft deck of a specification given as text; it must be one without problems."""

    def deck_of(text: str) -> Deck:
        loaded = load_bytes(text.encode(), "edited.toml", today)
        assert isinstance(loaded, Loaded)
        assert loaded.spec is not None, loaded.problems
        return build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())

    return deck_of


@pytest.fixture(scope="session")
def decks(build: Builder, sample_paths: list[Path], complete_path: Path) -> list[Deck]:
    """Every sample's deck, and that of the complete specification."""
    return [build(path.read_text(encoding="utf-8")) for path in [*sample_paths, complete_path]]


@pytest.fixture(scope="session")
def complete(build: Builder, shape_text: str) -> Deck:
    """The deck of the specification that has every group."""
    return build(shape_text)
