"""Every number of every card, read back from the finished files in order: the same list as the card's.

The sheet is read by pdfium in reading order of its content, the page's markup by html5lib, the plain
text as plain text. None of them knows the layout. What is expected is the list of the card itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import html5lib
import pypdfium2
import pytest

from cardgen.deck.card import Block, Card, Caution, Inline, Row, Section, Table, Value, Words, WriteIn, WriteIns
from cardgen.deck.shown import shown_on
from cardgen.deck.walk import edit
from cardgen.press.card_facts import facts
from cardgen.press.edition import NAMES, Edition, EditionName, load_edition
from cardgen.press.form import to_form
from cardgen.press.html import to_html
from cardgen.press.marks import Side, TextMark
from tests.outside.pages import sheets
from tests.press.reading import text_of_card
from tests.press.samples import SAMPLES, sample

each_sample = pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)


def kept_on(card: Card, edition: Edition) -> Card:
    """A card as an edition has it: what it lifts first, no blanks where no hand writes, briefs on a wall."""
    sections = [
        _without_blanks(each) if edition.hand == "none" else each for each in shown_on(card, edition.name)
    ]
    lifted = [each for each in sections if each.role in edition.fit.lift]
    kept = replace(card, sections=(*lifted, *(each for each in sections if each not in lifted)))
    return _brief(kept) if edition.briefs else kept


def _without_blanks(section: Section) -> Section:
    return replace(section, blocks=tuple(block for block in section.blocks if not _is_blank(block)))


def _is_blank(block: Block) -> bool:
    cells = [cell for row in block.rows for cell in row.cells] if isinstance(block, Table) else []
    return isinstance(block, WriteIns) or any(isinstance(run, WriteIn) for cell in cells for run in cell)


def _brief(part: Any) -> Any:
    if isinstance(part, Caution):
        return replace(part, says=(Words(part.brief),)) if part.brief else part
    return _within(part, _brief)


def set_on_paper(card: Card) -> Card:
    """A card as a sheet shows it: boxes among words have no words of their own."""
    return edit(card, lambda runs: tuple(map(_bare_box, runs)))


def _bare_box(run: Inline) -> Inline:
    return replace(run, limits=()) if isinstance(run, WriteIn) else run


def with_keys_again(part: Any) -> Any:
    """A card whose rows repeat their key at their end, as paper does where the table asks for it."""
    if isinstance(part, Table) and part.repeat_key:
        return replace(part, rows=tuple(row if row.stop else _key_again(row) for row in part.rows))
    return _within(part, with_keys_again)


def _within(part: Any, change: Callable[[Any], Any]) -> Any:
    """Change what a part of a card holds."""
    if isinstance(part, tuple):
        return tuple(map(change, part))
    if is_dataclass(part) and not isinstance(part, type | Value):
        return replace(part, **{each.name: change(getattr(part, each.name)) for each in fields(part)})
    return part


def _key_again(row: Row) -> Row:
    key = tuple(run for run in row.cells[0] if isinstance(run, Value))
    return replace(row, cells=(*row.cells[:-1], row.cells[-1] + key))


def numbers_on(pdf: bytes, sides: Sequence[Side]) -> list[tuple[str, str, str]]:
    """Figures on the sheets: id, number, and the unit where it stands beside the number.

    The record says where a figure stands and the file what stands there.
    """
    document = pypdfium2.PdfDocument(pdf)
    found: list[tuple[str, str, str]] = []
    for page, side in zip(document, sides, strict=True):
        text = page.get_textpage()
        for mark in side.marks:
            if not isinstance(mark, TextMark) or not mark.figure:
                continue
            read = text.get_text_bounded(
                mark.x + 0.6, mark.y - 0.06 * mark.size, mark.x + mark.width - 0.6, mark.y + 0.62 * mark.size
            ).strip()
            before = found[-1] if found else ("", "", "")
            if before[0] == mark.figure and not before[2] and not re.match(r"[-\d(]", read):
                found[-1] = (*before[:2], read)
            elif re.match(r"[-\d]", read) or before[0] != mark.figure:
                found.append((mark.figure, read, ""))
        text.close()
    document.close()
    return found


@each_sample
@pytest.mark.parametrize("name", NAMES)
def test_the_sheets_say_the_cards_numbers_with_their_units_in_order(path: Path, name: EditionName) -> None:
    """Where cards run on, one ends and the next begins on the same side: the whole edition is one list."""
    printed = sheets(path, name)
    cards = {card.id: card for card in printed.deck.cards}
    kept = [
        kept_on(cards[id_], printed.edition)
        for id_ in dict.fromkeys(id_ for side in printed.sides for id_ in side.cards)
    ]
    listed = [
        fact
        for card in kept
        for fact in facts(with_keys_again(set_on_paper(card)), why=printed.edition.why_lines)
    ]
    found = numbers_on(printed.pdf, printed.sides)
    assert [figure for figure, _, _ in found] == [fact.figure for fact in listed]
    # What may stand in a box of a table is said under the table.
    needed = {fact.figure for card in kept for fact in facts(card, why=False)}
    assert needed <= {figure for figure, _, _ in found}
    for (_, number, unit), fact in zip(found, listed, strict=True):
        # Set in one face, number and unit are one run; in a table the head has the unit.
        assert (number, unit) in {
            (fact.number, ""),
            (fact.number, fact.unit),
            (f"{fact.number} {fact.unit}", ""),
        }, fact


def _flat(text: str) -> str:
    return " ".join(text.replace("|", " ").replace("*", " ").split())


@each_sample
def test_the_plain_text_says_the_cards_numbers_with_their_units_in_order(path: Path) -> None:
    deck = sample(path)
    told = 0
    for card in deck.cards:
        text, place = _flat(text_of_card(deck, card.id)), 0
        for fact in facts(kept_on(card, load_edition("handout", "iso")), drawings=False):
            second = f" ({fact.second})" if fact.second else ""
            beside = (f"{fact.number} {fact.unit}{second}", f"{fact.number}{second}")
            at = [text.index(words, place) for words in beside if words in text[place:]]
            assert at, (card.id, fact, text[place : place + 80])
            place = min(at) + len(fact.number)
            told += 1
    assert told > 60


def _strict(html: str) -> Any:
    """Parse a page as the HTML standard asks for; any parse error is raised."""
    parser = html5lib.HTMLParser(
        strict=True, tree=html5lib.getTreeBuilder("etree"), namespaceHTMLElements=False
    )
    return parser.parse(html)


@each_sample
def test_a_second_parser_finds_the_same_numbers_in_the_page_and_no_error(path: Path) -> None:
    """html5lib follows the standard's own algorithm and raises for what it calls a parse error."""
    deck = sample(path)
    tree = _strict(to_html(deck))
    articles = {article.get("id"): article for article in tree.iter("article")}
    assert list(articles) == [card.id for card in deck.cards]
    for card in deck.cards:
        found = [
            (element.get("data-figure"), "".join(element.itertext()).strip())
            for element in articles[card.id].iter()
            if element.get("data-figure")
        ]
        assert found == [(fact.figure, fact.number) for fact in facts(card)]


@each_sample
def test_a_second_parser_finds_no_error_in_the_form(path: Path) -> None:
    tree = _strict(to_form(sample(path)))
    assert len(list(tree.iter("input"))) > 20


def test_the_second_parser_minds_an_error() -> None:
    html = to_html(sample(SAMPLES[0]))
    with pytest.raises(html5lib.html5parser.ParseError):
        _strict(html.replace("</article>", "</div></article>", 1))


@each_sample
def test_the_three_read_the_same_number_of_figures(path: Path) -> None:
    """Nothing is on one of them alone, but reasons and drawings where an edition has none."""
    deck = sample(path)
    tree = _strict(to_html(deck))
    on_screen = sum(1 for element in tree.iter() if element.get("data-figure"))
    assert on_screen == sum(len(facts(card)) for card in deck.cards)
