"""A specification as a form: groups and keys in the order of a leaflet, with what the model knows of each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal, TypeAlias

from cardgen.desk.fill.typed import shown_in_box, split
from cardgen.spec.everyday_words import EVERYDAY
from cardgen.spec.fields import KeyMeaning, expected
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Path, key_of
from cardgen.spec.starting import starting_groups

Shape: TypeAlias = Literal["number", "choice", "lines", "date", "text"]

#: Keys that say where values come from: asked beside them, not among them.
_BESIDE = ("source", "sources", "not_given")
#: Groups that have no page.
_NO_PAGE = ("schema",)
#: What the comments of the file say of how it is typed, and not of what it means.
_NOT_HERE = re.compile(r"(^|; ?)or not_given$|,? without quotes,?|^needed(: |$)")
#: How it is written, which the examples say.
_FORM = re.compile(r"(^|; ?)form [^;]*$")
_BLOCKS = re.compile(r",? ?one block [a-z ]+(?:[;,] |$)")
#: A comment that goes on from what stands beside it in the file says nothing by itself.
_FRAGMENT = re.compile(r"[,:]|or |and |these |this or ")
_STEP = re.compile(r"(?P<name>[a-z_]+)(?P<places>(?:\[\d{1,3}\])*)")


@dataclass(frozen=True)
class Field:
    """One key, ready to be asked. ``source`` is that of its own paper, where it has one."""

    key: str
    name: str
    shape: Shape
    about: str
    more: str
    value: str
    unit: str = ""
    units: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    examples: tuple[str, ...] = ()
    needed: bool = False
    open: bool = False
    not_given: bool = False
    own_source: str | None = None

    @property
    def id(self) -> str:
        """Its name in the page."""
        return box_id(self.key)


@dataclass(frozen=True)
class Part:
    """A group, or one of a list of them, or a group within one: its fields and what lies in it."""

    key: str
    title: str
    about: str
    fields: tuple[Field, ...] = ()
    parts: tuple[Part, ...] = ()
    rows: tuple[Part, ...] = ()
    is_list: bool = False
    source: tuple[str, str] | None = None
    is_there: bool = True
    needed: bool = True


def group_names() -> tuple[str, ...]:
    """Name every group that has a page, in the order of the leaflet."""
    known = [key for key in KeyMeaning(RotorSpec).keys if key not in _NO_PAGE]
    order = [name for name in starting_groups() if "." not in name]
    return tuple(sorted(known, key=lambda each: order.index(each) if each in order else len(order)))


def chapter_of(name: str) -> str:
    """Give the chapter of the leaflet that a group stands in."""
    found = starting_groups().get(name)
    return found.chapter if found else ""


def group_part(name: str, table: Mapping[str, Any]) -> Part:
    """Prepare a group's page from what the file says now."""
    return _part((name,), table.get(name))


def path_of(key: str) -> Path | None:
    """Turn a key as a page names it, ``fasteners[1].torque_max``, into a path that the model knows."""
    path: list[str | int] = []
    for step in key.split("."):
        found = _STEP.fullmatch(step)
        if found is None:
            return None
        path.append(found["name"])
        path += [int(place) - 1 for place in re.findall(r"\d+", found["places"])]
    if any(isinstance(part, int) and part < 0 for part in path):
        return None
    try:
        return tuple(path) if expected(tuple(path)) else None
    except ValueError:
        # A path that leads on through a value names no key.
        return None


def box_id(key: str) -> str:
    """Name the box of a key in its page."""
    return re.sub(r"[^a-z0-9_]+", "-", key.lower()).strip("-")


def also_called(choice: str) -> str:
    """Give another word for a choice where people have quite another one, or nothing."""
    ours = re.sub(r"[ -]", "", choice)
    others = (word for word in EVERYDAY.get(choice, ()) if re.split(r"[ -]", word)[0] not in ours)
    return next(others, "")


def words(name: str) -> str:
    """Say a key in words; of a key for each blade, which blade."""
    if found := re.fullmatch(r"(?:(.+)_)?([ab])", name):
        return f"{words(found[1])}, blade {found[2].upper()}" if found[1] else f"blade {found[2].upper()}"
    return name.replace("_", " ")


