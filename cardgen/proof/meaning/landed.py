"""What the sheet for the second reader says became of each value: how cards write it, and on which it is.

Numbers are followed through the deck's description for programs, words are looked for in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import isclose
from typing import Any

from cardgen.proof.meaning.asked import choices, listed_cards
from cardgen.proof.meaning.copied import Row, bare, keys_of
from cardgen.proof.recheck_input import quantity, thread_name
from cardgen.spec.everyday_words import our_word

_EVERY, _NO_CARD, _OTHERWISE = "everyside", "nocard;", ",inotherwords"
#: What header and footer of every side say.
_FRAME = frozenset(
    {
        "rotor,setid",
        "rotor,diameter",
        "rotor,hubserial",
        "blades,seriala",
        "blades,serialb",
        "authority,useuntil",
    }
)
_NUMBERED = re.compile(r"\[(\d+)\]")
#: Parts a row's values, and the members of a list of numbers; "1/2 in" is one.
_PARTS, _MEMBERS = re.compile("[;,/]"), re.compile(r";|,|(?<=[^\d ]) */ *(?=\d)")


@dataclass(frozen=True)
class Deck:
    """What a deck says of itself: its cards' titles, the words of each, and where each key's numbers are."""

    words: Mapping[str, str]
    numbers: Mapping[str, frozenset[str]]


def deck_of(told: Mapping[str, Any]) -> Deck:
    """Take what is asked for out of a deck's description."""
    made_from = {each["id"]: each["inputs"] for each in told["figures"]}
    numbers: dict[str, set[str]] = {}
    for card in told["cards"]:
        for key in _behind([fact["figure"] for fact in card["facts"]], made_from):
            named = _NUMBERED.sub(r"\1", key).replace(".", ",").replace("_", "")
            numbers.setdefault(named, set()).add(bare(card["title"]))
    words = {bare(card["title"]): bare("".join(_texts(card))).casefold() for card in told["cards"]}
    return Deck(words, {key: frozenset(titles) for key, titles in numbers.items()})


def _behind(shown: list[str], made_from: Mapping[str, list[str]]) -> set[str]:
    """Name figures and all that they were made from, in however many steps."""
    met = set[str]()
    while shown:
        if (name := shown.pop()) not in met:
            met.add(name)
            shown += made_from.get(name, ())
    return met


def landed_against(rows: Iterable[Row], deck: Deck) -> Iterator[str]:
    """Name rows that say another spelling, or other cards, than the deck has."""
    for row in rows:
        _, what, typed, became = row.cells
        keys = [key for several in keys_of(bare(what)) for key in several]
        spelled, _, where = became.rpartition(":")
        if spelled and not _same(typed, spelled):
            yield f'"{bare(what)}" is "{typed}", and "{spelled}" on the cards'
        if wrong := _wrong(bare(where), keys, bare(f"{typed};{spelled}"), deck):
            yield f'"{bare(what)}": "{where.strip()}" {wrong}'


def _wrong(where: str, keys: list[str], said: str, deck: Deck) -> str:
    """Say what is wrong with where a row's values are said to be; nothing where nothing is."""
    if where == _EVERY or _FRAME.intersection(keys):
        return "" if where == _EVERY and _FRAME.intersection(keys) else "is not where it stands"
    numbers = {title for key in keys for title in _numbers(key, deck)}
    listed = [found for key in keys if (found := _listed(key))]
    if where.startswith(_NO_CARD):
        goes_by = {bare(each) for each in listed if isinstance(each, str)}
        return "" if where.removeprefix(_NO_CARD) in goes_by and not numbers else "is not what goes by it"
    if where == "nonefound":
        return f"lacks {', '.join(numbers)}" if numbers else ""
    titles = where.removesuffix(_OTHERWISE).split(",")
    if titles != [title for title in deck.words if title in titles]:
        return "names no cards of this deck in their order"
    if where.endswith(_OTHERWISE):
        cards = {
            bare(listed_cards()[card]["title"]) for each in listed if isinstance(each, list) for card in each
        }
        return "" if set(titles) == cards & set(deck.words) and not numbers else "are not the cards that say it"
    if lost := numbers.difference(titles):
        return f"lacks {', '.join(lost)}"
    parts = [part for part in _PARTS.split(said.casefold()) if part]
    strange = [
        title
        for title in titles
        if title not in numbers and not any(part in deck.words[title] for part in parts)
    ]
    return f"names {', '.join(strange)}, which does not say it" if strange and not listed else ""


def _numbers(key: str, deck: Deck) -> Iterator[str]:
    """Find the cards that show the number at a key, one of a list there, or one made from it."""
    for name, titles in deck.numbers.items():
        if name.startswith(key) and not name[len(key) : len(key) + 1].isalpha():
            yield from titles


def _listed(key: str) -> list[str] | str:
    """Find what the words say of a key that cards do not print as typed."""
    group, *inner = key.split(",")
    found: Any = {bare(name): each for name, each in choices().items()}.get(group.rstrip("0123456789"), "")
    if isinstance(found, str):
        return found
    known = {name.replace("_", ""): each for name, each in found.items()}
    return next((known[name] for name in reversed(inner) if name in known), "")


def _same(typed: str, spelled: str) -> bool:
    """Whether two ways of writing mean the same, value by value."""
    one, other = _MEMBERS.split(typed), _MEMBERS.split(spelled)
    return len(one) == len(other) and all(map(_equal, one, other))


def _equal(typed: str, spelled: str) -> bool:
    if bare(typed) == bare(spelled) or our_word(" ".join(typed.split()), (spelled.strip(),)):
        return True
    angle = "deg" in spelled or "arcmin" in spelled
    try:
        return isclose(quantity(typed, angle)[0], quantity(spelled, angle)[0], rel_tol=1e-9)
    except (KeyError, ValueError):
        return bare(spelled) == _thread(typed)


def _thread(typed: str) -> str:
    try:
        return thread_name(typed)
    except LookupError:
        # It is no thread, and so none that is written otherwise.
        return ""


def _texts(value: Any) -> Iterator[str]:
    """Walk to every text of a card."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each)
