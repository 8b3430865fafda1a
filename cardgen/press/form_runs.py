"""What the log-entry form needs for track runs: the card's rows, and the rules that a reading is judged by.

Exact numbers as fractions in text, in the units of this rotor's card. The rows are those that the card
prints; the rules and their words are those of `cardgen.figures.track_verdict` and `track_end`.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cardgen.deck.moves import move_text
from cardgen.figures.figure import Figure
from cardgen.figures.track_end import ENOUGH, End
from cardgen.figures.track_facts import INCH, METRIC, READING, Scale
from cardgen.figures.track_table import TrackRow, TrackTable, track_table
from cardgen.figures.track_verdict import (
    CONFIRM,
    DIFFERENT,
    FAR,
    GUARD,
    KNOWN,
    LOOK_FIRST,
    NEAR,
    TOO_MUCH,
    Verdict,
)
from cardgen.spec.model import RotorSpec
from cardgen.spec.rate import NoRate
from cardgen.spec.typed_quantity import reading_of
from cardgen.spec.units import magnitude, quantity, unit_of

#: The rules of a second reading, and the words for what they find.
JUDGED: dict[str, Any] = {
    "known": [[str(effect), str(said)] for effect, said in KNOWN],
    "near": str(NEAR),
    "guard": str(GUARD),
    "different": str(DIFFERENT),
    "far": FAR,
    "much": str(TOO_MUCH),
    "enough": ENOUGH,
    "slip": str(Verdict.SLIP),
    "wrong": str(Verdict.WRONG),
    "again": str(Verdict.READ_AGAIN),
    "stop": str(Verdict.STOP),
    "confirm": sorted(map(str, CONFIRM)),
    "look": sorted(map(str, LOOK_FIRST)),
}
_ENDS = {
    "large": End.TOO_LARGE,
    "speeds": End.SPEEDS_APART,
    "speedsTwice": End.TWO_SPEEDS,
    "apart": End.APART,
    "unsteady": End.UNSTEADY,
    "video": End.BY_VIDEO,
    "once": End.ONCE_MORE,
    "other": End.OTHER_SPEED,
    "total": End.TOTAL,
}


def runs(spec: RotorSpec) -> dict[str, Any]:
    """Gather what is asked of each run and what judges it; ``table`` is None where nothing is adjusted."""
    table = track_table(spec)
    if isinstance(table, NoRate) or not table.rows:
        metric = unit_of(spec.rotor.diameter).system == "metric"
        scale, told = METRIC if metric else INCH, None
    else:
        scale = INCH if table.unit == INCH.thin else METRIC
        told = _table(spec, table, scale)
    speeds = [] if spec.run is None else [_speed(spec, at) for at in range(len(spec.run.track_speeds or ()))]
    return {
        "unit": scale.split,
        "speeds": speeds[:1] + speeds[1:][-1:],
        "scatter": {method: str(magnitude(quantity(u, "in"), scale.split)) for method, u in READING.items()},
        "judged": JUDGED,
        "ends": {name: str(end) for name, end in _ENDS.items()},
        "marks": [str(spec.rotor.mark_a), str(spec.rotor.mark_b)],
        "table": told,
    }


def _speed(spec: RotorSpec, at: int) -> str:
    read = reading_of(spec, ("run", "track_speeds", at))
    return f"{read.number} {read.unit}"


def _table(spec: RotorSpec, table: TrackTable, scale: Scale) -> dict[str, Any] | None:
    track = spec.track
    flats = track.set_by == "flats"
    rows = [_row(row, flats) for row in table.rows]
    if any(row["read"] is None for row in rows):
        return None
    good = table.good_enough
    most = table.max_total_read
    return {
        "unit": "flats" if flats else scale.thin,
        "mark": "1/10" if flats else str(scale.mark),
        "decimals": 1 if flats else scale.decimals,
        "thin": scale.thin,
        "rows": rows,
        "first": [_row(row, flats) for row in table.first_rows],
        "rate": str(_rate(table.rows[0], scale, flats)),
        "maxSplit": str(magnitude(table.max_split.quantity, scale.split)),
        "maxTotal": None if most is None else str(_amount(most, flats, scale)),
        "good": None if good is None else str(magnitude(good.quantity, scale.split)),
        "blades": 2 if table.moves == "both blades, opposite" else 1,
        "counts": 2 if track.max_total_of == "both, added" else 1,
        "lower": [move_text(spec, "to_lower", blade) for blade in ("a", "b")],
        "raise": [move_text(spec, "to_raise", blade) for blade in ("a", "b")],
    }


def _row(row: TrackRow, flats: bool) -> dict[str, str | None]:
    read, first_move = (row.flats, None) if flats else (row.dial, row.flats)
    shown = {"split": row.split, "read": read, "flats": first_move, "adjust": row.adjust}
    return {name: None if figure is None else figure.parts.number for name, figure in shown.items()}


def _rate(row: TrackRow, scale: Scale, flats: bool) -> Fraction:
    """Give what the hand reads on one blade for each unit of split: any row tells it."""
    read = row.flats if flats else row.dial
    assert read is not None  # every row has its read number
    shown = magnitude(read.quantity, "flats" if flats else scale.thin)
    return shown / magnitude(row.split.quantity, scale.split)


def _amount(most: Figure, flats: bool, scale: Scale) -> Fraction:
    return Fraction(most.quantity.magnitude) if flats else magnitude(most.quantity, scale.thin)
