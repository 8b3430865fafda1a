"""Track runs out of an entry: from the boxes of the track card, or from the list of runs.

Splits come out in inches, plus when A was high; changes in thou of what the dial showed on one
blade, or in flats of its adjuster where these are counted, plus when they lowered A.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal, TypeAlias

from cardgen.figures.track_facts import READING
from cardgen.logbook.entry import LEVEL, Blade, ChangeLine, FormEntry, High, Measured, RunLine
from cardgen.logbook.number import A_NUMBER, read_number
from cardgen.spec.units import magnitude, quantity

Method: TypeAlias = Literal["by eye", "video"]
#: Where in a run a split was read: at the first named speed, or at the last.
At: TypeAlias = Literal["first", "last"]

#: The rows of the table of runs on the track card.
CARD_RUNS = ("first", "second", "third", "fourth")
#: The boxes of the track card itself, which are one run.
_STEP = {
    "split": "split",
    "high": "high-blade",
    "last": "split-last",
    "last-high": "high-last",
    "method": "read-by",
    "before": "dial-before",
    "after": "dial-after",
    "total": "total",
    "lowered": "lowered",
}
#: What the card asks of each run.
_PARTS = ("speed", "split", "high", "last", "last-high", "method", "before", "after", "total", "lowered")


@dataclass(frozen=True)
class Reading:
    """A split that was read at one speed, in inches, plus when A was high; level is nothing either way."""

    split: Fraction
    high: High | None
    at: At = "first"


@dataclass(frozen=True)
class Change:
    """What was changed after a run; ``moved`` is None where it was not read again.

    In thou of the dial, or in flats of the adjuster's nut where no dial is read.
    """

    moved: Fraction | None = Fraction(0)
    total: Fraction | None = None
    total_blade: Blade | None = None
    unit: Literal["thou", "flats"] = "thou"

    @property
    def signed_total(self) -> Fraction | None:
        """The total with its sign; None where it has a size and no blade."""
        if self.total is None or (self.total and self.total_blade is None):
            return None
        return signed(self.total, self.total_blade)


@dataclass(frozen=True)
class TrackRun:
    """One run as it was read, and what was changed after it."""

    day: date
    name: str
    readings: tuple[Reading, ...]
    method: Method
    speed: Fraction | None = None
    change: Change = Change()
    remark: str = ""

    @property
    def split(self) -> Fraction:
        """The split that a change is made by: the mean of what was read at the named speeds."""
        return sum((each.split for each in self.readings), Fraction(0)) / len(self.readings)

    @property
    def largest(self) -> Fraction:
        """The largest split of the run at any speed, without a sign."""
        return max(abs(each.split) for each in self.readings)

    @property
    def uncertainty(self) -> Fraction:
        """One standard deviation of one reading of the split, in inches."""
        return READING[self.method]


@dataclass(frozen=True)
class BadRun:
    """A row of the card that says too little or the impossible: which box, and why."""

    box: str
    rule: str
    read: str
    why: str
    write: str


def runs_of(entry: FormEntry) -> tuple[TrackRun, ...] | tuple[BadRun, ...]:
    """Take the runs of an entry in the order they were made, or say what is wrong with their boxes."""
    if entry.runs:
        return tuple(_of_line(entry.record.day, line) for line in entry.runs)
    found = [_of_boxes(entry, row) for row in CARD_RUNS]
    rows = [each for each in found if each is not None]
    if not rows and (only := _of_step(entry)):
        rows = [only]
    if bad := tuple(each for each in rows if isinstance(each, BadRun)):
        return bad
    runs = [each for each in rows if isinstance(each, TrackRun)]
    if runs and runs[-1].change.moved == 0 and (third := _third(entry)):
        if isinstance(third, BadRun):
            return (third,)
        if len(runs) == 2:
            runs.append(third)
    return tuple(runs)


def late_change(entry: FormEntry) -> Change | None:
    """Take the change that an entry adds to the last run before it."""
    late = entry.changed
    if late is None:
        return None
    return _change(late, late.lowered)


def signed(size: Fraction, blade: High | None) -> Fraction:
    """Give a height or a change its sign: plus for blade A, nothing where the blades are level."""
    return Fraction(0) if blade == "level" else -size if blade == "B" else size


def _of_line(day: date, line: RunLine) -> TrackRun:
    readings = [Reading(signed(_length(line.split, line.unit, "in"), line.high_blade), line.high_blade)]
    if line.last_split is not None:
        split = signed(_length(line.last_split, line.unit, "in"), line.last_high)
        readings.append(Reading(split, line.last_high, "last"))
    return TrackRun(
        day=day,
        name=f"run {line.run}",
        readings=tuple(readings),
        method=line.method,
        speed=None if line.speed is None else read_number(line.speed),
        change=_change(line, line.high_blade),
        remark=line.remark or "",
    )


def _change(line: ChangeLine, lowered: High | None) -> Change:
    # Entries kept before units were always said had thou where they said nothing.
    unit = line.dial_unit or "thou"
    after = None if line.dial_after is None else _length(line.dial_after, unit, "thou")
    moved = after if after is not None else _without_after(line.dial_before is not None)
    return Change(
        moved=None if moved is None else signed(moved, lowered),
        total=None if line.total is None else _length(line.total, unit, "thou"),
        total_blade=line.total_blade,
        unit="flats" if unit == "flats" else "thou",
    )


def _without_after(read_before: bool) -> Fraction | None:
    """Tell what was changed where the dial was not read after locking.

    A dial at 0 is a reading of 0, and a dial that was not read is empty. Where it was read before
    locking, whatever it showed, locking may have moved it; where it was never read, nothing was touched.
    """
    return None if read_before else Fraction(0)


def _length(typed: str, unit: str, wanted: str) -> Fraction:
    number = read_number(typed)
    assert number is not None  # the model has read it as a number
    return number if unit == "flats" else magnitude(quantity(number, unit), wanted)


def _of_boxes(entry: FormEntry, row: str) -> TrackRun | BadRun | None:
    # The table of all runs stands on the card of the second reading where the deck has one.
    boxes = {**entry.values.get("track", {}), **entry.values.get("second-reading", {})}
    names = {part: f"run-{row}-{part}" for part in _PARTS}
    held = {part: boxes[name] for part, name in names.items() if name in boxes}
    if not held:
        return None
    return _row(entry.record.day, f"{row} run", names, held)


def _of_step(entry: FormEntry) -> TrackRun | BadRun | None:
    boxes = entry.values.get("track", {})
    names = _STEP
    held = {part: boxes[name] for part, name in names.items() if name in boxes}
    return _row(entry.record.day, "one run", names, held) if held else None


def _third(entry: FormEntry) -> TrackRun | BadRun | None:
    boxes = entry.values.get("second-reading", {})
    names = {"split": "third-split", "high": "third-high"}
    held = {part: boxes[name] for part, name in names.items() if name in boxes}
    return _row(entry.record.day, "third reading", names, held) if held else None


def _row(day: date, name: str, names: Mapping[str, str], held: Mapping[str, Measured]) -> TrackRun | BadRun:
    if "split" not in held:
        why = "this run has no split, so nothing can be told from the rest of its row"
        return BadRun(names["split"], "run-split", "", why, "the split that was read")
    numbers: dict[str, Fraction] = {}
    for part in ("split", "last", "before", "after", "total"):
        if part in held:
            number = _number(held[part], "in" if part in {"split", "last"} else "thou")
            if number is None:
                read = f"{held[part].value} {held[part].unit}".strip()
                why = "this cannot be read as a length"
                return BadRun(names[part], "entry-number", read, why, A_NUMBER)
            numbers[part] = number
    letters: dict[str, High | None] = {}
    for part in ("high", "last-high"):
        letters[part] = _high(held.get(part))
        if part in held and letters[part] is None:
            why = "a blade is A or B, or both are level"
            return BadRun(names[part], "run-blade", held[part].value, why, "A, B or level")
    if "last" in numbers and letters["last-high"] is None:
        # A card that asks for the blade once means both speeds.
        letters["last-high"] = letters["high"]
    for part, letter in (("split", "high"), ("last", "last-high")):
        if part in numbers and (bad := _split_fault(numbers[part], letters[letter], names, held, part, letter)):
            return bad
    high = letters["high"]
    if high not in ("A", "B") and numbers.get("after"):
        why = "something was changed, and nobody can tell on which blade"
        return BadRun(names["high"], "run-blade", "", why, "A or B")
    readings = [Reading(signed(numbers["split"], high), high)]
    if "last" in numbers:
        readings.append(Reading(signed(numbers["last"], letters["last-high"]), letters["last-high"], "last"))
    moved = numbers["after"] if "after" in numbers else _without_after("before" in numbers)
    speed, method = held.get("speed"), held.get("method")
    lowered = _high(held.get("lowered"))
    return TrackRun(
        day=day,
        name=name,
        readings=tuple(readings),
        # A run that does not say how it was read counts as the less sure way.
        method="video" if method is not None and method.value.strip().lower() == "video" else "by eye",
        speed=None if speed is None else read_number(speed.value),
        change=Change(
            moved=None if moved is None else signed(moved, high),
            total=numbers.get("total"),
            total_blade=lowered if lowered in ("A", "B") else None,
            unit="flats" if _in_flats(held) else "thou",
        ),
    )


def _in_flats(held: Mapping[str, Measured]) -> bool:
    return any(held[part].unit == "flats" for part in ("after", "total") if part in held)


def _split_fault(
    split: Fraction,
    high: High | None,
    names: Mapping[str, str],
    held: Mapping[str, Measured],
    part: str,
    letter: str,
) -> BadRun | None:
    if split < 0:
        why = "a split is a height and never negative; which blade was high is said by its letter"
        return BadRun(names[part], "run-split", held[part].value, why, "the height alone")
    if high is None and split:
        why = "without the blade that was high, a split says nothing about which blade to move"
        return BadRun(names[letter], "run-blade", "", why, "A, B or level")
    if high == "level" and split:
        return BadRun(names[letter], "run-blade", held[letter].value, LEVEL, "A or B; or a split of 0")
    return None


def _number(box: Measured, wanted: str) -> Fraction | None:
    number = read_number(box.value)
    if number is not None and wanted == "thou" and box.unit == "flats":
        return number
    if number is None or box.unit not in {"in", "mm", "thou"}:
        return None
    return magnitude(quantity(number, box.unit), wanted)


def _high(box: Measured | None) -> High | None:
    if box is None:
        return None
    said = box.value.strip().upper().removeprefix("BLADE ").strip()
    known: Mapping[str, High] = {"A": "A", "B": "B", "LEVEL": "level"}
    return known.get(said)
