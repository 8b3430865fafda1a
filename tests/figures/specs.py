"""An invented rotor, and variations of it, for the tests of figures.

Specifications are read group by group but not judged by the rules, so that a figure can be tried
outside what a keeper may write.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal

from cardgen.spec.model import RotorSpec

BASE = """
schema = 2

[rotor]
set_id = "TEST-1"
diameter = "24 ft + 0 in"
rotation = "counter-clockwise"
pitch = "adjustable"
alignment = "self-centring"
mark_a = "one ring"
mark_b = "two rings"
marks_at = "bar end"
hub_serial = "H-1"
normal_speed = "350 rpm"
mass = "80 lb"
source = "MK p.1"

[blades]
serial_a = "1"
serial_b = "2"
chord = "8 in"
mass = "30 lb"
mass_centre = "72 in"
strap_pads = "none"
source = "MK p.1"

[aircraft]
registration = "X-TEST"
mass = "300 kg"

[authority]
jurisdiction = "other"
signers = "the keeper"
use_until = 2030-01-01

[[documents]]
id = "MK"
kind = "maker"
title = "Book"
revision = "1"
date = 2024-01-01

[[documents]]
id = "CB"
kind = "club"
title = "Club book"
revision = "1"
date = 2024-01-01

[[fasteners]]
where = "strap"
stations = [1]
name = "inner bolt"
fitted_by = "you"
thread = "3/8-24"
nut = "tension"
locking = "cotter pin"
pin_head = "outboard"
threads = "dry"
torque_min = "160 in·lbf"
torque_max = "190 in·lbf"
drag = "add"
drag_max = "20 in·lbf"
turned_at = "nut"
entered_from = "below"
source = "MK p.5"

[tightening]
pattern = "row"
order = [1]
source = "MK p.6"

[[wrenches]]
id = "T1"
kind = "beam"
length = "10 in"
error = 4
range_min = "20 in·lbf"
range_max = "300 in·lbf"
graduation = "1 in·lbf"

[string]
mark_spacing = "6 in"
strap_radius = "15 in"
tip_support = "1/2 in"
source = "MK p.7"
[[string.checks]]
method = "centre mark"
limit = "1/16 in"

[pitch]
station = "36 in"
angle = "5.5 deg"
tolerance = "0.1 deg"
max_difference = "0.1 deg"
source = "MK p.8"

[balance]
tip_radius = "140 in"
cavity_diameter = "1/2 in"
cavity_depth = "3 in"
max_lead = "60 g"
place = "forward hole"
retention = "screw"
height_limit = "1/4 in"
pivot_bolt = "1/2 in"
level_point = "trailing edge"
source = "MK p.9"

[teeter]
thrust = "washer"
play_max = "2 thou"
teeter_angle = "9 deg"
source = "MK p.10"

[head]
radial_play = "2 thou"
bearing_spacing = "1+1/2 in"
source = "MK p.11"

[track]
method = "adjuster"
split = "total"
basis = "one blade"
set_by = "dial"
rule_reads = "dial"
sides = ["one notch", "two notches"]
adjuster_thread = "3/8-24"
lever = "2 in"
dial_lever = "2 in"
dial_offset = "1/2 in"
dial_touches = "pitch block"
dial_base = "hub bar"
first_move = "loosen"
counter_hold = "second spanner"
points = [{ diameter = "24 ft + 0 in", chord = "8 in", rule = "30 thou/in" }]
max_split = "2 in"
max_total = "60 thou"
max_total_reads = "dial"
source = "MK p.12"
[track.sources]
max_split = "CB s.1"
[track.to_lower]
a = { loosen = "one notch", tighten = "two notches" }
b = { loosen = "one notch", tighten = "two notches" }

[log]
form_url = "https://log.example.org/"
"""


def text_of(*changes: tuple[str, str]) -> str:
    """Write the invented rotor with some of its text replaced; every replaced text must be there."""
    text = BASE
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def spec_of(*changes: tuple[str, str]) -> RotorSpec:
    """Read the invented rotor with some of its text replaced."""
    text = text_of(*changes)
    table = tomllib.loads(text, parse_float=Decimal)
    read = RotorSpec.model_validate(table)
    groups = {name: getattr(read, name) for name in RotorSpec.model_fields}
    return RotorSpec.of(groups, text.encode(), table)


def track_change(**values: str) -> list[tuple[str, str]]:
    """Set keys of the track group, those it has and others; a value of nothing leaves the key out."""
    start = BASE.index("[track]")
    lines = BASE[start : BASE.index("[track.sources]")].splitlines()
    changes = []
    for key, value in values.items():
        line = next((line for line in lines if line.startswith(f"{key} =")), "")
        said = f"\n{key} = {value}\n" if value else "\n"
        changes.append((f"\n{line}\n", said) if line else ("\n[track.sources]", f"{said}[track.sources]"))
    return changes


def turnbuckles() -> list[tuple[str, str]]:
    """Make the adjusters turnbuckles, shortened to lower a blade."""
    move = '{ loosen = "one notch", tighten = "two notches" }'
    return [(f"{blade} = {move}", f'{blade} = {{ shorten = "long end" }}') for blade in "ab"]
