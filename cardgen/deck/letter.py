"""Letters that ask for what a rotor's papers do not give: one to whoever looks after each paper.

Questions stand page by page in the order of the paper. No letter suggests a number. They are written from
the parsed file, so that a maker can be asked long before everything in it is in order; of what is not
written there yet, nothing is said.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any, Literal

from cardgen.deck.card import Card, Column, Paragraph, Row, Said, Section, Table, Words, WriteIn, WriteIns
from cardgen.deck.copied_values import drawable
from cardgen.deck.places import in_few_words, natural
from cardgen.layouts_root import layouts_root
from cardgen.spec.dates import NO_REVISION
from cardgen.spec.grammar import Reading
from cardgen.spec.grammar import read as reading
from cardgen.spec.model.base import DIAMETER
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Path
from cardgen.spec.safe_text import plain

_TO = {
    "maker": "To the maker",
    "club": "To the club or the owner",
    "adhesive": "To the maker of the adhesive",
    "general": "To the publisher",
}
_NAMES = ("id", "kind", "title", "revision", "date")
_WHY = (
    "Good day. We make bench cards for this rotor from the paper named above. What the list asks we did not "
    "find in it. We fill in nothing that the paper does not say; until we know, the cards tell whoever works "
    "to stop and ask you."
)
_PLEASE = (
    "Please give every number with its unit, and tell us in which paper and on which page it stands, so that "
    "the cards can name it. Where a question does not fit this rotor, please say so. Thank you."
)


@dataclass(frozen=True)
class Question:
    """What is asked of one key: where its answer would stand in the paper, of what, and the question."""

    path: Path
    place: str
    of: str
    text: str


@dataclass(frozen=True)
class Paper:
    """A listed document as it names itself; what the file does not say of it is empty."""

    id: str
    kind: str
    title: str
    revision: str
    date: str


@dataclass(frozen=True)
class Letter:
    """The questions to whoever looks after one document, page by page; ``number`` is its place in the list."""

    number: int
    document: Paper
    questions: tuple[Question, ...]


@cache
def questions() -> Mapping[str, Mapping[str, str]]:
    """Read what is asked for each key, by its group."""
    text = (layouts_root() / "words" / "questions.toml").read_text("utf-8")
    found: dict[str, dict[str, str]] = tomllib.loads(text)
    return found


def letters(table: Mapping[str, Any]) -> tuple[Letter, ...]:
    """Write a letter for each document of a parsed specification that leaves something open, in file order.

    What names no listed document is asked of the first.
    """
    papers = [Paper(*(_text(each, key) for key in _NAMES)) for each in _rows(table, "documents")]
    asked: dict[int, list[Question]] = {}
    for path, source in _open(table):
        number, place = _paper(papers, source)
        question = Question(path, place, _of(table, path), questions()[str(path[0])][str(path[-1])])
        asked.setdefault(number, []).append(question)
    return tuple(
        Letter(number, papers[number], tuple(sorted(asked[number], key=lambda each: natural(each.place))))
        for number in sorted(asked)
        if number < len(papers) and papers[number].id
    )


def letter_card(letter: Letter, table: Mapping[str, Any]) -> Card:
    """Set a letter as a sheet: to whom, about which rotor, the questions with room for answers."""
    paper = letter.document
    to = f"{_TO.get(paper.kind, _TO['general'])}: {_listed(paper.title, *_issue_of(paper))}"
    heads = (Column("Place"), Column("What we ask", strong=True), Column("Your answer"))
    rows = tuple(_row(each, number) for number, each in enumerate(letter.questions, start=1))
    signed = (
        WriteIn("asked-by", "Asked by", digits=24),
        WriteIn("answered-by", "Answered by, and when", digits=24),
    )
    return Card(
        "letter",
        f"Questions about {paper.id}",
        "",
        (
            Section("", (Paragraph((Said(to),)), Paragraph((Said(_rotor(table)),)), Paragraph((Words(_WHY),)))),
            Section("", (Table("questions", "", heads, rows),)),
            Section("", (Paragraph((Words(_PLEASE),)), WriteIns(signed))),
        ),
    )


def _issue_of(paper: Paper) -> Iterator[str]:
    """Say which issue of a paper is meant; a date that its revision names already is said once."""
    if paper.revision == NO_REVISION:
        yield "without a revision"
    elif paper.revision:
        yield f"revision {paper.revision}"
    if paper.date not in paper.revision.split():
        yield paper.date


def paper_of(table: Mapping[str, Any]) -> Literal["iso", "ansi"]:
    """Tell which paper the rotor's cards are printed on; ISO sizes where the file names none."""
    return "ansi" if _text(_group(table, "print"), "paper") == "ansi" else "iso"


