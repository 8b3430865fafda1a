"""The QR symbol that opens the log-entry form of the card it is printed on.

Level Q recovers about a quarter of the symbol and level H three tenths (ISO/IEC 18004), which is what
a thumb of grease or the glare of a laminate takes away. The thumb is as large on a small symbol, so
that none is smaller than version 4. The address carries the deck's code and the card, both behind
the ``#``: a browser never sends that part to the server. Nothing personal is ever in it.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby
from math import ceil
from typing import TypeAlias

#: Rows of modules from the top, quiet zone included; true is dark.
Matrix: TypeAlias = tuple[tuple[bool, ...], ...]

#: Light modules on every side of the symbol (ISO/IEC 18004).
QUIET_ZONE = 4

#: Measured: through a spot of 12 % two readers read version 3 in half the trials, version 4 in all but a few.
LEAST_VERSION = 4

#: A run of dark modules in one row: the row from the top, its first module, how many.
DarkRun: TypeAlias = tuple[int, int, int]


@lru_cache(maxsize=256)
def matrix(content: str) -> Matrix:
    """Encode a text at level Q in the smallest symbol that holds it, with its quiet zone.

    Where the same symbol holds it at level H, that is taken.
    """
    from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_Q
    from qrcode.main import QRCode

    symbols = [
        QRCode(error_correction=level, border=QUIET_ZONE) for level in (ERROR_CORRECT_Q, ERROR_CORRECT_H)
    ]
    for each in symbols:
        # One segment in one mode: mixing modes saves nothing on an address and defeats comparison.
        each.add_data(content, optimize=0)
        each.best_fit(start=LEAST_VERSION)
    at_q, at_h = symbols
    symbol = at_h if at_h.version == at_q.version else at_q
    symbol.make(fit=False)
    return tuple(tuple(bool(module) for module in row) for row in symbol.get_matrix())


#: A dot of a printer with 600 an inch, in points.
_DOT = 72 / 600


def on_a_dot(length: float) -> float:
    """Lengthen a distance from an edge of the sheet to the next dot, so that every module is whole dots."""
    return ceil(length / _DOT - 1e-6) * _DOT


@lru_cache(maxsize=256)
def dark_runs(symbol: Matrix) -> tuple[DarkRun, ...]:
    """Find the runs of dark modules, which are drawn as one rectangle each."""
    runs: list[DarkRun] = []
    for row, modules in enumerate(symbol):
        start = 0
        for dark, cells in groupby(modules):
            count = len(list(cells))
            if dark:
                runs.append((row, start, count))
            start += count
    return tuple(runs)
