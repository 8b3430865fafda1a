"""What a deck said about itself when it was issued, read again and never judged again.

Rules and shapes of a specification change from version to version; what a deck was issued with does
not. Whoever wants to know something of an issued deck takes it from here: its figures as they were
printed, and its specification as it was typed.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import Any

from cardgen.figures.figure import Figure, Origin, Parts
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, trouble
from cardgen.register.rows import DESCRIPTION, DeckRow
from cardgen.spec.problem import Path
from cardgen.spec.units import quantity

#: What is listed in a description by id.
_LISTS = ("figures", "cards", "left_out")


def description_bytes(register: Register, deck: DeckRow) -> bytes | RegisterTrouble | None:
    """Read a deck's kept description; nothing where it was issued without one."""
    for file in register.files(deck.id):
        if file.name == DESCRIPTION:
            return register.store.read(file.sha256)
    return None


def description(register: Register, deck: DeckRow) -> dict[str, Any] | RegisterTrouble:
    """Read and parse a deck's kept description, or say why there is none."""
    content = description_bytes(register, deck)
    if isinstance(content, RegisterTrouble):
        return content
    if content is None:
        return trouble("missing", register.path, f"{deck.folder} was issued without a description")
    return parsed(content) or no_version_wrote(register, deck)


def parsed(content: bytes) -> dict[str, Any] | None:
    """Parse a description; nothing where no version of this program could have written it."""
    try:
        told = json.loads(content)
    except (ValueError, RecursionError):
        # What is no JSON at all was not written by any either.
        return None
    return told if isinstance(told, dict) and all(_is_list(told.get(name, [])) for name in _LISTS) else None


def no_version_wrote(register: Register, deck: DeckRow) -> RegisterTrouble:
    """Say that a deck's description cannot be read, although it is as it was kept."""
    why = f"the description of {deck.folder} cannot be read"
    return trouble("newer version", register.path, why, "use the version of this program that issued it")


def _is_list(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(each, dict) and "id" in each for each in value)


@dataclass(frozen=True)
class KeptDeck:
    """A deck as it was issued. Asking raises `LookupError` or `ValueError` where no version wrote it so."""

    description: Mapping[str, Any]

    @cached_property
    def figures(self) -> Mapping[str, Figure]:
        """Its figures by id."""
        return _KeptFigures(self.description["figures"])

    @cached_property
    def text(self) -> bytes:
        """The specification's own bytes."""
        return str(self.description["spec"]["text"]).encode()

    def typed(self, *path: str | int) -> str:
        """Give a value of the specification as its keeper typed it; nothing where it is not given."""
        try:
            value = self._value(path)
        except (LookupError, TypeError):
            # A value that is not given is the answer.
            return ""
        return str(value)

    def whole(self) -> KeptDeck:
        """Give itself once every figure and its text were read."""
        if any(figure.id not in self.figures for figure in self.figures.values()) or "rotor" not in self._table:
            raise LookupError("what is asked of every deck is not there")
        return self

    @property
    def record_asked(self) -> tuple[str, ...]:
        """The lines that local rules ask of a record, where the specification gives them."""
        try:
            return tuple(map(str, self._table["authority"]["record"]))
        except (LookupError, TypeError):
            # None is asked for where none is given.
            return ()

    def _value(self, path: Path) -> object:
        value: Any = self._table
        for part in path:
            value = value[part]
        return value

    @cached_property
    def _table(self) -> dict[str, Any]:
        return tomllib.loads(self.text.decode(), parse_float=Decimal)


class _KeptFigures(Mapping[str, Figure]):
    """Figures by id, each made when it is asked for: few readers want more than a handful of hundreds."""

    def __init__(self, told: list[Mapping[str, Any]]) -> None:
        self._told = {str(each["id"]): each for each in told}

    def __getitem__(self, name: str) -> Figure:
        return _figure(self._told[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._told)

    def __len__(self) -> int:
        return len(self._told)


def _figure(told: Mapping[str, Any]) -> Figure:
    unit = str(told["unit"])
    try:
        exact = quantity(Fraction(told["exact"]), unit)
    except KeyError:
        # Not a missing figure: a number whose unit nobody knows must not look as if it were not there.
        raise ValueError(f'{told["id"]} is in "{unit}", which is no unit here') from None
    return Figure(
        id=str(told["id"]),
        quantity=exact,
        parts=Parts(str(told["number"]), unit, str(told["second"])),
        origin=Origin(told["origin"]),
        reference=str(told["reference"]),
        formula=str(told["formula"]),
        inputs=tuple(told["inputs"]),
    )
