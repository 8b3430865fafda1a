"""A rotor's track history: every run with the adjustment it was flown with, and what broke the row.

The net adjustment counts from as delivered and is kept over the seasons: it outlives every event but
a new hub. What a rotor has taught about its own rate does not: it begins again after anything that
a table of changes says to check the track for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from cardgen.figures.care_matrix import ADJUSTED, CHANGES, TOUCHED_BY_CARD, Check, Disturbance
from cardgen.logbook.corrections import in_force
from cardgen.logbook.entry import FormEntry
from cardgen.logbook.keeping import IssuedDeck, LogEntry
from cardgen.logbook.track_rule import NoRule, TrackRule, same_hub, same_rotor
from cardgen.logbook.track_runs import Change, TrackRun, late_change, runs_of
from cardgen.register.kept import KeptDeck

_BY_NAME = {change.what: change for change in CHANGES}


@dataclass(frozen=True)
class Event:
    """Something that the row of runs does not reach across: what was touched, and on which day."""

    day: date
    what: str

    @property
    def change(self) -> Disturbance | None:
        """Its row in the table of what a change undoes."""
        return _BY_NAME.get(self.what)

    def again(self) -> tuple[str, ...]:
        """Name what is done again after it."""
        if self.change is None:
            return tuple(Check)
        return tuple(check for check, answer in self.change.again.items() if answer != "no")


@dataclass(frozen=True)
class FlownRun:
    """A run with the net adjustment it was flown with, in thou of the rule, plus toward lowering A.

    ``net`` is None where the total from as delivered is not known; ``since`` then still counts
    from the first run of the row. ``applied`` is what was changed after it, None where that is not known.
    """

    run: TrackRun
    since: Fraction
    applied: Fraction | None
    net: Fraction | None

    @property
    def unchanged(self) -> bool:
        """Whether nothing was changed after this run."""
        return self.applied == 0


@dataclass(frozen=True)
class History:
    """The row of runs since the last event, in order, and what is known of the total.

    ``net`` is the total now, in thou of the rule, or None where no entry tells it. ``clashes`` are
    numbers that contradict each other, ``gaps`` what nobody wrote.
    """

    rule: TrackRule | NoRule
    row: tuple[FlownRun, ...]
    last_event: Event | None
    net: Fraction | None
    clashes: tuple[str, ...] = ()
    gaps: tuple[str, ...] = ()

    @property
    def doubts(self) -> tuple[str, ...]:
        """Everything that is not known or contradicts itself, what contradicts itself first."""
        return (*self.clashes, *self.gaps)


def history_of(entries: Sequence[LogEntry], deck: IssuedDeck) -> History:
    """Put a rotor's entries, oldest first, into one history; ``deck`` is the rotor's newest."""
    walker = _Walker(deck.rule)
    before: KeptDeck | None = None
    told = in_force(entries)
    for each in told:
        _compare(walker, before, each.deck.kept, each.entry.record.day)
        before = each.deck.kept
        _walk(walker, each.entry)
    if told:
        _compare(walker, before, deck.kept, told[-1].entry.record.day)
    return walker.history()


def _walk(walker: _Walker, entry: FormEntry) -> None:
    day, events = entry.record.day, tuple(_events_of(entry))
    if change := late_change(entry):
        walker.change(change, day)
    early = entry.touched_when == "before the runs"
    if early:
        walker.take(events)
    for run in runs_of(entry):
        if isinstance(run, TrackRun):
            walker.fly(run)
        else:
            walker.lose(day)
    if not early:
        walker.take(events)


def _compare(walker: _Walker, before: KeptDeck | None, now: KeptDeck, day: date) -> None:
    if before is None or before is now or same_rotor(before, now):
        return
    walker.take((Event(day, "another blade, hub or track rule in the specification"),))
    if not same_hub(before, now):
        walker.new_hub()


def _events_of(entry: FormEntry) -> Iterator[Event]:
    """Tell what was touched in the work of an entry, and what its measured values show was touched."""
    names = [what for what in entry.touched if what != ADJUSTED and what in _BY_NAME]
    names += [what for card, what in TOUCHED_BY_CARD.items() if _is_worked(card, entry)]
    for what in dict.fromkeys(names):
        if _BY_NAME[what].again[Check.TRACK] != "no":
            yield Event(entry.record.day, what)


def _is_worked(card: str, entry: FormEntry) -> bool:
    """Whether a card's work was done: reading the shake as it is touches nothing, curing it does."""
    held = entry.values.get(card, {})
    return "shake-after" in held if card == "shake" else bool(held)


