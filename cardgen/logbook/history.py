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

from cardgen.figures.care_matrix import CHANGES, Check, Disturbance
from cardgen.logbook.entry import FormEntry
from cardgen.logbook.keeping import IssuedDeck, LogEntry
from cardgen.logbook.track_rule import NoRule, TrackRule, same_hub, same_rotor
from cardgen.logbook.track_runs import TrackRun, runs_of, signed
from cardgen.register.kept import KeptDeck
from cardgen.spec.units import magnitude, quantity

_BY_NAME = {change.what: change for change in CHANGES}
#: Measured values on these cards show that something was touched which the track depends on.
TOUCHED_BY_CARD = {
    "assembly": "a strap bolt loosened",
    "string": "a strap bolt loosened",
    "torque": "a strap bolt loosened",
    "pitch": "a pitch block or its shims",
    "balance": "lead or a screw in a tip",
    "sealing": "lead or a screw in a tip",
    "install": "whole rotor off and on",
    "reflectors": "anything glued to a tip",
    "shake": "lead or a screw in a tip",
}
#: Cards that are worked after the track runs of the same day.
_AFTER_THE_RUNS = frozenset({"shake"})
#: Boxes of those cards that are filled without touching anything.
_ONLY_READ = frozenset({"shake-speed", "shake-none"})
_ADJUSTED = "an adjuster moved for track"


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
    from the first run of the row.
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
    """Every run in order, the events between them, and the row since the last event.

    ``net`` is the total now, in thou of the rule, or None where no entry tells it or ``doubts`` says
    why it cannot be believed.
    """

    rule: TrackRule | NoRule
    runs: tuple[FlownRun, ...]
    events: tuple[Event, ...]
    row: tuple[FlownRun, ...]
    last_event: Event | None
    net: Fraction | None
    doubts: tuple[str, ...]


def history_of(entries: Sequence[LogEntry], deck: IssuedDeck) -> History:
    """Put a rotor's entries, oldest first, into one history; ``deck`` is the rotor's newest."""
    walker = _Walker(deck.rule)
    before: KeptDeck | None = None
    for each in entries:
        _compare(walker, before, each.deck.kept, each.entry.record.day)
        before = each.deck.kept
        early, late = _events_of(each.entry)
        walker.take(early)
        for run in runs_of(each.entry):
            if isinstance(run, TrackRun):
                walker.fly(run)
            else:
                walker.lose(each.entry.record.day)
        walker.take(late)
    if entries:
        _compare(walker, before, deck.kept, entries[-1].entry.record.day)
    return walker.history()


def _compare(walker: _Walker, before: KeptDeck | None, now: KeptDeck, day: date) -> None:
    if before is None or same_rotor(before, now):
        return
    walker.take((Event(day, "another blade, hub or track rule in the specification"),))
    if not same_hub(before, now):
        walker.new_hub()


def _events_of(entry: FormEntry) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    """Tell what was touched before the runs of an entry, and what after them."""
    early = [what for what in entry.touched if what != _ADJUSTED and what in _BY_NAME]
    early += [
        what for card, what in TOUCHED_BY_CARD.items() if card in entry.values and card not in _AFTER_THE_RUNS
    ]
    late = [
        TOUCHED_BY_CARD[card] for card in sorted(_AFTER_THE_RUNS) if "shake-after" in entry.values.get(card, {})
    ]
    day = entry.record.day
    return tuple(_once(day, early)), tuple(_once(day, late))


def _once(day: date, names: Iterable[str]) -> Iterator[Event]:
    for what in dict.fromkeys(names):
        if _BY_NAME[what].again[Check.TRACK] != "no":
            yield Event(day, what)


class _Walker:
    """Walks through the entries and keeps count."""

    def __init__(self, rule: TrackRule | NoRule) -> None:
        self.rule = rule
        self.runs: list[FlownRun] = []
        self.row: list[FlownRun] = []
        self.events: list[Event] = []
        self.last_event: Event | None = None
        self.since = Fraction(0)
        self.moved = Fraction(0)
        # Nobody knows what was done before the first entry, until a total from as delivered is written.
        self.net: Fraction | None = None
        self.doubts: list[str] = []

    def take(self, events: Iterable[Event]) -> None:
        """Begin a new row after something was touched."""
        for event in events:
            self.events.append(event)
            self.last_event = event
            self.row, self.since = [], Fraction(0)

    def new_hub(self) -> None:
        """Count the total anew on another hub."""
        self.net, self.moved, self.doubts = None, Fraction(0), []

    def lose(self, day: date) -> None:
        """Begin anew after a run that was kept and cannot be read: what it changed is not known."""
        self.net = None
        self._doubt(f"a run of {day} cannot be read")
        self.take((Event(day, "a run that cannot be read"),))

    def fly(self, run: TrackRun) -> None:
        """Take one run, and what was changed after it."""
        applied = self._in_rule(run.changed)
        flown = FlownRun(run, self.since, applied, self.net)
        self.runs.append(flown)
        self.row.append(flown)
        if applied is None:
            self.net = None
            self._doubt(f"after {run.name} on {run.day} a change was made that was not read after locking")
            self.take((Event(run.day, "a change that was not read after locking"),))
        else:
            self.since += applied
            self.moved += applied
            self.net = None if self.net is None else self.net + applied
        self._check_total(run)

    def _check_total(self, run: TrackRun) -> None:
        """Compare the total as written with the sum of the changes; a total with its blade is believed."""
        told = self._in_rule(run.total)
        if told is None:
            return
        if run.total_blade is not None or told == 0:
            self.net, self.doubts = signed(told, run.total_blade), []
            self._renumber()
            return
        slack = self._in_rule(self._mark()) or Fraction(0)
        sum_of_changes = self.net if self.net is not None or self.doubts else self.moved
        if sum_of_changes is not None and abs(abs(sum_of_changes) - abs(told)) <= slack:
            self.net = sum_of_changes
            self._renumber()
            return
        self.net = None
        self._doubt(f"after {run.name} on {run.day} the total as written is not the sum of the changes")

    def _renumber(self) -> None:
        """Carry a total that became certain back through the row."""
        if self.net is not None:
            start = self.net - self.since
            self.row = [replace(each, net=start + each.since) for each in self.row]

    def _doubt(self, words: str) -> None:
        if words not in self.doubts:
            self.doubts.append(words)

    def _mark(self) -> Fraction:
        if isinstance(self.rule, NoRule):
            return Fraction(0)
        return magnitude(quantity(self.rule.scale.mark, self.rule.scale.thin), "thou")

    def _in_rule(self, dial: Fraction | None) -> Fraction | None:
        if dial is None or dial == 0 or isinstance(self.rule, NoRule):
            return dial
        return self.rule.of_dial(dial)

    def history(self) -> History:
        """Give what was found."""
        return History(
            rule=self.rule,
            runs=tuple(self.runs),
            events=tuple(self.events),
            row=tuple(self.row),
            last_event=self.last_event,
            net=self.net,
            doubts=tuple(self.doubts),
        )
