"""Simulated hands: invented rotors worked through card, form and log, and by repeating the table blindly.

``python -m tests.bench.clumsy --rotors 1000`` prints, for both ways and with and without slips, how the work
ends: in track, readings, changes, a "done" that is false, steps the wrong way, past the largest total; and
which guard caught which slip. Every rotor has a rate of its own, every reading its scatter, some rotors a
split that changes with speed. Nothing here is a rotor's: the truth is made up so that it is known.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from functools import cache
from math import sqrt
from statistics import mean
from typing import Any, Literal, TypeAlias

from cardgen.figures.track_end import End
from cardgen.figures.track_facts import READING
from cardgen.logbook.against_deck import DeckBoxes
from cardgen.logbook.entry import Blade, FormEntry
from cardgen.logbook.history import history_of
from cardgen.logbook.keeping import IssuedDeck, LogEntry
from cardgen.logbook.oddities import oddities
from cardgen.logbook.track_learning import Learned, learn
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.track_runs import Method
from cardgen.register.code import Code
from cardgen.register.rows import DeckRow, EntryRow
from tests.logbook.logs import kept, sample

TODAY = date(2026, 11, 25)
Way: TypeAlias = Literal["log", "table"]
WAYS: tuple[Way, ...] = ("log", "table")
METHODS: tuple[Method, ...] = ("video", "by eye")
#: Longer than any hand goes on.
MOST_RUNS = 15
#: How often a hand slips in that way, at each chance to; set high, so that every guard is tried.
SLIPS = {
    "wrong blade read": 0.02,
    "factor of ten in the split": 0.01,
    "wrong blade moved": 0.02,
    "wrong side turned": 0.02,
    "neighbour's row": 0.03,
    "factor of ten in the dial": 0.01,
    "change forgotten": 0.02,
    "change not written": 0.02,
    "dial zeroed again": 0.02,
    "total of the other letter": 0.02,
    "bolt loosened, not said": 0.01,
    "stops too early": 0.02,
}
#: What no reading of a dial or a split can show by itself, and what a hand does against the log.
UNSEEN = frozenset({"bolt loosened, not said", "stops too early"})


@dataclass(frozen=True)
class Kind:
    """A specification that rotors are made of, and the deck a register would hold of it."""

    name: str
    deck: IssuedDeck

    @property
    def rule(self) -> TrackRule:
        """Its track rule."""
        assert isinstance(self.deck.rule, TrackRule)
        return self.deck.rule


@cache
def kinds() -> tuple[Kind, ...]:
    """Four kinds: one blade by dial, a metric turnbuckle, both blades opposite, one adjuster for the bar."""
    inch, metric = (kept(sample(name)) for name in ("nr-0306", "ft-7400"))
    found: list[Kind] = []
    for name, deck in (("one blade, inch", inch), ("turnbuckle, metric", metric)):
        rule = rule_of(deck)
        assert isinstance(rule, TrackRule)
        row = DeckRow(1, "SIM", 1, Code("AAAA-AAAA-A"), TODAY, TODAY, "nobody", "simulated", "", "")
        rule = replace(rule, good_enough=rule.good_enough or Fraction(1, 4))
        found.append(Kind(name, IssuedDeck(row, deck, DeckBoxes({}, {}), rule)))
    one = found[0]
    halves = replace(one.rule, moves="both blades, opposite", added=True, dial=Fraction(1, 2))
    whole = replace(one.rule, moves="whole bar", dial=Fraction(4, 3))
    for name, rule in (("both blades, opposite", halves), ("whole bar", whole)):
        found.append(Kind(name, replace(one.deck, rule=rule)))
    return tuple(found)


@dataclass
class Rotor:
    """What nobody at the bench knows: the split at each named speed, own rate, net in the rule's thou."""

    kind: Kind
    splits: tuple[float, float]
    rate: float
    net: float = 0.0
    shift: float = 0.0

    def true_splits(self) -> tuple[float, float]:
        """The splits at the named speeds now, plus when A is high."""
        first, last = (split + self.shift - self.net / self.rate for split in self.splits)
        return first, last

    @property
    def largest(self) -> float:
        """The largest split at any speed, without a sign."""
        return max(map(abs, self.true_splits()))