def _part(path: Path, held: Any) -> Part:
    meaning = expected(path)
    assert meaning is not None
    name = ".".join(str(part) for part in path if isinstance(part, str))
    ready = starting_groups().get(name)
    about = ready.about if ready else ""
    # What the file says of a list that must be there is about copying its lines.
    about = "" if meaning.many and not about.startswith("OPTIONAL") else about.removeprefix("OPTIONAL")
    about = _BLOCKS.sub("", about).lstrip(":;, ")
    title = words(str(path[-1]) if isinstance(path[-1], str) else str(path[-2]))
    title = title[:1].upper() + title[1:]
    if meaning.many:
        rows = held if isinstance(held, list) else []
        made = tuple(_part((*path, place), row) for place, row in enumerate(rows))
        blank = _part((*path, len(rows)), {})
        return Part(key_of(path), title, about, blank.fields, (), made, True, None, held is not None)
    inside = held if isinstance(held, Mapping) else {}
    fields, parts = [], []
    for key in _order(name, meaning):
        place = (*path, key)
        below = expected(place)
        assert below is not None
        items = expected((*place, 0)) if below.many else None
        if below.group or (items is not None and items.group):
            parts.append(_part(place, inside.get(key)))
        else:
            fields.append(_field(place, below, items, inside, key in meaning.needed))
    source = None
    if "source" in meaning.keys:
        source = _source(inside.get("source"))
    above = expected(path[:-1])
    return Part(
        key_of(path),
        title,
        about,
        tuple(fields),
        tuple(parts),
        source=source,
        is_there=held is not None,
        needed=isinstance(path[-1], int) or path[-1] in (above.needed if above else ()),
    )


def _order(name: str, meaning: KeyMeaning) -> Iterator[str]:
    keys = [key for key in meaning.keys if key not in _BESIDE]
    ready = starting_groups().get(name)
    order = list(ready.keys) if ready else []
    return iter(sorted(keys, key=lambda each: order.index(each) if each in order else len(order)))


def _source(held: Any) -> tuple[str, str]:
    document, _, place = str(held or "").partition(" ")
    return document, place


def _field(path: Path, meaning: KeyMeaning, items: KeyMeaning | None, inside: Any, needed: bool) -> Field:
    group, key = str(path[0]), str(path[-1])
    name = ".".join(str(part) for part in path[:-1] if isinstance(part, str))
    ready = starting_groups().get(name)
    more = _NOT_HERE.sub("", ready.keys.get(key, "") if ready else "")
    more = (_FORM.sub("", more) if meaning.examples else more).removeprefix(meaning.about).lstrip("; ")
    more = "" if _FRAGMENT.match(more) else more
    held = inside.get(key)
    value, unit = split(held, meaning.kind) if meaning.kind else (shown_in_box(held), "")
    listed = inside.get("not_given")
    above = expected(path[:-1])
    own = inside.get("sources", {}) if above and "sources" in above.keys else None
    return Field(
        key_of(path),
        words(key),
        _shape(meaning, items),
        meaning.about.replace("`", ""),
        more.replace("`", ""),
        value,
        unit,
        meaning.kind.units if meaning.kind else (),
        ("true", "false") if meaning.type is bool else meaning.words,
        # In a box a list has no brackets.
        tuple(re.sub(r"[\[\]']", "", each) if items else each for each in meaning.examples),
        needed,
        len(path) == (3 if isinstance(path[1], int) else 2) and key in MAY_BE_NOT_GIVEN.get(group, ()),
        isinstance(listed, list) and key in listed,
        None if own is None else str(own.get(key, "")) if isinstance(own, Mapping) else "",
    )


def _shape(meaning: KeyMeaning, items: KeyMeaning | None) -> Shape:
    if items is not None:
        return "lines"
    if meaning.kind:
        return "number"
    if meaning.type is bool or meaning.words:
        return "choice"
    return "date" if meaning.type is date else "text"
