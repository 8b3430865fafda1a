"""What a rule is: an id, a sentence, the groups it reads, and a test that says what it doubts.

A rule sees only groups that were read cleanly, and it sees them whole. It never mends, fills
in or chooses anything: it points at a place, says why that place is refused, and says what its
keeper should write there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from cardgen.spec.problem import Finding, Path
from cardgen.spec.shown import shown
from cardgen.spec.unjudged import Unjudged

#: A refusal stops every card. A flag does too, unless an override lets it pass. A warning is printed.
RuleKind: TypeAlias = Literal["refusal", "flag", "warning"]


@dataclass(frozen=True)
class Doubt:
    """One place a rule objects to: why, and what to write there instead."""

    path: Path
    why: str
    write: str


Doubts: TypeAlias = Iterator[Doubt]


@dataclass(frozen=True)
class Rule:
    """One rule about a specification.

    ``groups`` are handed to ``test`` in this order, then those of ``optional``, which may be
    left out of the file and are then None. The names ``today`` and ``draft`` stand for the date
    and for the whole draft. ``plausible`` rules compare values with one another; they do not look
    at a group that holds an absurd value, so that one slip is reported once.
    """

    id: str
    meaning: str
    test: Callable[..., Doubts]
    groups: tuple[str, ...]
    optional: tuple[str, ...] = ()
    kind: RuleKind = "refusal"
    plausible: bool = False

    def findings(self, draft: Unjudged) -> Iterator[Finding]:
        """Run the test where its groups were read cleanly."""
        if all(_has(draft, name) for name in self.groups) and all(_settled(draft, n) for n in self.optional):
            given = [_group(draft, name) for name in self.groups + self.optional]
            for doubt in self.test(*given):
                read = read_at(draft.table, doubt.path)
                yield Finding(doubt.path, self.id, read, doubt.why, doubt.write)


def rule(
    name: str,
    *groups: str,
    optional: tuple[str, ...] = (),
    kind: RuleKind = "refusal",
    plausible: bool = False,
) -> Callable[[Callable[..., Doubts]], Rule]:
    """Turn a test function into a rule: its parameters are the groups, its docstring is the meaning."""

    def made(test: Callable[..., Doubts]) -> Rule:
        meaning = (test.__doc__ or "").partition("\n")[0]
        return Rule(name, meaning, test, groups, optional, kind, plausible or kind != "refusal")

    return made


def read_at(table: Mapping[str, Any], path: Path) -> str:
    """Show what stands at a place of the file, or say that nothing does."""
    value: Any = table
    for part in path:
        try:
            value = value[part]
        except (KeyError, IndexError, TypeError):
            # What is left out is read as nothing, and the rule says what it means.
            return "nothing"
    return shown(value)


def typed(draft: Unjudged, *path: str | int) -> str:
    """Give a value the way its keeper typed it, without quotes, for use inside a sentence."""
    return read_at(draft.table, path).strip('"')


def _has(draft: Unjudged, name: str) -> bool:
    return name in {"today", "draft"} or name in draft.groups


def _settled(draft: Unjudged, name: str) -> bool:
    """Whether an optional group was read cleanly or is not in the file at all."""
    return name in draft.groups or name not in draft.table


def _group(draft: Unjudged, name: str) -> Any:
    if name == "today":
        return draft.today
    return draft if name == "draft" else draft.groups.get(name)