def rotors(count: int, seed: int) -> Iterator[Rotor]:
    """Make rotors: own rates 0.4 to 2 of the rule, one in ten with a split that changes with speed."""
    chance, made = random.Random(seed), kinds()
    for at in range(count):
        kind = made[at % len(made)]
        rate = float(kind.rule.rate) * chance.uniform(0.4, 2.0)
        split = chance.choice((-1, 1)) * chance.uniform(0.1, float(kind.rule.max_split) * 0.95)
        drift = chance.choice((-1, 1)) * chance.uniform(0.3, 0.9) if chance.random() < 0.1 else 0.0
        yield Rotor(kind, (split, split + drift), rate)


@dataclass
class Outcome:
    """How one rotor ended."""

    said: str = "went on"
    done: bool = False
    false_done: bool = False
    false_stop: bool = False
    readings: int = 0
    changes: int = 0
    wrong_way: int = 0
    past_total: bool = False
    asked_for_nothing: int = 0
    slips: list[Slip] = field(default_factory=list)


@dataclass
class Slip:
    """A slip that was made: what, how far it moved the bar against what was meant, in inches, who caught it."""

    what: str
    moved: float
    caught_by: str = ""


class Hand:
    """Somebody who reads, writes and turns, and slips at the stated rates."""

    def __init__(self, rotor: Rotor, method: Method, chance: random.Random, slips: bool) -> None:
        self.rotor, self.method, self.chance = rotor, method, chance
        self.rates = SLIPS if slips else {}
        self.outcome = Outcome()
        self.open: list[Slip] = []

    def slips(self, what: str, moved: float = 0.0) -> bool:
        """Whether this slip happens now."""
        if self.chance.random() >= self.rates.get(what, 0.0):
            return False
        slip = Slip(what, moved)
        self.open.append(slip)
        self.outcome.slips.append(slip)
        return True

    def caught(self, guard: str) -> None:
        """Everything that is open was caught by a guard."""
        for slip in self.open:
            slip.caught_by = guard
        self.open.clear()

    def read(self) -> tuple[float, ...]:
        """Read the split at every named speed on marks one scatter apart, rounding and all within that scatter."""
        self.outcome.readings += 1
        mark = float(READING[self.method])
        speeds = self.rotor.true_splits()[: self.rotor.kind.rule.speeds]
        # Rounding to a mark has a variance of a twelfth of the mark squared.
        spread = mark * sqrt(11 / 12)
        return tuple(round(self.chance.gauss(split, spread) / mark) * mark for split in speeds)

    def turn(self, meant: float) -> float:
        """Turn by an amount in thou of the rule, plus to lower A; gives what is written down."""
        rotor, self.outcome.changes = self.rotor, self.outcome.changes + 1
        row = rotor.kind.rule.rows[0].change
        moved = written = meant
        inches = abs(meant) / rotor.rate
        if self.slips("wrong blade moved", 2 * inches) or self.slips("wrong side turned", 2 * inches):
            moved = -meant
        elif self.slips("neighbour's row", float(row) / rotor.rate):
            moved = written = meant + self.chance.choice((-1, 1)) * float(row)
        elif self.slips("factor of ten in the dial", inches):
            written = meant * self.chance.choice((10, 0.1))
        elif self.slips("change forgotten", inches):
            moved = 0.0
        elif self.slips("change not written", inches):
            written = 0.0
        elif self.slips("dial zeroed again", inches):
            moved = meant * 1.5
        rotor.net += moved
        if self.slips("bolt loosened, not said", 0.5):
            rotor.shift += self.chance.gauss(0, 0.5)
        return written


class Log:
    """The rotor's log in memory: entries as the form saves them, read as the commands read them."""

    def __init__(self, kind: Kind) -> None:
        self.kind = kind
        self.entries: list[LogEntry] = []

    def questions(self, run: dict[str, Any]) -> tuple[str, ...]:
        """Ask about a run before it is kept."""
        return oddities(self.entries, self._entry(run))

    def keep(self, run: dict[str, Any]) -> None:
        """Keep a run."""
        self.entries.append(self._entry(run))

    def learned(self) -> Learned:
        """What the fit says."""
        return learn(history_of(self.entries, self.kind.deck))

    def _entry(self, run: dict[str, Any]) -> LogEntry:
        number = len(self.entries) + 1
        told = {
            "kind": "cardgen log entry",
            "schema": 1,
            "set_id": "SIM",
            "revision": 1,
            "code": "AAAA-AAAA-A",
            "record": {"date": TODAY.isoformat(), "work": "Read the track."},
            **run,
        }
        entry = FormEntry.model_validate(told)
        return LogEntry(EntryRow(number, 1, "track", TODAY, ""), entry, self.kind.deck)


