"""Whatever rotor is described, every word of every card stands on its page, and nothing in the way of it.

A matrix of rotors taken to their limits, and bolts by chance. What a card says is walked here once more,
from the card alone; the finished file is read by pdfium in the order it was written in.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.deck.card import Card, Column, Deck, Runs, Value, Was, WriteIn
from cardgen.deck.diagram import Label
from cardgen.deck.walk import Place, walk
from cardgen.press.edition import NAMES, Edition, EditionName, PaperKind, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import QrMark, Side, TextMark
from cardgen.press.publish import Printed
from cardgen.press.sections import sections_of
from tests.press.printing import prove, publish
from tests.press.samples import SAMPLES, sample
from tests.press.variants import INCH, NAME, OWN_PAPER, TEXTS, bolts, built, deck_of, unlike, wrenches


def editions(deck: Deck) -> list[Edition]:
    paper: PaperKind = deck.spec.print.paper if deck.spec.print else "iso"
    return [load_edition(name, paper) for name in NAMES]


def looked_at(name: str) -> tuple[EditionName, ...]:
    """Name the editions that a rotor is printed in: all for three whole decks, for another the smallest sheet
    and one more by turns."""
    more = [each for each in NAMES if each != "pouch"]
    return NAMES if name in OWN_PAPER else ("pouch", more[[*TEXTS].index(name) % len(more)])


def said(card: Card, edition: Edition) -> Iterator[str]:
    """Everything that a card says in an edition, piece by piece, in the order it is read."""
    yield card.title
    for place in walk(sections_of(card, edition)):
        yield from _said(place, edition)


def _said(place: Place, edition: Edition) -> Iterator[str]:
    if place.what == "why" and not edition.why_lines:
        return
    if place.what == "section":
        yield place.section.title
    if place.what == "box" and edition.hand == "none":
        return
    if place.what == "caution" and place.caution:
        yield place.caution.signal
        if edition.briefs:
            yield from _runs(place.caution.briefly)
            return
    if place.what == "step" and place.step:
        yield str(place.step.number)
    if place.what == "table" and place.table:
        yield place.table.caption
        yield from _heads(place.table.columns)
    if place.what == "box" and place.box and not place.row:
        yield from (place.box.label, place.box.unit)
    # What may stand in a box of a table is told under the table, and a unit in the head of its column.
    if place.what != "box" or not place.row:
        unit = place.column.unit if place.column else ""
        yield from (piece for piece in _runs(place.says) if not unit or piece != unit)


def lettering(card: Card, edition: Edition) -> Counter[str]:
    """What stands in a card's drawings, read in no order, and how often."""
    diagrams = (place.diagram for place in walk(sections_of(card, edition)) if place.diagram)
    shapes = (shape for diagram in diagrams for shape in diagram.shapes)
    return Counter(_bare(shape.text) for shape in shapes if isinstance(shape, Label))


def _heads(columns: Sequence[Column]) -> Iterator[str]:
    for column in columns:
        yield from (column.head, column.unit, column.origin)


def _runs(runs: Runs) -> Iterator[str]:
    for run in runs:
        match run:
            case Value():
                yield run.figure.parts.number
                yield run.figure.parts.unit if run.show == "all" else ""
            case WriteIn():
                yield run.unit
            case Was():
                yield run.text
            case _:
                yield run.text


def _bare(text: str) -> str:
    """Leave out white space, and write a hyphen at a line's end as what it is."""
    return re.sub(r"\s", "", text.replace("\ufffe", "-").replace("\u00a0", ""))


def read(made: Printed, name: str) -> dict[str, list[str]]:
    """The text of each side of each card in a file; of every side where cards run on."""
    document = pypdfium2.PdfDocument(made.files[f"{name}.pdf"])
    found: dict[str, list[str]] = {}
    sides = made.layouts[f"{name}.pdf"]
    for page, side in zip(document, sides, strict=True):
        text = page.get_textpage()
        for card in {card for each in sides for card in each.cards} if side.runs_on else {side.card_id} - {""}:
            found.setdefault(card, []).append(_bare(text.get_text_range()))
        text.close()
    document.close()
    return found


