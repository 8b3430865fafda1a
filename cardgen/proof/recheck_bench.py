"""The second way to everything but torque and track: pitch, string, lead, play, castle nuts and loads.

In floats and SI units, from the specification's text alone. Forces on a circle are mass times radius
times speed squared; a tight line bows by load times span squared over eight times its pull.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import floor, pi, radians, sin
from typing import Any

from cardgen.proof.recheck_input import SI, quantity, si, thread_name, thread_pitch
from cardgen.proof.recomputed import TINY, Recomputed

_LEAD = 11340.0
# The line of the example: its pull in N, its weight and the drag of three breaths of air in N/m.
_PULL = 20.0
_WEIGHT = 0.0005 * 9.80665
_DRAUGHTS = {speed: 1.225 / 2 * drag * 0.0008 * speed**2 for speed, drag in ((1, 1.7), (2, 1.5), (3, 1.3))}


def bench(spec: dict[str, Any]) -> Iterator[Recomputed]:
    """Compute all of them, as far as the specification has what they need."""
    yield from _pitch(spec)
    yield from _string(spec)
    yield from _lead(spec)
    yield from _play(spec)
    yield from _castle(spec)
    yield from _loads(spec)


def _pitch(spec: dict[str, Any]) -> Iterator[Recomputed]:
    if "pitch" not in spec:
        return
    angle, tolerance = (si(spec["pitch"].get(key), angle=True) for key in ("angle", "tolerance"))
    if angle is not None and tolerance is not None:
        yield Recomputed("pitch.low", angle - tolerance, "deg", 0.01, "up")
        yield Recomputed("pitch.low_minutes", angle - tolerance, "arcmin", 1, "up")
        yield Recomputed("pitch.high", angle + tolerance, "deg", 0.01, "down")
        yield Recomputed("pitch.high_minutes", angle + tolerance, "arcmin", 1, "down")
    difference = quantity(spec["pitch"]["max_difference"], angle=True)[0]
    yield Recomputed("pitch.difference_minutes", difference, "arcmin", 1, "down")
    lever = si(spec["track"].get("lever"))
    if lever is not None:
        yield Recomputed("pitch.rise_per_tenth", lever * sin(radians(0.1)), "thou", 0.1, "nearest")


def _string(spec: dict[str, Any]) -> Iterator[Recomputed]:
    if "string" not in spec:
        return
    radius = quantity(spec["rotor"]["diameter"])[0] / 2
    bow = (2 * radius) ** 2 / (8 * _PULL)
    yield Recomputed("string.sag", _WEIGHT * bow, "mm", 0.1, "up")
    for at, (speed, drag) in enumerate(_DRAUGHTS.items(), 1):
        yield Recomputed(f"string.draught.{at}.speed", speed, "m/s", 0, "nearest")
        yield Recomputed(f"string.draught.{at}.gap", drag * bow, "mm", 0.1, "up")
    pivot = si(spec["string"].get("strap_radius"))
    if pivot is None:
        return
    limit = next((si(check["limit"]) for check in spec["string"]["checks"] if "limit" in check), None)
    if limit is not None:
        yield Recomputed("string.lag_at_limit", limit / (radius - pivot), "deg", 0.001, "down")
    mass, centre = si(spec["blades"].get("mass")), si(spec["blades"].get("mass_centre"))
    if mass is None or centre is None:
        return
    shake = 2 * mass * (centre - pivot) / (radius - pivot) * quantity(spec["rotor"]["normal_speed"])[0] ** 2
    yield Recomputed("string.shake", shake, "N/mm", 0.1, "up")
    if limit is not None:
        yield Recomputed("string.shake_at_limit", shake * limit, "N", 1, "up")


def _play(spec: dict[str, Any]) -> Iterator[Recomputed]:
    diameter, unit = quantity(spec["rotor"]["diameter"])
    inches = unit in {"in", "ft"}
    unit, fine = ("in", 0.01) if inches else ("mm", 0.1)
    if "teeter" in spec:
        angle = quantity(spec["teeter"]["teeter_angle"], angle=True)[0]
        yield Recomputed("teeter.tip_travel", diameter / 2 * sin(angle), unit, 1, "nearest")
    if "head" in spec:
        play, spacing = (quantity(spec["head"][key])[0] for key in ("radial_play", "bearing_spacing"))
        yield Recomputed("head.tip_play", play * diameter / 2 / spacing, unit, fine, "down")


def _castle(spec: dict[str, Any]) -> Iterator[Recomputed]:
    # A cotter pin is a split pin; people write both.
    yours = [bolt for bolt in spec["fasteners"] if bolt["fitted_by"] == "you" and "thread" in bolt]
    pinned = [bolt for bolt in yours if re.search("cotter|split", bolt["locking"], re.IGNORECASE)]
    for thread in dict.fromkeys(thread_name(bolt["thread"]) for bolt in pinned):
        metric, pitch = thread.startswith("M"), thread_pitch(thread)
        name, unit, turn, fine = f"castle.{thread}", *(("mm", 1.0, 0.01) if metric else ("thou", 0.1, 0.1))
        yield Recomputed(f"{name}.per_thickness", 2 * pi / pitch, f"deg/{unit}", turn, "nearest")
        yield Recomputed(f"{name}.slot_advance", pitch / 6, unit, fine, "nearest")


def _lead(spec: dict[str, Any]) -> Iterator[Recomputed]:
    if "balance" not in spec:
        return
    balance, spin = spec["balance"], quantity(spec["rotor"]["normal_speed"])[0]
    radius, (bore, bore_unit) = quantity(balance["tip_radius"])[0], quantity(balance["cavity_diameter"])
    most, depth = quantity(balance["max_lead"])[0], quantity(balance["cavity_depth"])[0]
    unit, step = ("in", 0.01) if bore_unit == "in" else ("mm", 0.1)
    area = pi * (bore**2 - (si(balance.get("screw_hole")) or 0.0) ** 2) / 4
    every = next((step for step in (1, 2, 5, 10, 20, 50) if most * 1000 / step <= 8 + TINY), 100) / 1000
    masses = [every * count for count in range(1, floor(most / every + TINY) + 1)]
    if not masses or most - masses[-1] > every * TINY:
        masses.append(most)
    for at, mass in enumerate(masses, 1):
        length = mass / (_LEAD * area)
        if length > depth * (1 + TINY):
            break
        fine = 1.0 if abs(mass * 1000 - round(mass * 1000)) < 1e-6 else 0.1
        yield Recomputed(f"balance.lead.{at}.mass", mass, "g", fine, "down")
        yield Recomputed(f"balance.lead.{at}.ounces", mass, "oz", 0.01, "down")
        yield Recomputed(f"balance.lead.{at}.length", length, unit, step, "down")
    yield Recomputed("balance.lead_density", _LEAD, "kg/m³", 0, "nearest")
    yield Recomputed("balance.shake_per_gram", radius * spin**2, "N/g", 0.1, "up")
    whole = si(spec["rotor"].get("mass"))
    if whole is not None:
        yield Recomputed("balance.friction", whole * 2 * SI["thou"] / radius, "g", 0.1, "up")


def _loads(spec: dict[str, Any]) -> Iterator[Recomputed]:
    rotor, spin = spec["rotor"], quantity(spec["rotor"]["normal_speed"])[0]
    radius, square = quantity(rotor["diameter"])[0] / 2, spin**2
    yield Recomputed("loads.tip_speed", radius * spin, "m/s", 1, "nearest")
    yield Recomputed("loads.pull_per_gram", radius * square, "N/g", 0.1, "up")
    yield Recomputed("loads.loose_item", 0.01, "g", 0, "nearest")
    yield Recomputed("loads.loose_item_pull", 0.01 * radius * square, "N", 1, "up")
    yield Recomputed("loads.loose_item_energy", 0.005 * (radius * spin) ** 2, "J", 1, "up")
    reflector = si(spec.get("reflectors", {}).get("mass"))
    if reflector is not None:
        yield Recomputed("loads.reflector_pull", reflector * radius * square, "N", 1, "up")
    if "balance" in spec:
        balance = spec["balance"]
        lead = quantity(balance["max_lead"])[0] * quantity(balance["tip_radius"])[0] * square
        yield Recomputed("loads.lead_pull", lead, "N", 1, "up")
    mass, centre = si(spec["blades"].get("mass")), si(spec["blades"].get("mass_centre"))
    if mass is not None and centre is not None:
        yield Recomputed("loads.blade_pull", mass * centre * square, "N", 100, "up", on_marks=True)
    if "mass" in spec.get("aircraft", {}):
        loading = quantity(spec["aircraft"]["mass"])[0] / (pi * radius**2)
        yield Recomputed("loads.disc_loading", loading, "kg/m²", 0.1, "nearest")
