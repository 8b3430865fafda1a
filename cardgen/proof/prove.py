"""The whole proof of a printed deck, in the one order that every command uses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from cardgen.deck.card import Deck
from cardgen.press.edition import Edition
from cardgen.press.publish import Printed, publish
from cardgen.proof.by_place import check_places
from cardgen.proof.finished import opened
from cardgen.proof.geometry import check_clips, check_geometry
from cardgen.proof.ink import check_ink
from cardgen.proof.second_path import check_second_path


@dataclass(frozen=True)
class Against:
    """Why a deck may not leave the program: text that does not fit, or a proof that failed; a line each."""

    kind: Literal["fit", "proof"]
    lines: tuple[str, ...]


def print_proved(deck: Deck, editions: Sequence[Edition]) -> Printed | Against:
    """Print a deck and prove it. This is the only way from a deck to files that a keeper gets."""
    printed = publish(deck, editions)
    if isinstance(printed, tuple):
        return Against("fit", tuple(str(overflow) for overflow in printed))
    if against := prove(printed, deck):
        return Against("proof", shortened(against))
    return printed


def prove(printed: Printed, deck: Deck) -> tuple[str, ...]:
    """Say in one line each what stands against a printed deck; nothing where the proof holds.

    The figures are computed a second time first; then each file's record is examined, and the
    finished file is read back and looked at.
    """
    return tuple(_sums(deck)) + tuple(_files(printed, deck))


def shortened(against: Sequence[str], most: int = 12) -> tuple[str, ...]:
    """Keep the first lines and count the rest: one fault of a layout shows on every page."""
    if len(against) <= most:
        return tuple(against)
    return (*against[:most], f"and {len(against) - most} more")


def _sums(deck: Deck) -> Iterator[str]:
    for each in check_second_path(deck.spec.text, deck.figures):
        yield f'figure {each.figure}: "{each.expected}" by the second calculation, "{each.found}" by the first'


def _files(printed: Printed, deck: Deck) -> Iterator[str]:
    for name, sides in printed.layouts.items():
        with opened(printed.files[name]) as pdf:
            faults = (
                *check_geometry(sides),
                *check_places(pdf, sides, deck),
                *check_clips(pdf),
                *check_ink(pdf, sides),
            )
        yield from (f"{name}: {fault}" for fault in faults)
