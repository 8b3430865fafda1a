"""What a value bounds: at least this much, at most this much, or nothing.

A bound is data. It stands on a field of the specification's model and on the figure made from it, and
everything else follows from it: to which side a number is rounded, the words beside it, what the
log-entry form lets pass and what the second calculation looks for.

A load, a false reading or an uncertainty is an at least: whoever reckons with it must reckon with at
least so much.
"""

from __future__ import annotations

from enum import StrEnum


class Bound(StrEnum):
    """Which end of a range a value is, if any."""

    AT_LEAST = "at least"
    AT_MOST = "at most"
    NEITHER = "neither"


#: How a limit is named in what is kept of a deck; decks already kept have these names.
ENDS = {"least": Bound.AT_LEAST, "most": Bound.AT_MOST}
