"""The sheet on which a second person reads a specification against the paper it was copied from.

Every value and word of the file stands on it once, ordered by document and by place in it: what it is,
exactly what was typed, and what became of it on which card. Equal values at one place share a row.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeAlias

from cardgen.deck.card import (
    Block,
    Card,
    Column,
    Deck,
    Items,
    Paragraph,
    Row,
    Runs,
    Said,
    Section,
    Table,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.deck.card_warnings import doubt_words
from cardgen.deck.landing import landings, said_otherwise
from cardgen.deck.places import in_few_words, natural
from cardgen.spec.fields import expected
from cardgen.spec.key_words import key_words
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Path, key_of
from cardgen.spec.read_check import ReadCheck, read_check
from cardgen.spec.text import DRAWABLE
from cardgen.spec.threads import Thread
from cardgen.spec.typed_quantity import reading_of
from cardgen.spec.units import Quantity

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
#: Characters of a line in the second column; the meaning of a key that would take another is left out.
_ONE_LINE = 42
_HEADS = ("Place", "What it is", "As typed", "On which cards", "Read")
#: Drawn as a small box to tick.
_TICK = WriteIn("", "read", digits=0)


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


def check_of(deck: Deck) -> ReadCheck:
    """Make the check of the specification that a deck is made from."""
    return read_check(deck.spec.text)


def copied_values(deck: Deck) -> tuple[CopiedValue, ...]:
    """List every value of the specification, in the order in which it is read against the papers.

    Documents stand in the order of the file, places in natural order, values of one place in the order
    of the file; what names no document comes last.
    """
    spec, landed = deck.spec, landings(deck)
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


def copied_card(deck: Deck) -> Card:
    """Make the sheet: the values by document, then doubts, then who read it, then the check."""
    values = copied_values(deck)
    rotor = deck.spec.rotor
    sections = [Section("", tuple(_how(deck)))]
    for document in deck.spec.documents:
        of = [each for each in values if each.document == document.id]
        sections.append(Section(f"From {document.id}", _blocks(of)))
    sections.append(Section("From no document", _blocks([each for each in values if not each.document])))
    sections += _doubts(deck)
    sections.append(Section("Read by a second person", tuple(_signature(deck))))
    return Card("copied", f"Copied values of {rotor.set_id}", "", tuple(sections))


def _how(deck: Deck) -> Iterator[Block]:
    title = f"Rotor {deck.spec.rotor.set_id}, {deck.spec.typed(('rotor', 'diameter'))}."
    says = (
        " Not the one who typed the file reads this sheet. Lay the paper beside it; look up each place; "
        "tick what stands there in these words and numbers. Strike out what does not."
    )
    yield Paragraph((Said(_drawable(title)), Words(says)))
    built = {card.id for card in deck.cards}
    if built != set(deck.order):
        yield Paragraph((Words("Only some cards were made; what the others print is not told here."),))


def _blocks(values: Iterable[CopiedValue]) -> tuple[Block, ...]:
    heads = tuple(Column(head, strong=head == "As typed") for head in _HEADS)
    return (Table("copied", "Values and words", heads, tuple(map(_row, values))),)


def _row(value: CopiedValue) -> Row:
    cells = (value.place, value.what, value.typed, value.became)
    return Row((*((Said(cell),) for cell in cells), (_TICK,)))


def _doubts(deck: Deck) -> Iterator[Section]:
    """Tell what the maker's paper is asked about first: warnings, flags let pass, what is missing."""
    spec = deck.spec
    warned = [_said(doubt_words(spec, doubt)) for doubt in deck.warnings]
    passed = [
        _said(f"{each.rule}: {each.reason} ({each.document}, {each.acknowledged_by}, {each.date.isoformat()})")
        for each in spec.overrides or ()
    ]
    left = [_said(f"{gone.title}: {gone.why}") for gone in deck.left_out]
    asked = [_said(each) for each in _not_given(spec)]
    for title, lines in (
        ("Warnings", warned),
        ("Let pass all the same", passed),
        ("Not given: look once more", asked),
        ("Left out", left),
    ):
        if lines:
            yield Section(title, (Items(tuple(lines)),))


