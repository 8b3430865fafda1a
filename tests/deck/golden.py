"""The stored text of every card of one specification, and the one command that writes it anew.

    python -m tests.deck.golden

The command is refused where CI is set: there, a text that changed by itself must fail.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.spec.load import load_bytes
from tests.deck.readable import readable

FOLDER = Path(__file__).parent / "golden"
_SPEC = Path(__file__).resolve().parents[1] / "spec" / "complete.toml"


@cache
def texts() -> dict[str, str]:
    """Give every card of the complete specification as readable text, by name."""
    loaded = load_bytes(_SPEC.read_bytes(), "complete.toml", date(2026, 7, 1))
    assert loaded.spec is not None, loaded.problems
    deck = build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())
    return {card.id: readable(card) for card in deck.cards}


def write(environment: Mapping[str, str], folder: Path = FOLDER) -> int:
    """Write the texts anew; give the exit code."""
    if environment.get("CI"):
        sys.stderr.write("refused: golden texts are not rewritten where CI is set\n")
        return 1
    folder.mkdir(exist_ok=True)
    for old in folder.glob("*.txt"):
        old.unlink()
    for name, text in texts().items():
        (folder / f"{name}.txt").write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(write(os.environ))
