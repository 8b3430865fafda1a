"""What a maker's papers may leave open: keys that can be said to be not given, and nothing else.

Where such a value would stand, the card frames NOT GIVEN: STOP, ASK THE MAKER. A key that is not on
this list must be known before there are any cards.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Group of the file, and those of its keys that may be not given.
MAY_BE_NOT_GIVEN: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "rotor": ("marks_at",),
        "blades": ("strap_pads",),
        "fasteners": ("pin_head", "drag_max", "entered_from", "washer"),
        "string": ("mark_spacing", "tip_support"),
        "pitch": ("station", "tolerance"),
        "balance": ("height_limit",),
        "head": ("push",),
        "install": ("tail_gap_min",),
        "track": ("counter_hold", "dial_offset", "max_total", "good_enough"),
        "run": ("wind_limit", "clear_radius", "ground_speeds", "track_speeds"),
    }
)
