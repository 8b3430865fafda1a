"""Checking an entry against the deck it was written with: its boxes, their units and their limits.

A value outside its limit is a finding that the log must keep, so it is marked and never refused. A
box that the deck has not got, or a length without its unit, is refused: nobody could say later what
was measured.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from cardgen.logbook.entry import ChangeLine, FormEntry, Measured
from cardgen.logbook.entry_file import problem
from cardgen.logbook.number import read_number
from cardgen.logbook.track_runs import BadRun, runs_of
from cardgen.register.code import read_code
from cardgen.spec.bound import ENDS, Bound
from cardgen.spec.problem import Path, Problem
from cardgen.spec.units import UNITS


@dataclass(frozen=True)
class EntryBox:
    """A box of a deck's card: what it is called, its unit, and the ends its value must lie between."""

    label: str
    unit: str
    limits: str
    bounds: Mapping[Bound, Fraction]

    def is_outside(self, typed: str) -> bool:
        """Whether a number lies outside the limits; words never do."""
        number = read_number(typed)
        if number is None:
            return False
        least, most = self.bounds.get(Bound.AT_LEAST), self.bounds.get(Bound.AT_MOST)
        # A most alone holds to either side of nothing: an offset of minus three is three too far.
        size = abs(number) if least is None else number
        return (least is not None and number < least) or (most is not None and size > most)


@dataclass(frozen=True)
class DeckBoxes:
    """What a deck says about its own boxes: card id, then box id; and the titles of its cards."""

    boxes: Mapping[str, Mapping[str, EntryBox]]
    titles: Mapping[str, str]

    def box(self, card: str, name: str) -> EntryBox | None:
        """Find a box."""
        return self.boxes.get(card, {}).get(name)


@dataclass(frozen=True)
class Outside:
    """A value outside the limit printed beside its box."""

    card: str
    label: str
    value: str
    unit: str
    limits: str

    def words(self) -> str:
        """Say it in one line."""
        return f"{self.card}, {self.label}: {f'{self.value} {self.unit}'.strip()}, limit {self.limits}"


def boxes_of(description: Mapping[str, Any]) -> DeckBoxes:
    """Read the boxes out of a deck's own description.

    Raises `KeyError`, `TypeError` or `ValueError` for a description that no version here has written.
    """
    boxes = {
        str(card["id"]): {str(box["id"]): _box(box) for box in card.get("write_ins", ())}
        for card in description["cards"]
    }
    return DeckBoxes(boxes, {str(card["id"]): str(card["title"]) for card in description["cards"]})


def _box(told: Mapping[str, Any]) -> EntryBox:
    kept = told.get("bounds", {})
    bounds = {bound: Fraction(kept[end]) for end, bound in ENDS.items() if end in kept}
    return EntryBox(str(told["label"]), str(told["unit"]), str(told["limits"]), bounds)


def faults(entry: FormEntry, deck: DeckBoxes, file: str, jurisdiction: str) -> tuple[Problem, ...]:
    """Find everything for which an entry cannot be kept for a deck, in the order of the entry."""
    return tuple(_faults(entry, deck, file, jurisdiction))


def _faults(entry: FormEntry, deck: DeckBoxes, file: str, jurisdiction: str) -> Iterator[Problem]:
    if entry.record.work is None and jurisdiction != "other":
        why = "every rule that this rotor's records may come under asks what was done"
        yield problem(file, ("record", "work"), "entry-missing", "", why, "what was done, in a few words")
    for card, held in entry.values.items():
        if card not in deck.boxes:
            yield problem(file, ("values", card), "entry-card", card, "this deck has no such card", _SAME)
            continue
        for name, measured in held.items():
            yield from _measured_faults(measured, deck.box(card, name), ("values", card, name), file)
    yield from _run_faults(entry, file)


_SAME = "an entry saved by the form of this very deck"


def _measured_faults(measured: Measured, box: EntryBox | None, path: Path, file: str) -> Iterator[Problem]:
    if box is None:
        yield problem(file, path, "entry-box", str(path[-1]), "this card has no such box", _SAME)
        return
    if measured.unit != box.unit:
        wanted = box.unit or "no unit"
        why = f"the box on the card is in {wanted}; the same number in another unit is another value"
        yield problem(file, (*path, "unit"), "entry-unit", measured.unit, why, wanted)
    elif box.unit in UNITS and read_number(measured.value) is None:
        why = f"the box takes a number in {box.unit}"
        yield problem(
            file, (*path, "value"), "entry-number", measured.value, why, "a number such as 12.5 or 1+1/4"
        )


def _run_faults(entry: FormEntry, file: str) -> Iterator[Problem]:
    held = (*entry.values.get("track", {}), *entry.values.get("second-reading", {}))
    boxes = [name for name in held if name.startswith("run-") and name != "run-number"]
    if entry.runs and boxes:
        why = "the runs stand in the list and in the boxes of the track card; they might differ"
        yield problem(file, ("runs",), "run-twice", "", why, "the runs in one place")
        return
    for bad in runs_of(entry):
        if isinstance(bad, BadRun):
            card = "second-reading" if bad.box in entry.values.get("second-reading", {}) else "track"
            yield problem(file, ("values", card, bad.box), bad.rule, bad.read, bad.why, bad.write)


def asked_faults(entry: FormEntry, asked: int, file: str) -> Iterator[Problem]:
    """Find lines of a record that this deck, which asks for so many of its own, has not got."""
    for name in entry.record.asked:
        if int(name.removeprefix("asked_")) > asked:
            why = "this deck's form has no such line"
            yield problem(file, ("record", name), "entry-unknown", entry.record.asked[name], why, _SAME)


def unit_faults(entry: FormEntry, by_flats: bool, file: str) -> Iterator[Problem]:
    """Find changes in flats of a rotor that is set by a dial, and the other way round."""
    lines = [(("runs", at), run) for at, run in enumerate(entry.runs)]
    late: list[tuple[Path, ChangeLine]] = [(("changed",), entry.changed)] if entry.changed else []
    for path, line in (*lines, *late):
        unit = line.dial_unit
        if unit is not None and (unit == "flats") != by_flats:
            hand, wanted = ("flats are counted", "flats") if by_flats else ("a dial is read", "thou or mm")
            why = f"at this rotor {hand}, and the one does not tell the other"
            yield problem(file, (*path, "dial_unit"), "run-unit", unit, why, wanted)


def outside(entry: FormEntry, deck: DeckBoxes) -> tuple[Outside, ...]:
    """Find every value outside its limit, whatever the form has marked."""
    found: list[Outside] = []
    for card, held in entry.values.items():
        for name, measured in held.items():
            box = deck.box(card, name)
            if box is not None and (box.is_outside(measured.value) or measured.outside):
                title = deck.titles.get(card, card)
                limits = box.limits or "as the form marked it"
                found.append(Outside(title, box.label, measured.value, measured.unit, limits))
    return tuple(found)


def doubts(entry: FormEntry, issued: date, registration: str) -> tuple[str, ...]:
    """Say what about an entry is odd but not impossible."""
    said = []
    if entry.record.day < issued:
        said.append(f"the work was finished on {entry.record.date}, before these cards were issued on {issued}")
    if registration and entry.record.registration and entry.record.registration != registration:
        said.append(f"it is for {entry.record.registration}; the specification names {registration}")
    # What the entry says of it is the phone's word; the codes are compared here again.
    if entry.scanned.code and (
        read_code(entry.scanned.code) != read_code(entry.code) or not entry.scanned.agrees
    ):
        said.append("the card that was scanned was not of the same deck as the form")
    return tuple(said)
