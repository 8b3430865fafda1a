"""Track runs out of an entry: from the boxes of the track card, or from the list of runs.

Splits come out in inches, plus when A was high; changes in thou of what the dial showed on one
blade, plus when they lowered A.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal, TypeAlias

from cardgen.figures.track_facts import READING
from cardgen.logbook.entry import Blade, FormEntry, Measured, RunLine
from cardgen.logbook.number import A_NUMBER, read_number
from cardgen.spec.units import magnitude, quantity

Method: TypeAlias = Literal["by eye", "video"]

#: The rows of the table of runs on the track card.
CARD_RUNS = ("first", "second", "third", "fourth")
#: What the card asks of each run.
_PARTS = ("speed", "split", "high", "method", "before", "after", "total", "lowered")


@dataclass(frozen=True)
class TrackRun:
    """One run as it was read. ``changed`` is None where a change was made and not read again."""

    day: date
    name: str
    split: Fraction
    high: Blade | None
    method: Method
    speed: Fraction | None
    changed: Fraction | None
    total: Fraction | None
    total_blade: Blade | None
    remark: str = ""

    @property
    def uncertainty(self) -> Fraction:
        """One standard deviation of the split, in inches."""
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
    if runs and runs[-1].changed == 0 and (third := _third(entry)):
        if isinstance(third, BadRun):
            return (third,)
        if len(runs) == 2:
            runs.append(third)
    return tuple(runs)


def signed(size: Fraction, blade: Blade | None) -> Fraction:
    """Give a height or a change its sign: plus for blade A."""
    return -size if blade == "B" else size


def _of_line(day: date, line: RunLine) -> TrackRun:
    split = _length(line.split, line.unit, "in")
    after = None if line.dial_after is None else _length(line.dial_after, line.dial_unit, "thou")
    changed = after if after is not None else _without_after(line.dial_before is not None)
    total = None if line.total is None else _length(line.total, line.dial_unit, "thou")
    return TrackRun(
        day=day,
        name=f"run {line.run}",
        split=signed(split, line.high_blade),
        high=line.high_blade,
        method=line.method,
        speed=None if line.speed is None else read_number(line.speed),
        changed=None if changed is None else signed(changed, line.high_blade),
        total=total,
        total_blade=line.total_blade,
        remark=line.remark or "",
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
    return magnitude(quantity(number, unit), wanted)


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
    names = {"split": "split", "high": "high-blade"}
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
    for part in ("split", "before", "after", "total"):
        if part in held:
            number = _number(held[part], "in" if part == "split" else "thou")
            if number is None:
                read = f"{held[part].value} {held[part].unit}".strip()
                why = "this cannot be read as a length"
                return BadRun(names[part], "entry-number", read, why, A_NUMBER)
            numbers[part] = number
    high = _blade(held.get("high"))
    wrong = held.get("high")
    if wrong is not None and high is None:
        return BadRun(names["high"], "run-blade", wrong.value, "a blade is A or B", "A or B")
    if numbers["split"] < 0:
        why = "a split is a height and never negative; which blade was high is said by its letter"
        return BadRun(names["split"], "run-split", held["split"].value, why, "the height alone")
    if high is None and (numbers["split"] or numbers.get("after")):
        why = "without the blade that was high, a split says nothing about which blade to move"
        return BadRun(names["high"], "run-blade", "", why, "A or B")
    changed = numbers["after"] if "after" in numbers else _without_after("before" in numbers)
    speed, method = held.get("speed"), held.get("method")
    return TrackRun(
        day=day,
        name=name,
        split=signed(numbers["split"], high),
        high=high,
        # A run that does not say how it was read counts as the less sure way.
        method="video" if method is not None and method.value.strip().lower() == "video" else "by eye",
        speed=None if speed is None else read_number(speed.value),
        changed=None if changed is None else signed(changed, high),
        total=numbers.get("total"),
        total_blade=_blade(held.get("lowered")),
    )


def _number(box: Measured, wanted: str) -> Fraction | None:
    number = read_number(box.value)
    if number is None or box.unit not in {"in", "mm", "thou"}:
        return None
    return magnitude(quantity(number, box.unit), wanted)


def _blade(box: Measured | None) -> Blade | None:
    if box is None:
        return None
    letter = box.value.strip().upper().removeprefix("BLADE ").strip()
    return "A" if letter == "A" else "B" if letter == "B" else None
