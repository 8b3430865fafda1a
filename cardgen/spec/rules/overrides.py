"""Overrides: a physics flag let pass by somebody, for a reason, on the strength of a document.

Only a flag can pass. What passes is not forgotten: it becomes a warning that is printed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from cardgen.spec.model.identity import Document, Override
from cardgen.spec.problem import Finding
from cardgen.spec.rules.families import twice
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, RuleKind, rule
from cardgen.spec.unjudged import Unjudged

#: A general handbook supports nothing about one rotor.
_SUPPORTING = {"maker", "club"}

#: An override counts only where all of it was read.
_WHOLE = Reads.of("overrides[]: rule, reason, document, acknowledged_by, date")


@rule("override-unknown", "overrides[]: rule", "kinds")
def override_unknown(override: Override, kinds: Mapping[str, RuleKind]) -> Doubts:
    """An override names a rule that does not exist."""
    if override.rule not in kinds:
        why = "there is no rule of this name, so nothing would pass by it"
        yield Doubt(("rule",), why, "the id of the flag as its refusal shows it")


@rule("override-not-allowed", "overrides[]: rule", "kinds")
def override_not_allowed(override: Override, kinds: Mapping[str, RuleKind]) -> Doubts:
    """An override names a rule that nobody can let pass."""
    if kinds.get(override.rule, "flag") != "flag":
        flags = ", ".join(name for name, kind in kinds.items() if kind == "flag")
        why = "this rule guards against a mistake, not against an unusual rotor, so nobody can let it pass"
        yield Doubt(("rule",), why, f"one of {flags}; or mend what was refused")


TWICE = twice(
    "override-twice",
    "overrides",
    ("rule",),
    "Two overrides name one rule.",
    "{rule} is let pass already, and the card can print only one reason for it",
    "one override for each flag",
)


@rule("override-document", "overrides[]: document", "documents: id, kind")
def override_document(override: Override, documents: tuple[Document, ...]) -> Doubts:
    """An override rests on a document that is not listed, or that is no maker's or club's."""
    kinds = {document.id: document.kind for document in documents}
    kind = kinds.get(override.document)
    if kind not in _SUPPORTING:
        why = (
            f"the documents listed are {', '.join(kinds)}"
            if kind is None
            else f"this is a document of the kind {kind}, which knows nothing about this rotor"
        )
        yield Doubt(("document",), why, "the id of the listed document that supports the figure")


@rule("override-date-future", "overrides[]: date", "today")
def override_date_future(override: Override, today: date) -> Doubts:
    """An override bears a date after today."""
    if override.date > today:
        why = f"today is {today.isoformat()}, and nobody has accepted it on a later day"
        yield Doubt(("date",), why, "the day it was accepted")


@rule("override-unused", "overrides[]: rule", "silent", kind="warning")
def override_unused(override: Override, silent: frozenset[str]) -> Doubts:
    """An override names a flag that nothing in the file raises any more."""
    if override.rule in silent:
        why = (
            "nothing in the file raises this flag, and an override left behind would let the next mistake pass"
        )
        yield Doubt(("rule",), why, "nothing: take this override out")


def let_pass(draft: Unjudged, flags: Sequence[Finding]) -> tuple[list[Finding], list[Finding]]:
    """Part the flags that were found: those that still refuse, and those that passed, as warnings."""
    rows = [row for place, row in _WHOLE.places(draft) if not _WHOLE.waits(draft.unread, place)]
    passing: dict[str, Override] = {str(override.rule): override for override in rows}
    refused = [finding for finding in flags if finding.rule not in passing]
    passed = [_passed(finding, passing[finding.rule]) for finding in flags if finding.rule in passing]
    return refused, passed


def _passed(found: Finding, override: Override) -> Finding:
    write = (
        f"let pass by {override.acknowledged_by} on {override.date.isoformat()}, "
        f"supported by {override.document}: {override.reason}"
    )
    return replace(found, write=write)
