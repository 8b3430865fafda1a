"""Where in a deck a value of the specification lands: the cards that print it or a number made from it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from cardgen.deck.card import Deck, Said
from cardgen.deck.diagram import Label
from cardgen.figures.figure import Figure
from cardgen.layouts_root import layouts_root
from cardgen.spec.problem import Path


@cache
def _choices() -> Mapping[str, Any]:
    return tomllib.loads((layouts_root() / "words" / "choices.toml").read_text("utf-8"))


def _choice(path: Path) -> list[str] | str:
    """Find what is listed for a key, for the table that it stands in, or nothing."""
    group: Any = _choices().get(str(path[0]), {})
    if isinstance(group, str):
        return group
    keys = [part for part in path[1:] if isinstance(part, str)]
    found: list[str] | str = next((group[key] for key in reversed(keys) if key in group), "")
    return found


def said_otherwise(path: Path) -> tuple[str, ...]:
    """Name the cards that say a value in words of their own or draw it, by their ids."""
    cards = _choice(path)
    return () if isinstance(cards, str) else tuple(cards)


def goes_by(path: Path) -> str:
    """Say what goes by a value that no card has: checks, or how cards are printed. Empty for any other."""
    words = _choice(path)
    return words if isinstance(words, str) else ""


def landings(deck: Deck) -> Mapping[str, tuple[str, ...]]:
    """Name for every key that lands on a card the titles of those cards, in the order of work.

    A number lands where it is printed, and where a number is printed that was computed from it in
    however many steps; words land where they are quoted.
    """
    found: dict[str, dict[str, None]] = {}
    roots: dict[str, frozenset[str]] = {}
    for card in deck.cards:
        for name in _shown(card):
            for key in made_from(name, deck.figures, roots):
                found.setdefault(key, {})[card.title] = None
    return {key: tuple(titles) for key, titles in found.items()}


def _shown(value: object) -> Iterator[str]:
    """Walk through a card, its drawings too, to the id of every figure and the key of every quotation."""
    match value:
        case Figure():
            yield value.id
        case Said():
            yield value.key
        case Label():
            yield value.figure
        case tuple():
            for item in value:
                yield from _shown(item)
        case _ if is_dataclass(value) and not isinstance(value, type):
            for name in _names(type(value)):
                yield from _shown(getattr(value, name))


@cache
def _names(kind: type[Any]) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def made_from(name: str, figures: Mapping[str, Figure], known: dict[str, frozenset[str]]) -> frozenset[str]:
    """Name a figure and everything it was computed from, down to the keys that were typed."""
    if name not in known:
        known[name] = frozenset({name})
        inputs = figures[name].inputs if name in figures else ()
        known[name] = known[name].union(*(made_from(each, figures, known) for each in inputs))
    return known[name]
