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
from fractions import Fraction
from statistics import mean
from typing import Any, Literal, TypeAlias

from cardgen.figures.track_end import End
from cardgen.figures.track_facts import READING
from cardgen.logbook.entry import FormEntry
from cardgen.logbook.history import history_of
from cardgen.logbook.keeping import LogEntry
from cardgen.logbook.oddities import oddities
from cardgen.logbook.track_learning import Learned, learn
from cardgen.logbook.track_rule import TrackRule
from cardgen.logbook.track_runs import Method
from cardgen.register.rows import EntryRow
from tests.bench.hands import SHOWN_AFTER, TODAY, UNSEEN, Hand, Kind, Outcome, Slip, rotors

Way: TypeAlias = Literal["log", "table"]
WAYS: tuple[Way, ...] = ("log", "table")
METHODS: tuple[Method, ...] = ("video", "by eye")
#: Longer than any hand goes on.
MOST_RUNS = 15
#: These say that two readings contradict each other.
_CONTRADICT = (End.APART, End.SPEEDS_APART)


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
        _keep(log, hand, number)
        told = log.learned()
        reads = told.end is not None and told.end.reads_again
        if told.step is None and told.end != End.DONE and (not reads or told.end in _CONTRADICT):
            hand.caught("fit", list(hand.open))
        if told.end == End.DONE:
            outcome.done, outcome.said = True, "done"
            break
        if reads and hand.slips("stops too early"):
            outcome.said = "stopped early, against the log"
            break
        again = reads or any(word in told.why_no_step for word in ("read again", "third"))
        if told.step is None and again:
            hand.method = "video" if told.end == End.BY_VIDEO else hand.method
            continue
        if told.step is None:
            outcome.said = told.why_no_step
            break
        _change(log, hand, told, rule)
        outcome.past_total |= hand.is_past_total()
    return _judged(hand)


def _keep(log: Log, hand: Hand, number: int) -> None:
    """Keep a run; where something is odd the hand looks again, and reads what was there."""
    first = {"total": "0", "dial_unit": "thou"} if number == 1 else {}
    earlier = list(hand.open)
    run = {"run": number, **hand.write(hand.read(), number == 1), **first}
    if log.questions({"runs": [run]}):
        if not hand.open:
            hand.outcome.asked_for_nothing += 1
        wrote = [each for each in hand.open if each not in earlier]
        hand.caught("log add", list(hand.open))
        if hand.unwritten:
            log.keep({"changed": hand.unwritten})
        if wrote:
            # The slip was in writing: the reading itself is looked up again.
            calm = Hand(hand.rotor, hand.method, hand.chance, slips=False)
            calm.outcome = hand.outcome
            run |= calm.write(calm.read())
    hand.unwritten = {}
    log.keep({"runs": [run]})


def _change(log: Log, hand: Hand, told: Learned, rule: TrackRule) -> None:
    assert told.step is not None
    step, rotor = float(told.step.step), hand.rotor
    true = mean(rotor.true_splits())
    if abs(true) > float(READING[hand.method]) and step * true < 0:
        hand.outcome.wrong_way += 1
    before, earlier = rotor.net, list(hand.open)
    written = hand.turn(step)
    if not written:
        hand.unwritten = _told(step, step, told.step.total, rule)
        return
    total = told.step.total - Fraction(step) + Fraction(written)
    changed = _told(step, written, total, rule)
    if hand.slips("total of the other letter"):
        changed["total_blade"] = "B" if total > 0 else "A"
    made = [each for each in hand.open if each not in earlier]
    if log.questions({"changed": changed}):
        if made:
            # The question made the hand look: what was meant is set.
            rotor.net = before + step
            changed = _told(step, step, told.step.total, rule)
        else:
            hand.outcome.asked_for_nothing += 1
        hand.caught("log add", made)
    log.keep({"changed": changed})


def _told(step: float, written: float, total: Fraction, rule: TrackRule) -> dict[str, str]:
    """Tell a change as it is written: the blade that was to go lower, the dial, the total."""
    at_dial = float(rule.dial or 1)
    sign = "" if written * step > 0 else "-"
    return {
        "lowered": "A" if step > 0 else "B",
        "dial_after": f"{sign}{abs(written) * at_dial:.4f}",
        "dial_unit": "thou",
        "total": f"{abs(float(total)) * at_dial:.4f}",
        "total_blade": "A" if total > 0 else "B",
    }


