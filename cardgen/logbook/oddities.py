"""What is odd about an entry's runs for what the log holds: asked about before it is kept.

A hand writes a number ten times too large, the other blade, the neighbour's row. Each of these shows in what
the rotor did before or does next; a person then says whether it was read so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction

from cardgen.figures.track_verdict import DIFFERENT, GUARD, NEAR, Verdict, judge
from cardgen.logbook.fit_report import dial_words, split_words
from cardgen.logbook.history import FlownRun, History, history_of
from cardgen.logbook.keeping import LogEntry
from cardgen.logbook.track_learning import learn
from cardgen.logbook.track_rule import NoRule, TrackRule

_SLIPS = frozenset({Verdict.SLIP, Verdict.WRONG, Verdict.NOTHING})


def oddities(earlier: Sequence[LogEntry], new: LogEntry) -> tuple[str, ...]:
    """Name everything odd that a new entry brings; what was odd before it is told already."""
    before = history_of(earlier, new.deck) if earlier else None
    after = history_of(_in_order([*earlier, new]), new.deck)
    if isinstance(after.rule, NoRule):
        return ()
    known = set(_odd(before, before.rule)) if before and not isinstance(before.rule, NoRule) else set()
    return tuple(dict.fromkeys(each for each in _odd(after, after.rule) if each not in known))


def _in_order(entries: Sequence[LogEntry]) -> list[LogEntry]:
    def when(each: LogEntry) -> tuple[date, str]:
        return each.entry.record.day, each.entry.record.time or ""

    return sorted(entries, key=when)


def _odd(history: History, rule: TrackRule) -> Iterator[str]:
    yield from history.clashes
    row = history.row
    for at, each in enumerate(row):
        if each.run.largest > rule.max_split:
            read, most = (split_words(rule, inches) for inches in (each.run.largest, rule.max_split))
            yield f"{_named(each)}: a split of {read} is more than the largest, {most}"
        step = _step_then(history, at)
        if each.applied:
            yield from _odd_change(each, step, rule)
        if at + 1 < len(row):
            if each.unchanged and step is not None:
                said = dial_words(rule, step)
                yield f"{_named(each)}: nothing was changed after it, where the next step was {said}"
            yield from _odd_answer(each, row[at + 1], rule)


def _step_then(history: History, at: int) -> Fraction | None:
    """Tell the step that was the next one after a run, as it was known then."""
    last = history.row[at]
    until = (*history.row[:at], replace(last, applied=Fraction(0)))
    step = learn(replace(history, row=until, net=last.net, clashes=())).step
    return None if step is None else step.step


def _odd_change(each: FlownRun, step: Fraction | None, rule: TrackRule) -> Iterator[str]:
    assert each.applied
    split = each.run.split
    done = f"{_named(each)}: the change is {dial_words(rule, each.applied)}"
    if each.applied * split < 0:
        yield f"{done}, and it lowered the low blade"
    else:
        row = rule.row_for(each.run.largest, first=each.since == 0)
        # Below the first row the maker's rule itself is the most.
        most = row.change if row is not None else rule.made(each.run.largest * rule.rate)
        wanted = most if step is None else abs(step)
        if abs(abs(each.applied) - wanted) > rule.repeats_within:
            # The step is by the mean of both speeds, where it is known.
            read = split_words(rule, each.run.largest if step is None else abs(split))
            yield f"{done}; for a split of {read} it is {dial_words(rule, wanted)}"
    if rule.max_total is not None and each.net is not None and abs(each.net + each.applied) > rule.max_total:
        yield f"{done}; the total then passes the largest, {dial_words(rule, rule.max_total)}"


def _odd_answer(before: FlownRun, each: FlownRun, rule: TrackRule) -> Iterator[str]:
    u = max(before.run.uncertainty, each.run.uncertainty)
    went = f"the split went from {_read(before, rule)} to {_read(each, rule)}"
    if before.applied:
        judged = judge(before.run.split, each.run.split, before.applied, rule.rate, u)
        # Too coarse to judge, yet surely less than the rule: most likely the change was not made.
        still = judged.effect < NEAR / 2 and judged.effect + GUARD * judged.uncertainty < 1
        said = Verdict.NOTHING if still and judged.verdict == Verdict.READ_AGAIN else judged.verdict
        if said in _SLIPS:
            yield f"{_named(each)}: after {dial_words(rule, before.applied)} {went}: {said}"
    elif before.applied == 0 and abs(before.run.split - each.run.split) > Fraction(DIFFERENT) * u:
        yield f"{_named(each)}: nothing was changed, and {went}"


def _named(each: FlownRun) -> str:
    return f"{each.run.day}, {each.run.name}"


def _read(each: FlownRun, rule: TrackRule) -> str:
    split = each.run.split
    blade = "" if not split else ", blade A high" if split > 0 else ", blade B high"
    return f"{split_words(rule, abs(split))}{blade}"
