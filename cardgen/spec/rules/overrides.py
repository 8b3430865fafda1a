"""Overrides: a physics flag let pass by somebody, for a reason, on the strength of a document.

Only a flag can pass, for one key and one value as typed. What passes is not forgotten: it becomes a
warning that is printed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from cardgen.spec.model.identity import Document, Override
from cardgen.spec.problem import Finding, key_of
from cardgen.spec.rules.families import twice
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, RuleKind, rule
from cardgen.spec.unjudged import Unjudged

#: A general handbook supports nothing about one rotor.
_SUPPORTING = {"maker", "club"}

#: An override counts only where all of it was read.
_WHOLE = Reads.of("overrides[]: rule, key, value, reason, document, acknowledged_by, date")


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
    ("rule", "key"),
    "Two overrides name one rule and one key.",
    "{rule} is let pass for {key} already, and the card can print only one reason for it",
    "one override for each flag and key",
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


@rule("override-unused", "overrides[]: rule, key", "looked_for", "raised", kind="warning")
def override_unused(
    override: Override, looked_for: frozenset[str], raised: frozenset[tuple[str, str]]
) -> Doubts:
    """An override names a flag and a key for which nothing in the file raises it any more."""
    if override.rule in looked_for and (override.rule, override.key) not in raised:
        why = (
            "nothing in the file raises this flag for this key, and an override left behind would let the "
            "next mistake pass"
        )
        yield Doubt(("rule",), why, "nothing: take this override out")


def let_pass(draft: Unjudged, flags: Sequence[Finding]) -> tuple[list[Finding], list[Finding]]:
    """Part the flags that were found: those that still refuse, and those that passed, as warnings."""
    rows: list[Override] = [row for place, row in _WHOLE.places(draft) if not _WHOLE.waits(draft.unread, place)]
    refused: list[Finding] = []
    passed: list[Finding] = []
    for found in flags:
        own = [override for override in rows if override.rule == found.rule]
        here = next((override for override in own if override.key == key_of(found.path)), None)
        if here is not None and here.value == _typed(draft, found):
            passed.append(_passed(found, here))
        else:
            refused.append(replace(found, why=found.why + _not_for_this(here, own)))
    return refused, passed


def _typed(draft: Unjudged, found: Finding) -> str:
    """Give a value just as it was typed; nothing where the flag names a key that is left out."""
    value: Any = draft.table
    for part in found.path:
        try:
            value = value[part]
        except (KeyError, IndexError, TypeError):
            # A key left out has no value that somebody could have accepted.
            return ""
    return str(value)


def _not_for_this(here: Override | None, own: Sequence[Override]) -> str:
    """Say what the overrides of this flag name instead, as the end of a reason."""
    if here is not None:
        return f'; an override lets "{here.value}" pass for this key, and no other value'
    if own:
        return f"; an override lets it pass for {' and '.join(override.key for override in own)} alone"
    return ""


def _passed(found: Finding, override: Override) -> Finding:
    write = (
        f"let pass by {override.acknowledged_by} on {override.date.isoformat()}, "
        f"supported by {override.document}: {override.reason}"
    )
    return replace(found, write=write)
