"""What the specification's model knows about a place in the file: its keys, words and meaning."""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticCustomError

from cardgen.spec.bound import Bound
from cardgen.spec.grammar import Kind, Reading, read
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.base import Read
from cardgen.spec.problem import Path


@dataclass(frozen=True)
class KeyMeaning:
    """What belongs at one place: its type, what it means, and texts that would be read."""

    type: Any
    about: str = ""
    examples: tuple[str, ...] = ()
    read: Callable[[object], object] | None = None
    bound: Bound = Bound.NEITHER
    kind: Kind | None = None

    def takes(self, value: object) -> bool:
        """Whether a text or number would be read here; true where no reader of ours stands."""
        return self.instead_of(value) is None

    def instead_of(self, value: object) -> str | None:
        """Say what to write instead of a value that would not be read here; nothing where it would be."""
        if self.read is None:
            return None
        try:
            self.read(value)
        except PydanticCustomError as error:
            return str((error.context or {})["write"])
        return None

    def spelled(self, value: str) -> str:
        """Give a text that is read here in its one printed spelling."""
        reading = read(value, self.kind) if self.kind else None
        return reading.shown if isinstance(reading, Reading) else value

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that may stand here; none where this is no group of keys."""
        return tuple(fields_of(self.type)) if _is_group(self.type) else ()

    @property
    def needed(self) -> tuple[str, ...]:
        """Those of the keys that may not be left out."""
        fields = fields_of(self.type) if _is_group(self.type) else {}
        return tuple(key for key, field in fields.items() if field.is_required())

    @property
    def words(self) -> tuple[str, ...]:
        """The words that may stand here; none where any text or number may."""
        return tuple(map(str, get_args(self.type))) if get_origin(self.type) is Literal else ()

    @property
    def many(self) -> bool:
        """Whether a list stands here."""
        return get_origin(self.type) is tuple

    @property
    def group(self) -> bool:
        """Whether a table of known keys stands here."""
        return _is_group(self.type)


def expected(path: Path) -> KeyMeaning | None:
    """Tell what belongs at a place, or nothing where the model knows no such place."""
    found: KeyMeaning | None = KeyMeaning(RotorSpec)
    for part in path:
        if found is None:
            return None
        found = _inside(found.type, part)
    return found


def bound_of(path: Path) -> Bound:
    """Tell which end of a range the value at a place is."""
    found = expected(path)
    return Bound.NEITHER if found is None else found.bound


def key_elsewhere(key: str) -> str | None:
    """Name the one group that has a key of this name, if there is exactly one."""
    homes = []
    for name in KeyMeaning(RotorSpec).keys:
        group = expected((name,))
        if group is not None and group.many:
            group = expected((name, 0))
        if group is not None and key in group.keys:
            homes.append(name)
    return homes[0] if len(homes) == 1 else None


@cache
def group_types() -> Mapping[str, Any]:
    """Give every top-level group's type, by its name in the file."""
    return {name: _required(field.annotation, field) for name, field in fields_of(RotorSpec).items()}


def required_groups() -> tuple[str, ...]:
    """Name the groups without which nothing is made."""
    return KeyMeaning(RotorSpec).needed


def _inside(kind: Any, part: str | int) -> KeyMeaning | None:
    if _is_group(kind):
        field = fields_of(kind).get(str(part))
        return None if field is None else _described(field)
    if get_origin(kind) is tuple and isinstance(part, int):
        return _bare(get_args(kind)[0])
    if get_origin(kind) is dict and isinstance(part, str):
        return _bare(get_args(kind)[1])
    return None


def _described(field: FieldInfo) -> KeyMeaning:
    found = _bare(field.annotation, tuple(field.metadata))
    examples = tuple(map(str, field.examples or ())) or found.examples
    return replace(found, about=field.description or found.about, examples=examples)


def _bare(annotation: Any, metadata: tuple[Any, ...] = ()) -> KeyMeaning:
    """Strip what Pydantic wraps around a type, keeping what it says to a reader."""
    if get_origin(annotation) is Annotated:
        return _bare(get_args(annotation)[0], metadata + tuple(annotation.__metadata__))
    if get_origin(annotation) in {Union, types.UnionType}:
        (only,) = (arm for arm in get_args(annotation) if arm is not type(None))
        return _bare(only, metadata)
    about = ""
    examples: tuple[str, ...] = ()
    reader: Callable[[object], object] | None = None
    kind: Kind | None = None
    bound = Bound.NEITHER
    for note in metadata:
        if isinstance(note, Bound):
            bound = note
        if isinstance(note, Read):
            examples = tuple(map(str, _list(note.schema.get("examples"))))
            about = str(note.schema.get("$comment", ""))
            reader, kind = note.reader, note.kind
        if isinstance(note, FieldInfo):
            examples = tuple(map(str, note.examples or ())) or examples
            about = note.description or about
    return KeyMeaning(annotation, about, examples, reader, bound, kind)


def _required(annotation: Any, field: FieldInfo) -> Any:
    """Give the type of a group as it must stand when it stands at all."""
    if get_origin(annotation) in {Union, types.UnionType}:
        (annotation,) = (arm for arm in get_args(annotation) if arm is not type(None))
    for note in field.metadata:
        annotation = Annotated[annotation, note]
    return annotation


def fields_of(group: type[BaseModel]) -> Mapping[str, FieldInfo]:
    """Give the fields of a group by their names in the file."""
    return {field.alias or name: field for name, field in group.model_fields.items()}


def _is_group(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _list(value: object) -> list[object]:
    return value if isinstance(value, list) else []
