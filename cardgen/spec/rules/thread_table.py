"""Torque of Unified fine threads, as a bound to be alarmed by and never as a setting.

FAA AC 43.13-1B (8 September 1998), chapter 7, table 7-1, in in·lbf, for oil-free
cadmium-plated threads. The table is irregular on purpose and is transcribed, not fitted. Its
text gives it for use only where no torque is specified, so no value of it ever reaches a card.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class TorqueColumn:
    """Recommended least and most, and the most allowable, for one kind of nut; in in·lbf."""

    least: int
    most: int
    allowable: int


#: Thread, then the columns for a tension nut (AN310) and for a shear nut (AN320).
ROWS: Mapping[str, Mapping[str, TorqueColumn]] = MappingProxyType(
    {
        "10-32": {"tension": TorqueColumn(20, 25, 40), "shear": TorqueColumn(12, 15, 25)},
        "1/4-28": {"tension": TorqueColumn(50, 70, 100), "shear": TorqueColumn(30, 40, 60)},
        "5/16-24": {"tension": TorqueColumn(100, 140, 225), "shear": TorqueColumn(60, 85, 140)},
        "3/8-24": {"tension": TorqueColumn(160, 190, 390), "shear": TorqueColumn(95, 110, 240)},
        "7/16-20": {"tension": TorqueColumn(450, 500, 840), "shear": TorqueColumn(270, 300, 500)},
        "1/2-20": {"tension": TorqueColumn(480, 690, 1100), "shear": TorqueColumn(290, 410, 660)},
        "9/16-18": {"tension": TorqueColumn(800, 1000, 1600), "shear": TorqueColumn(480, 600, 960)},
        "5/8-18": {"tension": TorqueColumn(1100, 1300, 2400), "shear": TorqueColumn(600, 780, 1400)},
        "3/4-16": {"tension": TorqueColumn(2300, 2500, 5000), "shear": TorqueColumn(1300, 1500, 3000)},
    }
)
