"""An invented deck with everything that paper has to bear. It is nobody's maintenance data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path

from cardgen.deck.card import (
    Card,
    Caution,
    Column,
    Deck,
    Drawing,
    Items,
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
from cardgen.spec.load import load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.units import quantity

ISSUED = Stamp(3, "7K2M-9QXD-4", date(2026, 7, 1))
COMPLETE = Path(__file__).parents[1] / "spec" / "complete.toml"


@cache
def spec() -> RotorSpec:
    """The complete invented specification."""
    loaded = load_bytes(COMPLETE.read_bytes(), "complete.toml", date(2026, 7, 1))
    assert hasattr(loaded, "spec") and loaded.spec is not None
    return loaded.spec


@cache
def figures() -> Mapping[str, Figure]:
    """A window, a wrench table and a track table, as the real figures name them."""
    made = [
        stated(spec(), ("fasteners", 0, "torque_min")),
        stated(spec(), ("fasteners", 0, "torque_max")),
        stated(spec(), ("track", "max_split")),
    ]
    for row in range(1, 9):
        split = Fraction(row, 4)
        places = [("split", split, "in", 2), ("dial", 30 * split, "thou", 1), ("flats", split, "in", 1)]
        for name, value, unit, decimals in places:
            made.append(_computed(f"track.row.{row}.{name}", value, unit, decimals))
    for row in range(1, 7):
        drag = Fraction(5 * (row - 1))
        made.append(_computed(f"torque.strap.1.W-3.drag.{row}.drag", drag, "in·lbf", 0))
        made.append(_computed(f"torque.strap.1.W-3.drag.{row}.low", 160 + drag, "in·lbf", 0))
        made.append(_computed(f"torque.strap.1.W-3.drag.{row}.high", 180 + drag, "in·lbf", 0))
    return {figure.id: figure for figure in made}


def _computed(name: str, value: Fraction, unit: str, decimals: int) -> Figure:
    return computed(
        name,
        quantity(value, unit),
        unit,
        decimals=decimals,
        formula="made up",
        inputs=(),
    )


def value(name: str, show: str = "all") -> Value:
    """A figure in a sentence, or its bare number in a cell."""
    return Value(figures()[name], "number" if show == "number" else "all")


MIN, MAX = "fasteners[1].torque_min", "fasteners[1].torque_max"


def drawing() -> Diagram:
    """A strap with two bolts, an arrow, a turn, and a figure among its lettering."""
    shapes = (
        Polygon(((10, 20), (150, 20), (150, 40), (10, 40)), fill="tint"),
        Disc(40, 30, 5, fill="white"),
        Disc(100, 30, 5, fill="white"),
        Line(20, 30, 140, 30, weight=0.6, dashed=True),
        Line(40, 55, 40, 37, weight=0.8, arrow=True),
        Arc(100, 30, 12, 20, 150, weight=0.8, arrow=True),
        Label(40, 57, "first", bold=True),
        Label(100, 50, "second", bold=True),
        Label(10, 10, "root", anchor="start"),
        Label(150, 10, "tip", anchor="end"),
        Label(70, 4, figures()[MIN].parts.number, bold=True, figure=MIN),
    )
    return Diagram("strap", 160, 64, "Strap bolts", "Two bolts, the inner one first.", shapes)


def wrench_table() -> Table:
    """Settings of a wrench over drag."""
    columns = (
        Column("Drag", "in·lbf", strong=True),
        Column("Not under", "in·lbf", origin="C"),
        Column("Not over", "in·lbf", origin="C"),
    )
    rows = tuple(
        Row(
            tuple(
                (value(f"torque.strap.1.W-3.drag.{row}.{name}", "number"),) for name in ("drag", "low", "high")
            )
        )
        for row in range(1, 7)
    )
    stop = Row(((Words("Stop. More drag than this: change the nut."),),), stop=True)
    return Table("wrench", "Beam wrench W-3", columns, (*rows, stop))


def track_table(rows: int = 8) -> Table:
    """The table the hand looks up at the mast."""
    columns = (
        Column("High tip to low tip", "in"),
        Column("Dial must read", "thou", strong=True, origin="C"),
        Column("Flats", "", origin="C"),
        Column("Blade that moves"),
    )
    body = tuple(
        Row(
            (
                *(
                    (value(f"track.row.{(row - 1) % 8 + 1}.{name}", "number"),)
                    for name in ("split", "dial", "flats")
                ),
                (Words("the high one"),),
            )
        )
        for row in range(1, rows + 1)
    )
    stop = Row(((Words("Over "), value("track.max_split"), Words(": stop and find the cause.")),), stop=True)
    return Table("track", "What the dial must read", columns, (*body, stop), repeat_key=True)


WARNING = Caution("flying", "WARNING", (Words("Keep everybody out of the plane of the disc."),))
CAUTION = Caution(
    "root", "CAUTION", (Words("Start at the bolt nearest the root. If you are called away, start again."),)
)
NOTE = Caution("log", "NOTE", (Words("Do not wipe this card before the entry is in the log."),))


def step(number: int, *says: Words | Value | Said, ticks: int = 1, **more: object) -> Step:
    """A step from its words."""
    return replace(Step(number, tuple(says), ticks=ticks), **more)  # type: ignore[arg-type]


def torque_card() -> Card:
    """Two ticks, a caution, a table, boxes to write in, a hold point."""
    drag = WriteIn("drag-1", "Drag of the inner nut", "in·lbf", (Words("not over "), Words("25")), 4)
    steps = (
        step(
            1,
            Words("Turn the inner nut and read the drag. Write it down."),
            cautions=(CAUTION,),
            write_ins=(drag,),
            why=(Words("A stiff nut uses up torque before the bolt is stretched."),),
        ),
        step(
            2,
            Words("Tighten the inner nut to no less than "),
            value(MIN),
            Words(" and no more than "),
            value(MAX),
            Words("."),
            ticks=2,
        ),
    )
    after = (step(3, Words("Fit the pin with its head "), Said("toward the hub"), Words("."), ticks=2),)
    return Card(
        "torque",
        "Torque of the strap bolts",
        "bench",
        (
            Section("The bolts and their order", (Drawing(drawing()),)),
            Section("Tighten", (Steps(steps), wrench_table())),
            Section(
                "Second person",
                (Stop((Words("Hold here until the second person has checked."),)), Steps(after)),
            ),
        ),
    )


def track_card(rows: int = 8) -> Card:
    """The lookup table, a warning, and a code to scan."""
    steps = (
        step(1, Words("Read the split twice."), cautions=(WARNING, NOTE)),
        step(2, Words("Find the split in the table. The dial must read the bold number.")),
    )
    return Card(
        "track",
        "Track",
        "on the mast",
        (
            Section("Look up", (Steps(steps), track_table(rows))),
            Section(
                "Write down",
                (
                    WriteIns(
                        (WriteIn("split", "Split read", "in"), WriteIn("dial", "Dial after locking", "thou"))
                    ),
                    Qr(
                        "https://log.example.org/rb-2041/#c=DRAFT&k=track", (Words("Scan for the entry form."),)
                    ),
                ),
            ),
        ),
    )


def assembly_card() -> Card:
    """Plain steps, a list and a paragraph."""
    words = (
        "Set the bench level and lay the bar on it.",
        "Hold the blade at the height of the bar.",
        "Match the marks of bar and blade before a bolt goes in.",
        "Turn each bolt in by hand from below.",
        "Look along the strap. It must neither bind nor spread.",
        "Leave the bolts that the maker fitted alone.",
    )
    return Card(
        "assembly",
        "Assembly on the bench",
        "bench",
        (
            Section("You need", (Items(((Words("a level bench"),), (Words("a helper for the tip"),))),)),
            Section("Do", (Steps(tuple(step(n, Words(text)) for n, text in enumerate(words, 1))),)),
            Section("Done", (Paragraph((Words("Go on with the card for torque."),)),)),
        ),
    )


def deck(*cards: Card, stamp: Stamp | None = None) -> Deck:
    """A deck of these cards, else of all three; a draft unless stamped."""
    some = cards or (assembly_card(), torque_card(), track_card())
    return Deck(spec(), figures(), stamp or Stamp(), some)
