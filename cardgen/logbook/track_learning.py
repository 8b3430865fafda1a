"""What a rotor's runs have taught: its own rate, what the second reading says, whether to go on.

Nothing here is a limit and nothing replaces the maker's table. The next step is the table's row; from
three runs on what this rotor has shown may make it smaller, never larger. A step is given only where every
reason to stop has been looked at and none holds; everything else is told in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.track_end import End
from cardgen.figures.track_fit import ENOUGH_RUNS, Fit, FitPoint, NoFit, fit, shrinks_by
from cardgen.figures.track_verdict import LOOK_FIRST, Judgement, Verdict
from cardgen.logbook.entry import Blade
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.stopping import end_of_row, second_reading, settled_split
from cardgen.logbook.track_rule import CardRow, NoRule, TrackRule

#: A rate whose one standard deviation is more than this share of it is provisional.
SURE_ENOUGH = Fraction(1, 4)
#: Stands for a total that is not known, where only the rate is asked for.
_ENDLESS = Fraction(10**6)
#: What outweighs a doubtful second reading: nothing is changed then anyway.
_BEFORE_ALL = frozenset(End) - {End.GO_ON, End.NOT_THE_RULE, End.NOT_HALVED, End.TOTAL}
#: An effect that is a slip of a hand teaches nothing about the rotor.
_NOT_FITTED = frozenset({Verdict.WRONG, Verdict.SLIP})


@dataclass(frozen=True)
class NextStep:
    """One more change, in thou of the rule, plus to lower A, and the total after it.

    ``row`` is what the card's row at ``split`` says, ``learned`` what this rotor's own rate asks for, None
    where it is not known or names the other blade; ``step`` is the smaller of those that may be used.
    """

    split: Fraction
    row_split: Fraction
    row: Fraction
    learned: Fraction | None
    step: Fraction
    total: Fraction

    @property
    def blade(self) -> Blade:
        """The blade to lower."""
        return "A" if self.step > 0 else "B"

    @property
    def uses_learned(self) -> bool:
        """Whether the step is smaller than the card's row, by what this rotor has shown."""
        return abs(self.step) < abs(self.row)


@dataclass(frozen=True)
class Learned:
    """All that the row of runs tells: ``end`` is why it ends, ``step`` is there only where it may be made."""

    history: History
    fit: Fit | None
    provisional: bool
    judgement: Judgement | None
    confirmed: bool
    end: End | None
    step: NextStep | None
    why_no_step: str
    repeats: Fraction | None
    uncertainty: Fraction

    @property
    def diverges(self) -> bool:
        """Whether repeating the table blindly would make the split grow."""
        return self.repeats is not None and abs(self.repeats) >= 1


def learn(history: History) -> Learned:
    """Learn from a history."""
    rule = history.rule
    if isinstance(rule, NoRule):
        return _nothing(history, f"No rate is fitted: {rule.why}.")
    if not history.row:
        return _nothing(history, _first_run(history))
    u = max(each.run.uncertainty for each in history.row)
    judgement, confirmed = second_reading(history.row, rule.rate)
    slip = judgement is not None and judgement.verdict in _NOT_FITTED
    found = None if slip or not _has_change(history.row) else _fit(history, rule, u)
    own = found if isinstance(found, Fit) else None
    end = end_of_row(history, rule, own if own is not None and not own.provisional else None)
    why = _why_not(history, found, end, _look_first(judgement, confirmed))
    step = None
    if not why:
        step, why = _step(own, history, rule)
    return Learned(
        history=history,
        fit=own,
        provisional=own is not None and _is_provisional(own),
        judgement=judgement,
        confirmed=confirmed,
        end=end,
        step=step,
        why_no_step=why,
        repeats=None if own is None else shrinks_by(rule.rate, own.rate),
        uncertainty=u,
    )


def _nothing(history: History, why: str) -> Learned:
    return Learned(history, None, False, None, False, None, None, why, None, Fraction(0))


def _first_run(history: History) -> str:
    if history.last_event is None:
        return "No track run is in the log."
    again = ", ".join(history.last_event.again())
    what, day = history.last_event.what, history.last_event.day
    return f"No track run since this was touched on {day}: {what}. Done again or looked at after it: {again}."


def _is_provisional(found: Fit) -> bool:
    return found.provisional or found.rate_uncertainty > float(SURE_ENOUGH * found.rate)


def _has_change(row: Sequence[FlownRun]) -> bool:
    return len({each.since for each in row}) > 1


def _fit(history: History, rule: TrackRule, u: Fraction) -> Fit | NoFit:
    known = history.net is not None and all(each.net is not None for each in history.row)
    runs = [
        FitPoint(each.net if known and each.net is not None else each.since, each.run.split)
        for each in history.row
    ]
    total = rule.max_total if known and rule.max_total is not None else _ENDLESS
    return fit(runs, rule.rate, u, max_split=rule.max_split, max_total=total, max_step=rule.rows[-1].change)


def _look_first(judgement: Judgement | None, confirmed: bool) -> str:
    """Say what the second reading wants looked at before anything is changed; nothing where it does not."""
    if judgement is None:
        return ""
    if judgement.confirm_marks and not confirmed:
        return (
            f"The second reading says: {judgement.verdict}. "
            "First confirm the marks on the metal, and read a third time without a change."
        )
    if judgement.verdict in LOOK_FIRST:
        return f"The second reading says: {judgement.verdict}. Look at the rotor before anything is changed."
    return ""


def _why_not(history: History, found: Fit | NoFit | None, end: End, look_first: str) -> str:
    """Say why no step is given, the heaviest reason first; nothing where a step may be made."""
    if history.clashes:
        return f"Numbers contradict each other: {history.clashes[0]}. Put the entry right first."
    if end in _BEFORE_ALL:
        return end
    if look_first:
        return look_first
    if end != End.GO_ON:
        return end
    if not history.row[-1].unchanged:
        return "A change was made after the last run in the log: run and read first."
    if isinstance(found, NoFit):
        return f"No rate is fitted: {found.why}."
    if history.net is None:
        known = "; ".join(history.doubts) or "no entry tells it"
        return (
            f"The total from as delivered is not known ({known}): write it, with the blade that it has lowered."
        )
    return ""


def _step(own: Fit | None, history: History, rule: TrackRule) -> tuple[NextStep | None, str]:
    split, net = settled_split(history.row), history.net
    assert net is not None  # a step is given only from a known total
    row = rule.row_for(split, first=not _has_change(history.row))
    if row is None and len(history.row) < ENOUGH_RUNS:
        return None, "The split is smaller than the first row of the table: read again, change nothing."
    if row is None:
        # Between nothing and the first row the maker's rule itself is the most.
        row = CardRow(abs(split), rule.made(abs(split) * rule.rate))
    side = 1 if split > 0 else -1
    learned = None
    if own is not None:
        learned = rule.made(own.wanted_total - net)
        if learned * side <= 0 and not _is_provisional(own):
            return (
                None,
                "What the runs say and the last reading name different blades: read again, do not adjust.",
            )
    step = side * row.change
    if own is not None and learned is not None and not _is_provisional(own):
        step = side * min(row.change, abs(learned))
    if abs(step) < rule.finest:
        return None, "The next step is smaller than can be made. Compare the split with the maker's limit."
    if rule.max_total is not None and abs(net + step) > rule.max_total:
        return None, End.TOTAL
    return NextStep(split, row.split, side * row.change, learned, step, net + step), ""