def by_the_log(hand: Hand) -> Outcome:
    """Read, write, be asked, do what the log says, until it says done or stop."""
    rotor, outcome = hand.rotor, hand.outcome
    log, rule = Log(rotor.kind), rotor.kind.rule
    for number in range(1, MOST_RUNS + 1):
        _keep(log, hand, number, _as_written(hand, hand.read()))
        told = log.learned()
        if (
            hand.open
            and told.step is None
            and told.end not in (End.DONE, *(each for each in End if each.reads_again))
        ):
            hand.caught("fit")
        if told.end == End.DONE:
            outcome.done, outcome.said = True, "done"
            break
        early = told.end is not None and told.end.reads_again and hand.slips("stops too early")
        if early:
            outcome.done, outcome.said = True, "done, against the log"
            break
        reads = told.end is not None and told.end.reads_again
        again = reads or any(word in told.why_no_step for word in ("read again", "third"))
        if told.step is None and again:
            hand.method = "video" if told.end == End.BY_VIDEO else hand.method
            continue
        if told.step is None:
            outcome.said = told.why_no_step
            break
        _change(log, hand, told, rule)
        outcome.past_total |= rule.max_total is not None and abs(rotor.net) > rule.max_total + rule.finest / 2
    return _judged(outcome, rotor, hand)


def _as_written(hand: Hand, splits: Sequence[float]) -> dict[str, Any]:
    """Write a reading into the boxes of a run."""
    sizes, letters = [abs(each) for each in splits], ["A" if each > 0 else "B" for each in splits]
    if sizes[0] and hand.slips("wrong blade read", 2 * sizes[0]):
        letters = ["B" if each == "A" else "A" for each in letters]
    if sizes[0] and hand.slips("factor of ten in the split", 9 * sizes[0]):
        sizes[0] *= hand.chance.choice((10, 0.1))
    words = [letter if size else "level" for letter, size in zip(letters, sizes, strict=True)]
    told: dict[str, Any] = {
        "split": f"{sizes[0]:.4f}",
        "unit": "in",
        "high_blade": words[0],
        "method": hand.method,
    }
    if len(sizes) > 1:
        told |= {"last_split": f"{sizes[1]:.4f}", "last_high": words[1]}
    return told


def _keep(log: Log, hand: Hand, number: int, run: dict[str, Any]) -> None:
    """Keep a run; where something is odd the hand looks again, and reads what was there."""
    entry = {"runs": [{"run": number, **run, **({"total": "0", "dial_unit": "thou"} if number == 1 else {})}]}
    if log.questions(entry):
        if not hand.open:
            hand.outcome.asked_for_nothing += 1
        wrote = [each for each in hand.open if "read" in each.what or "split" in each.what]
        hand.caught("log add")
        if wrote:
            # The slip was in writing: the reading itself is looked up again.
            entry["runs"][0].update(_as_written(_calm(hand), hand.read()))
    log.keep(entry)


def _calm(hand: Hand) -> Hand:
    """Look again without slipping."""
    calm = Hand(hand.rotor, hand.method, hand.chance, slips=False)
    calm.outcome = hand.outcome
    return calm


def _change(log: Log, hand: Hand, told: Learned, rule: TrackRule) -> None:
    assert told.step is not None
    step, rotor = float(told.step.step), hand.rotor
    true = mean(rotor.true_splits()[: rule.speeds])
    if abs(true) > float(READING[hand.method]) and step * true < 0:
        hand.outcome.wrong_way += 1
    before = rotor.net
    written = hand.turn(step)
    if not written:
        return
    dial = written * float(rule.dial or 1)
    blade: Blade = "A" if step > 0 else "B"
    total = told.step.total - Fraction(step) + Fraction(written)
    side = "A" if total > 0 else "B"
    if hand.slips("total of the other letter"):
        side = "B" if side == "A" else "A"
    changed = {
        "lowered": blade,
        "dial_after": f"{abs(dial) if dial * step > 0 else -abs(dial):.4f}",
        "dial_unit": "thou",
        "total": f"{abs(float(total)) * float(rule.dial or 1):.4f}",
        "total_blade": side,
    }
    if log.questions({"changed": changed}):
        if hand.open:
            # The question made the hand look: what was meant is set.
            rotor.net = before + step
            changed = {**changed, "dial_after": f"{abs(step) * float(rule.dial or 1):.4f}"}
            changed |= _total(told.step.total, rule)
        else:
            hand.outcome.asked_for_nothing += 1
        hand.caught("log add")
    log.keep({"changed": changed})


