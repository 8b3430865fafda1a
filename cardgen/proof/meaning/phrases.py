"""Words and numbers that must stand, looked for in a row of words and then in their places."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from cardgen.proof.meaning.asked import Asked, Kind
from cardgen.proof.meaning.pages import Box, Flow, around
from cardgen.proof.recheck import lies_right
from cardgen.proof.recomputed import Recomputed

#: A number as it is printed, such as 8.5 and 1-1/2; before some units a larger one stands: 25 ft 6, 3 deg 24.
_NUMBER = r"-?\d[\d./-]*"
_LARGER = {"in": "ft", "arcmin": "deg"}
#: What may follow it: the same in another unit or as it was before, and the letter of where it comes from.
_SECOND = r"(?: \([^()]*\))*"
_LETTER = r"(?: ?[MKRCLG]\b)?"
_BESIDE = r"(?: \([^()]*\))*(?: ?[MKRCLG]\b)?(?: \([^()]*\))*"
_TOKEN = re.compile(r"[^\s,.:;()]+|[,.:;()]")
_HOLE = re.compile(r"\{(=|each )?([^{}]+)\}")


@dataclass(frozen=True)
class Pattern:
    """An expression, and the numbers that its groups must be, one by one."""

    expression: str
    numbers: tuple[Recomputed, ...] = ()

    def then(self, other: Pattern, between: str = " ?") -> Pattern:
        """Put another behind it."""
        return Pattern(self.expression + between + other.expression, self.numbers + other.numbers)


def words(text: str) -> Pattern:
    """Look for words, wherever lines end between them."""
    tokens = (re.escape(token).replace(r"\-", "- ?") for token in _TOKEN.findall(text))
    return Pattern(" ?".join(tokens))


def typed(text: str) -> Pattern:
    """Look for words of the specification, which may be broken at any character."""
    return Pattern(" ?".join(map(re.escape, "".join(text.split()))))


def figure(number: Recomputed) -> Pattern:
    """Look for a number with its unit."""
    unit = f" ?{re.escape(number.unit)}" if number.unit else ""
    return Pattern(f"{_shown(number)}{unit}{_BESIDE}", (number,))


def bare(number: Recomputed) -> Pattern:
    """Look for a number whose unit stands elsewhere."""
    return Pattern(f"{_shown(number)}{_SECOND}", (number,))


def _shown(number: Recomputed) -> str:
    larger = _LARGER.get(number.unit)
    return f"({_NUMBER}(?: {larger} {_NUMBER})?)" if larger else f"({_NUMBER})"


def said(text: str, asked: Asked) -> Pattern | None:
    """Make a pattern of what `must.toml` says; nothing where a number of it is not stated."""
    whole, at = Pattern(""), 0
    for hole in _HOLE.finditer(text):
        whole = whole.then(words(text[at : hole.start()]))
        at = hole.end()
        filled = _filled(hole[1], hole[2], asked)
        if filled is None:
            return None
        whole = whole.then(filled)
    return whole.then(words(text[at:]))


def _filled(how: str | None, key: str, asked: Asked) -> Pattern | None:
    if how == "=":
        return typed(str(asked.value(key)))
    if how:
        each = [asked.number(f"{key}[{at}]") for at in range(1, len(asked.value(key)) + 1)]
        whole = Pattern("")
        for place, number in enumerate(each):
            if number is None:
                return None
            whole = whole.then(words(",")).then(figure(number)) if place else figure(number)
        return whole
    number = asked.number(key)
    return None if number is None else figure(number)


@lru_cache(maxsize=4096)
def _compiled(expression: str) -> re.Pattern[str]:
    return re.compile(expression)


def found(pattern: Pattern, flow: Flow, *, every: bool = False) -> tuple[re.Match[str] | None, str]:
    """Find a pattern whose numbers are all right; else the first whose are not, and what is wrong with them.

    Where ``every`` place that says these words must be right, one that is not is what is found.
    """
    right, wrong = None, ""
    for match in _compiled(pattern.expression).finditer(flow.text):
        against = [
            f"{number.figure} is {shown}"
            for number, shown in zip(pattern.numbers, _numbers(match), strict=True)
            if not lies_right(number, shown)
        ]
        if against:
            wrong = wrong or ", ".join(against)
        else:
            right = right or match
        if right and not (every and pattern.numbers):
            break
    if right is None:
        return None, wrong or "it is not there"
    return (None, f"elsewhere {wrong}") if every and wrong else (right, "")


def _numbers(match: re.Match[str]) -> list[str]:
    named = set(match.re.groupindex.values())
    return [match[at] for at in range(1, (match.re.groups or 0) + 1) if at not in named]


def missing(
    entries: Sequence[Mapping[str, Any]],
    flow: Flow,
    asked: Asked,
    kind: Kind,
    warn: Mapping[str, Any],
) -> Iterable[str]:
    """Name what must stand on a card and does not, does not guard its step, or stands out of order."""
    last = 0
    for entry in entries:
        if kind.name.split("-")[0] in entry.get("off", ()) and not kind.no_off:
            continue
        if not all(asked.holds(condition, kind) for condition in entry.get("when", ())):
            continue
        text = entry["say"]
        pattern = said(text, asked)
        if pattern is None:
            yield f'"{text}": a number of it is not stated'
            continue
        if entry.get("step", True):
            pattern = Pattern(rf"\b(?P<step>\d+)\.? ?{pattern.expression}", pattern.numbers)
        elif text.startswith(("STOP", "HOLD")):
            head, rest = text.split(" ", 1)
            pattern = Pattern(rf"{head}:? ?{(said(rest, asked) or Pattern('')).expression}", pattern.numbers)
        match, wrong = found(pattern, flow, every=True)
        if match is None:
            yield f'"{text}": {wrong}'
            continue
        if entry.get("step", True):
            number = int(match["step"])
            if number <= last:
                yield f'step "{text}": it is number {number}, after number {last}'
            last = number
        yield from _unguarded(entry, match, flow, kind, warn)


def _unguarded(
    entry: Mapping[str, Any], step: re.Match[str], flow: Flow, kind: Kind, warn: Mapping[str, Any]
) -> Iterable[str]:
    """Name the cautions that do not stand directly before a step, in words and above it in place."""
    at = step.start()
    for name in reversed(entry.get("guard", ())):
        caution = warn.get(name)
        if caution is None:
            yield f"caution {name}: it is not among the words"
            continue
        text = caution["brief" if kind.briefs else "text"]
        pattern = _compiled(rf"{caution['signal']}:? ?{words(text).expression}")
        before = [each for each in pattern.finditer(flow.text, 0, at) if not flow.text[each.end() : at].strip()]
        if not before:
            yield f'caution {name}: "{text}" does not stand directly before "{entry["say"]}"'
            return
        guard = before[-1]
        if not _above(flow, guard.span(), step.span()):
            yield f"caution {name}: it does not stand above the step that it guards"
        at = guard.start()


def _above(flow: Flow, upper: tuple[int, int], lower: tuple[int, int]) -> bool:
    one, other = flow.between(*upper), flow.between(*lower)
    if not one[0].page:
        return True
    if {run.page for run in (*one, *other)} != {one[0].page}:
        return False
    above, below = around(one), around(other)
    return above.y1 >= below.y2 - 2 and _share(above, below)


def _share(one: Box, other: Box) -> bool:
    return min(one.x2, other.x2) > max(one.x1, other.x1)