def by_the_table(hand: Hand) -> Outcome:
    """Read, take the row, again and again, until two readings without a change are inside at every speed."""
    rotor, outcome, rule = hand.rotor, hand.outcome, hand.rotor.kind.rule
    inside = 0
    for _ in range(MOST_RUNS):
        splits = _signed(hand.write(hand.read()))
        inside = inside + 1 if max(map(abs, splits)) <= rotor.limit else 0
        if inside > 1 or (inside and hand.slips("stops too early")):
            outcome.done, outcome.said = True, "done"
            break
        if inside:
            continue
        split = mean(splits)
        row = rule.row_for(Fraction(min(abs(split), float(rule.rows[-1].split))), first=not outcome.changes)
        hand.turn((1 if split > 0 else -1) * float(row.change if row else 0))
        outcome.past_total |= hand.is_past_total()
    return _judged(hand)


def _signed(run: dict[str, Any]) -> list[float]:
    pairs = (("split", "high_blade"), ("last_split", "last_high"))
    return [float(run[size]) * (-1 if run[high] == "B" else 1) for size, high in pairs if size in run]


def _judged(hand: Hand) -> Outcome:
    hand.end()
    outcome, rotor = hand.outcome, hand.rotor
    largest = max(map(abs, rotor.true_splits()))
    outcome.false_done = outcome.done and largest > rotor.limit + float(READING[hand.method])
    stopped = outcome.said in {End.TWO_SPEEDS, End.UNSTEADY}
    outcome.false_stop = stopped and rotor.is_steady and not outcome.slips
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
    print(f"{count} rotors each; a false done is outside by more than one scatter at a named speed")
    print("reachable: the same split at every speed, and brought out inside the largest total")
    print(
        "readings: of those in track; and all readings, also of those that never got there, for each of them\n"
    )
    heads = (
        "in track",
        "readings",
        "all",
        "changes",
        "false done",
        "false stop",
        "wrong way",
        "past total",
        "asked",
    )
    print(f"{'case':<28}" + "".join(f"{head:>11}" for head in heads))
    for slips in (False, True):
        for method in METHODS:
            for way in WAYS:
                ended = fly(count, way, method, slips)
                name = f"{way}, {method}{', slips' if slips else ''}"
                print(_row(name, ended), flush=True)
                if not slips:
                    print(_row("  of these reachable", [each for each in ended if each.reachable]))
                if slips and way == "log":
                    print("\n".join(f"    {line}" for line in _guards(ended, method)))


def _row(name: str, ended: Sequence[Outcome]) -> str:
    done = [each for each in ended if each.in_track]
    cells = (
        f"{len(done) / len(ended):.1%}",
        f"{mean(each.readings for each in done):.2f}" if done else "-",
        f"{sum(each.readings for each in ended) / len(done):.2f}" if done else "-",
        f"{mean(each.changes for each in done):.2f}" if done else "-",
        str(sum(each.false_done for each in ended)),
        f"{sum(each.false_stop for each in ended) / len(ended):.1%}",
        str(sum(each.wrong_way for each in ended)),
        str(sum(each.past_total for each in ended)),
        str(sum(each.asked_for_nothing for each in ended)),
    )
    return f"{name:<28}" + "".join(f"{cell:>11}" for cell in cells)


def _guards(ended: Sequence[Outcome], method: Method) -> Iterator[str]:
    """Tell who caught which slip that matters, and which slips stood before what went wrong."""
    told: dict[str, Counter[str]] = {}
    for slip in (slip for each in ended for slip in each.slips):
        if slip.moved > float(READING[method]):
            told.setdefault(slip.what, Counter())[slip.caught_by or "nobody"] += 1
    yield "slips that put the bar or its log wrong by more than a scatter, and who asked:"
    for what, by in sorted(told.items()):
        yield f"  {what}: {', '.join(f'{guard} {times}' for guard, times in by.most_common())}"
    seen = [by for what, by in told.items() if what not in UNSEEN]
    all_of, in_time = (sum(by[guard] for by in seen for guard in names(by)) for names in (set, _in_time))
    yield f"asked before another change: {in_time} of {all_of}, {in_time / (all_of or 1):.1%}"
    yield from (f"not counted, for nothing shows it: {what}; {why}" for what, why in UNSEEN.items())
    yield from (f"shown only by the reading after it: {what}; {why}" for what, why in SHOWN_AFTER.items())
    wrong = {
        "false done": [each for each in ended if each.false_done],
        "wrong way": [each for each in ended if each.wrong_way],
        "past total": [each for each in ended if each.past_total],
    }
    for name, those in wrong.items():
        before = Counter(" and ".join(_named(each.slips)) or "no slip" for each in those)
        yield from (f"{name}, after {slips}: {times}" for slips, times in before.most_common())


def _in_time(by: Counter[str]) -> set[str]:
    return {guard for guard in by if guard != "nobody" and not guard.endswith("late")}


def _named(slips: Sequence[Slip]) -> list[str]:
    return sorted({each.what for each in slips})


if __name__ == "__main__":
    main()
