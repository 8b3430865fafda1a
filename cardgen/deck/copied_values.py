"""Every value and word of a specification, as it was typed, and what became of it on which card.

They are ordered by document and by place in it. Equal values at one place are one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeAlias

from cardgen.deck.card import Deck
from cardgen.deck.landing import goes_by, landings, said_otherwise
from cardgen.deck.places import in_few_words, natural
from cardgen.spec.dates import PaperDate
from cardgen.spec.fields import expected
from cardgen.spec.key_words import key_words
from cardgen.spec.marks import DrawnMark
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path, key_of
from cardgen.spec.text import DRAWABLE
from cardgen.spec.threads import Thread
from cardgen.spec.typed_quantity import reading_of

#: Keys that say where a value comes from: they order the sheet, and stand in it as heading and place. What
#: is not given stands at its end.
_SOURCES = frozenset({"source", "sources", "not_given"})
#: Lists whose tables are so small that one row holds one of them.
_SMALL = frozenset({"documents", "wrenches", "copies", "shims", "cure", "points", "checks", "overrides"})
#: What header and footer of every side say.
_ON_EVERY_SIDE = frozenset(
    {
        "rotor.set_id",
        "rotor.diameter",
        "rotor.hub_serial",
        "blades.serial_a",
        "blades.serial_b",
        "authority.use_until",
    }
)
#: Lists of things of which several are alike.
_SEVERAL = frozenset({"fasteners", "wrenches"})
#: What tells one block of bolts from another; it shares a row.
_WHICH_BOLT = frozenset({"where", "stations", "places", "name"})
#: What is done to one blade; all of it shares a row.
_MOVES = frozenset({"to_lower", "to_raise"})
#: Keys of one group that are read together, beside those that end alike for both blades, or as least and most.
_TOGETHER = {
    "drag": "drag_max",
    "locking": "pin_head",
    "turned_at": "entered_from",
    "lever": "dial_lever",
    "dial_touches": "dial_base",
    "cavity_diameter": "cavity_depth",
}
#: Characters of a line in the second column; the meaning of a key that would take another is left out.
_ONE_LINE = 42

#: Where a part of a key begins that is inside another.
_INNER = re.compile(r"[.\[]")
#: Values that share a row.
_Unit: TypeAlias = tuple[Path, ...]


@dataclass(frozen=True)
class CopiedValue:
    """One value of the file, or a small table of them: where it comes from, and what it became.

    ``paths`` are more than one where equal values stand at the same place of a document; ``document``
    is empty where none is named.
    """

    document: str
    place: str
    paths: tuple[Path, ...]
    what: str
    typed: str
    became: str


def copied_values(deck: Deck) -> tuple[CopiedValue, ...]:
    """List every value of the specification, in the order in which it is read against the papers.

    Documents stand in the order of the file, places in natural order, values of one place in the order
    of the file; what names no document comes last.
    """
    spec, landed = deck.spec, _with_inner(landings(deck))
    alike: dict[tuple[str, str, Path, str], list[_Unit]] = {}
    for unit in _units(spec.table, ()):
        # Only of the bolts and wrenches is the same thing said several times.
        first, typed = unit[0], "; ".join(_typed(_at(spec, path)) for path in unit)
        kind = tuple(part for part in first if isinstance(part, str)) if first[0] in _SEVERAL else first
        alike.setdefault((*_source(spec, first), kind, typed), []).append(unit)
    found = [
        CopiedValue(
            document,
            place,
            tuple(path for unit in units for path in unit),
            _what(spec, units),
            typed,
            _became(deck, units, typed, landed),
        )
        for (document, place, _, typed), units in alike.items()
    ]
    order = [str(document.id) for document in spec.documents]
    return tuple(
        sorted(
            found,
            key=lambda each: (
                order.index(each.document) if each.document in order else len(order),
                natural(each.place),
            ),
        )
    )


def _units(value: Any, path: Path) -> Iterator[_Unit]:
    """Walk to every value: a text, a number or a list of them, alone or with those that share its row."""
    if isinstance(value, Mapping):
        keys = [key for key in value if key not in _SOURCES]
        beside = [key for key in keys if _shares_a_row(value, path, key)]
        if beside:
            yield tuple((*path, key) for key in beside)
        alone = [key for key in keys if key not in beside]
        # What comes from another document stands by itself, at its own place.
        near = set(alone) - set(value.get("sources", ()))
        pairs = {key: other for key in alone if key in near and (other := _other(key)) in near}
        for key in alone:
            if key in pairs:
                yield (*path, key), (*path, pairs[key])
            elif key not in pairs.values():
                yield from _units(value[key], (*path, key))
    elif isinstance(value, list) and any(isinstance(item, Mapping) for item in value):
        for place, item in enumerate(value):
            yield from _units(item, (*path, place))
    else:
        yield (path,)


def _other(key: str) -> str:
    """Name the other of two keys that are read together: blade A and B, least and most, drag and its most."""
    if key in _TOGETHER:
        return _TOGETHER[key]
    for one, other in (("_a", "_b"), ("_min", "_max")):
        if key.endswith(one):
            return key.removesuffix(one) + other
    return ""


def _shares_a_row(table: Mapping[str, Any], path: Path, key: str) -> bool:
    if len(path) < 2 or "sources" in table:
        return False
    return path[-2] in _SMALL | _MOVES or (path[0] == "fasteners" and key in _WHICH_BOLT)


def _source(spec: RotorSpec, path: Path) -> tuple[str, str]:
    """Give document and place of a value; what a document says of itself stands on its front."""
    if path[0] == "documents":
        return spec.typed((*path[:2], "id")), ""
    try:
        source = spec.source(path)
    except LookupError:
        # What no document gives, such as a wrench, stands in the last group.
        return "", ""
    document = spec.document(source)
    return str(document.id), source.removeprefix(document.id).strip()


def _what(spec: RotorSpec, units: Sequence[_Unit]) -> str:
    """Say in a reader's words what stands in a unit, or in several of one kind."""
    first = units[0]
    *above, key = first[0]
    several = f"{first[0][0]} {in_few_words(int(unit[0][1]) + 1 for unit in units)}" if len(units) > 1 else ""
    if len(first) > 1:
        keys = ", ".join(str(path[-1]).replace("_", " ") for path in first)
        return f"{several or key_words(key_of(tuple(above)))}: {keys}"
    words = key_words(key_of(first[0]), name_of(spec, first[0]))
    if several:
        words = f"{several}, {str(key).replace('_', ' ')}"
    meaning = expected(tuple(0 if isinstance(part, int) else part for part in first[0]))
    about = f"{words} ({meaning.about})" if meaning and meaning.about else words
    return about if len(about) <= _ONE_LINE else words