class _Walker:
    """Walks through the entries and keeps count."""

    def __init__(self, rule: TrackRule | NoRule) -> None:
        self.rule = rule
        self.row: list[FlownRun] = []
        self.last_event: Event | None = None
        self.since = Fraction(0)
        # Nobody knows what was done before the first entry, until a total from as delivered is written.
        self.net: Fraction | None = None
        self.moved: Fraction | None = Fraction(0)
        # What is not known until a total is written, and what contradicts itself until an entry is put right.
        self.gaps: list[str] = []
        self.clashes: list[str] = []

    def take(self, events: Iterable[Event]) -> None:
        """Begin a new row after something was touched."""
        for event in events:
            self.last_event = event
            self.row, self.since = [], Fraction(0)

    def new_hub(self) -> None:
        """Count the total anew on another hub."""
        self.net, self.moved = None, Fraction(0)
        self.gaps.clear()
        self.clashes.clear()

    def lose(self, day: date) -> None:
        """Begin anew after a run that was kept and cannot be read: what it changed is not known."""
        self.net = self.moved = None
        self.gaps.append(f"a run of {day} cannot be read")
        self.take((Event(day, "a run that cannot be read"),))

    def fly(self, run: TrackRun) -> None:
        """Take one run, and what was changed after it."""
        self.row.append(FlownRun(run, self.since, Fraction(0), self.net))
        self._take_change(run.change, run.name, run.day)

    def change(self, change: Change, day: date) -> None:
        """Take a change that was written after the run it followed was kept."""
        self._take_change(change, "the last run", day)

    def _take_change(self, change: Change, after: str, day: date) -> None:
        applied = self._in_rule(change.moved, change.unit)
        if self.row:
            last = self.row[-1]
            both = None if applied is None or last.applied is None else last.applied + applied
            self.row[-1] = replace(last, applied=both)
        if applied is None:
            self.net = self.moved = None
            self.gaps.append(f"after {after} on {day} a change was made that was not read after locking")
            self.take((Event(day, "a change that was not read after locking"),))
        else:
            self.since += applied
            self.moved = None if self.moved is None else self.moved + applied
            self.net = None if self.net is None else self.net + applied
        self._compare_total(change, applied, f"after {after} on {day}")

    def _compare_total(self, change: Change, applied: Fraction | None, when: str) -> None:
        """Compare the total as written with the sum of the changes; neither beats the other.

        A first total tells where counting began if nothing was changed yet in this log, and after a change
        that nobody read it is all there is. One without a blade must fit by its size.
        """
        told, size = (self._in_rule(each, change.unit) for each in (change.signed_total, change.total))
        counted = self.net if self.net is not None else self.moved
        if size is None:
            return
        if counted is None:
            if told is not None:
                self.gaps.clear()
                self._know(told)
        elif self._agree(counted, told, size):
            self._know(counted)
        elif self.net is None and self.moved == applied == 0 and told is not None:
            self._know(told)
        else:
            written, sums = self._words(size, change.total_blade), self._words(counted, None)
            self.clashes.append(f"{when} the total is written as {written}, and the changes add up to {sums}")

    def _agree(self, counted: Fraction, told: Fraction | None, size: Fraction) -> bool:
        slack = Fraction(0) if isinstance(self.rule, NoRule) else self.rule.repeats_within / 2
        apart = counted - told if told is not None else abs(counted) - size
        return abs(apart) <= slack

    def _know(self, net: Fraction) -> None:
        """Carry a total that is certain back through the row."""
        self.net = net
        start = net - self.since
        self.row = [replace(each, net=start + each.since) for each in self.row]

    def _words(self, thou: Fraction, blade: str | None) -> str:
        """Say a total as one blade's dial shows it."""
        rule = self.rule
        if isinstance(rule, NoRule):
            return f"{float(abs(thou)):g} thou"
        turned = rule.flats(abs(thou))
        size, unit = (
            (rule.on_mark(abs(thou) * (rule.dial or 1)), rule.scale.thin)
            if turned is None
            else (turned, "flats")
        )
        side = blade or ("" if thou == 0 else "A" if thou > 0 else "B")
        return f"{float(size):g} {unit}" + (f" toward lowering {side}" if side else "")

    def _in_rule(self, read: Fraction | None, unit: str) -> Fraction | None:
        if read is None or read == 0 or isinstance(self.rule, NoRule):
            return read
        return self.rule.of_flats(read) if unit == "flats" else self.rule.of_dial(read)

    def history(self) -> History:
        """Give what was found."""
        return History(
            rule=self.rule,
            row=tuple(self.row),
            last_event=self.last_event,
            net=None if self.clashes else self.net,
            clashes=tuple(dict.fromkeys(self.clashes)),
            gaps=tuple(dict.fromkeys(self.gaps)),
        )
