"""A small invented deck for the tests of what is made for screens. It is nobody's maintenance data."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction

from cardgen.deck.card import (
    Card,
    Caution,
    Column,
    Deck,
    Drawing,
    Items,
    LeftOut,
    Paragraph,
    Qr,
    Row,
    Said,
    Section,
    Stamp,
    Step,
    Steps,
    Stop,
    Table,
    Value,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.deck.diagram import Arc, Diagram, Disc, Label, Line, Polygon
from cardgen.figures.figure import Figure, computed, stated
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Problem
from cardgen.spec.units import quantity

SPEC = """schema = 2
[rotor]
set_id = "TX-19"
diameter = "24 ft + 6 in"
rotation = "counter-clockwise"
pitch = "adjustable"
alignment = "self-centring"
mark_a = "one dot"
mark_b = "two dots"
marks_at = "root face of each blade"
hub_serial = "H-19"
normal_speed = "355 rpm"
source = "BOOK-1 p.2"
[blades]
serial_a = "7001"
serial_b = "7002"
chord = "7+1/2 in"
strap_pads = "none"
source = "BOOK-1 p.3"
[authority]
jurisdiction = "us-amateur-built"
signers = "a person entitled by the rule"
use_until = 2031-05-31
[[documents]]
id = "BOOK-1"
kind = "maker"
title = "Rotor book"
revision = "2"
date = 2026-01-15
[[fasteners]]
where = "strap"
stations = [1]
name = "inner bolt"
fitted_by = "you"
thread = "3/8-24"
nut = "tension"
locking = "cotter pin"
pin_head = "toward the hub"
threads = "dry"
torque_min = "160 in·lbf"
torque_max = "190 in·lbf"
drag = "add"
drag_max = "25 in·lbf"
turned_at = "nut"
entered_from = "below"
source = "BOOK-1 p.7"
[tightening]
pattern = "row"
order = [1]
source = "BOOK-1 p.8"
[[wrenches]]
id = "W-3"
kind = "beam"
length = "10 in"
extension = "4 in"
angle = "0 deg"
error = 4
range_min = "20 in·lbf"
range_max = "250 in·lbf"
graduation = "2 in·lbf"
[balance]
tip_radius = "136 in"
cavity_diameter = "1/2 in"
cavity_depth = "3 in"
max_lead = "60 g"
place = "forward tip screw hole"
retention = "slug held by the tip screw"
height_limit = "1/4 in"
pivot_bolt = "1/2 in"
level_point = "trailing edge, both blades"
source = "BOOK-1 p.12"
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
points = [{ diameter = "24 ft + 6 in", chord = "7+1/2 in", rule = "30 thou/in" }]
max_split = "2 in"
max_total = "60 thou"
max_total_reads = "dial"
source = "BOOK-1 p.11"
[log]
form_url = "https://log.example.org/tx-19/"
"""

CODE = "7K2M-9QXD-4"
ADDRESS = f"https://log.example.org/tx-19/#c={CODE}&k=track"
ISSUED = Stamp(3, CODE, date(2030, 3, 9))


def spec(text: str = SPEC) -> RotorSpec:
    """Read the invented specification field by field; its rules are tested elsewhere."""
    table = tomllib.loads(text)
    read = RotorSpec.model_validate(table)
    groups = {name: getattr(read, name) for name in RotorSpec.model_fields}
    return RotorSpec.of(groups, text.encode(), table)


def figures(of: RotorSpec) -> Mapping[str, Figure]:
    """Every figure the cards show, by its id."""
    low = stated(of, ("fasteners", 0, "torque_min"))
    high = stated(of, ("fasteners", 0, "torque_max"))
    made = [low, high, stated(of, ("track", "max_split")), stated(of, ("rotor", "diameter"))]
    for row, split in enumerate(("0.25", "0.5", "1", "2"), start=1):
        inches = Fraction(split)
        rule = "rule of the maker for this diameter times the split"
        made.append(
            computed(
                f"track.row.{row}.split",
                quantity(inches, "in"),
                "in",
                decimals=2,
                formula="",
                inputs=(),
            )
        )
        made.append(
            computed(
                f"track.row.{row}.dial",
                quantity(30 * inches, "thou"),
                "thou",
                decimals=1,
                formula=rule,
                inputs=("track.points[1].rule",),
            )
        )
        flats = quantity(30 * inches * 24 * 6 / 1000, "flats")
        name = f"track.row.{row}.flats"
        made.append(computed(name, flats, "flats", decimals=1, formula=rule, inputs=()))
    return {figure.id: figure for figure in made}


def track(made: Mapping[str, Figure], extra: tuple[Section, ...] = ()) -> Card:
    """A card with one of everything."""
    columns = (
        Column("Split seen", "in", origin="C"),
        Column("Dial must read", "thou", strong=True, origin="C"),
        Column("First move", "flats", origin="C"),
        Column("Written"),
    )
    rows = tuple(
        Row(
            (
                (Value(made[f"track.row.{row}.split"], "number"),),
                (Value(made[f"track.row.{row}.dial"], "number"),),
                (Value(made[f"track.row.{row}.flats"], "number"),),
                (WriteIn(f"dial_{row}", f"Dial read, row {row}", "thou", digits=5),),
            )
        )
        for row in range(1, 5)
    )
    stop = Row(((Words("Stop above "), Value(made["track.max_split"]), Words(". Find the cause.")),), stop=True)
    caution = Caution("turning", "WARNING", (Words("Chock the rotor before you put a hand near the hub."),))
    note = Caution("marks", "NOTE", (Words("Read the mark on the metal, not the paint."),))
    limits = (Words("at most "), Value(made["track.max_split"]))
    steps = (
        Step(
            1,
            (Words("Read the split against the reflector."),),
            ticks=1,
            write_ins=(
                WriteIn("gap", "Gap", "in", limits, 6),
                WriteIn("side", "Side that was turned", "", (Words("A or B"),), 1, ("A", "B")),
            ),
        ),
        Step(
            2,
            (
                Words("Make the move in the table: "),
                Said("loosen one notch, tighten two notches", "track.to_lower.a"),
                Words("."),
            ),
            why=(Words("One change a run shows what that change did."),),
            ticks=2,
            cautions=(note, caution),
        ),
    )
    more = Steps((Step(3, (Words("Read the dial again after locking."),), ticks=0),))
    return Card(
        "track",
        "Track to adjustment",
        "Turning",
        (
            Section(
                "What the dial must read",
                (Table("track", "Adjustment on one blade", columns, (*rows, stop), True), Drawing(arrow())),
            ),
            Section("Steps", (Steps(steps), Stop((Words("Stop if the split changes with speed."),)), more)),
            *extra,
            Section(
                "Record",
                (
                    Qr(
                        ADDRESS,
                        (Words("Scan to write the entry."),),
                    ),
                ),
            ),
        ),
    )


def torque(made: Mapping[str, Figure]) -> Card:
    """A shorter card."""
    low, high = made["fasteners[1].torque_min"], made["fasteners[1].torque_max"]
    says = (
        Words("Tighten the inner bolt to at least "),
        Value(low),
        Words(" and at most "),
        Value(high),
        Words("."),
    )
    unit = Caution("unit", "CAUTION", (Words("Check the unit on the wrench."),))
    return Card(
        "torque",
        "Torque, strap bolts",
        "Bench",
        (
            Section(
                "",
                (
                    Paragraph((Words("Bolts are numbered from the root outward."),)),
                    Items(((Words("Clean threads, dry."),), (Words("Nut turned, head held.", strong=True),))),
                    Steps((Step(1, says, ticks=2, cautions=(unit,)),)),
                    WriteIns((WriteIn("drag_1", "Running drag, inner bolt", "in·lbf", (), 4),)),
                ),
            ),
        ),
    )


def arrow() -> Diagram:
    """One of every shape."""
    return Diagram(
        "adjuster",
        90,
        40,
        "The two adjusters",
        "Looking outboard along blade A: the adjuster with one notch is on the left, two notches on the right.",
        (
            Line(10, 12, 80, 12, weight=1.2),
            Line(10, 30, 40, 30, dashed=True, weight=0.3),
            Line(45, 30, 75, 30, arrow=True),
            Disc(20, 20, 5, fill="black"),
            Disc(70, 20, 5, fill="tint"),
            Disc(45, 20, 3, fill="white"),
            Arc(20, 20, 8, 30, 200, arrow=True),
            Polygon(((30, 5), (40, 5), (35, 10)), fill="tint"),
            Label(20, 18.5, "1", bold=True, white=True),
            Label(70, 18.5, "2", bold=True),
            Label(45, 34, "2", figure="track.max_split"),
            Label(45, 4, "one notch < two notches & more"),
        ),
    )


def deck(stamp: Stamp = ISSUED, text: str = SPEC, cards: tuple[Card, ...] | None = None) -> Deck:
    """Two cards, one card left out, one doubt."""
    read = spec(text)
    made = figures(read)
    doubt = Problem(
        "tx-19.toml", 60, 1, "track.points", "rate-mass-missing", "", "the blade's mass is not given", "mass"
    )
    return Deck(
        read,
        made,
        stamp,
        cards if cards is not None else (torque(made), track(made)),
        (LeftOut("string", "String", "the specification has no string group"),),
        (doubt,),
    )


def draft() -> Deck:
    """The same deck before any register knows it."""
    return replace(deck(), stamp=Stamp())
