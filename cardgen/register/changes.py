"""What changed from one deck to another, told from the descriptions they were issued with.

Pure functions over `deck.json` as parsed. A description is read leniently: what an older version
did not write counts as empty, so that every deck can be compared for ever.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal, TypeAlias

from cardgen.spec.key_words import group_of, key_words

Description: TypeAlias = Mapping[str, Any]
#: Words of a card by what they do there.
WordKind: TypeAlias = Literal["caution", "step", "words"]

_WORD_KINDS: tuple[tuple[WordKind, str], ...] = (("caution", "cautions"), ("step", "steps"), ("words", "words"))


@dataclass(frozen=True)
class NumberChange:
    """A number that is not what it was. ``old`` or ``new`` is empty where it is added or gone.

    ``stated`` tells a value that somebody gave from one that follows from others; ``cards`` are
    those that show it, in either deck; ``where`` is where a reader finds it on the first of them.
    ``percent`` says in words by how much it changed, ``percent_change`` as a number, negative for less.
    """

    figure: str
    where: str
    old: str
    new: str
    percent: str
    old_source: str
    new_source: str
    stated: bool
    cards: tuple[str, ...]
    percent_change: float | None = None


@dataclass(frozen=True)
class WordChange:
    """Words of a card that were added, removed or are no longer the same."""

    card: str
    kind: WordKind
    old: tuple[str, ...]
    new: tuple[str, ...]


@dataclass(frozen=True)
class Comparison:
    """Everything that differs between two decks.

    ``changed`` are the cards that differ, those with another number, caution or step before those with
    other words alone. The code stands on every card, so that no card outlives its deck, changed or not.
    """

    numbers: tuple[NumberChange, ...]
    words: tuple[WordChange, ...]
    added: tuple[str, ...]
    removed: tuple[str, ...]
    changed: tuple[str, ...]

    @property
    def is_same(self) -> bool:
        """Whether a reader would find no difference."""
        return not (self.numbers or self.words or self.added or self.removed)


def compare(old: Description, new: Description) -> Comparison:
    """Compare two decks."""
    old_cards, new_cards = _by_id(old, "cards"), _by_id(new, "cards")
    added = tuple(card for card in new_cards if card not in old_cards)
    removed = tuple(card for card in old_cards if card not in new_cards)
    numbers = tuple(_numbers(old, new))
    words = tuple(_words(old_cards, new_cards))
    worked_by = {card for change in numbers for card in change.cards}
    worked_by |= {change.card for change in words if change.kind != "words"} | {*added, *removed}
    changed = worked_by | {change.card for change in words}
    order = [card for card in dict.fromkeys([*new_cards, *old_cards]) if card in changed]
    return Comparison(
        numbers,
        words,
        added,
        removed,
        tuple(sorted(order, key=lambda card: card not in worked_by)),
    )


def change_lines(comparison: Comparison, titles: Mapping[str, str]) -> tuple[str, ...]:
    """Say the changes in short sentences for the cover: values that somebody gave, one by one.

    Numbers that only follow from those are counted by card.
    """
    lines = [_sentence(change) for change in comparison.numbers if change.stated]
    for card in comparison.changed:
        title = titles.get(card, card)
        if card in comparison.added:
            lines.append(f"{title}: this card is new.")
        elif card in comparison.removed:
            lines.append(f"{title}: this card is gone; destroy the old one.")
        else:
            lines += _counted(comparison, card, title)
    return tuple(lines)


def titles_of(*descriptions: Description) -> dict[str, str]:
    """Titles of cards by id; a later description outweighs an earlier one."""
    return {
        name: str(card.get("title", name))
        for each in descriptions
        for name, card in _by_id(each, "cards").items()
    }


def _counted(comparison: Comparison, card: str, title: str) -> Iterator[str]:
    computed = sum(card in change.cards for change in comparison.numbers if not change.stated)
    if computed:
        yield f"{title}: {_amount(computed, 'computed number')} changed."
    for kind, noun in (("caution", "cautions"), ("step", "steps"), ("words", "other words")):
        if any(change.card == card and change.kind == kind for change in comparison.words):
            yield f"{title}: {noun} changed."


def _sentence(change: NumberChange) -> str:
    if not change.old:
        return f"{change.where}: {change.new} is new ({change.new_source})."
    if not change.new:
        return f"{change.where}: {change.old} is gone ({change.old_source})."
    if change.old == change.new:
        return f"{change.where}: {change.new} is now taken from {change.new_source}."
    amount = f", {change.percent}" if change.percent else ""
    return f"{change.where}: {change.old} is now {change.new}{amount} ({change.new_source})."


def _amount(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _by_id(description: Description, key: str) -> dict[str, Description]:
    return {str(each["id"]): each for each in description.get(key) or ()}


def _numbers(old: Description, new: Description) -> Iterator[NumberChange]:
    before, after = _by_id(old, "figures"), _by_id(new, "figures")
    shown_before, shown_after = _shown_on(old), _shown_on(new)
    named = _Named.of(old), _Named.of(new)
    for figure in sorted({*before, *after}):
        first, second = before.get(figure, {}), after.get(figure, {})
        if _says(first) == _says(second):
            continue
        places = [*shown_after.get(figure, ()), *shown_before.get(figure, ())]
        yield NumberChange(
            figure,
            _where(figure, places, second or first, named[bool(second)]),
            _number(first),
            _number(second),
            percent(first, second),
            str(first.get("reference", "")),
            str(second.get("reference", "")),
            not (second or first).get("formula"),
            tuple(dict.fromkeys(card for card, _ in places)),
            None if (change := _percentage(first, second)) is None else float(round(change, 3)),
        )


@dataclass(frozen=True)
class _Named:
    """How a deck names its cards, and the table of the specification that it was made from."""

    titles: Mapping[str, str]
    table: Mapping[str, Any]

    @classmethod
    def of(cls, description: Description) -> _Named:
        # A description of an older version, or a specification of another shape, has no names to give.
        with suppress(KeyError, TypeError, AttributeError, ValueError):
            return cls(titles_of(description), tomllib.loads(description["spec"]["text"]))
        return cls(titles_of(description), {})

    def thing(self, group: str, place: int | None) -> str:
        """What the specification calls a bolt or a wrench of a list, or nothing."""
        # Another shape of specification names nothing here, and the number is told without a name.
        with suppress(KeyError, IndexError, TypeError, AttributeError):
            held = self.table[group][place - 1] if place else {}
            return str(held.get("name") or held.get("id") or "")
        return ""

    def wrench(self, figure: str) -> str:
        """Name the wrench that a computed number is read on, or nothing."""
        # As above.
        with suppress(KeyError, TypeError, AttributeError):
            return next((each["id"] for each in self.table["wrenches"] if f".{each['id']}." in figure), "")
        return ""


def _where(figure: str, places: list[tuple[str, str]], one: Description, named: _Named) -> str:
    """Where a reader finds a number: its card, then what it is called, and on which wrench.

    A value that somebody gave goes by its key, and by the name of the thing it belongs to.
    """
    card, words = (places[0][0], places[0][1]) if places else ("", figure)
    if one.get("formula"):
        wrench = named.wrench(figure)
        return f"{words}, {wrench}" if places and wrench and wrench not in words else words
    title, key = named.titles.get(card, ""), key_words(figure, named.thing(*group_of(figure)))
    return f"{title}, {key}" if title else key


def _says(figure: Description) -> tuple[object, ...]:
    return tuple(figure.get(key) for key in ("number", "unit", "second", "origin", "reference"))


def _number(figure: Description) -> str:
    return f"{figure.get('number', '')} {figure.get('unit', '')}".strip()


def percent(old: Description, new: Description) -> str:
    """Say by how much a printed number grew or shrank, to a tenth of a percent of the old one.

    Nothing where the unit changed, where one of them is missing, or where the old one is zero.
    """
    change = _percentage(old, new)
    if not change:
        return ""
    tenths = int(abs(change) * 10 + Fraction(1, 2))
    amount = f"{tenths // 10}.{tenths % 10}" if tenths else "less than 0.1"
    return f"{amount} percent {'more' if change > 0 else 'less'}"


def _percentage(old: Description, new: Description) -> Fraction | None:
    first, second = _fraction(old), _fraction(new)
    if not first or second is None or old.get("unit") != new.get("unit"):
        return None
    return (second - first) / abs(first) * 100


def _fraction(figure: Description) -> Fraction | None:
    """The number as it is printed; its exact value where it is printed in parts, such as 7+3/4."""
    for key in ("number", "exact"):
        # Not every printed number is one figure: some are a range or have two parts.
        with suppress(ValueError, ZeroDivisionError):
            return Fraction(str(figure.get(key, "")))
    return None


def _shown_on(description: Description) -> dict[str, list[tuple[str, str]]]:
    """Where each figure is shown: card, and the words a reader finds it by."""
    shown: dict[str, list[tuple[str, str]]] = {}
    for name, card in _by_id(description, "cards").items():
        for fact in card.get("facts") or ():
            label = str(fact.get("label", ""))
            place = f"step {label}" if label.isdecimal() else label
            if row := str(fact.get("row", "")):
                place = f"{place} (row {row})"
            words = f"{card.get('title', name)}, {place}" if place else str(card.get("title", name))
            shown.setdefault(str(fact["figure"]), []).append((name, words))
    return shown


def _words(old: Mapping[str, Description], new: Mapping[str, Description]) -> Iterator[WordChange]:
    for card in new:
        if card not in old:
            continue
        for kind, key in _WORD_KINDS:
            before = [str(line) for line in old[card].get(key) or ()]
            after = [str(line) for line in new[card].get(key) or ()]
            if before != after:
                gone, come = _without(before, after), _without(after, before)
                # Where only the order differs, the whole list is what changed.
                if not gone and not come:
                    gone, come = tuple(before), tuple(after)
                yield WordChange(card, kind, gone, come)


def _without(lines: Sequence[str], others: Sequence[str]) -> tuple[str, ...]:
    """Take others out of lines, each as often as it stands there; what is left stands once."""
    left = Counter(lines) - Counter(others)
    return tuple(dict.fromkeys(line for line in lines if left[line]))
