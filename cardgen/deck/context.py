"""What a card's template may ask: figures by id, words of the specification by key.

Templates choose between words and do no arithmetic; everything that must be grouped, ordered or
counted for them is prepared here and in `cardgen.deck.bolts`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from cardgen.deck.library import library
from cardgen.deck.templates import limit, quoted
from cardgen.figures.figure import Figure
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Path
from cardgen.spec.text import Text
from cardgen.spec.threads import Thread

_PART = re.compile(r"([a-z_]+)(?:\[(\d+)\])?", re.ASCII)


def path_of(key: str) -> Path:
    """Turn a key such as ``fasteners[1].torque_max``, counted from 1, into the path it stands for."""
    path: list[str | int] = []
    for part in key.split("."):
        found = _PART.fullmatch(part)
        if found is None:
            raise LookupError(f"{key} is not a key of the specification")
        path.append(found[1])
        if found[2]:
            path.append(int(found[2]) - 1)
    return tuple(path)


@dataclass(frozen=True)
class CardContext:
    """A specification and its figures, as a template sees them."""

    spec: RotorSpec
    figures: Mapping[str, Figure]

    def fig(self, id_: str) -> Figure:
        """Give a figure by id. Raises `LookupError` where there is none."""
        if id_ not in self.figures:
            raise LookupError(f"there is no figure {id_}")
        return self.figures[id_]

    def known(self, id_: str) -> bool:
        """Whether there is a figure of this id."""
        return id_ in self.figures

    def said(self, key: str) -> Markup:
        """Quote a value of the specification as its keeper typed it; a thread or a choice in our words for it.

        Raises `LookupError` for no such key.
        """
        path = path_of(key)
        if not self.has(key):
            raise LookupError(f"the specification has no {key}")
        return quoted(self._words(path), key)

    def _words(self, path: Path) -> str:
        match self.spec.value(path):
            case date() as day:
                return day.isoformat()
            case Thread() as thread:
                return thread.name
            case Text():
                return self.spec.typed(path)
            case str() as choice:
                return choice
        return self.spec.typed(path)

    def given(self, key: str) -> Figure | Markup:
        """Give a value that the papers may leave open: the figure or the words, or what stands in its place.

        Raises `LookupError` for a key that no rotor may leave open.
        """
        path = path_of(key)
        if self.has(key):
            return self.figures[key] if key in self.figures else self.said(key)
        if str(path[-1]) not in MAY_BE_NOT_GIVEN.get(str(path[0]), ()):
            raise LookupError(f"{key} is needed, and not one that may be not given")
        return Markup("<strong>{}</strong>").format(library().terms["not-given"])

    def limit(self, key: str) -> Markup:
        """Give such a value after the words of its bound, or what stands in its place."""
        given = self.given(key)
        return limit(given) if isinstance(given, Figure) else given

    def each(self, key: str) -> Figure | Markup:
        """Give every value of a list in one sentence, or what stands in its place where it is not given."""
        if not self.has(key):
            return self.given(key)
        count = len(self.spec.value(path_of(key)))
        return Markup(", ").join(
            Markup('<value id="{}"/>').format(f"{key}[{at}]") for at in range(1, count + 1)
        )

    def has(self, key: str) -> bool:
        """Whether the specification gives this key."""
        try:
            return self.spec.value(path_of(key)) is not None
        except (AttributeError, IndexError, TypeError):
            # A group or key that is left out is the answer.
            return False
