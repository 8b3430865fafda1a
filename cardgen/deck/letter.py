"""Letters that ask for what a rotor's papers do not give: one to whoever looks after each paper.

Questions stand page by page in the order of the paper. No letter suggests a number.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from cardgen.deck.card import Card, Column, Paragraph, Row, Said, Section, Table, Words, WriteIn, WriteIns
from cardgen.deck.places import in_few_words, natural
from cardgen.layouts_root import layouts_root
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.identity import Document
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Path
from cardgen.spec.typed_quantity import reading_of

_TO = {
    "maker": "To the maker",
    "club": "To the club or the owner",
    "adhesive": "To the maker of the adhesive",
    "general": "To the publisher",
}
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
class Letter:
    """The questions to whoever looks after one document, page by page."""

    document: Document
    questions: tuple[Question, ...]


@cache
def questions() -> Mapping[str, Mapping[str, str]]:
    """Read what is asked for each key, by its group."""
    text = (layouts_root() / "words" / "questions.toml").read_text("utf-8")
    found: dict[str, dict[str, str]] = tomllib.loads(text)
    return found


def letters(spec: RotorSpec) -> tuple[Letter, ...]:
    """Write a letter for each document that leaves something open, in the order of the file."""
    asked: dict[str, list[Question]] = {}
    for path in _open(spec):
        document, place = _paper(spec, path)
        question = Question(path, place, _of(spec, path), questions()[str(path[0])][str(path[-1])])
        asked.setdefault(document.id, []).append(question)
    return tuple(
        Letter(document, tuple(sorted(asked[document.id], key=lambda each: natural(each.place))))
        for document in spec.documents
        if document.id in asked
    )


def letter_card(letter: Letter, spec: RotorSpec) -> Card:
    """Set a letter as a sheet: to whom, about which rotor, the questions with room for answers."""
    paper, rotor, blades = letter.document, spec.rotor, spec.blades
    size = reading_of(spec, ("rotor", "diameter"))
    to = f"{_TO[paper.kind]}: {paper.title}, revision {paper.revision}, {paper.date}."
    about = (
        f"Rotor {rotor.set_id}, diameter {size.number} {size.unit}, hub {rotor.hub_serial}, "
        f"blades {blades.serial_a} and {blades.serial_b}."
    )
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
            Section("", (Paragraph((Said(to),)), Paragraph((Said(about),)), Paragraph((Words(_WHY),)))),
            Section("", (Table("questions", "", heads, rows),)),
            Section("", (Paragraph((Words(_PLEASE),)), WriteIns(signed))),
        ),
    )


def _row(question: Question, number: int) -> Row:
    asks = f"{question.of}: {question.text}" if question.of else question.text
    box = WriteIn(f"answer-{number}", "", digits=16)
    return Row(((Said(question.place or "–"),), (Said(asks, strong=True),), (box,)))


def _open(spec: RotorSpec) -> Iterator[Path]:
    """Find every key that is not given; where a rotor has no rules for running, they are all asked for."""
    for group, keys in MAY_BE_NOT_GIVEN.items():
        held = spec.value((group,))
        if held is None and group == "run":
            yield from ((group, key) for key in keys)
        elif isinstance(held, tuple):
            yield from (
                (group, at, key) for at in range(len(held)) for key in keys if key in held[at].not_given
            )
        elif held is not None:
            yield from ((group, key) for key in keys if key in held.not_given)


def _paper(spec: RotorSpec, path: Path) -> tuple[Document, str]:
    """Tell which document is asked, and the place in it; the first of the file where none is named."""
    try:
        source = spec.source(path)
    except LookupError:
        # A group that is left out whole has no place in any paper.
        return spec.documents[0], ""
    document = spec.document(source)
    return document, source.removeprefix(document.id).strip()


def _of(spec: RotorSpec, path: Path) -> str:
    """Name the bolts that are asked about, with their numbers where there are several."""
    if path[0] != "fasteners":
        return ""
    block = spec.fasteners[int(path[1])]
    return f"{block.name}, strap {in_few_words(block.stations)}" if block.where == "strap" else str(block.name)
