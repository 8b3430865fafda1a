"""The whole sweep of damage on the codes of a card: ``python -m tests.bench.damage``.

A hundred fixed seeds a cell; each reader alone, and both at once. The suite tries ten seeds at the
one strength that a card must pass. Models, not measurements: see `tests.outside.damage`.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

import numpy as np

from tests.outside.damage import (
    Chance,
    Page,
    blot,
    blurred,
    folded,
    glare,
    photographed,
    veiled,
    worn,
    zbar_reads,
    zxing_reads,
)
from tests.outside.photocopy import copied
from tests.outside.test_qr_damage import symbol
from tests.press.samples import SAMPLES

SEEDS = 100


def _side(page: Page, module: float) -> float:
    return float(page.shape[0] - 8 * module)


#: Each effect: pixels a module, its strengths, and what it does.
SWEEP: dict[str, tuple[float, tuple[float, ...], Callable[[Page, float, float, Chance], Page]]] = {
    "out of focus, sigma in modules": (
        4,
        (0.3, 0.45, 0.6, 0.8, 1.0),
        lambda page, by, module, chance: blurred(page + chance.normal(0, 0.01, page.shape), by, module),
    ),
    "opaque blot, share of the area": (
        4,
        (0.08, 0.12, 0.15, 0.20, 0.25),
        lambda page, by, module, chance: blot(page, by, _side(page, module), chance),
    ),
    "lamp's image, share of the side": (
        4,
        (0.3, 0.5, 0.8, 1.2, 2.0),
        lambda page, by, module, chance: glare(page, by, _side(page, module), chance),
    ),
    "stray light, share of white": (
        4,
        (0.1, 0.25, 0.5, 1.0),
        lambda page, by, module, chance: veiled(page + chance.normal(0, 0.02, page.shape), by),
    ),
    "toner left, streaks beside the finders": (
        6,
        (0.6, 0.4, 0.3, 0.2),
        lambda page, by, module, chance: worn(page, by, chance),
    ),
    "toner left, streaks anywhere": (
        6,
        (0.6, 0.4, 0.3, 0.2),
        lambda page, by, module, chance: worn(page, by, chance, middle=1.0),
    ),
    "fold, modules wide": (
        4,
        (0.5, 1.0, 1.5, 2.0),
        lambda page, by, module, chance: folded(page, by * module, chance),
    ),
    "photocopies": (
        6,
        (1, 2, 3, 4),
        lambda page, by, module, chance: copied(page, chance, generations=int(by)),
    ),
    "telephone at 25 degrees, pixels a module": (
        8,
        (4.0, 2.5, 2.0, 1.5, 1.25),
        lambda page, by, module, chance: photographed(page, by / module, module, chance),
    ),
    "telephone at 2.5 pixels a module, degrees": (
        8,
        (10, 25, 35, 45),
        lambda page, by, module, chance: photographed(page, 2.5 / module, module, chance, tilt=by),
    ),
}


def main() -> None:
    """Run the sweep and print it as a table."""
    started = perf_counter()
    print(f"{SEEDS} seeds a cell; decoded, percent: zxing-cpp, zbar, both")
    print(f"{'damage':<44}{'strength':>9}{'zxing':>7}{'zbar':>6}{'both':>6}")
    for name, (pixels, strengths, damage) in SWEEP.items():
        page, says = symbol(SAMPLES[0], pixels)
        for by in strengths:
            read = np.zeros(3, dtype=int)
            for seed in range(SEEDS):
                seen = damage(page, by, pixels, np.random.default_rng(seed))
                one, other = says in zxing_reads(seen), says in zbar_reads(seen)
                read += (one, other, one and other)
            part = read * 100 // SEEDS
            print(f"{name:<44}{by:>9g}{part[0]:>7}{part[1]:>6}{part[2]:>6}")
    print(f"in {perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main()
