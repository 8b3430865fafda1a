"""Simulated rotors, tracked by what the log says and by repeating the table blindly.

``python -m tests.bench.rotors`` prints how often each ends with the split inside the limit, how many
runs it takes, and how often the split grew. Every rotor has a rate of its own and every reading has
scatter; some have a fault that no adjustment of pitch cures.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from statistics import mean
from typing import Literal, TypeAlias

from cardgen.figures.track_facts import READING
from cardgen.figures.track_verdict import StopRule
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.track_learning import Learned, learn
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.track_runs import Method, TrackRun
from cardgen.spec.load import FileTrouble, load
from tests.logbook.logs import kept

SPEC = Path(__file__).resolve().parents[2] / "sample_inputs" / "nr-0306.toml"
TODAY = date(2026, 11, 25)
MOST_RUNS = 12
#: Chosen for the simulation; a real limit is the maker's.
LIMIT = Fraction(1, 4)

Fault: TypeAlias = Literal["none", "dead", "wrong way"]


@dataclass(frozen=True)
class Rotor:
    """What nobody at the bench knows: the true split, rate and fault."""

    split: float
    rate: float
    fault: Fault

    def after(self, total: float) -> float:
        """The true split at a total in thou of the rule."""
        answer = {"none": 1.0, "dead": 0.0, "wrong way": -1.0}[self.fault]
        return self.split - answer * total / self.rate


@dataclass(frozen=True)
class Ended:
    """How one rotor ended: its true split, runs, whether it was called good, and its worst split."""

    split: float
    runs: int
    called_good: bool
    worst: float

    @property
    def is_good(self) -> bool:
        """Whether the true split is inside the limit."""
        return abs(self.split) <= float(LIMIT)


def the_rule() -> TrackRule:
    """The rule of a sample rotor, with room enough in its total that rates differ and not limits."""
    loaded = load(SPEC, TODAY)
    assert not isinstance(loaded, FileTrouble)
    assert loaded.spec is not None
    rule = rule_of(kept(loaded.spec))
    assert isinstance(rule, TrackRule)
    return replace(rule, max_total=Fraction(400))


def rotors(count: int, seed: int, rule: TrackRule, faults: float = 0.0, slack: float = 0.35) -> list[Rotor]:
    """Make rotors whose own slopes scatter about the rule's as the fit expects; some with a fault."""
    chance = random.Random(seed)
    made = []
    for _ in range(count):
        slope = max(0.25, chance.gauss(1.0, slack)) / float(rule.rate)
        split = chance.choice((-1, 1)) * chance.uniform(0.6, float(rule.max_split) - 0.05)
        faulty = chance.random() < faults
        fault: Fault = chance.choice(("dead", "wrong way")) if faulty else "none"
        made.append(Rotor(split, 1 / slope, fault))
    return made


def by_the_log(rotor: Rotor, rule: TrackRule, method: Method, chance: random.Random) -> Ended:
    """Track a rotor as the log says, the first change from the table, until the log says stop."""
    row: list[FlownRun] = []
    total, worst = Fraction(0), 0.0
    for count in range(1, MOST_RUNS + 1):
        row.append(_flown(rotor, total, method, chance))
        worst = max(worst, abs(rotor.after(float(total))))
        learned = learn(_history(row, rule, total), LIMIT)
        if learned.stop == StopRule.GOOD:
            return Ended(rotor.after(float(total)), count, True, worst)
        change = _change(learned, row, rule)
        if change is None:
            return Ended(rotor.after(float(total)), count, False, worst)
        row[-1] = replace(row[-1], applied=change)
        total += change
    return Ended(rotor.after(float(total)), MOST_RUNS, False, worst)


def _change(learned: Learned, row: list[FlownRun], rule: TrackRule) -> Fraction | None:
    """Give the change to make next, nothing to read again with, or None to stop."""
    if learned.step is not None:
        return learned.step.step
    why = learned.why_no_step
    if learned.stop == StopRule.UNDECIDED or "third" in why or "read again" in why:
        return Fraction(0)
    if "table" in why:
        return rule.made(row[-1].run.split * rule.rate)
    return None


def by_the_table(rotor: Rotor, rule: TrackRule, method: Method, chance: random.Random) -> Ended:
    """Track a rotor by the table alone, again and again, until a reading is inside the limit."""
    total, worst = Fraction(0), 0.0
    for count in range(1, MOST_RUNS + 1):
        split = _flown(rotor, total, method, chance).run.split
        worst = max(worst, abs(rotor.after(float(total))))
        if abs(split) <= LIMIT:
            return Ended(rotor.after(float(total)), count, True, worst)
        total += rule.made(split * rule.rate)
    return Ended(rotor.after(float(total)), MOST_RUNS, False, worst)


def _flown(rotor: Rotor, total: Fraction, method: Method, chance: random.Random) -> FlownRun:
    read = rotor.after(float(total)) + chance.gauss(0.0, float(READING[method]))
    split = Fraction(round(read * 64), 64)
    run = TrackRun(TODAY, "run", split, "A" if split >= 0 else "B", method, None, Fraction(0), None, None)
    return FlownRun(run, total, Fraction(0), total)


def _history(row: list[FlownRun], rule: TrackRule, total: Fraction) -> History:
    return History(rule, tuple(row), (), tuple(row), None, total, ())


Way: TypeAlias = Callable[[Rotor, TrackRule, Method, random.Random], Ended]


def fly(
    count: int, way: Way, method: Method = "video", faults: float = 0.0, slack: float = 0.35
) -> list[Ended]:
    """Track many rotors one way; the same seed gives the same rotors and the same scatter."""
    rule = the_rule()
    chance = random.Random(7)
    return [way(rotor, rule, method, chance) for rotor in rotors(count, 2041, rule, faults, slack)]


def main(count: int = 200) -> None:
    """Fly and print."""
    cases: list[tuple[str, Method, float, float]] = [
        ("sound rotors, video", "video", 0.0, 0.35),
        ("sound rotors, by eye", "by eye", 0.0, 0.35),
        ("rates far from the rule, video", "video", 0.0, 0.8),
        ("every rotor at fault, video", "video", 1.0, 0.35),
    ]
    print(f"{count} rotors each; limit {LIMIT} in; at most {MOST_RUNS} runs\n")
    print(f"{'case':<34}{'way':<8}{'called good':>12}{'rightly':>9}{'runs':>7}{'grew':>7}")
    ways: list[tuple[str, Way]] = [("log", by_the_log), ("table", by_the_table)]
    for name, method, faults, slack in cases:
        for word, way in ways:
            _row(name, word, fly(count, way, method, faults, slack))


def _row(name: str, way: str, ended: list[Ended]) -> None:
    good = [each for each in ended if each.called_good]
    right = f"{sum(each.is_good for each in good) / len(good):.0%}" if good else "none"
    # Twice the largest split that any of them began with: the track went the wrong way.
    grew = sum(each.worst > 3.0 for each in ended)
    called = len(good) / len(ended)
    print(f"{name:<34}{way:<8}{called:>12.0%}{right:>9}{mean(each.runs for each in ended):>7.1f}{grew:>7}")


if __name__ == "__main__":
    main()