def _rotor(table: Mapping[str, Any]) -> str:
    """Say which rotor is asked about, by what the file says of it that can be read."""
    rotor, blades = _group(table, "rotor"), _group(table, "blades")
    read = reading(_text(rotor, "diameter"), DIAMETER)
    size = f"diameter {read.number} {read.unit}" if isinstance(read, Reading) else ""
    hub, first, second = _text(rotor, "hub_serial"), _text(blades, "serial_a"), _text(blades, "serial_b")
    serials = f"blades {first} and {second}" if first and second else ""
    return _listed(f"Rotor {_text(rotor, 'set_id')}".strip(), size, f"hub {hub}" if hub else "", serials)


def _listed(*words: str) -> str:
    return f"{', '.join(word for word in words if word)}."


def _row(question: Question, number: int) -> Row:
    text = question.text
    asks = f"{question.of}: {text[0].lower()}{text[1:]}" if question.of else text
    box = WriteIn(f"answer-{number}", "", digits=16)
    return Row(((Said(question.place or "–"),), (Said(asks, strong=True),), (box,)))


def _open(table: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """Find every key that is not given, and the source that its group names.

    Where a rotor has no rules for running, they are all asked for.
    """
    for group, keys in MAY_BE_NOT_GIVEN.items():
        if group == "run" and group not in table:
            yield from (((group, key), "") for key in keys)
        for place, held in _held(table, group):
            listed, sources = held.get("not_given"), _group(held, "sources")
            for key in keys:
                if isinstance(listed, list) and key in listed:
                    yield (*place, key), _text(sources, key) or _text(held, "source")


def _held(table: Mapping[str, Any], group: str) -> Iterator[tuple[Path, Mapping[str, Any]]]:
    """Give a group, or each of a list of them, with its place."""
    held = table.get(group)
    if isinstance(held, Mapping):
        yield (group,), held
    for at, each in enumerate(held if isinstance(held, list) else ()):
        if isinstance(each, Mapping):
            yield (group, at), each


def _paper(papers: Sequence[Paper], source: str) -> tuple[int, str]:
    """Tell which document is asked, and the place in it."""
    for number, paper in enumerate(papers):
        if paper.id and f"{source} ".startswith(f"{paper.id} "):
            return number, source.removeprefix(paper.id).strip()
    return 0, ""


def _of(table: Mapping[str, Any], path: Path) -> str:
    """Name the bolts that are asked about, with their numbers where there are several."""
    if path[0] != "fasteners":
        return ""
    block = table["fasteners"][path[1]]
    stations = block.get("stations")
    if _text(block, "where") != "strap" or not isinstance(stations, list):
        return _text(block, "name")
    return f"{_text(block, 'name')}, strap {in_few_words(each for each in stations if type(each) is int)}"


def _rows(table: Mapping[str, Any], key: str) -> Iterator[Mapping[str, Any]]:
    held = table.get(key)
    return (each if isinstance(each, Mapping) else {} for each in (held if isinstance(held, list) else ()))


def _group(table: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    held = table.get(key)
    return held if isinstance(held, Mapping) else {}


def _text(table: Mapping[str, Any], key: str) -> str:
    """Give a value as it is typed, each character one that can be shown; nothing where it is no plain value."""
    held = table.get(key, "")
    return drawable(plain(str(held))) if isinstance(held, str | int | date) else ""