def lost(card: Card, edition: Edition, page: str) -> list[str]:
    """What a card says that does not stand on its page at its turn."""
    place, missing = 0, []
    for piece in map(_bare, said(card, edition)):
        at = page.find(piece, place)
        if at < 0:
            missing.append(f"{piece} after {page[max(0, place - 40) : place]}")
        else:
            place = at + len(piece)
    letters = lettering(card, edition)
    return missing + [f"{text} in a drawing" for text, often in letters.items() if page.count(text) < often]


@pytest.mark.parametrize("name", TEXTS)
def test_every_word_stands_on_its_page_in_order_and_the_proof_finds_nothing(name: str) -> None:
    deck = unlike(deck_of(name))
    asked = [edition for edition in editions(deck) if edition.name in looked_at(name)]
    made = publish(deck, asked)
    assert isinstance(made, Printed), made
    assert prove(made, deck) == ()
    having = [edition for edition in asked if f"{edition.name}.pdf" in made.files]
    assert having
    for edition in having:
        sides = read(made, edition.name)
        cards = [card for card in deck.cards if card.id in sides]
        assert {card.id for card in cards} == set(sides)
        for card in cards:
            assert lost(card, edition, "".join(sides[card.id])) == []
            assert parted(card, edition, sides[card.id]) == []


def test_the_reader_misses_one_word_that_is_not_there() -> None:
    deck = deck_of("every group, A sizes")
    edition = load_edition("pouch", "iso")
    made = publish(deck, [edition])
    assert isinstance(made, Printed)
    sides = read(made, "pouch")
    for word in ("WARNING", "CAUTION"):
        said_by = [card for card in deck.cards if card.id in sides and word in list(said(card, edition))]
        assert len(said_by) > 3
        for card in said_by:
            # The last time it is said: nothing after it can be taken for it.
            head, _, tail = "".join(sides[card.id]).rpartition(word)
            assert lost(card, edition, head + tail)


def parted(card: Card, edition: Edition, sides: Sequence[str]) -> list[int]:
    """The steps that do not stand whole, under their cautions, on one side."""
    pieces: dict[int, list[str]] = {}
    for place in walk(sections_of(card, edition)):
        if place.step:
            pieces.setdefault(place.step.number, []).extend(_said(place, edition))
    return [number for number, told in pieces.items() if not any(_in_order(side, told) for side in sides)]


def _in_order(text: str, pieces: Sequence[str]) -> bool:
    place = 0
    for piece in map(_bare, pieces):
        place = text.find(piece, place)
        if place < 0:
            return False
        place += len(piece)
    return True


@settings(max_examples=3)
@given(
    count=st.integers(1, 24),
    pairs=st.integers(0, 12),
    makers=st.integers(0, 3),
    pattern=st.sampled_from(["row", "circle"]),
    tools=st.integers(0, 3),
)
def test_any_number_of_bolts_and_wrenches_is_drawn_and_proved(
    count: int, pairs: int, makers: int, pattern: str, tools: int
) -> None:
    abreast = 0 if pattern == "circle" else min(pairs, count // 2)
    text = wrenches(bolts(INCH, count, pattern, abreast, makers=min(makers, count - 1), name=NAME), tools)
    deck = unlike(built(text))
    edition = load_edition("pouch", "ansi")
    made = publish(deck, [edition])
    assert isinstance(made, Printed), made
    assert prove(made, deck) == ()
    (torque,) = [card for card in deck.cards if card.id == "torque"]
    assert lost(torque, edition, "".join(read(made, "pouch")["torque"])) == []


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_code_to_scan_stands_alone(path: Path) -> None:
    deck = sample(path)
    for edition in editions(deck):
        sides = [side for side in lay_out(deck, edition) if isinstance(side, Side)]
        for side in sides:
            words = [mark for mark in side.marks if isinstance(mark, TextMark) and mark.role != "frame"]
            if any(isinstance(mark, QrMark) for mark in side.marks):
                # The words beside the code take three lines at most, an address one more.
                assert len(words) > 4
