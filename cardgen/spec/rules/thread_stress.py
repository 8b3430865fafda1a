"""How hard a torque pulls a thread, as a bound to be alarmed by and never as a setting.

    stress = torque / (0.2 x diameter x stress area)

The nut factor 0.2, for threads as they come, is a rule of thumb (from memory) and good to a third either
way. Stress areas: ASME B1.1 for Unified threads, ISO 898-1 for metric ones.
"""

from __future__ import annotations

from fractions import Fraction

from cardgen.spec.threads import Thread
from cardgen.spec.units import Quantity, magnitude

#: A quarter of the circle's number.
_QUARTER_PI = Fraction(785398, 1000000)
_NUT_FACTOR = Fraction(1, 5)
#: What bolts are pulled to, in N/mm2: a fifth of the yield of a common bolt, three fifths of that of a strong
#: one (640 and 940 N/mm2, property classes 8.8 and 10.9 of ISO 898-1). Judgement, not a published limit.
LEAST, MOST = Fraction(640, 5), Fraction(3 * 940, 5)
#: What a thin shear nut bears of a full tension nut's torque (AC 43.13-1B, table 7-1, between its columns).
THIN_NUT = Fraction(3, 5)


def stress_area(thread: Thread) -> Fraction:
    """Give the tensile stress area of a thread in mm2.

    It is that of a rod as thick as ``d - 0.9743 p`` for Unified threads (ASME B1.1), ``d - 0.9382 p`` for
    metric ones (ISO 898-1).
    """
    off = Fraction(9743, 10000) if thread.unified else Fraction(9382, 10000)
    across = magnitude(thread.diameter, "mm") - off * magnitude(thread.pitch, "mm")
    return _QUARTER_PI * across * across


def pulled(torque: Quantity, thread: Thread) -> Fraction:
    """Estimate the stress that a torque makes in a thread, in N/mm2."""
    arm = _NUT_FACTOR * magnitude(thread.diameter, "mm")
    return magnitude(torque, "N·m") * 1000 / (arm * stress_area(thread))
