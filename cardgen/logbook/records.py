"""Entries shown again: the record lines a jurisdiction's form asks for, and what was measured."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from markupsafe import Markup

from cardgen.figures.rounding import printed
from cardgen.figures.three_run import NoCorrection, three_run
from cardgen.logbook.against_deck import outside
from cardgen.logbook.entry import Measured
from cardgen.logbook.keeping import LogEntry
from cardgen.logbook.number import read_number
from cardgen.logbook.track_rule import NoRule
from cardgen.logbook.track_runs import Change, Reading, TrackRun, late_change, runs_of
from cardgen.press.form_records import groups_for
from cardgen.press.screen_page import environment, screen_folder, source_hash
from cardgen.spec.bound import Bound
from cardgen.spec.units import magnitude, quantity

#: Lines that a record may hold beside those of the form.
_BESIDE = {
    "done_by": "Work done by",
    "inspected_by": "Checked by a second person",
    "released_by": "Released by",
}


@dataclass(frozen=True)
class ShownLine:
    """One line of a record: where it belongs, what it is called, what was written."""

    part: str
    label: str
    value: str
    unit: str = ""
    note: str = ""


@dataclass(frozen=True)
class Shown:
    """One entry, ready to be shown."""

    number: int
    title: str
    lines: tuple[ShownLine, ...]


def shown(entries: Iterable[LogEntry]) -> tuple[Shown, ...]:
    """Prepare entries to be shown, in the order they are given."""
    entries = tuple(entries)
    corrected_by = {each.entry.corrects: each.row.id for each in entries}
    return tuple(
        Shown(each.row.id, _title(each), tuple(_lines(each, corrected_by.get(each.row.id)))) for each in entries
    )


def _title(each: LogEntry) -> str:
    deck = each.deck.row
    return f"{each.entry.record.date}, {deck.set_id} revision {deck.revision}, code {deck.code}"


def _lines(each: LogEntry, corrected_by: int | None) -> Iterator[ShownLine]:
    kept, record = each.deck.kept, each.entry.record
    if corrected_by:
        yield ShownLine("Entry", "PUT RIGHT", f"read entry {corrected_by} in its place")
    if each.entry.corrects is not None:
        yield ShownLine("Entry", "In place of", f"entry {each.entry.corrects}")
    if each.out_of_use:
        yield ShownLine("Card", "NOT CURRENT on that day", each.out_of_use)
    serials = f"blade A {kept.typed('blades', 'serial_a')}, blade B {kept.typed('blades', 'serial_b')}"
    yield ShownLine("Rotor", "Serials", serials)
    yield ShownLine("Rotor", "Hub", kept.typed("rotor", "hub_serial"))
    asked = groups_for(kept.typed("authority", "jurisdiction"), kept.record_asked)
    for group in (*asked.before, *asked.after):
        for line in group.lines:
            if value := record.line(line.id):
                yield ShownLine(group.title, line.label, value, line.unit)
    for name, label in _BESIDE.items():
        if value := getattr(record, name):
            yield ShownLine("People", label, value)
    for what in each.entry.touched:
        yield ShownLine("Work done", "Touched", what, "", each.entry.touched_when or "")
    yield from _measured(each)
    rule = each.deck.rule
    metric = not isinstance(rule, NoRule) and rule.scale.split == "mm"
    if late := late_change(each.entry):
        yield _late(late, each.entry.changed.lowered if each.entry.changed else None, metric)
    yield from (_run(run, metric) for run in runs_of(each.entry) if isinstance(run, TrackRun))
    yield from _shake(each)
    yield ShownLine("Signing", "Who may sign", kept.typed("authority", "signers"))


def _measured(each: LogEntry) -> Iterator[ShownLine]:
    beyond = {(one.card, one.label) for one in outside(each.entry, each.deck.boxes)}
    for card, held in _in_order_of_work(each):
        title = each.deck.boxes.titles.get(card, card)
        for name, measured in held:
            box = each.deck.boxes.box(card, name)
            label = box.label if box else name
            note = f"OUT OF LIMIT: {box.limits}" if box and (title, label) in beyond else ""
            yield ShownLine(title, label, measured.value, measured.unit, note)


def _in_order_of_work(each: LogEntry) -> Iterator[tuple[str, list[tuple[str, Measured]]]]:
    """Give what was measured as the deck has it: its cards in their order, on each its boxes in theirs."""
    values, boxes = each.entry.values, each.deck.boxes.boxes
    for card in sorted(values, key=_place_among(boxes)):
        yield card, sorted(values[card].items(), key=lambda held: _place_among(boxes.get(card, {}))(held[0]))


def _place_among(known: Iterable[str]) -> Callable[[str], int]:
    """Tell where a name stands; what is not known comes last, as it was written."""
    places = {name: at for at, name in enumerate(known)}
    return lambda name: places.get(name, len(places))


def _run(run: TrackRun, metric: bool) -> ShownLine:
    splits = "; at the last speed ".join(_reading(each, metric) for each in run.readings)
    speed = f", {run.speed} rpm" if run.speed is not None else ""
    told = f"{splits}, {run.method}{speed}; {_changed(run.change, metric)}"
    return ShownLine("Track runs", run.name, told, "", run.remark)


def _reading(reading: Reading, metric: bool) -> str:
    split = _length(reading.split, "in", "mm" if metric else "in", 1 if metric else 2)
    if reading.high == "level":
        return "level"
    return f"{split}, blade {reading.high} high" if reading.high else split


def _late(late: Change, lowered: str | None, metric: bool) -> ShownLine:
    if lowered or late.total is None:
        told = f"lowered blade {lowered or ''}; {_changed(late, metric)}"
        return ShownLine("Track runs", "after the run before", told)
    blade = f" toward lowering {late.total_blade}" if late.total_blade else ""
    return ShownLine("Track runs", "total before these runs", f"{_moved(late.total, late.unit, metric)}{blade}")


def _changed(change: Change, metric: bool) -> str:
    if change.moved is None:
        return "changed, not read after locking"
    if change.moved == 0:
        return "nothing changed"
    how = "turned" if change.unit == "flats" else "the dial read"
    return f"then {how} {_moved(change.moved, change.unit, metric)}"


def _moved(size: Fraction, unit: str, metric: bool) -> str:
    if unit == "flats":
        return f"{printed(abs(size), 1)} flats"
    return _length(size, "thou", "mm" if metric else "thou", 2 if metric else 1)


def _length(value: Fraction, held: str, unit: str, decimals: int) -> str:
    return f"{printed(magnitude(quantity(abs(value), held), unit), decimals)} {unit}"


def _shake(each: LogEntry) -> Iterator[ShownLine]:
    """Do the sum of the three runs with a trial mass, where the entry has all three."""
    figures, boxes = each.deck.kept.figures, each.entry.values.get("shake", {})
    read = [read_number(boxes[name].value) for name in ("shake-none", "shake-a", "shake-b") if name in boxes]
    if not {"shake.trial_mass", "balance.max_lead"} <= figures.keys() or len(read) != 3:
        return
    trial, most = (magnitude(figures[name].quantity, "g") for name in ("shake.trial_mass", "balance.max_lead"))
    amplitudes = [each for each in read if each is not None and each >= 0]
    if len(amplitudes) != 3:
        yield ShownLine("Three runs", "Correction", "none: a reading is not a number above nothing")
        return
    yield _correction(amplitudes, trial, most)


def _correction(amplitudes: Sequence[Fraction], trial: Fraction, most: Fraction) -> ShownLine:
    as_is, with_a, with_b = amplitudes
    found = three_run(as_is, with_a, with_b, trial, most)
    if isinstance(found, NoCorrection):
        return ShownLine("Three runs", "Correction", f"none: {found.why}")
    mass = f"{printed(found.mass, 1, Bound.AT_MOST)} g in tip {found.blade}, at the place of the trial mass"
    note = "Old lead counts toward the most that is allowed. Twice a turn is not cured by mass."
    if found.capped:
        note = f"HELD BACK: the sum asks for {printed(found.wanted, 1)} g. Find the cause. {note}"
    return ShownLine("Three runs", "Correction", mass, "", note)


def to_text(entries: Sequence[Shown]) -> str:
    """Write entries as plain text."""
    return "\n".join("\n".join(_text_of(each)) + "\n" for each in entries)


def _text_of(each: Shown) -> Iterator[str]:
    yield f"Entry {each.number}: {each.title}"
    part = ""
    for line in each.lines:
        if line.part != part:
            part = line.part
            yield f"  {part}"
        value = f"{line.value} {line.unit}".strip().replace("\n", "\n      ")
        note = f"  [{line.note}]" if line.note else ""
        yield f"    {line.label}: {value}{note}"


def to_csv(entries: Sequence[Shown]) -> str:
    """Write entries as CSV (RFC 4180), one line of a record a row.

    A text that a spreadsheet would run as a formula gets an apostrophe before it.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["entry", "deck", "part", "line", "value", "unit", "note"])
    for each in entries:
        for line in each.lines:
            cells = (each.title, line.part, line.label, line.value, line.unit, line.note)
            writer.writerow([each.number, *map(_harmless, cells)])
    return out.getvalue()


def _harmless(text: str) -> str:
    formula = text[:1] in {"=", "+", "@", "\t"} or (text[:1] == "-" and read_number(text) is None)
    return f"'{text}" if formula else text


def to_html(entries: Sequence[Shown], set_id: str) -> str:
    """Write entries as one page that asks for nothing else, everything in it escaped."""
    style = (screen_folder() / "log.css").read_text("utf-8")
    page = environment().get_template("log.html.j2")
    return page.render(
        entries=entries, set_id=set_id, style=Markup(style), style_hash=source_hash(style), parts=_parts
    )


def _parts(each: Shown) -> list[tuple[str, list[ShownLine]]]:
    return [(part, list(lines)) for part, lines in groupby(each.lines, key=lambda line: line.part)]


def to_data(entries: Sequence[Shown]) -> list[dict[str, object]]:
    """Give entries as plain values."""
    return [
        {
            "entry": each.number,
            "title": each.title,
            "lines": [vars(line) for line in each.lines],
        }
        for each in entries
    ]
