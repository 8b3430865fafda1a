"""Coarse and fine threads by size, for messages and for the letters behind a thread's name; never a value.

Unified: ASME B1.1, threads to the inch of the coarse (UNC) and fine (UNF) series. Metric: ISO 261, the coarse
pitch and the fine ones in use (ISO 262), in millimetres. All from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Threads to the inch, coarse then fine, by size as it is written.
UNIFIED: Mapping[str, tuple[int, int]] = MappingProxyType(
    {
        "2": (56, 64),
        "3": (48, 56),
        "4": (40, 48),
        "5": (40, 44),
        "6": (32, 40),
        "8": (32, 36),
        "10": (24, 32),
        "12": (24, 28),
        "1/4": (20, 28),
        "5/16": (18, 24),
        "3/8": (16, 24),
        "7/16": (14, 20),
        "1/2": (13, 20),
        "9/16": (12, 18),
        "5/8": (11, 18),
        "3/4": (10, 16),
        "7/8": (9, 14),
    }
)

#: Pitches by size, the coarse one first.
METRIC: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "3": ("0.5", "0.35"),
        "4": ("0.7", "0.5"),
        "5": ("0.8", "0.5"),
        "6": ("1", "0.75"),
        "8": ("1.25", "1"),
        "10": ("1.5", "1.25", "1"),
        "12": ("1.75", "1.5", "1.25"),
        "14": ("2", "1.5"),
        "16": ("2", "1.5"),
        "18": ("2.5", "1.5"),
        "20": ("2.5", "1.5"),
        "22": ("2.5", "1.5"),
        "24": ("3", "2"),
    }
)
