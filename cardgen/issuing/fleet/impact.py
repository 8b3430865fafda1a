"""What a new revision of a document touches: rotors, keys, cards and copies, before anything is made.

Everything follows from the sources that the specifications name. A specification that cannot be
read is listed too: what it takes from the document is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cardgen.deck.card import Card
    from cardgen.figures import Figure
    from cardgen.spec.model import RotorSpec
    from cardgen.spec.model.identity import Document
    from cardgen.spec.problem import Path

#: Printed on every side of every card.
_ON_EVERY_SIDE = {"rotor.set_id", "rotor.diameter", "rotor.hub_serial", "blades.serial_a", "blades.serial_b"}


@dataclass(frozen=True)
class Listed:
    """A document as a specification lists it."""

    id: str
    title: str
    revision: str
    date: str


@dataclass(frozen=True)
class Key:
    """A value of a specification taken from the document: as typed, and the place it names.

    ``words`` say the key to a reader.
    """

    key: str
    words: str
    value: str
    source: str


@dataclass(frozen=True)
class Touched:
    """What of one rotor rests on the document.

    ``computed`` are numbers that follow from its values. ``unprinted`` are keys that no card shows
    by themselves; they decide which steps and numbers a card has, so where there are any, every card
    is to be read. ``editions`` are those that have a touched card.
    """

    set_id: str
    sha256: str
    documents: tuple[Listed, ...]
    keys: tuple[Key, ...]
    computed: tuple[str, ...]
    unprinted: tuple[str, ...]
    cards: tuple[tuple[str, str], ...]
    editions: tuple[str, ...]
    copies: tuple[str, ...]

    def as_data(self) -> dict[str, Any]:
        """Give it as plain values for JSON."""
        return {**asdict(self), "cards": [{"id": name, "title": title} for name, title in self.cards]}


@dataclass(frozen=True)
class Untouched:
    """A rotor that takes nothing from the document; ``documents`` are all that it lists.

    ``lists`` tells whether the document asked for is among them.
    """

    set_id: str
    documents: tuple[Listed, ...] = ()
    lists: bool = False


@dataclass(frozen=True)
class NotReadable:
    """A specification that is refused, so that what it takes from the document is not known."""

    problems: int
    first: str


@dataclass(frozen=True)
class Impact:
    """Look at what one specification takes from a document, named by its id or its title."""

    file: str
    text: bytes
    today: date
    document: str

    def __call__(self) -> Touched | Untouched | NotReadable:
        """Read it, and build its cards without printing them."""
        from cardgen.spec.load import load_bytes

        loaded = load_bytes(self.text, self.file, self.today)
        if loaded.spec is None:
            return NotReadable(len(loaded.problems), loaded.problems[0].why)
        asked = self.document.casefold()
        documents = [
            each for each in loaded.spec.documents if asked in (each.id.casefold(), each.title.casefold())
        ]
        keys = tuple(_keys(loaded.spec, [each.id for each in documents]))
        if not keys:
            return Untouched(loaded.spec.rotor.set_id, _listed(loaded.spec.documents), bool(documents))
        return _touched(loaded.spec, _listed(documents), keys)


def _listed(documents: Iterable[Document]) -> tuple[Listed, ...]:
    return tuple(Listed(each.id, each.title, each.revision, each.date.text) for each in documents)


def _touched(spec: RotorSpec, documents: tuple[Listed, ...], keys: tuple[Key, ...]) -> Touched:
    from hashlib import sha256

    from cardgen.deck.build import build_deck
    from cardgen.deck.card import Stamp
    from cardgen.figures import compute
    from cardgen.issuing.pipeline import places_of
    from cardgen.press.edition import editions_of
    from cardgen.press.layout import chosen

    figures = compute(spec)
    deck = build_deck(spec, figures, (), Stamp())
    named = {each.key for each in keys}
    affected = _followed(named, figures.all)
    shown = {card.id: set(_shown(card)) for card in deck.cards}
    unprinted = named - {key for keys_shown in shown.values() for key in keys_shown} - _ON_EVERY_SIDE
    # What follows from a key shows on a card in its place.
    unprinted -= {name for figure in figures.all.values() if figure.formula for name in figure.inputs}
    everywhere = bool(named & _ON_EVERY_SIDE)
    cards = [card for card in deck.cards if everywhere or shown[card.id] & affected]
    touched = {card.id for card in cards}
    editions = [each.name for each in editions_of(spec) if touched & {card.id for card in chosen(deck, each)}]
    copies = [f"{p.edition} copy {p.number} at {p.place}" for p in places_of(spec) if p.edition in editions]
    return Touched(
        spec.rotor.set_id,
        sha256(spec.text).hexdigest(),
        documents,
        keys,
        tuple(sorted(affected - named)),
        tuple(sorted(unprinted)),
        tuple((card.id, card.title) for card in cards),
        tuple(editions),
        tuple(copies),
    )


def _followed(named: set[str], figures: Mapping[str, Figure]) -> set[str]:
    """Add every figure that is computed, at any remove, from these keys."""
    affected, before = set(named), -1
    while len(affected) != before:
        before = len(affected)
        affected |= {name for name, figure in figures.items() if not affected.isdisjoint(figure.inputs)}
    return affected


def _shown(card: Card) -> Iterator[str]:
    """Name every figure and every text of the specification that a card shows."""
    from cardgen.deck.card import Said
    from cardgen.deck.walk import walk
    from cardgen.press.card_facts import facts

    yield from (fact.figure for fact in facts(card))
    for place in walk(card.sections):
        yield from (run.key for run in place.says if isinstance(run, Said))


def _keys(spec: RotorSpec, documents: Iterable[str]) -> Iterator[Key]:
    """Walk over every value whose source names one of these documents."""
    from cardgen.spec.key_words import key_words
    from cardgen.spec.problem import key_of

    wanted = tuple(documents)
    for path in _leaves(spec, ()):
        is_open = "not_given" in path
        if is_open:
            # What a new revision may give at last is touched by it like a value.
            path = (*path[:-2], spec.typed(path))
        try:
            source = spec.source(path)
        except LookupError:
            # A value without a source is taken from no document.
            continue
        if any(source == name or source.startswith(f"{name} ") for name in wanted):
            key = key_of(path)
            yield Key(
                key,
                key_words(key, _name_of(spec, path)),
                "not given" if is_open else spec.typed(path),
                str(source),
            )
    for at, override in enumerate(spec.overrides or ()):
        if override.document in wanted:
            key = f"overrides[{at + 1}]"
            yield Key(key, key_words(key), str(override.rule), str(override.document))


def _name_of(spec: RotorSpec, path: Path) -> str:
    """Name the thing that a key belongs to; nothing where it has no name."""
    if len(path) < 2 or not isinstance(path[1], int):
        return ""
    name = getattr(spec.value(path[:2]), "name", None)
    return "" if name is None else str(name)


def _leaves(spec: RotorSpec, path: Path) -> Iterator[Path]:
    from cardgen.spec.model.base import Group

    value = spec.value(path) if path else spec
    if isinstance(value, Group):
        for name in type(value).model_fields:
            leaf = name in {"source", "sources", "schema_version", "documents", "overrides"}
            if not leaf and getattr(value, name) is not None:
                yield from _leaves(spec, (*path, name))
    elif isinstance(value, tuple):
        for at in range(len(value)):
            yield from _leaves(spec, (*path, at))
    else:
        yield path
