"""Plain physics of a two-blade teetering rotor, to be alarmed by and never to set anything by.

Nothing here may reach a card as a setting: root cut-out, tip loss, bending and torsion are left
out, and a real rotor may differ by four tenths either way. Magnitudes are floats in SI units.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from cardgen.spec.units import Quantity, magnitude

#: Air at sea level, International Standard Atmosphere, kg/m3.
AIR_DENSITY = 1.225
#: Lift-curve slope of a usual blade section, for each radian.
LIFT_SLOPE = 5.73
#: Standard gravity, m/s2 (NIST SP 811).
GRAVITY = 9.80665
#: Mean lift coefficient of a lightly loaded rotor in autorotation; from memory, an order of magnitude.
MEAN_LIFT = 0.5


@dataclass(frozen=True)
class Blade:
    """A blade as the physics sees it: uniform along its radius. Metres and kilograms."""

    radius: float
    chord: float
    mass: float

    @classmethod
    def of(cls, diameter: Quantity, chord: Quantity, mass: Quantity) -> Blade:
        """Take a blade from a rotor's diameter, its chord and its mass."""
        return cls(metres(diameter) / 2, metres(chord), kilograms(mass))

    @property
    def flap_inertia(self) -> float:
        """Inertia about the rotor centre, kg m2: a uniform rod about its end, m R^2 / 3."""
        return self.mass * self.radius**2 / 3

    @property
    def lock_number(self) -> float:
        """Lock number, air forces against inertia in flapping: rho a c R^4 / I."""
        return AIR_DENSITY * LIFT_SLOPE * self.chord * self.radius**4 / self.flap_inertia


def track_rate(blade: Blade, lever: float, basis: str) -> float:
    """Estimate the adjustment for each unit of total split, as lengths of one unit.

    A pitch difference d tilts a teetering rotor by gamma d / 16 in its own turning frame, so the
    tips part by D gamma d / 16. An adjuster ``lever`` metres from the pitch pivot that turns one
    blade moves lever x d; one that moves both blades, opposite, moves half of it at each. Follows
    from the balance of flap moments; checked against an integration of the flap equation.
    """
    one_blade = 16 * lever / (blade.lock_number * 2 * blade.radius)
    return one_blade if basis in {"one blade", "total of both"} else one_blade / 2


def tip_speed(diameter: Quantity, speed: Quantity) -> float:
    """Speed of the tip in m/s: angular speed times radius."""
    return angular_speed(speed) * metres(diameter) / 2


def disc_loading(mass: Quantity, diameter: Quantity) -> float:
    """Mass carried by each square metre of disc, kg/m2."""
    return kilograms(mass) / (math.pi * metres(diameter) ** 2 / 4)


def autorotation_tip_speed(mass: Quantity, diameter: Quantity, chord: Quantity) -> float:
    """Estimate the tip speed at which a rotor carries a mass, m/s.

    From thrust = rho A sigma V^2 C_L / 6, the blade-element mean of a two-blade rotor of solidity
    sigma = 2 c / (pi R) with mean lift coefficient C_L.
    """
    radius = metres(diameter) / 2
    solidity = 2 * metres(chord) / (math.pi * radius)
    lifting = AIR_DENSITY * solidity * math.pi * radius**2 * MEAN_LIFT
    return math.sqrt(6 * kilograms(mass) * GRAVITY / lifting)


def blade_pull(mass: Quantity, centre: Quantity, speed: Quantity) -> float:
    """Pull of a turning blade on the hub in N: mass x radius of its centre x angular speed squared."""
    return kilograms(mass) * metres(centre) * angular_speed(speed) ** 2


def angular_speed(speed: Quantity) -> float:
    """Angular speed in rad/s."""
    return float(magnitude(speed, "rpm")) * 2 * math.pi / 60


def metres(length: Quantity) -> float:
    """Give a length in metres."""
    return float(magnitude(length, "m"))


def kilograms(mass: Quantity) -> float:
    """Give a mass in kilograms."""
    return float(magnitude(mass, "kg"))
