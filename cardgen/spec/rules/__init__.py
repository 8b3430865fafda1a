"""The rules that a readable specification must still pass.

First come the bounds, value by value. Then every other refusal; those that compare values with
one another leave out a group in which a value is absurd. Then the flags, less those that an
override lets pass. Warnings are looked for last.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from cardgen.spec.problem import Finding
from cardgen.spec.rules import (
    bench_values,
    bounds,
    fasteners,
    flags,
    joints,
    overrides,
    papers_and_marks,
    relations,
    run_and_print,
    thread_flags,
    track_factors,
    track_physics,
    track_points,
    track_words,
    while_reading,
    wrenches,
)
from cardgen.spec.rules.rule import Rule
from cardgen.spec.unjudged import Findings, Unjudged

_JUDGING: tuple[Rule, ...] = (
    *papers_and_marks.RULES,
    *fasteners.RULES,
    *joints.RULES,
    *wrenches.RULES,
    *bench_values.RULES,
    *track_factors.RULES,
    *track_words.RULES,
    *track_points.RULES,
    *run_and_print.RULES,
    *bounds.RULES,
    *relations.RULES,
    *flags.RULES,
    *thread_flags.RULES,
    *track_physics.RULES,
)
_FLAG_IDS = tuple(rule.id for rule in _JUDGING if rule.kind == "flag")
_KNOWN = (
    *while_reading.MEANINGS,
    *(rule.id for rule in bounds.VALUE_RULES),
    *(rule.id for rule in _JUDGING),
    *overrides.IDS,
)

#: Every rule about a file that could be read.
RULES: tuple[Rule, ...] = (
    *bounds.VALUE_RULES,
    *_JUDGING,
    *overrides.override_rules(_FLAG_IDS, _KNOWN),
    overrides.UNUSED,
)

#: Every rule id, with the sentence that says when it refuses: those raised while reading first.
ALL_RULES: dict[str, str] = {**while_reading.MEANINGS, **{rule.id: rule.meaning for rule in RULES}}


def examine(draft: Unjudged) -> Findings:
    """Judge the cleanly read groups of a draft: what refuses them, and what is printed as a warning."""
    absurd = _found(draft, bounds.VALUE_RULES)
    plausible = _without(draft, {finding.path[0] for finding in absurd})
    others = [rule for rule in RULES if rule not in bounds.VALUE_RULES]
    refused = _found(draft, (rule for rule in others if rule.kind == "refusal" and not rule.plausible))
    refused += _found(plausible, (rule for rule in others if rule.kind == "refusal" and rule.plausible))
    raised = _found(plausible, (rule for rule in others if rule.kind == "flag"))
    flagged, passed = overrides.apply(draft.groups.get("overrides") or (), raised, _FLAG_IDS)
    warned = _found(plausible, (rule for rule in others if rule.kind == "warning"))
    return Findings((*absurd, *refused, *flagged), (*passed, *warned))


def _found(draft: Unjudged, rules: Iterable[Rule]) -> list[Finding]:
    return [finding for rule in rules for finding in rule.findings(draft)]


def _without(draft: Unjudged, absurd: set[str | int]) -> Unjudged:
    groups = {name: group for name, group in draft.groups.items() if name not in absurd}
    return replace(draft, groups=groups)
