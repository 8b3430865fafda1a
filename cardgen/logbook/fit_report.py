"""What was learned from the runs, for a person: words first, numbers second; and as plain values."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cardgen.figures.rounding import printed
from cardgen.figures.track_end import End
from cardgen.figures.track_verdict import Judgement
from cardgen.logbook.track_learning import Learned, NextStep
from cardgen.logbook.track_rule import NoRule, TrackRule
from cardgen.spec.bound import Bound
from cardgen.spec.units import magnitude, quantity

#: From this share on, a table that is repeated leaves more than half of the split each time.
_SLOW = Fraction(1, 2)


def lines_of(learned: Learned) -> tuple[str, ...]:
    """Say everything in sentences, one a line."""
    return (*_words(learned), *_numbers(learned))


def _words(learned: Learned) -> Iterator[str]:
    if learned.end == End.DONE and not learned.why_no_step.startswith("Numbers"):
        yield f"DONE: {_sentence(learned.why_no_step)}"
    elif learned.step is None:
        yield f"No step: {_sentence(learned.why_no_step)}"
    else:
        rule = learned.history.rule
        again = ", do the card Teeter play again" if isinstance(rule, TrackRule) and rule.touching else ""
        yield f"One more step may be made: lower blade {learned.step.blade}{again}, then run and read again."
    if learned.judgement is not None:
        yield f"Second reading: {_second(learned.judgement, learned.confirmed)}"
    if convergence := convergence_words(learned):
        yield convergence
    if learned.provisional:
        yield f"This rotor's own rate is not sure yet: {_unsure(learned)}. It is not used."
    for doubt in learned.history.doubts:
        if doubt not in learned.why_no_step:
            yield f"Doubt: {_sentence(doubt)}"
    if learned.history.last_event is not None:
        event = learned.history.last_event
        yield f"The row of runs begins after this was touched on {event.day}: {event.what}."
    if learned.history.row:
        yield "The maker's instructions win over all of this."


def _unsure(learned: Learned) -> str:
    few = learned.fit is not None and learned.fit.provisional
    return "it is from fewer than three runs" if few else "its spread is more than a quarter of it"


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
    count, read = len(learned.history.row), split_words(rule, learned.uncertainty)
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
        most = (
            "the most is not given" if rule.max_total is None else f"at most {dial_words(rule, rule.max_total)}"
        )
        yield f"Total from as delivered: {_total(rule, learned.history.net)}; {most}."
    if learned.step is not None:
        yield from _step(rule, learned.step)


def _step(rule: TrackRule, step: NextStep) -> Iterator[str]:
    split, row_split = (split_words(rule, abs(each)) for each in (step.split, step.row_split))
    yield f"Split: {split}. The card's row for {row_split}: {dial_words(rule, step.row)}."
    if step.learned is not None:
        yield f"What this rotor has shown so far asks for {dial_words(rule, step.learned)}."
    yield f"Use {dial_words(rule, step.step)}, lowering blade {step.blade}: {why_this(step)}."
    yield f"The total is then {_total(rule, step.total)}."


def why_this(step: NextStep) -> str:
    """Say which of two numbers is used, and why they differ."""
    if step.uses_learned:
        return "this rotor answers more than its rule says, so less is needed than the row"
    if step.learned is not None and abs(step.learned) > abs(step.row):
        return "the card's row; a larger step than the maker's rule is for the maker to give"
    return "the card's row"


def _rate(rule: TrackRule, rate: Fraction, spread: Fraction | None = None) -> str:
    inch = rule.scale.thin == "thou"
    factor, decimals = (Fraction(1), 1) if inch else (Fraction(1, 1000), 4)
    shown = printed(rate * factor, decimals)
    if spread is not None:
        shown += f" ± {printed(spread * factor, decimals)}"
    return f"{shown} {'thou for each inch' if inch else 'mm for each mm'} of split"


def _thin(rule: TrackRule, value: Fraction) -> str:
    return f"{printed(value, rule.scale.decimals)} {rule.scale.thin}"


def dial_words(rule: TrackRule, thou: Fraction) -> str:
    """Say an adjustment as the hand reads it: on one blade's dial, in flats, else at its adjuster."""
    turned = rule.flats(abs(thou))
    if turned is not None:
        return f"{printed(turned, 1, Bound.AT_MOST)} flats of the adjuster"
    end, where = (rule.dial, "on the dial") if rule.dial is not None else (rule.adjuster, "at the adjuster")
    return f"{_thin(rule, abs(rule.on_mark(abs(thou) * (end or 1))))} {where}"


def _total(rule: TrackRule, net: Fraction) -> str:
    size = dial_words(rule, net)
    return size if net == 0 else f"{size}, toward lowering blade {'A' if net > 0 else 'B'}"


def split_words(rule: TrackRule, inches: Fraction) -> str:
    """Say a split, in inches, in the unit of this rotor's card."""
    if rule.scale.split == "in":
        return f"{printed(inches, 2)} in"
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
        "done": learned.end == End.DONE and not learned.history.clashes,
        "end": learned.end,
        "runs": [
            {
                "day": each.run.day.isoformat(),
                "name": each.run.name,
                "split_in": float(each.run.split),
                "net_thou": None if each.net is None else float(each.net),
                "since_thou": float(each.since),
                "applied_thou": None if each.applied is None else float(each.applied),
                "at_speeds_in": [float(reading.split) for reading in each.run.readings],
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
            "split_in": float(step.split),
            "row_thou": float(abs(step.row)),
            "learned_thou": None if step.learned is None else float(abs(step.learned)),
            "step_thou": float(abs(step.step)),
            "total_thou": float(step.total),
        },
    }
