"""Overrides: a physics flag let pass by somebody, for a reason, on the strength of a document.

Only a flag can pass. What passes is not forgotten: it becomes a warning that is printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from cardgen.spec.model.identity import Document, Override
from cardgen.spec.problem import Finding
from cardgen.spec.rules.papers_and_marks import repeats
from cardgen.spec.rules.rule import Doubt, Doubts, Rule, rule

Overrides = tuple[Override, ...]

#: The rules made here, which nobody can let pass either.
IDS = (
    "override-unknown",
    "override-not-allowed",
    "override-twice",
    "override-document",
    "override-date-future",
)

#: A general handbook supports nothing about one rotor.
_SUPPORTING = {"maker", "club"}


def override_rules(flags: Sequence[str], known: Sequence[str]) -> tuple[Rule, ...]:
    """Make the rules about overrides, which must know the ids of every other rule."""

    @rule("override-unknown", "overrides")
    def override_unknown(overrides: Overrides) -> Doubts:
        """An override names a rule that does not exist."""
        for place, override in enumerate(overrides):
            if override.rule not in known:
                why = "there is no rule of this name, so nothing would pass by it"
                yield Doubt(("overrides", place, "rule"), why, "the id of the flag as its refusal shows it")

    @rule("override-not-allowed", "overrides")
    def override_not_allowed(overrides: Overrides) -> Doubts:
        """An override names a rule that nobody can let pass."""
        for place, override in enumerate(overrides):
            if override.rule in known and override.rule not in flags:
                why = (
                    "this rule guards against a mistake, not against an unusual rotor, so nobody can "
                    "let it pass"
                )
                yield Doubt(
                    ("overrides", place, "rule"), why, f"one of {', '.join(flags)}; or mend what was refused"
                )

    return (override_unknown, override_not_allowed, override_twice, override_document, override_date_future)


@rule("override-twice", "overrides")
def override_twice(overrides: Overrides) -> Doubts:
    """Two overrides name one rule."""
    for place, name in repeats(override.rule for override in overrides):
        why = f"{name} is let pass already, and the card can print only one reason for it"
        yield Doubt(("overrides", place, "rule"), why, "one override for each flag")


@rule("override-document", "overrides", "documents")
def override_document(overrides: Overrides, documents: tuple[Document, ...]) -> Doubts:
    """An override rests on a document that is not listed, or that is no maker's or club's."""
    kinds = {document.id: document.kind for document in documents}
    for place, override in enumerate(overrides):
        kind = kinds.get(override.document)
        if kind not in _SUPPORTING:
            why = (
                f"the documents listed are {', '.join(kinds)}"
                if kind is None
                else f"this is a document of the kind {kind}, which knows nothing about this rotor"
            )
            yield Doubt(
                ("overrides", place, "document"), why, "the id of the listed document that supports the figure"
            )


@rule("override-date-future", "overrides", "today")
def override_date_future(overrides: Overrides, today: date) -> Doubts:
    """An override bears a date after today."""
    for place, override in enumerate(overrides):
        if override.date > today:
            why = f"today is {today.isoformat()}, and nobody has accepted it on a later day"
            yield Doubt(("overrides", place, "date"), why, "the day it was accepted")


#: Raised by `apply`, not by a test of its own: only there is it known which flags were found.
UNUSED = Rule(
    "override-unused",
    "An override names a flag that nothing in the file raises any more.",
    lambda: iter(()),
    (),
    kind="warning",
    plausible=True,
)


def apply(
    overrides: Overrides, found: Sequence[Finding], flags: Sequence[str]
) -> tuple[list[Finding], list[Finding]]:
    """Part the flags that were found: those that still refuse, and those that passed, as warnings.

    An override that found nothing to let pass adds a warning of its own.
    """
    passing = {str(override.rule): override for override in overrides}
    refused = [finding for finding in found if finding.rule not in passing]
    passed = [_passed(finding, passing[finding.rule]) for finding in found if finding.rule in passing]
    return refused, [*passed, *_unused(overrides, found, flags)]


def _passed(found: Finding, override: Override) -> Finding:
    when = override.date.isoformat()
    write = (
        f"let pass by {override.acknowledged_by} on {when}, supported by {override.document}: {override.reason}"
    )
    return Finding(found.path, found.rule, found.read, found.why, write)


def _unused(overrides: Overrides, found: Sequence[Finding], flags: Sequence[str]) -> Iterator[Finding]:
    raised = {finding.rule for finding in found}
    for place, override in enumerate(overrides):
        if override.rule in flags and override.rule not in raised:
            why = (
                "nothing in the file raises this flag, and an override left behind would let the next "
                "mistake pass"
            )
            yield Finding(
                ("overrides", place, "rule"),
                UNUSED.id,
                f'"{override.rule}"',
                why,
                "nothing: take this override out",
            )