def _total(total: Fraction, rule: TrackRule) -> dict[str, Any]:
    return {
        "total": f"{abs(float(total)) * float(rule.dial or 1):.4f}",
        "total_blade": "A" if total > 0 else "B",
    }


def by_the_table(hand: Hand) -> Outcome:
    """Read, take the row, again and again, until two readings without a change are inside the limit."""
    rotor, outcome, rule = hand.rotor, hand.outcome, hand.rotor.kind.rule
    limit, inside = rule.good_enough or Fraction(1, 4), 0
    for _ in range(MOST_RUNS):
        read = _as_written(hand, hand.read())
        split = float(str(read["split"])) * (-1 if read["high_blade"] == "B" else 1)
        inside = inside + 1 if abs(split) <= limit else 0
        if inside > 1 or (inside and hand.slips("stops too early")):
            outcome.done, outcome.said = True, "done"
            break
        if inside:
            continue
        row = rule.row_for(Fraction(min(abs(split), float(rule.rows[-1].split))), first=not outcome.changes)
        hand.turn((1 if split > 0 else -1) * float(row.change if row else 0))
        outcome.past_total |= rule.max_total is not None and abs(rotor.net) > rule.max_total + rule.finest / 2
    return _judged(outcome, rotor, hand)


def _judged(outcome: Outcome, rotor: Rotor, hand: Hand) -> Outcome:
    limit = float(rotor.kind.rule.good_enough or Fraction(1, 4))
    named = rotor.true_splits()[: rotor.kind.rule.speeds]
    outcome.false_done = outcome.said == "done" and max(map(abs, named)) > limit + float(READING[hand.method])
    outcome.false_stop = rotor.splits[0] == rotor.splits[1] and outcome.said in {End.TWO_SPEEDS, End.UNSTEADY}
    return outcome


def fly(count: int, way: Way, method: Method = "video", slips: bool = False, seed: int = 2041) -> list[Outcome]:
    """Work many rotors one way; the same seed gives the same rotors."""
    work = by_the_log if way == "log" else by_the_table
    return [
        work(Hand(rotor, method, random.Random(f"{seed} {at}"), slips))
        for at, rotor in enumerate(rotors(count, seed))
    ]


def main() -> None:
    """Fly and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rotors", type=int, default=1000)
    count = parser.parse_args().rotors
    print(f"{count} rotors each; a false done is outside by more than one scatter at a named speed\n")
    heads = ("in track", "readings", "changes", "false done", "false stop", "wrong way", "past total", "asked")
    print(f"{'case':<24}" + "".join(f"{head:>12}" for head in heads))
    for slips in (False, True):
        for method in METHODS:
            for way in WAYS:
                ended = fly(count, way, method, slips)
                print(_row(f"{way}, {method}{', slips' if slips else ''}", ended), flush=True)
    print(_guards(fly(count, "log", "video", slips=True)))


def _row(name: str, ended: Sequence[Outcome]) -> str:
    done = [each for each in ended if each.done]
    cells = (
        f"{len(done) / len(ended):.1%}",
        f"{mean(each.readings for each in done):.2f}" if done else "-",
        f"{mean(each.changes for each in done):.2f}" if done else "-",
        str(sum(each.false_done for each in ended)),
        str(sum(each.false_stop for each in ended)),
        str(sum(each.wrong_way for each in ended)),
        str(sum(each.past_total for each in ended)),
        str(sum(each.asked_for_nothing for each in ended)),
    )
    return f"{name:<24}" + "".join(f"{cell:>12}" for cell in cells)


def _guards(ended: Sequence[Outcome]) -> str:
    told: dict[str, Counter[str]] = {}
    for slip in (slip for each in ended for slip in each.slips):
        if slip.moved > float(READING["video"]):
            told.setdefault(slip.what, Counter())[slip.caught_by or "nobody"] += 1
    lines = [f"{what:<32}{dict(by)}" for what, by in told.items()]
    seen = [by for what, by in told.items() if what not in UNSEEN]
    asked, everything = (sum(sum(by.values()) - by["nobody"] * left for by in seen) for left in (1, 0))
    lines.append(f"asked about: {asked} of {everything}; none asks about {' or '.join(sorted(UNSEEN))}")
    said = Counter(each.said for each in ended)
    return "\n".join(
        ["", "slips that move the bar by more than a scatter, and who caught them", *lines, "", str(said)]
    )


if __name__ == "__main__":
    main()
