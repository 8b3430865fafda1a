"""The codes on the finished sheets: two readers, an ink ruler, and what a bench does to a card.

Sizes are those of ISO/IEC 18004 (quiet zone of four modules, versions by capacity at level Q) and of
printing practice (whole printer dots, half a millimetre a module). The marks to pass are our own: nine
of ten damaged symbols read by both readers. ``python -m tests.bench.damage`` runs the whole sweep.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from cardgen.press.canvas import paint
from cardgen.press.edition import EditionName
from cardgen.press.marks import QrMark, Side
from cardgen.press.sheets import two_up
from tests.outside.damage import (
    Chance,
    Page,
    blot,
    blurred,
    both_read,
    folded,
    glare,
    photographed,
    veiled,
    worn,
    zbar_reads,
    zxing_reads,
)
from tests.outside.pages import EACH_ONCE, cut_out, drawn, payload, payloads, sheets, symbols
from tests.outside.photocopy import copied
from tests.press.samples import SAMPLES

# ISO/IEC 18004:2015, table 7, byte mode at level Q, versions 1 to 10 (from memory).
CAPACITY = [11, 20, 32, 46, 60, 74, 86, 108, 130, 151]
SEEDS = range(10)
PASS = 9

#: Pixels a module at which each effect is tried: a telephone held at the card, a copier's 300 dpi.
EFFECTS: dict[str, tuple[float, Callable[[Page, float, Chance], Page]]] = {
    "out of focus by 0.3 modules": (4, lambda page, module, chance: blurred(page, 0.3, module)),
    "an opaque blot on 12 %": (4, lambda page, module, chance: blot(page, 0.12, _side(page, module), chance)),
    "a lamp's image on half the side": (
        4,
        lambda page, module, chance: glare(page, 0.5, _side(page, module), chance),
    ),
    "stray light of a quarter": (4, lambda page, module, chance: veiled(page, 0.25)),
    "toner at 40 % with streaks": (6, lambda page, module, chance: worn(page, 0.4, chance)),
    "a fold one module wide": (4, folded),
    "two photocopies": (6, lambda page, module, chance: copied(page, chance, generations=2)),
    "a telephone tilted to 25 degrees, 2.5 pixels a module": (
        8,
        lambda page, module, chance: photographed(page, 2.5 / module, module, chance),
    ),
}


def _side(page: Page, module: float) -> float:
    """Side of the symbol without its quiet zone, in pixels."""
    return float(page.shape[0] - 8 * module)


@cache
def symbol(path: Path, pixels: float) -> tuple[Page, str]:
    """The track card's symbol from a pouch card of a sample, at so many pixels a module."""
    printed = sheets(path, "pouch")
    page, side = next(
        (page, side) for page, side in enumerate(printed.sides) if side.card_id == "track" and symbols(side)
    )
    (mark,) = symbols(side)
    dpi = pixels / mark.module * 72
    return cut_out(drawn(printed.pdf, page, dpi), side, mark, dpi), payload(printed.card(side))


def read_after(path: Path, effect: str, seeds: range) -> int:
    """Damage a symbol once a seed, and count how often both readers still read it."""
    pixels, damage = EFFECTS[effect]
    page, says = symbol(path, pixels)
    return sum(says in both_read(damage(page, pixels, np.random.default_rng(seed))) for seed in seeds)


@pytest.mark.parametrize("effect", EFFECTS)
@pytest.mark.parametrize("path", SAMPLES, ids=["plain text", "an address"])
def test_both_readers_still_read_a_damaged_symbol(path: Path, effect: str) -> None:
    assert read_after(path, effect, SEEDS) >= PASS


def test_the_damage_is_damage() -> None:
    """Twice as bad, and not one is read by both: the effects above are not painted on."""
    page, says = symbol(SAMPLES[0], 4)
    module = 4.0
    worse: list[Callable[[Chance], Page]] = [
        lambda chance: blurred(page, 1.2, module),
        lambda chance: blot(page, 0.45, _side(page, module), chance),
        lambda chance: glare(page, 3.0, _side(page, module), chance),
    ]
    for damage in worse:
        assert not any(says in both_read(damage(np.random.default_rng(seed))) for seed in range(4))


#: A sheet that hangs on the wall has no code.
WITH_CODES = [(path, name) for path, name in EACH_ONCE if name != "wall"]


