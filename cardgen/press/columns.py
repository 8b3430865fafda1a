"""How wide a table's columns are: ways to share out what the paper has."""

from __future__ import annotations

from collections.abc import Callable, Sequence


def shared(
    needs: Sequence[float],
    wishes: Sequence[float],
    heads: Sequence[float],
    numeric: Sequence[bool],
    total: float,
    way: Callable[[Sequence[float], float], Sequence[float]],
) -> tuple[float, ...]:
    """Share the column's width: first all that is needed, then cells on one line, then heads on one line.

    What is left is shared by all, but a number in front stays beside the words that it counts.
    """
    widths = tuple(needs)
    for wanted in (wishes, heads):
        want = [wish - wide for wish, wide in zip(wanted, widths, strict=True)]
        given = way(want, total - sum(widths))
        widths = tuple(wide + more for wide, more in zip(widths, given, strict=True))
    takes = [True] * len(widths)
    takes[0] = not numeric[0] or any(numeric[1:2])
    left = (total - sum(widths)) / max(1, sum(takes))
    return tuple(wide + left * take for wide, take in zip(widths, takes, strict=True))


def evenly(want: Sequence[float], spare: float) -> Sequence[float]:
    """Give every column the same part of what it wants."""
    part = min(1.0, spare / sum(want)) if sum(want) > 0 else 0.0
    return [part * more for more in want]


def smallest_first(want: Sequence[float], spare: float) -> Sequence[float]:
    """Give all that they want to the columns that want little; the others share what is left."""
    given = [0.0] * len(want)
    order = sorted(range(len(want)), key=lambda index: want[index])
    for done, index in enumerate(order):
        given[index] = min(want[index], spare / (len(want) - done))
        spare -= given[index]
    return given
