"""What a comparison of two decks says to a reader: what comes down, then what differs, the weightiest first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cardgen.register.changes import Comparison, NumberChange

#: More lines than this are not read; the others are a wish away.
MOST_LINES = 20

#: What kills soonest where it is wrong comes first; whatever is not named here comes after it.
_WEIGHTS = (
    ("fasteners", "torque", "tightening", "wrenches"),
    ("track", "dial"),
    ("lead", "balance", "tip", "shake"),
)


def rotor_of(described: Mapping[str, Any]) -> dict[str, str]:
    """Tell which rotor a deck's description is of: its set id and its diameter."""
    figures = {each.get("id"): each for each in described.get("figures") or ()}
    one = figures.get("rotor.diameter") or {}
    diameter = f"{one.get('number', '')} {one.get('unit', '')}".strip()
    return {"set_id": str(described.get("set_id", "")), "diameter": diameter}


def rotor_lines(old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[str]:
    """Say before everything else where two decks are of different rotors, or of different diameters."""
    if old["set_id"] != new["set_id"]:
        yield f"DIFFERENT ROTORS: {old['set_id']} and {new['set_id']}. A card of one never serves the other."
    if old["diameter"] != new["diameter"]:
        yield f"DIFFERENT DIAMETERS: {old['diameter']} and {new['diameter']}."


def taken_down(old: Mapping[str, Any], new: Mapping[str, Any], comparison: Comparison) -> Iterator[str]:
    """Say which printed copies come down, as the register and `verify` say it: all of the older deck."""
    if comparison.is_same or old.get("set_id") != new.get("set_id"):
        return
    issued = [int(each["revision"]) for each in (old, new) if each.get("code") and each.get("revision")]
    if len(issued) == 2 and issued[0] != issued[1]:
        yield f"Revision {min(issued)} is out of use: take every printed copy down today, changed or not."
    else:
        yield "Once the new deck is issued, take every printed copy of the old one down, changed or not."


def lines(comparison: Comparison, titles: Mapping[str, str]) -> Iterator[str]:
    """Write a comparison for a reader: cards, then stated numbers, then what follows from them, then words."""
    if comparison.is_same:
        yield "No number and no word differs."
        return
    come_or_gone = {*comparison.added, *comparison.removed}
    for heading, cards in (
        ("Changed cards", tuple(card for card in comparison.changed if card not in come_or_gone)),
        ("New cards", comparison.added),
        ("Cards that are gone", comparison.removed),
    ):
        if cards:
            yield f"{heading}: {', '.join(titles[card] for card in cards)}."
    shown = [change for change in comparison.numbers if change.stated or change.cards]
    told = [change for change in shown if change.stated or (change.old and change.new)]
    yield from map(_number_line, sorted(told, key=_weight))
    counts = list(_counted([change for change in sorted(shown, key=_weight) if change not in told], titles))
    if hidden := len(comparison.numbers) - len(shown):
        counts.append(f"{hidden} on no card")
    if counts:
        yield f"Other computed numbers that follow from these: {', '.join(counts)}"
    for change in sorted(comparison.words, key=lambda change: list(_KINDS).index(change.kind)):
        was, now = _apart(_worded(change.old), _worded(change.new))
        if was or now:
            yield f"{titles[change.card]}, {_KINDS[change.kind]}:"
        yield from (f"  was: {line}" for line in was)
        yield from (f"  now: {line}" for line in now)


def _counted(changes: Sequence[NumberChange], titles: Mapping[str, str]) -> Iterator[str]:
    """Count computed numbers that are new or gone by card: each follows from what is said above."""
    amounts = Counter((change.cards[0], "new" if change.new else "gone") for change in changes)
    for (card, become), amount in amounts.items():
        yield f"{amount} on {titles[card]} {'is' if amount == 1 else 'are'} {become}"


def _worded(lines: Sequence[str]) -> tuple[str, ...]:
    """Say rows by their words alone, and leave out those that have none: numbers are told as numbers."""
    rows = (line.split("; ") if line.startswith(f"{_NUMBER};") else [line] for line in lines)
    said = ("; ".join(cell for cell in row if cell != _NUMBER) for row in rows)
    return tuple(dict.fromkeys(line.replace(_NUMBER, "…") for line in said if line))


def _apart(old: Sequence[str], new: Sequence[str]) -> tuple[Sequence[str], Sequence[str]]:
    """Leave out what both begin with and end with, where a whole list is given for its order."""
    first = _alike(old, new)
    old, new = old[first:], new[first:]
    last = _alike(old[::-1], new[::-1])
    return old[: len(old) - last], new[: len(new) - last]


def _alike(old: Sequence[str], new: Sequence[str]) -> int:
    """Count how many lines two lists begin with in common."""
    return sum(1 for _ in takewhile(lambda both: both[0] == both[1], zip(old, new, strict=False)))


#: What stands for a number in the words of a deck's description.
_NUMBER = "(number)"
_KINDS = {"caution": "cautions", "step": "steps and tables", "words": "other words"}


def _weight(change: NumberChange) -> tuple[int, bool, bool]:
    """Weigh a number: what it is of, then whether somebody stated it, then whether a card shows it."""
    group = change.figure.partition(".")[0].partition("[")[0]
    rank = next((rank for rank, groups in enumerate(_WEIGHTS) if group in groups), len(_WEIGHTS))
    return rank, not change.stated, not change.cards


def _number_line(change: NumberChange) -> str:
    amount = f", {change.percent}" if change.percent else ""
    source = change.new_source or change.old_source
    if change.old_source != change.new_source and change.old_source and change.new_source:
        source = f"{change.old_source}, now {change.new_source}"
    said = f"{change.old or 'nothing'} is now {change.new or 'nothing'}{amount} ({source})"
    return f"{change.where}: {said}  [{change.figure}]"
