"""Rules that differ only in keys and words: one engine for each family, one line for each case.

Words may hold the name of a key in braces, which stands for what is typed there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from cardgen.spec.bound import Bound
from cardgen.spec.fields import bound_of, expected
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Path
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, Rule, RuleKind, typed
from cardgen.spec.units import unit_of
from cardgen.spec.unjudged import Unjudged

#: What a key must be for a rule to apply; a list is handed over whole, and its key names what is read in it.
Condition: TypeAlias = Callable[[Any], bool]


@dataclass(frozen=True)
class Example:
    """A reason told with this rotor's own numbers: the keys they stand under, and the words made of them.

    The words are made of nothing where one of the keys could not be read.
    """

    keys: str
    words: Callable[[Any, Unjudged], str]


def given(value: Any) -> bool:
    """Whether a key stands in the file."""
    return value is not None


def absent(value: Any) -> bool:
    """Whether a key is left out."""
    return value is None


def says(*words: str) -> Condition:
    """Hold where a key says one of these words."""
    return lambda value: value in words


def says_not(*words: str) -> Condition:
    """Hold where a key says anything else, or nothing."""
    return lambda value: value not in words


def missing(
    name: str,
    key: str,
    meaning: str,
    when: Mapping[str, Condition],
    why: str | Example,
    write: str,
    kind: RuleKind = "refusal",
) -> Rule:
    """Refuse where a key such as ``fasteners[].drag_max`` is left out and others need it.

    A key that papers may leave open is also answered by its name under ``not_given``.
    """
    owner, _, own = key.rpartition(".")
    if own in MAY_BE_NOT_GIVEN.get(owner.removesuffix("[]"), ()):
        when = {**when, "not_given": lambda listed: own not in listed}
        write = f'{write}; or not_given = ["{own}"], if the papers do not say'
    return _presence(name, key, meaning, absent, when, why, write, kind)


def stray(
    name: str,
    key: str,
    meaning: str,
    when: Mapping[str, Condition],
    why: str,
    write: str,
    kind: RuleKind = "refusal",
) -> Rule:
    """Refuse where a key is given and others leave it without a meaning."""
    return _presence(name, key, meaning, given, when, why, write, kind)


def _presence(
    name: str,
    key: str,
    meaning: str,
    stands: Condition,
    when: Mapping[str, Condition],
    why: str | Example,
    write: str,
    kind: RuleKind,
) -> Rule:
    owner, _, own = key.rpartition(".")
    reads = (Reads.of(f"{owner}: {', '.join((own, *when))}"),)
    conditions = {own: stands, **{name.partition("[")[0]: holds for name, holds in when.items()}}

    shows = Reads.of(f"{owner}: {why.keys}") if isinstance(why, Example) else None

    def test(group: Any, draft: Unjudged) -> Doubts:
        values = {key: getattr(group, key) for key in conditions}
        if all(holds(values[key]) for key, holds in conditions.items()):
            if isinstance(why, str):
                yield Doubt((own,), why.format(**values), write)
            else:
                readable = shows and not shows.waits(draft.unread)
                yield Doubt((own,), why.words(group if readable else None, draft), write)

    shown = (shows,) if shows else ()
    return Rule(name, meaning, test, reads, ("draft",), kind, plausible=kind == "warning", shows=shown)


def ends(pair: str) -> tuple[str, str, str]:
    """Find the least and the most of a pair such as ``fasteners[].torque``, by their bounds in the model.

    Give the group or list, then the two keys.
    """
    owner, _, stem = pair.rpartition(".")
    path: Path = tuple(owner.removesuffix("[]").split(".")) + ((0,) if owner.endswith("[]") else ())
    place = expected(path)
    keys = [key for key in (place.keys if place else ()) if key.startswith(f"{stem}_")]
    by_bound = {bound_of((*path, key)): key for key in keys}
    return owner, by_bound[Bound.AT_LEAST], by_bound[Bound.AT_MOST]


def order(name: str, pair: str, meaning: str, why: str, write: str) -> Rule:
    """Refuse a least that is not below its most."""
    owner, least, most = ends(pair)

    def test(group: Any, draft: Unjudged, here: Path) -> Doubts:
        low, high = getattr(group, least), getattr(group, most)
        if low is not None and high is not None and low >= high:
            yield Doubt((least,), f"it is not below {most}, {typed(draft, *here, most)}, so {why}", write)

    return Rule(name, meaning, test, (Reads.of(f"{owner}: {least}, {most}"),), ("draft", "here"))


def half_given(name: str, pair: str, meaning: str) -> tuple[Rule, ...]:
    """Refuse a least without a most, or the other way round."""
    owner, *keys = ends(pair)
    write = "the other end of the window in the maker's document"
    return tuple(
        missing(
            name,
            f"{owner}.{key}",
            meaning,
            {other: given},
            f"a torque needs both ends, and {key} is not given",
            write,
        )
        for key, other in (keys, reversed(keys))
    )


def two_units(name: str, owner: str, keys: tuple[str, ...], meaning: str, why: str, write: str) -> Rule:
    """Refuse a unit other than that of the first key given; ``{first}`` and ``{typed}`` say which that is."""

    def test(group: Any, draft: Unjudged, here: Path) -> Doubts:
        units = {key: unit_of(value) for key in keys if (value := getattr(group, key)) is not None}
        first = next(iter(units), "")
        for key, unit in units.items():
            if unit != units[first]:
                yield Doubt((key,), why.format(first=first, typed=typed(draft, *here, first)), write)

    return Rule(name, meaning, test, (Reads.of(f"{owner}: {', '.join(keys)}"),), ("draft", "here"))


def twice(name: str, rows: str, keys: tuple[str, ...], meaning: str, why: str, write: str) -> Rule:
    """Refuse a row of a list that says under some keys what another said; ``{it}`` is an entry without keys."""

    def test(entries: tuple[Any, ...]) -> Doubts:
        said = [{key: getattr(entry, key) for key in keys} or {"it": entry} for entry in entries]
        for place, _ in repeats(tuple(words.values()) for words in said):
            yield Doubt((place, *keys[-1:]), why.format(**said[place]), write)

    return Rule(name, meaning, test, (Reads.of(f"{rows}: {', '.join(keys)}" if keys else rows),))


def repeats(items: Iterable[Any]) -> Iterator[tuple[int, Any]]:
    """Give each item that stood before in a list, with its place."""
    seen = set()
    for place, item in enumerate(items):
        if item in seen:
            yield place, item
        seen.add(item)
