"""Bars in the margin beside every line that shows a number which changed since the deck before."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from cardgen.press.marks import LineMark, Mark, TextMark

#: White between a bar and the print, in points.
_GAP = 1.3
#: A bar's thickness, as a part of the size of the text: it stays clear of trim and holes.
_WEIGHT = 0.1
#: A bar reaches from under a line's descenders to over its capitals, in parts of its size.
_BELOW, _ABOVE = 0.25, 0.75


def change_bars(marks: Iterable[Mark], changed: Collection[str], left: float, size: float) -> list[LineMark]:
    """Draw bars at the left of an edge, in points; lines that follow one another share one.

    ``size`` is the size of the card's text, ``changed`` the ids of the figures that changed.
    """
    heights = sorted(
        (mark.y - _BELOW * mark.size, mark.y + _ABOVE * mark.size)
        for mark in marks
        if isinstance(mark, TextMark) and mark.figure in changed
    )
    weight = _WEIGHT * size
    x = left - _GAP - weight / 2
    return [LineMark(x, low, x, high, weight) for low, high in _joined(heights, 0.6 * size)]


def _joined(heights: Iterable[tuple[float, float]], near: float) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for low, high in heights:
        if joined and low - joined[-1][1] <= near:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined
