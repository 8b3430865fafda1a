"""The sheet on which a second person reads a specification against the paper it was copied from.

Every value and word of the file stands on it once, ordered by document and by place in it: what it is,
exactly what was typed, and what became of it on which card. Equal values at one place share a row.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from cardgen.deck.card import (
    Block,
    Card,
    Column,
    Deck,
    Items,
    Paragraph,
    Row,
    Said,
    Section,
    Table,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.deck.card_warnings import doubt_words
from cardgen.deck.copied_values import CopiedValue, copied_values, drawable, name_of
from cardgen.deck.selection import also_left_out
from cardgen.spec.key_words import key_words
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import key_of
from cardgen.spec.read_check import ReadCheck, read_check

_HEADS = ("Place", "What it is", "As typed", "On which cards", "Read")
#: Drawn as a small box to tick.
_TICK = WriteIn("", "read", digits=0)


def check_of(deck: Deck) -> ReadCheck:
    """Make the check of the specification that a deck is made from."""
    return read_check(deck.spec.text)


def copied_card(deck: Deck) -> Card:
    """Make the sheet: the values by document, then doubts, then who read it, then the check."""
    values = copied_values(deck)
    rotor = deck.spec.rotor
    sections = [Section("", tuple(_how(deck)))]
    for document in deck.spec.documents:
        of = [each for each in values if each.document == document.id]
        sections.append(_values(f"From {document.id}", of))
    sections.append(_values("From no document", [each for each in values if not each.document]))
    sections += _doubts(deck)
    sections.append(Section("Read by a second person", tuple(_signature(deck))))
    return Card("copied", f"Copied values of {rotor.set_id}", "", tuple(sections))


def _how(deck: Deck) -> Iterator[Block]:
    title = f"Rotor {deck.spec.rotor.set_id}, {deck.spec.typed(('rotor', 'diameter'))}."
    says = (
        " Somebody other than the one who typed the file reads this sheet. Lay the paper beside it; look up "
        "each place; tick what stands there in these words and numbers. Strike out what does not."
    )
    yield Paragraph((Said(drawable(title)), Words(says)))
    built = {card.id for card in deck.cards}
    if built != set(deck.order):
        yield Paragraph((Words("Only some cards were made; what the others print is not told here."),))


def _values(caption: str, values: Iterable[CopiedValue]) -> Section:
    heads = tuple(Column(head, strong=head == "As typed") for head in _HEADS)
    return Section("", (Table("copied", caption, heads, tuple(map(_row, values))),))


def _row(value: CopiedValue) -> Row:
    cells = (value.place, value.what, value.typed, value.became)
    return Row((*((Said(cell),) for cell in cells), (_TICK,)))


def _doubts(deck: Deck) -> Iterator[Section]:
    for title, lines in doubts_of(deck):
        yield Section(title, (Items(tuple((Said(line),) for line in lines)),))


def doubts_of(deck: Deck) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Tell what the maker's paper is asked about first: warnings, flags let pass, what is missing."""
    spec = deck.spec
    warned = [doubt_words(spec, doubt) for doubt in deck.warnings]
    passed = [
        f"{each.rule}: {each.reason} ({each.document}, {each.acknowledged_by}, {each.date.isoformat()})"
        for each in spec.overrides or ()
    ]
    left = [f"{gone.title}: {gone.why}" for gone in (*also_left_out(spec), *deck.left_out)]
    for title, lines in (
        ("Warnings", warned),
        ("Let pass all the same", passed),
        ("Not given: look once more", [*_not_given(spec)]),
        ("Left out", left),
    ):
        if lines:
            yield title, tuple(map(drawable, lines))


def _not_given(spec: RotorSpec) -> Iterator[str]:
    """Name every key that its papers are said not to give, and where in them it would stand."""
    for group, keys in MAY_BE_NOT_GIVEN.items():
        held = spec.value((group,))
        if held is None and group == "run":
            yield from (f"{key_words(key_of((group, key)))}: no paper is named" for key in keys)
        paths = [(group, at) for at in range(len(held))] if isinstance(held, tuple) else [(group,)]
        for path in ((*above, key) for above in paths if held is not None for key in keys):
            if spec.is_not_given(path):
                yield f"{key_words(key_of(path), name_of(spec, path))}: {spec.source(path)}"


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
