"""What a rotor's runs have taught: its own rate, what the second reading says, whether to go on.

Nothing here is a limit and nothing replaces the maker's table. A next step is given only where every
reason to stop has been looked at and none holds; everything else is told in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.track_fit import Fit, FitPoint, NoFit, fit, shrinks_by
from cardgen.figures.track_verdict import Judgement, StopRule, Verdict
from cardgen.logbook.entry import Blade
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.stopping import TOO_LARGE, TWO_SPEEDS, second_reading, stop_words
from cardgen.logbook.track_rule import NoRule, TrackRule

#: A rate whose one standard deviation is more than this share of it is provisional.
SURE_ENOUGH = Fraction(1, 4)
#: Stands for a total that is not known, where only the rate is asked for.
_ENDLESS = Fraction(10**6)
#: What outweighs a doubtful second reading: nothing is changed then anyway.
_BEFORE_ALL = frozenset({TOO_LARGE, TWO_SPEEDS, str(StopRule.GOOD)})
#: These need a look at the rotor before anything is changed, however sure they are.
_LOOK_FIRST = frozenset({Verdict.NOTHING, Verdict.WRONG, Verdict.STOP})


@dataclass(frozen=True)
class NextStep:
    """One more change: thou of the rule, plus to lower A; its one standard deviation; the total after it."""

    step: Fraction
    uncertainty: float
    total: Fraction
    capped: bool

    @property
    def blade(self) -> Blade:
        """The blade to lower."""
        return "A" if self.step > 0 else "B"


@dataclass(frozen=True)
class Learned:
    """Everything the row of runs tells; ``stop`` is in words, ``step`` is there only where it may be made."""

    history: History
    fit: Fit | None
    provisional: bool
    judgement: Judgement | None
    confirmed: bool
    stop: str
    step: NextStep | None
    why_no_step: str
    repeats: Fraction | None
    uncertainty: Fraction

    @property
    def diverges(self) -> bool:
        """Whether repeating the table blindly would make the split grow."""
        return self.repeats is not None and abs(self.repeats) >= 1


def learn(history: History, limit: Fraction | None = None) -> Learned:
    """Learn from a history; ``limit`` is the largest split the maker lets fly, in inches, where known."""
    rule = history.rule
    if isinstance(rule, NoRule):
        return _nothing(history, f"No rate is fitted: {rule.why}.")
    if not history.row:
        return _nothing(history, _first_run(history))
    u = max(each.run.uncertainty for each in history.row)
    found = _fit(history, rule, u)
    judgement, confirmed = second_reading(history.row, rule.rate)
    own = found if isinstance(found, Fit) and _has_change(history.row) else None
    stop = stop_words(history, rule, own, limit)
    why = _why_not(history, found, stop, _look_first(judgement, confirmed))
    step = None
    if not why and isinstance(found, Fit):
        step, why = _step(found, history, rule)
    return Learned(
        history=history,
        fit=own,
        provisional=own is not None and _is_provisional(own),
        judgement=judgement,
        confirmed=confirmed,
        stop=stop,
        step=step,
        why_no_step=why,
        repeats=None if own is None else shrinks_by(rule.rate, own.rate),
        uncertainty=u,
    )


def _nothing(history: History, why: str) -> Learned:
    return Learned(history, None, False, None, False, why, None, why, None, Fraction(0))


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
    # Between two rules of the maker's, the first change uses the smaller.
    rate = rule.rate if _has_change(history.row) else rule.first_rate
    return fit(
        runs,
        rate,
        u,
        max_split=rule.max_split,
        max_total=rule.max_total if known else _ENDLESS,
        max_step=rule.max_step,
    )


def _look_first(judgement: Judgement | None, confirmed: bool) -> str:
    """Say what the second reading wants looked at before anything is changed; nothing where it does not."""
    if judgement is None:
        return ""
    if judgement.confirm_marks and not confirmed:
        return "First confirm the marks on the metal, and read a third time without a change."
    if judgement.verdict in _LOOK_FIRST:
        return f"The second reading says: {judgement.verdict}. Look at the rotor before anything is changed."
    return ""


def _why_not(history: History, found: Fit | NoFit, stop: str, look_first: str) -> str:
    """Say why no step is given, the heaviest reason first; nothing where a step may be made."""
    if stop in _BEFORE_ALL:
        return stop
    if look_first:
        return look_first
    if stop != StopRule.GO_ON:
        return stop
    if isinstance(found, NoFit):
        return f"No rate is fitted: {found.why}."
    if not history.row[-1].unchanged:
        return "A change was made after the last run in the log: run and read first."
    if not _has_change(history.row):
        return "No change has been tried since the row began: use the table on the track card."
    if history.net is None or any(each.net is None for each in history.row):
        known = "; ".join(history.doubts) or "no entry tells it"
        return (
            f"The total from as delivered is not known ({known}): write it, with the blade that it has lowered."
        )
    return ""


def _step(found: Fit, history: History, rule: TrackRule) -> tuple[NextStep | None, str]:
    step, last = rule.made(found.next_step), history.row[-1].run
    if step == 0 or (step > 0) != (last.split > 0):
        return None, "The fit and the last reading name different blades: read again, do not adjust."
    if abs(step) < rule.finest:
        return None, "The next step is smaller than can be made. Compare the split with the maker's limit."
    return NextStep(step, found.total_uncertainty, found.last_total + step, found.capped), ""
