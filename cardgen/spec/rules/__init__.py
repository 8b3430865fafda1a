"""The rules that a readable specification must still pass.

First come the bounds, value by value. Then every other refusal; those that compare values with
one another wait for an absurd value too. Then the flags, less those that an override lets pass.
Warnings are looked for last.

A rule is known from where it is written: whatever rule stands in one of the modules below.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType, ModuleType

from cardgen.spec.problem import Finding, Path, key_of
from cardgen.spec.rules import (
    bench_values,
    bounds,
    doubled_words,
    fasteners,
    flags,
    joints,
    open_keys,
    overrides,
    papers_and_marks,
    relations,
    run_and_print,
    thread_flags,
    told_apart,
    track_factors,
    track_marks,
    track_moves,
    track_physics,
    track_points,
    track_strays,
    usual,
    while_reading,
    wrenches,
)
from cardgen.spec.rules.rule import Rule, RuleKind
from cardgen.spec.unjudged import Findings, Unjudged

_MODULES = (
    bounds,
    open_keys,
    papers_and_marks,
    told_apart,
    doubled_words,
    fasteners,
    joints,
    wrenches,
    bench_values,
    track_factors,
    track_strays,
    track_marks,
    track_moves,
    track_points,
    run_and_print,
    relations,
    flags,
    thread_flags,
    track_physics,
    usual,
    overrides,
)


def _written_in(module: ModuleType) -> Iterator[Rule]:
    """Find the rules of a module, one by one or in tables, in the order they are written in."""
    for value in vars(module).values():
        yield from (each for each in (value if isinstance(value, tuple) else [value]) if isinstance(each, Rule))


#: Every rule about a file that could be read.
RULES: tuple[Rule, ...] = tuple(rule for module in _MODULES for rule in _written_in(module))

#: Every rule id, with the sentence that says when it refuses: those raised while reading first.
ALL_RULES: Mapping[str, str] = MappingProxyType(
    {**while_reading.MEANINGS, **{rule.id: rule.meaning for rule in RULES}}
)

#: What each rule does when it finds something.
_KINDS: Mapping[str, RuleKind] = MappingProxyType(
    {**dict.fromkeys(while_reading.MEANINGS, "refusal"), **{rule.id: rule.kind for rule in RULES}}
)


def examine(draft: Unjudged) -> Findings:
    """Judge what was read of a file: what refuses it, and what is printed as a warning."""
    absurd = _found("bound", draft, draft, frozenset())
    plausible = replace(draft, unread=draft.unread | {_key(finding.path) for finding in absurd})
    looked_for = _looked_for(plausible)
    refused = _found("refusal", draft, plausible, looked_for)
    raised = _found("flag", draft, plausible, looked_for)
    flagged, passed = overrides.let_pass(draft, raised)
    stopped = (*absurd, *refused, *flagged)
    said = {finding.path for finding in (*stopped, *passed)}
    warned = [
        finding
        for finding in _found("warning", draft, plausible, looked_for, raised)
        if finding.rule != usual.UNUSUAL or finding.path not in said
    ]
    return Findings(stopped, (*passed, *warned))


def _found(
    kind: RuleKind,
    draft: Unjudged,
    plausible: Unjudged,
    looked_for: frozenset[str],
    raised: Sequence[Finding] = (),
) -> list[Finding]:
    beside = {
        "kinds": _KINDS,
        "looked_for": looked_for,
        "raised": frozenset((finding.rule, key_of(finding.path)) for finding in raised),
    }
    return [
        finding
        for rule in RULES
        if rule.kind == kind
        for finding in rule.findings(plausible if rule.plausible else draft, beside)
    ]


def _looked_for(plausible: Unjudged) -> frozenset[str]:
    """Name the flags that nothing unread kept from being looked for."""
    waiting = {rule.id for rule in RULES if rule.waits(plausible)}
    return frozenset(rule.id for rule in RULES if rule.kind == "flag") - waiting


def _key(path: Path) -> Path:
    """Give the key of a value, which may be an entry of its list."""
    return path if isinstance(path[-1], str) else _key(path[:-1])
