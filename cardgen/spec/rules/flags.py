"""Physics flags: figures that no ordinary rotor has.

A flag never supplies a number. It says what does not fit together and stops the cards, unless an
override names it, with the document that supports the figure.
"""

from __future__ import annotations

import math

from cardgen.spec import physics
from cardgen.spec.model.identity import Aircraft, Blades, Rotor
from cardgen.spec.physics import metres
from cardgen.spec.rules.fasteners import Fasteners
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import Quantity, magnitude
from cardgen.spec.unjudged import Unjudged

_AGREES = "the figure again from its document; an override needs a document that supports it"
#: What decides the speed at which a rotor carries its aircraft, and the speed it is said to turn at.
_CARRIED = ("rotor: diameter, normal_speed", "aircraft: mass", "blades: chord")


@rule("tip-speed", "rotor: diameter, normal_speed", "draft", kind="flag")
def tip_speed(rotor: Rotor, draft: Unjudged) -> Doubts:
    """The tips move slower or faster than those of ordinary rotors."""
    speed = physics.tip_speed(rotor.diameter, rotor.normal_speed)
    if 60 <= speed < 90 or 165 < speed <= 200:
        why = (
            f"at {typed(draft, 'rotor', 'diameter')} this turns the tips at about {speed:.0f} m/s, "
            "and gyroplane rotors fly between about 90 and 165"
        )
        yield Doubt(("normal_speed",), why, _AGREES)


@rule("disc-loading", "aircraft: mass", "rotor: diameter", kind="flag")
def disc_loading(aircraft: Aircraft, rotor: Rotor) -> Doubts:
    """The disc carries less or more mass than those of ordinary rotors."""
    if aircraft.mass is None:
        return
    loading = physics.disc_loading(aircraft.mass, rotor.diameter)
    if 3 <= loading < 4.5 or 16 < loading <= 20:
        why = (
            f"each square metre of disc would carry {loading:.1f} kg, and gyroplanes carry between "
            "about 4.5 and 16"
        )
        yield Doubt(("mass",), why, _AGREES)


@rule("rotor-speed", *_CARRIED, kind="flag")
def rotor_speed(rotor: Rotor, aircraft: Aircraft, blades: Blades) -> Doubts:
    """The rotor speed is far from the one at which such a rotor would carry this aircraft."""
    if aircraft.mass is None:
        return
    rpm, ratio = _carrying(aircraft.mass, rotor, blades)
    if not 0.65 <= ratio <= 1.35:
        why = (
            f"blades of this chord would carry this mass at roughly {rpm:.0f} rpm, so mass, chord, "
            "diameter or speed is off"
        )
        yield Doubt(("normal_speed",), why, _AGREES)


@rule("rotor-speed-unlike", *_CARRIED, kind="warning")
def rotor_speed_unlike(rotor: Rotor, aircraft: Aircraft, blades: Blades) -> Doubts:
    """The rotor speed is not quite the one at which such a rotor would carry this aircraft."""
    if aircraft.mass is None:
        return
    rpm, ratio = _carrying(aircraft.mass, rotor, blades)
    if 0.65 <= ratio < 0.76 or 1.31 < ratio <= 1.35:
        why = f"blades of this chord would carry this mass at roughly {rpm:.0f} rpm"
        yield Doubt(("normal_speed",), why, "nothing, if mass, chord, diameter and speed are all right")


@rule(
    "blade-pull",
    "blades: mass, mass_centre",
    "rotor: diameter, normal_speed",
    "fasteners: where, stations, thread",
    kind="flag",
)
def blade_pull(blades: Blades, rotor: Rotor, fasteners: Fasteners) -> Doubts:
    """The pull of a turning blade would shear the bolts that hold it."""
    area = _strap_area(fasteners)
    if blades.mass is not None and area is not None:
        centre = rotor.diameter / 4 if blades.mass_centre is None else blades.mass_centre
        pull = physics.blade_pull(blades.mass, centre, rotor.normal_speed)
        # Two shear planes. Aircraft bolts are rated at 75 000 psi, 517 N/mm2, in shear (common handbooks,
        # from memory); half of it is beyond anything a rotor is built to.
        stress = pull / (2 * area)
        if stress > 250:
            why = (
                f"each blade would pull with {pull / 1000:.0f} kN, {stress:.0f} N/mm2 of shear in the "
                "strap bolts listed, "
                "half of what good bolts break at; a mass, speed, thread or bolt is off"
            )
            yield Doubt(("mass",), why, _AGREES)