def name_of(spec: RotorSpec, path: Path) -> str:
    """Give what the keeper calls the bolt that a value belongs to."""
    return spec.typed((*path[:2], "name")) if path[0] == "fasteners" else ""


def _at(spec: RotorSpec, path: Path) -> Any:
    value: Any = spec.table
    for part in path:
        value = value[part]
    return value


def _typed(value: Any) -> str:
    """Write a value as it stands in the file; the members of a list one after another."""
    if isinstance(value, list):
        return _listed(map(_typed, value), value)
    if isinstance(value, bool):
        return "true" if value else "false"
    return drawable(value.isoformat() if isinstance(value, date) else str(value))


def _listed(written: Iterable[str], value: list[Any]) -> str:
    """Put the members of a list one after another: of a list of lists, or of plain values."""
    return (" / " if any(isinstance(each, list | str) for each in value) else ", ").join(written)


def drawable(text: str) -> str:
    """Write a character that the cards' type has not got by its code."""
    return "".join(each if each in DRAWABLE else f"(U+{ord(each):04X})" for each in text)


def _printed(spec: RotorSpec, path: Path, value: Any) -> str:
    """Write a value in the one spelling of the cards."""
    if isinstance(value, list):
        return _listed((_printed(spec, (*path, at), item) for at, item in enumerate(value)), value)
    if not isinstance(value, str):
        return _typed(value)
    held = spec.value(path)
    if isinstance(held, Thread):
        return held.name
    if isinstance(held, str | PaperDate | DrawnMark):
        return _typed(str(held) if isinstance(held, str) else value)
    return reading_of(spec, path).shown


def _with_inner(landed: Mapping[str, Iterable[str]]) -> Mapping[str, set[str]]:
    """Give every key, and the key of every group around it, the titles of all that is inside it."""
    found: dict[str, set[str]] = {}
    for key, titles in landed.items():
        for end in (*(inner.start() for inner in _INNER.finditer(key)), len(key)):
            found.setdefault(key[:end], set()).update(titles)
    return found


def _became(deck: Deck, units: Sequence[_Unit], typed: str, landed: Mapping[str, set[str]]) -> str:
    """Tell on which cards a value is found again, after its spelling there where that is another.

    Of a word that cards say in words of their own, such as dry threads, it is told which cards do, and of
    one that is on no card, what goes by it.
    """
    spec = deck.spec
    printed = "; ".join(_printed(spec, path, _at(spec, path)) for path in units[0])
    spelled = "" if printed == typed else f"{printed}: "
    paths = [path for unit in units for path in unit]
    if any(key_of(path) in _ON_EVERY_SIDE for path in paths):
        return f"{spelled}every side"
    keys = [key_of(path) for path in paths]
    here = {title for key in keys for title in landed.get(key, ())}
    found = ", ".join(card.title for card in deck.cards if card.title in here)
    others = {card for path in paths for card in said_otherwise(path)}
    otherwise = ", ".join(card.title for card in deck.cards if card.id in others)
    if not found and otherwise:
        found = f"{otherwise}, in other words"
    beside = next(filter(None, map(goes_by, paths)), "")
    return spelled + (found or (f"no card; {beside}" if beside else "none found"))
