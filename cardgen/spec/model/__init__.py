"""The whole specification as one frozen, typed value.

Whoever holds a `RotorSpec` holds something complete: every required group is there, every
quantity has its unit, every text can be printed, and every rule has looked at it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, cast

from pydantic import Field, PrivateAttr

from cardgen.spec.model.base import Group, Shape, Source, Sourced
from cardgen.spec.model.bench import Balance, Pitch, String, Tip
from cardgen.spec.model.hardware import Fastener, Straps, Tightening, Wrench
from cardgen.spec.model.identity import Aircraft, Authority, Blades, Document, Hub, Override, Rotor
from cardgen.spec.model.running import Care, Copy, Head, Install, Log, Print, Reflectors, Run, Shake, Teeter
from cardgen.spec.model.track import Track
from cardgen.spec.problem import Path
from cardgen.spec.text import Text
from cardgen.spec.units import Quantity

Documents = Annotated[tuple[Document, ...], Field(strict=False, min_length=1)]
Fasteners = Annotated[tuple[Fastener, ...], Field(strict=False, min_length=1)]
Wrenches = Annotated[tuple[Wrench, ...], Field(strict=False)]
Overrides = Annotated[tuple[Override, ...], Field(strict=False)]


@dataclass(frozen=True)
class BoltAt:
    """One bolt of a block, at its own station; ``index`` is the block's place in the file, from 0."""

    block: Fastener
    index: int
    station: int
    place: Text | None = None

    @property
    def key(self) -> str:
        """The block it stands in, as a keeper would say it."""
        return f"fasteners[{self.index + 1}]"


class RotorSpec(Group):
    """One rotor, one file."""

    schema_version: Shape = Field(alias="schema", description="version of this file's shape")
    rotor: Rotor
    blades: Blades
    hub: Hub | None = None
    aircraft: Aircraft | None = None
    authority: Authority
    documents: Documents
    fasteners: Fasteners
    tightening: Tightening | None = None
    wrenches: Wrenches | None = None
    straps: Straps | None = None
    string: String | None = None
    pitch: Pitch | None = None
    balance: Balance | None = None
    tip: Tip | None = None
    teeter: Teeter | None = None
    head: Head | None = None
    install: Install | None = None
    reflectors: Reflectors | None = None
    track: Track
    run: Run | None = None
    shake: Shake | None = None
    care: Care | None = None
    log: Log | None = None
    print: Print | None = None
    overrides: Overrides | None = None

    _text: bytes = PrivateAttr(default=b"")
    _table: Mapping[str, Any] = PrivateAttr(default_factory=dict)

    @classmethod
    def of(cls, groups: Mapping[str, Any], text: bytes, table: Mapping[str, Any]) -> RotorSpec:
        """Put together groups that were read one by one, with the file they came from."""
        spec = cls.model_construct(**groups)
        spec._text = text
        spec._table = table
        return spec

    def with_copies(self, copies: Iterable[Copy]) -> RotorSpec:
        """Add copies that were named beside the file; its text and its parsed content stay what they are."""
        groups = {name: getattr(self, name) for name in type(self).model_fields}
        held = self.print or Print()
        groups["print"] = held.model_copy(update={"copies": (*held.copies, *copies)})
        return RotorSpec.of(groups, self.text, self.table)

    @property
    def text(self) -> bytes:
        """The file's own bytes, for the attachment and the register."""
        return self._text

    @property
    def table(self) -> Mapping[str, Any]:
        """The file's parsed content, every value as its keeper typed it."""
        return self._table

    def typed(self, path: Path) -> str:
        """Give a value exactly as the keeper typed it."""
        value: Any = self._table
        for part in path:
            value = value[part]
        return str(value)

    def value(self, path: Path) -> Any:
        """Walk to a value of the specification: a quantity, a text, a group, a list."""
        value: Any = self
        for part in path:
            value = value[part] if isinstance(part, int) else getattr(value, part)
        return value

    def quantity(self, path: Path) -> Quantity:
        """Walk to a value that is a quantity."""
        return cast(Quantity, self.value(path))

    def source(self, path: Path) -> Text:
        """Tell which document and place a value comes from: its key's own, else its group's.

        Raises `LookupError` where no group on the way names a source.
        """
        for depth in range(len(path) - 1, 0, -1):
            group, key = self.value(path[:depth]), path[depth]
            if isinstance(group, Sourced) and isinstance(key, str):
                return group.source_of(key)
            if isinstance(own := getattr(group, "source", None), Text):
                return own
        raise LookupError(f"no source for {path}")

    @property
    def bolts(self) -> tuple[BoltAt, ...]:
        """Every bolt at its own station, block by block in the order of the file."""
        return tuple(
            BoltAt(block, index, station, block.places[at] if block.places else None)
            for index, block in enumerate(self.fasteners)
            for at, station in enumerate(block.stations)
        )

    def is_not_given(self, path: Path) -> bool:
        """Whether the group that a key belongs to says that its papers do not give it."""
        group = self.value(path[:-1]) if len(path) > 1 else None
        return isinstance(group, Sourced) and str(path[-1]) in group.not_given

    def document(self, source: Text) -> Document:
        """Find the listed document that a source names."""
        return next(document for document in self.documents if names(source, document))


def names(source: str, document: Document) -> bool:
    """Whether a source such as ``MAKER-1 p.7`` names this document."""
    return source == document.id or source.startswith(f"{document.id} ")


__all__ = ["BoltAt", "RotorSpec", "Source", "names"]
