"""What was learned from the runs, for a person: words first, numbers second; and as plain values."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cardgen.figures.rounding import printed
from cardgen.figures.track_verdict import Judgement, StopRule
from cardgen.logbook.track_learning import Learned, NextStep
from cardgen.logbook.track_rule import NoRule, TrackRule
from cardgen.spec.units import magnitude, quantity

#: From this share on, a table that is repeated leaves more than half of the split each time.
_SLOW = Fraction(1, 2)


def lines_of(learned: Learned) -> tuple[str, ...]:
    """Say everything in sentences, one a line."""
    return (*_words(learned), *_numbers(learned))


def _words(learned: Learned) -> Iterator[str]:
    if learned.step is None:
        yield f"No step: {_sentence(learned.why_no_step)}"
    else:
        yield f"One more step may be made: lower blade {learned.step.blade}, then run and read again."
    if learned.judgement is not None:
        yield f"Second reading: {_second(learned.judgement, learned.confirmed)}"
    if convergence := convergence_words(learned):
        yield convergence
    if learned.provisional:
        yield "Provisional: fewer than three runs, or the rate is not known to a quarter of itself."
    for doubt in learned.history.doubts:
        yield f"Doubt: {_sentence(doubt)}"
    if learned.history.last_event is not None:
        event = learned.history.last_event
        yield f"The row of runs begins after this was touched on {event.day}: {event.what}."
    if learned.history.row:
        yield "The maker's instructions win over all of this."


def _second(judgement: Judgement, confirmed: bool) -> str:
    said = _sentence(str(judgement.verdict))
    if judgement.confirm_marks:
        said += " A third reading agrees." if confirmed else " Confirm the marks with a third reading first."
    return said


def convergence_words(learned: Learned) -> str:
    """Warn where repeating the table would not end; nothing where it would, or where it is not known."""
    if learned.repeats is None:
        return ""
    if learned.diverges:
        return "WARNING: repeating the table makes the split of this rotor grow. Do not repeat it."
    if learned.repeats < 0:
        return "Repeating the table goes past the mark each time, and the blades change places."
    if learned.repeats > _SLOW:
        return "Repeating the table leaves more than half of the split each time."
    return ""


def _numbers(learned: Learned) -> Iterator[str]:
    rule = learned.history.rule
    if isinstance(rule, NoRule) or not learned.history.row:
        return
    count, read = len(learned.history.row), _split(rule, learned.uncertainty)
    yield f"Runs in the row: {count}; a split is read to about {read}."
    yield f"The rule: {_rate(rule, rule.rate)}."
    if learned.fit is not None:
        spread = Fraction(learned.fit.rate_uncertainty).limit_denominator(10_000)
        rate = f"{_rate(rule, learned.fit.rate, spread)}, from {learned.fit.runs} runs"
        yield f"This rotor's own rate: {rate}."
    if learned.judgement is not None:
        effect = printed(learned.judgement.effect, 2)
        spread = learned.judgement.uncertainty
        yield f"Effect of the last change: {effect} ± {float(spread):.2f} of what the rule says."
    if learned.history.net is not None:
        net, most = _total(rule, learned.history.net), rule.on_mark(rule.max_total)
        yield f"Total from as delivered: {net}; at most {_thin(rule, most)}."
    if learned.step is not None:
        yield from _step(rule, learned.step)


def _step(rule: TrackRule, step: NextStep) -> Iterator[str]:
    size = rule.on_mark(abs(step.step))
    spread = _spread(rule, step.uncertainty)
    yield f"Next step: {_thin(rule, size)} ± {spread} of the rule, lowering blade {step.blade}."
    if rule.dial is not None:
        yield f"The dial must read {_thin(rule, rule.on_mark(abs(step.step) * rule.dial))}."
    yield f"The total is then {_total(rule, step.total)}."
    if step.capped:
        yield "The step is held back: by the largest total, or by the largest row of the table."


def _rate(rule: TrackRule, rate: Fraction, spread: Fraction | None = None) -> str:
    inch = rule.scale.thin == "thou"
    factor, decimals = (Fraction(1), 1) if inch else (Fraction(1, 1000), 4)
    shown = printed(rate * factor, decimals)
    if spread is not None:
        shown += f" ± {printed(spread * factor, decimals)}"
    return f"{shown} {'thou for each inch' if inch else 'mm for each mm'} of split"


def _thin(rule: TrackRule, value: Fraction) -> str:
    return f"{printed(value, rule.scale.decimals)} {rule.scale.thin}"


def _spread(rule: TrackRule, thou: float) -> str:
    return _thin(rule, rule.thin(Fraction(thou).limit_denominator(10_000)))


def _total(rule: TrackRule, net: Fraction) -> str:
    size = f"{_thin(rule, rule.thin(abs(net)))} of the rule"
    return size if net == 0 else f"{size}, toward lowering blade {'A' if net > 0 else 'B'}"


def _split(rule: TrackRule, inches: Fraction) -> str:
    if rule.scale.split == "in":
        return f"{inches} in"
    return f"{printed(magnitude(quantity(inches, 'in'), 'mm'), 1)} mm"


def _sentence(words: str) -> str:
    words = words[:1].upper() + words[1:]
    return words if words.endswith((".", "!", "?")) else f"{words}."


def data_of(learned: Learned) -> dict[str, object]:
    """Give everything as plain values; lengths in inches, adjustments in thou of the rule."""
    rule, fitted, step, judged = learned.history.rule, learned.fit, learned.step, learned.judgement
    return {
        "go_on": step is not None,
        "why_not": learned.why_no_step,
        "stop": "" if learned.stop == StopRule.GO_ON else learned.stop,
        "runs": [
            {
                "day": each.run.day.isoformat(),
                "name": each.run.name,
                "split_in": float(each.run.split),
                "net_thou": None if each.net is None else float(each.net),
                "since_thou": float(each.since),
                "applied_thou": None if each.applied is None else float(each.applied),
                "method": each.run.method,
            }
            for each in learned.history.row
        ],
        "rule": None if isinstance(rule, NoRule) else float(rule.rate),
        "rate": None
        if fitted is None
        else {
            "value": float(fitted.rate),
            "uncertainty": fitted.rate_uncertainty,
            "provisional": learned.provisional,
            "origin": "L",
        },
        "second_reading": None
        if judged is None
        else {
            "effect": float(judged.effect),
            "uncertainty": float(judged.uncertainty),
            "verdict": str(judged.verdict),
            "confirm_marks": judged.confirm_marks,
            "confirmed": learned.confirmed,
        },
        "repeating_multiplies_by": None if learned.repeats is None else float(learned.repeats),
        "net_thou": None if learned.history.net is None else float(learned.history.net),
        "doubts": list(learned.history.doubts),
        "next": None
        if step is None
        else {
            "blade": step.blade,
            "step_thou": float(abs(step.step)),
            "uncertainty_thou": step.uncertainty,
            "total_thou": float(step.total),
            "held_back": step.capped,
        },
    }