@rule("mass-sum", "rotor: mass", "blades: mass", "draft", kind="flag")
def mass_sum(rotor: Rotor, blades: Blades, draft: Unjudged) -> Doubts:
    """The blades and the whole rotor do not add up."""
    if blades.mass is not None and rotor.mass is not None:
        share = float((2 * blades.mass / rotor.mass).to("").magnitude)
        one = typed(draft, "blades", "mass")
        if share >= 1:
            why = f"two blades of {one} weigh as much as that or more, with nothing left for the hub"
            yield Doubt(("mass",), why, _AGREES)
        elif share < 0.5:
            why = (
                f"two blades of {one} are only {share:.0%} of that, and a hub never weighs more than its blades"
            )
            yield Doubt(("mass",), why, _AGREES)


@rule("mass-centre", "blades: mass_centre", "rotor: diameter", kind="flag")
def mass_centre(blades: Blades, rotor: Rotor) -> Doubts:
    """The mass centre of a blade is not near the middle of its radius."""
    if blades.mass_centre is not None:
        share = float((2 * blades.mass_centre / rotor.diameter).to("").magnitude)
        if not 0.4 <= share <= 0.65:
            why = (
                f"measured from the rotor centre it is at {share:.0%} of the radius, and a blade's is "
                "near the middle"
            )
            yield Doubt(("mass_centre",), why, _AGREES)


@rule("blade-slender", "blades: chord", "rotor: diameter", "draft", kind="flag")
def blade_slender(blades: Blades, rotor: Rotor, draft: Unjudged) -> Doubts:
    """The blade is stubbier or more slender than those of ordinary rotors."""
    ratio = float((rotor.diameter / 2 / blades.chord).to("").magnitude)
    if not 12 <= ratio <= 28:
        why = (
            f"with a diameter of {typed(draft, 'rotor', 'diameter')} the blade is {ratio:.1f} chords "
            "long, and 12 to 28 are usual"
        )
        yield Doubt(("chord",), why, _AGREES)


@rule("blade-mass", "blades: mass, chord", "rotor: diameter", kind="flag")
def blade_mass(blades: Blades, rotor: Rotor) -> Doubts:
    """A blade is lighter or heavier for its size than any that is made."""
    if blades.mass is not None:
        area = metres(blades.chord) * metres(rotor.diameter) / 2
        loading = physics.kilograms(blades.mass) / area
        if not 8 <= loading <= 32:
            why = f"that is {loading:.1f} kg for each square metre of this blade, and about 8 to 32 are usual"
            yield Doubt(("mass",), why, _AGREES)


def _strap_area(fasteners: Fasteners) -> float | None:
    """Add up the strap bolts of one blade in mm2; nothing where no thread of theirs is given.

    The maker's own need no thread: each counts as the thickest that is given, so that none is found too thin.
    Those without stations count for nothing: nobody says how many they are.
    """
    sizes = [
        None if bolt.thread is None else float(magnitude(bolt.thread.diameter, "mm"))
        for bolt in fasteners
        if bolt.where == "strap"
        for _ in bolt.stations
    ]
    thickest = max((size for size in sizes if size is not None), default=None)
    if thickest is None:
        return None
    return sum(math.pi / 4 * (thickest if size is None else size) ** 2 for size in sizes)


def _carrying(mass: Quantity, rotor: Rotor, blades: Blades) -> tuple[float, float]:
    """Give the rotor speed expected for the aircraft's mass in rpm, and the stated one as a part of it."""
    expected = physics.autorotation_tip_speed(mass, rotor.diameter, blades.chord)
    rpm = expected / (metres(rotor.diameter) / 2) * 60 / (2 * math.pi)
    return rpm, float(magnitude(rotor.normal_speed, "rpm")) / rpm
