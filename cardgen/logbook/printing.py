"""Paper from the log: a notice in the frame of the deck that it goes with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cardgen.deck.card import Card, Deck, Stamp
from cardgen.figures import Figure
from cardgen.logbook.keeping import IssuedDeck
from cardgen.press.edition import PaperKind
from cardgen.press.notice import Notice
from cardgen.proof.prove import Against, print_notice
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.identity import Authority, Blades, Rotor
from cardgen.spec.text import Text


def print_beside(deck: IssuedDeck, card: Card, figures: Mapping[str, Figure], foot: str) -> bytes | Against:
    """Print a sheet that goes with an issued deck, or say what stands against it."""
    stamp = Stamp(deck.row.revision, deck.row.code, deck.row.issued)
    paper: PaperKind = "ansi" if deck.kept.typed("print", "paper") == "ansi" else "iso"
    return print_notice(Notice(card, foot, paper, Deck(_in_frame(deck), figures, stamp, (card,))))


def _in_frame(deck: IssuedDeck) -> RotorSpec:
    """Take what a sheet's frame says of a rotor from the kept deck, without judging any of it again."""
    kept = deck.kept
    rotor: dict[str, Any] = {
        name: Text(kept.typed("rotor", name)) for name in ("mark_a", "mark_b", "hub_serial")
    }
    blades: dict[str, Any] = {name: Text(kept.typed("blades", name)) for name in ("serial_a", "serial_b")}
    groups = {
        "rotor": Rotor.model_construct(
            set_id=deck.row.set_id, alignment=kept.typed("rotor", "alignment"), **rotor
        ),
        "blades": Blades.model_construct(**blades),
        "authority": Authority.model_construct(use_until=deck.row.use_until),
    }
    return RotorSpec.of(groups, kept.text, {"rotor": {"diameter": kept.typed("rotor", "diameter")}})
