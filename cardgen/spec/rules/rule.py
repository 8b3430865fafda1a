"""What a rule is: an id, a sentence, the keys it reads, and a test that says what it doubts.

A rule waits only for the keys it reads: whatever else could not be read hides nothing that it has
to say. It never mends, fills in or chooses anything: it points at a place, says why that place is
refused, and says what its keeper should write there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, TypeAlias

from cardgen.spec.problem import Finding, Path
from cardgen.spec.safe_text import shown
from cardgen.spec.unjudged import Unjudged

#: A bound refuses an absurd value before others compare with it. A refusal stops every card. A flag does
#: too, unless an override lets it pass. A warning is printed.
RuleKind: TypeAlias = Literal["bound", "refusal", "flag", "warning"]


@dataclass(frozen=True)
class Doubt:
    """One place a rule objects to, from the first group or row it reads: why, and what to write instead."""

    path: Path
    why: str
    write: str


Doubts: TypeAlias = Iterator[Doubt]


@dataclass(frozen=True)
class Reads:
    """A group, and the keys of it that a rule reads; only whether it stands there, where none is named."""

    owner: tuple[str, ...]
    keys: tuple[tuple[str, ...], ...]
    each: bool = False
    optional: bool = False

    @classmethod
    def of(cls, text: str) -> Reads:
        """Take ``track: lever, points[].rule``; ``fasteners[]: drag`` for each row by itself.

        A list without brackets is read whole. ``tip?`` may be left out of the file. ``*`` is all that
        was read, holes and all.
        """
        if text == "*":
            return cls((), ())
        owner, _, keys = text.partition(":")
        named = tuple(_names(key) for key in keys.split(",")) if keys else ((),)
        return cls(_names(owner.rstrip("?")), named, owner.endswith("[]"), owner.endswith("?"))

    def places(self, draft: Unjudged) -> Iterator[tuple[Path, Any]]:
        """Find the group, or each row of the list; nothing where it is left out or was not read."""
        if not self.owner:
            yield (), draft
            return
        value = None if _hidden(draft.unread, self.owner) else draft.groups.get(self.owner[0])
        for part in self.owner[1:]:
            value = None if value is None else getattr(value, part)
        if value is None:
            return
        if self.each:
            for place, row in enumerate(value):
                yield (*self.owner, place), row
        else:
            yield self.owner, value

    def waits(self, unread: frozenset[Path], place: Path = ()) -> bool:
        """Whether one of the keys could not be read, in one row or anywhere."""
        return bool(unread) and any(_hidden(unread, (*self.owner, *key), place) for key in self.keys)


def _hidden(unread: frozenset[Path], names: tuple[str, ...], place: Path = ()) -> bool:
    """Whether a key, or what it lies in, could not be read: below one place, or anywhere."""
    by_names = _by_names(unread)
    for length in range(len(names) + 1):
        holes, above = by_names.get(names[:length], (frozenset(), frozenset()))
        if place in above or any(place[:part] in holes for part in range(len(place))):
            return True
    return False


@lru_cache(maxsize=4)
def _by_names(unread: frozenset[Path]) -> Mapping[tuple[str, ...], tuple[AbstractSet[Path], AbstractSet[Path]]]:
    """Sort what could not be read by its names without places: it, and it with all that it lies in."""
    found: dict[tuple[str, ...], tuple[set[Path], set[Path]]] = {}
    for hole in unread:
        names = tuple(part for part in hole if isinstance(part, str))
        holes, above = found.setdefault(names, (set(), set()))
        holes.add(hole)
        above.update(hole[:length] for length in range(len(hole) + 1))
    return found


#: What a test may ask for beside groups: the day, all that was read, the place of the row it looks at, the
#: kind of every rule, the flags that were looked for everywhere, and those that were raised, with their keys.
_BESIDE = {"today", "draft", "here", "kinds", "looked_for", "raised"}


@dataclass(frozen=True)
class Rule:
    """One rule about a specification.

    What ``reads`` names is handed to ``test`` in this order, then what ``beside`` names. A
    ``plausible`` rule compares values with one another; it waits for a key with an absurd value
    too, so that one slip is reported once. What it ``shows`` only makes its words plainer; it does
    not wait for that. Several rules may share an id and its meaning.
    """

    id: str
    meaning: str
    test: Callable[..., Doubts]
    reads: tuple[Reads, ...]
    beside: tuple[str, ...] = ()
    kind: RuleKind = "refusal"
    plausible: bool = False
    shows: tuple[Reads, ...] = ()

    def findings(self, draft: Unjudged, more: Mapping[str, Any]) -> Iterator[Finding]:
        """Run the test wherever its keys were read."""
        first, *others = self.reads
        values = []
        for other in others:
            value = next((value for _, value in other.places(draft)), None)
            if other.waits(draft.unread) or (value is None and not other.optional):
                return
            values.append(value)
        for here, value in first.places(draft):
            if first.waits(draft.unread, here):
                continue
            known = {"today": draft.today, "draft": draft, "here": here, **more}
            for doubt in self.test(value, *values, *(known[name] for name in self.beside)):
                path = (*here, *doubt.path)
                yield Finding(path, self.id, read_at(draft.table, path), doubt.why, doubt.write)

    def waits(self, draft: Unjudged) -> bool:
        """Whether a key that the rule reads could not be read somewhere."""
        return any(reads.waits(draft.unread) for reads in self.reads)


def rule(
    name: str, *reads: str, kind: RuleKind = "refusal", plausible: bool = False
) -> Callable[[Callable[..., Doubts]], Rule]:
    """Turn a test function into a rule: its parameters are what it reads, its docstring is the meaning."""

    def made(test: Callable[..., Doubts]) -> Rule:
        meaning = (test.__doc__ or "").partition("\n")[0]
        groups = tuple(Reads.of(text) for text in reads if text not in _BESIDE)
        beside = tuple(text for text in reads if text in _BESIDE)
        return Rule(name, meaning, test, groups, beside, kind, plausible or kind in {"flag", "warning"})

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


def _names(key: str) -> tuple[str, ...]:
    return tuple(key.strip().replace("[]", "").split("."))
