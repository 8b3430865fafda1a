"""Invented rotors and the hands that work on them: what nobody at the bench knows, and how a hand slips."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from functools import cache
from math import sqrt
from statistics import mean
from typing import Any

from cardgen.figures.track_facts import READING
from cardgen.logbook.against_deck import DeckBoxes
from cardgen.logbook.keeping import IssuedDeck
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.track_runs import Method
from cardgen.register.code import Code
from cardgen.register.rows import DeckRow
from tests.logbook.logs import kept, sample

TODAY = date(2026, 11, 25)
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
    "dial zeroed again half way": 0.02,
    "total of the other letter": 0.02,
    "bolt loosened, not said": 0.01,
    "stops too early": 0.02,
}
#: What is made while reading or writing down a run.
READ = frozenset({"wrong blade read", "wrong blade read at the first run", "factor of ten in the split"})
#: What no number in the log can show by itself, and why.
UNSEEN = {
    "dial zeroed again half way": "it shows the number of the row; a rotor that answers more looks the same",
    "bolt loosened, not said": "it is a change that nobody wrote",
    "stops too early": "it is against what the log says",
}

#: What shows only at the reading after the change: by then the total may be passed, or a step be the wrong way.
SHOWN_AFTER = {
    "wrong blade moved": "the number is that of the row; the second person watches the leading edge",
    "wrong side turned": "the same",
    "wrong blade read at the first run": "there is no reading before it",
}


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

    def true_splits(self) -> tuple[float, ...]:
        """The splits at the named speeds now, plus when A is high."""
        return tuple(split + self.shift - self.net / self.rate for split in self.splits)[
            : self.kind.rule.speeds
        ]

    @property
    def limit(self) -> float:
        """The split at which the work is done."""
        return float(self.kind.rule.good_enough or Fraction(1, 4))

    @property
    def is_steady(self) -> bool:
        """Whether its split is the same at every speed."""
        return self.splits[0] == self.splits[1]

    @property
    def is_reachable(self) -> bool:
        """Whether it is steady and can be brought into track inside its largest total."""
        most = self.kind.rule.max_total
        return self.is_steady and (most is None or abs(self.splits[0]) * self.rate <= most)


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
class Slip:
    """A slip that was made: what, how far it puts the bar or its log wrong in inches of split, who caught it.

    In time is before another change follows the first run that can show it.
    """

    what: str
    moved: float
    latest: int
    caught_by: str = ""


@dataclass
class Outcome:
    """How one rotor ended."""

    reachable: bool
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

    @property
    def in_track(self) -> bool:
        """Whether it was called done and is."""
        return self.done and not self.false_done


class Hand:
    """Somebody who reads, writes and turns, and slips at the stated rates."""

    def __init__(self, rotor: Rotor, method: Method, chance: random.Random, slips: bool) -> None:
        self.rotor, self.method, self.chance = rotor, method, chance
        self.rates = SLIPS if slips else {}
        self.outcome = Outcome(rotor.is_reachable)
        self.open: list[Slip] = []
        # A change that was made and not written, as it would be written.
        self.unwritten: dict[str, str] = {}

    def slips(self, what: str, moved: float = 0.0, named: str = "") -> bool:
        """Whether this slip happens now."""
        if self.chance.random() >= self.rates.get(what, 0.0):
            return False
        latest = self.outcome.changes + (what in READ)
        slip = Slip(named or what, moved, latest)
        self.open.append(slip)
        self.outcome.slips.append(slip)
        return True

    def caught(self, guard: str, slips: Sequence[Slip]) -> None:
        """Mark slips as caught by a guard."""
        for slip in slips:
            slip.caught_by = guard if self.outcome.changes <= slip.latest else f"{guard}, late"
            self.open.remove(slip)

    def read(self) -> tuple[float, ...]:
        """Read the split at every named speed, on marks one scatter apart; the scatter is that of all of it."""
        self.outcome.readings += 1
        mark = float(READING[self.method])
        # Rounding to a mark has a variance of a twelfth of the mark squared.
        spread = mark * sqrt(11 / 12)
        return tuple(
            round(self.chance.gauss(split, spread) / mark) * mark for split in self.rotor.true_splits()
        )

    def write(self, splits: Sequence[float], first: bool = False) -> dict[str, Any]:
        """Write a reading into the boxes of a run."""
        sizes, letters = [abs(each) for each in splits], ["A" if each > 0 else "B" for each in splits]
        named = "wrong blade read at the first run" if first else ""
        if sizes[0] and self.slips("wrong blade read", 2 * abs(mean(splits)), named):
            letters = ["B" if each == "A" else "A" for each in letters]
        factor = self.chance.choice((10.0, 0.1))
        if sizes[0] and self.slips("factor of ten in the split", abs(factor - 1) * sizes[0] / len(sizes)):
            sizes[0] *= factor
        words = [letter if size else "level" for letter, size in zip(letters, sizes, strict=True)]
        told: dict[str, Any] = {
            "split": f"{sizes[0]:.4f}",
            "unit": "in",
            "high_blade": words[0],
            "method": self.method,
        }
        if len(sizes) > 1:
            told |= {"last_split": f"{sizes[1]:.4f}", "last_high": words[1]}
        return told

    def turn(self, meant: float) -> float:
        """Turn by an amount in thou of the rule, plus to lower A; gives what is written down."""
        rotor, self.outcome.changes = self.rotor, self.outcome.changes + 1
        row = float(rotor.kind.rule.rows[0].change)
        moved = written = meant
        inches = abs(meant) / rotor.rate
        factor = self.chance.choice((10.0, 0.1))
        if self.slips("wrong blade moved", 2 * inches) or self.slips("wrong side turned", 2 * inches):
            moved = -meant
        elif self.slips("neighbour's row", row / rotor.rate):
            moved = written = meant + self.chance.choice((-1, 1)) * row
        elif self.slips("factor of ten in the dial", abs(factor - 1) * inches):
            written = meant * factor
        elif self.slips("change forgotten", inches):
            moved = 0.0
        elif self.slips("change not written", inches):
            written = 0.0
        elif self.slips("dial zeroed again half way", inches / 2):
            moved = meant * 1.5
        rotor.net += moved
        shift = self.chance.gauss(0, 0.5)
        if self.slips("bolt loosened, not said", abs(shift)):
            rotor.shift += shift
        return written

    def end(self) -> None:
        """End the work: what was written wrongly, and no change followed, has moved no bar."""
        for slip in self.open:
            if slip.what in READ and self.outcome.changes < slip.latest:
                slip.moved = 0.0

    def is_past_total(self) -> bool:
        """Whether the bar is really past its largest total by more than can be set."""
        rule = self.rotor.kind.rule
        return rule.max_total is not None and abs(self.rotor.net) > rule.max_total + rule.finest / 2
