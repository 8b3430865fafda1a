"""What is known of each card beside its words: ``layouts/cards.toml``, read strictly and once."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, TypeAlias, get_args

from pydantic import Field, StringConstraints, ValidationError

from cardgen.deck.fault import BuildFault
from cardgen.layouts_root import layouts_root
from cardgen.spec.fields import expected, group_types, required_groups
from cardgen.spec.model.base import Group
from cardgen.spec.model.identity import Rotor
from cardgen.spec.problem import Path

_FILE = "cards.toml"
#: The ways in which blades are aligned; the order of work hangs on it.
ALIGNMENTS: tuple[str, ...] = get_args(Rotor.model_fields["alignment"].annotation)

_Said: TypeAlias = Annotated[str, StringConstraints(min_length=1)]
_Place: TypeAlias = Annotated[int, Field(ge=1)]
_Listed: TypeAlias = Annotated[tuple[_Said, ...], Field(strict=False)]


class LeftOutWhere(Group):
    """A word of the specification that leaves a card out, and the reason that is printed."""

    where: _Said
    word: _Said = Field(alias="is")
    because: _Said

    @property
    def path(self) -> Path:
        """The place of that word in the specification."""
        return tuple(self.where.split("."))


class ListedCard(Group):
    """One card of the list; the head of ``cards.toml`` says what each key means."""

    title: _Said
    phase: _Said
    order: _Place | dict[str, _Place] | None = None
    needs: _Said | None = None
    stays: _Said | None = None
    left_out: LeftOutWhere | None = None
    prints: _Listed = ()
    flags: _Listed = ()
    worked: bool = False
    only_if: _Said | None = None
    when: _Said | dict[str, _Said] | None = None

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups of the specification whose values this card prints."""
        return self.prints or ((self.needs,) if self.needs else ())

    def place(self, alignment: str) -> int:
        """Give its place in the order of work for one way of aligning blades."""
        return self.order[alignment] if isinstance(self.order, dict) else self.order or 0

    def said_when(self, alignment: str) -> str:
        """Give what the order of the day says behind its title; mostly nothing."""
        return (self.when.get(alignment) if isinstance(self.when, dict) else self.when) or ""


@cache
def listed_cards() -> Mapping[str, ListedCard]:
    """Read the list of cards.

    Raises `BuildFault` with the line of the card's table for a key that is unknown, missing or of
    another kind, and for what the list says that cannot be so.
    """
    text = (layouts_root() / _FILE).read_text("utf-8")
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BuildFault(_FILE, 1, f"this is not TOML: {error}") from error
    lines = text.splitlines()
    cards = {name: _card(name, table, lines) for name, table in tables.items()}
    for name, reason in _broken(cards):
        raise _fault(name, lines, reason)
    return MappingProxyType(cards)


def _card(name: str, table: Any, lines: list[str]) -> ListedCard:
    try:
        return ListedCard.model_validate(table)
    except ValidationError as error:
        first = error.errors()[0]
        raise _fault(name, lines, f"{first['loc'][0]}: {first['msg']}") from error


def _fault(name: str, lines: list[str], reason: str) -> BuildFault:
    head = f"[{name}]"
    return BuildFault(_FILE, lines.index(head) + 1 if head in lines else 1, f"{name}: {reason}")


def _broken(cards: Mapping[str, ListedCard]) -> Iterator[tuple[str, str]]:
    """Find what each card says that the specification or the other cards do not bear out."""
    for name, card in cards.items():
        yield from ((name, reason) for reason in _broken_groups(card))
        for key, said in (("order", card.order), ("when", card.when)):
            if isinstance(said, dict) and not set(said) <= set(ALIGNMENTS):
                yield name, f"{key}: blades are aligned in these ways: {', '.join(ALIGNMENTS)}"
        if isinstance(card.order, dict) and len(card.order) < len(ALIGNMENTS):
            yield name, "order: a place for each way of aligning the blades, or one for all"
    yield from _shared_places(cards)


def _broken_groups(card: ListedCard) -> Iterator[str]:
    known = set(group_types())
    if (card.needs is None) != (card.stays is None):
        yield "needs and stays go together"
    if card.needs and card.needs not in known - set(required_groups()):
        yield f"needs: [{card.needs}] is no group that a specification may leave out"
    for group in set(card.prints) - known:
        yield f"prints: a specification has no group [{group}]"
    if card.left_out:
        meaning = expected(card.left_out.path)
        if meaning is None or card.left_out.word not in meaning.words:
            yield f'left_out: "{card.left_out.word}" is no word of {card.left_out.where}'


def _shared_places(cards: Mapping[str, ListedCard]) -> Iterator[tuple[str, str]]:
    for alignment in ALIGNMENTS:
        taken: dict[int, str] = {}
        for name, card in cards.items():
            if card.order is not None and taken.setdefault(card.place(alignment), name) != name:
                yield name, f"order: {taken[card.place(alignment)]} has this place already"