def _not_given(spec: RotorSpec) -> Iterator[str]:
    """Name every key that its papers are said not to give, and where in them it would stand."""
    for group, keys in MAY_BE_NOT_GIVEN.items():
        held = spec.value((group,))
        paths = [(group, at) for at in range(len(held))] if isinstance(held, tuple) else [(group,)]
        for path in ((*above, key) for above in paths if held is not None for key in keys):
            if spec.is_not_given(path):
                yield f"{key_words(key_of(path), _name_of(spec, path))}: {spec.source(path)}"


def _signature(deck: Deck) -> Iterator[Block]:
    yield Paragraph(
        (Words("Every row is ticked, against the revision of each document that stands in its first row."),)
    )
    boxes = (("read-by", "Name", 20), ("read-on", "Day", 10), ("read-signed", "Signature", 20))
    yield WriteIns(tuple(WriteIn(name, label, digits=digits) for name, label, digits in boxes))
    yield Paragraph(
        (
            Words("Check of this specification, for the command that keeps this reading: "),
            Said(check_of(deck), strong=True),
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
        pairs = {} if "sources" in value else {key: other for key in alone if (other := _other(key)) in alone}
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
    """Name the other of two keys that are read together: blade A and B, least and most."""
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
    if len(first) > 1:
        keys = ", ".join(str(path[-1]).replace("_", " ") for path in first)
        return f"{key_words(key_of(tuple(above)))}: {keys}"
    words = key_words(key_of(first[0]), _name_of(spec, first[0]))
    if len(units) > 1:
        words = (
            f"{first[0][0]} {in_few_words(int(unit[0][1]) + 1 for unit in units)}, {str(key).replace('_', ' ')}"
        )
    meaning = expected(tuple(0 if isinstance(part, int) else part for part in first[0]))
    about = f"{words} ({meaning.about})" if meaning and meaning.about else words
    return about if len(about) <= _ONE_LINE else words


def _name_of(spec: RotorSpec, path: Path) -> str:
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
    return _drawable(value.isoformat() if isinstance(value, date) else str(value))


def _listed(written: Iterable[str], value: list[Any]) -> str:
    """Put the members of a list one after another: of a list of lists, or of plain values."""
    return (" / " if any(isinstance(each, list | str) for each in value) else ", ").join(written)


def _drawable(text: str) -> str:
    """Write a character that the cards' type has not got by its code."""
    return "".join(each if each in DRAWABLE else f"(U+{ord(each):04X})" for each in text)


def _said(text: str) -> Runs:
    return (Said(_drawable(text)),)


def _printed(spec: RotorSpec, path: Path, value: Any) -> str:
    """Write a value in the one spelling of the cards."""
    if isinstance(value, list):
        return _listed((_printed(spec, (*path, at), item) for at, item in enumerate(value)), value)
    if not isinstance(value, str):
        return _typed(value)
    held = spec.value(path)
    if isinstance(held, Thread):
        return held.name
    if isinstance(held, Quantity):
        return reading_of(spec, path).shown
    return _typed(str(held) if isinstance(held, str) else value)


def _became(deck: Deck, units: Sequence[_Unit], typed: str, landed: Mapping[str, tuple[str, ...]]) -> str:
    """Tell on which cards a value is found again, after its spelling there where that is another.

    Of a word that cards say in words of their own, such as dry threads, it is told which cards do.
    """
    spec = deck.spec
    printed = "; ".join(_printed(spec, path, _at(spec, path)) for path in units[0])
    spelled = "" if printed == typed else f"{printed}: "
    paths = [path for unit in units for path in unit]
    if any(key_of(path) in _ON_EVERY_SIDE for path in paths):
        return f"{spelled}every side"
    keys = [key_of(path) for path in paths]
    here = {
        title
        for key, titles in landed.items()
        for mine in keys
        if key == mine or key.startswith((f"{mine}.", f"{mine}["))
        for title in titles
    }
    found = ", ".join(card.title for card in deck.cards if card.title in here)
    others = {card for path in paths for card in said_otherwise(path)}
    otherwise = ", ".join(card.title for card in deck.cards if card.id in others)
    return spelled + (found or (f"{otherwise}, in other words" if otherwise else "none found"))