@pytest.mark.parametrize(("path", "name"), WITH_CODES)
def test_two_readers_read_every_code_from_the_drawn_sheet(path: Path, name: EditionName) -> None:
    """150 dots an inch: what a scanner makes of a whole sheet in one go."""
    printed = sheets(path, name)
    read: list[str] = []
    for page, side in enumerate(printed.sides):
        if not symbols(side):
            continue
        seen = drawn(printed.pdf, page, 150)
        here = zxing_reads(seen)
        assert zbar_reads(seen) == here
        assert here <= set(payloads(card for card in printed.deck.cards if card.id in side.cards))
        assert len(here) == len(symbols(side))
        read += here
    # The sheets' goals: a code stands where something is measured and entered.
    with_codes = {"track", "torque", "balance", "sealing", "log-slip"}
    having = [card for card in printed.deck.cards if card.id in with_codes]
    assert len(having) >= 3
    assert sorted(read) == sorted(payloads(having))


def test_both_codes_on_a_sheet_of_two_cards_are_read() -> None:
    printed = sheets(SAMPLES[0], "pouch")
    pairs = two_up(printed.sides, printed.edition)
    pdf = paint(pairs, printed.deck, printed.edition)
    page = next(page for page, side in enumerate(pairs) if symbols(side))
    read = both_read(drawn(pdf, page, 150))
    assert len(read) == len(symbols(pairs[page]))
    assert read <= set(payloads(printed.deck.cards))


def _dots(path: Path, name: EditionName) -> tuple[Side, QrMark, Page]:
    """The first symbol of an edition and the sheet around it, in the dots of a printer with 600 an inch."""
    printed = sheets(path, name)
    page, side = next((page, side) for page, side in enumerate(printed.sides) if symbols(side))
    return side, symbols(side)[0], drawn(printed.pdf, page, 600)


def _runs(line: Page) -> list[int]:
    """Lengths of the dark and light runs from the first dark dot to the last."""
    dark = line < 0.5
    edges = np.flatnonzero(dark[1:] != dark[:-1]) + 1
    return [int(length) for length in np.diff(edges)]


@pytest.mark.parametrize(("path", "name"), WITH_CODES)
def test_a_symbol_is_the_smallest_from_version_4_on_in_whole_printer_dots_with_white_around(
    path: Path, name: EditionName
) -> None:
    dots = 12
    side, mark, page = _dots(path, name)
    symbol_ = cut_out(page, side, mark, 600)
    # Through the middle of the upper finders: 1 1 3 1 1 modules, ISO/IEC 18004, 6.3.3.
    runs = _runs(symbol_[round(7.5 * dots)])
    assert runs[:5] == [dots, dots, 3 * dots, dots, dots]
    assert runs[-5:] == [dots, dots, 3 * dots, dots, dots]
    assert all(length % dots == 0 for length in runs)
    assert dots / 600 * 25.4 >= 0.5
    says = payload(sheets(path, name).card(side))
    # Below version 4 a thumb of grease takes more than the standard's error correction gives back.
    version = next(v for v, most in enumerate(CAPACITY, start=1) if v >= 4 and len(says.encode()) <= most)
    dark = np.argwhere(symbol_ < 0.5)
    (top, left), (low, right) = dark.min(axis=0), dark.max(axis=0)
    # ISO/IEC 18004, 6.3.1: 17 + 4 v modules a side, and four of quiet zone.
    assert low - top + 1 == right - left + 1 == (17 + 4 * version) * dots
    quiet = 4 * dots - 1
    around = page[_around(page, side, mark, quiet)]
    inner = np.ones(around.shape, dtype=bool)
    # The dot beside the ink is mixed where the symbol does not begin on a dot of this ruler.
    inner[quiet - 1 : 1 - quiet, quiet - 1 : 1 - quiet] = False
    assert around[inner].min() > 0.99


def _around(page: Page, side: Side, mark: QrMark, quiet: int) -> tuple[slice, slice]:
    """The symbol itself and so many dots around it, found by its ink."""
    scale, wide = 600 / 72, len(mark.matrix) * mark.module
    x, y = round(mark.x * scale), round((side.height - mark.y - wide) * scale)
    end = round(wide * scale)
    dark = np.argwhere(page[y : y + end, x : x + end] < 0.5)
    (top, left), (low, right) = dark.min(axis=0), dark.max(axis=0)
    return (
        slice(y + int(top) - quiet, y + int(low) + 1 + quiet),
        slice(x + int(left) - quiet, x + int(right) + 1 + quiet),
    )


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_symbol_stands_on_whole_dots_from_the_upper_left_corner(path: Path) -> None:
    editions: tuple[EditionName, ...] = ("pouch", "handout")
    for name in editions:
        printed = sheets(path, name)
        sides = [*printed.sides, *(two_up(printed.sides, printed.edition) if printed.edition.two_up else ())]
        found = [(side, mark) for side in sides for mark in symbols(side)]
        assert len(found) >= len(payloads(printed.deck.cards)) >= 3
        for side, mark in found:
            for length in (mark.x, side.height - mark.y):
                dots = length / 72 * 600
                assert abs(dots - round(dots)) < 1e-6
