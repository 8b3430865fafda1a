"""Reads a card back out of a page or a text, knowing its marks and nothing of the program that wrote it."""

from __future__ import annotations

from collections.abc import Iterator

from justhtml import Element, JustHTML, Text

from cardgen.deck.card import Deck
from cardgen.press.card_facts import Fact
from cardgen.press.plain import WIDTH, to_text


def facts_of_page(html: str) -> dict[str, list[Fact]]:
    """Every figure of the page in reading order, card by card. Raises for markup that is not strict."""
    page = JustHTML(html, strict=True, sanitize=False)
    return {
        attribute(article, "id"): [_fact(element) for element in every(article, "[data-figure]")]
        for article in every(page, "article")
    }


def text_of_card(deck: Deck, card_id: str) -> str:
    """One card of the plain text, from its number to the next card's head."""
    texts = to_text(deck).split(f"{'=' * WIDTH}\nCARD ")[1:]
    return texts[[card.id for card in deck.cards].index(card_id)]


def attribute(element: Element, name: str) -> str:
    """An attribute that must be there."""
    value = (element.attrs or {})[name]
    assert value is not None, f"{name} of <{element.name}> has no value"
    return value


def only(within: JustHTML | Element, selector: str) -> Element:
    """The one element that a selector finds."""
    (found,) = within.query(selector)
    assert isinstance(found, Element)
    return found


def every(within: JustHTML | Element, selector: str) -> list[Element]:
    """All elements that a selector finds."""
    return [found for found in within.query(selector) if isinstance(found, Element)]


def _fact(element: Element) -> Fact:
    figure = attribute(element, "data-figure")
    if element.name == "text":
        title = only(_up(element, "svg"), "title")
        return Fact(title.to_text(), figure, element.to_text(), "", "")
    value = _up(element, "span")
    return Fact(_label(value), figure, element.to_text(), _unit(value), _second(value))


def _ancestors(element: Element) -> Iterator[Element]:
    above = element.parent
    while isinstance(above, Element):
        yield above
        above = above.parent


def _up(element: Element, name: str) -> Element:
    return next(above for above in _ancestors(element) if above.name == name)


def _classes(element: Element) -> list[str]:
    return ((element.attrs or {}).get("class") or "").split()


def _label(value: Element) -> str:
    """Say where a value stands: in a box, in a table's column, in a step, or in a section."""
    for above in _ancestors(value):
        if "box" in _classes(above):
            return every(above, "span")[0].to_text()
        if above.name == "table":
            return _column(value, above)[0]
        if above.name == "li" and (numbers := every(above, ".number")):
            return numbers[0].to_text()
        if above.name == "section":
            return "".join(title.to_text() for title in every(above, "h3"))
    raise AssertionError("a figure outside every section")


def _column(value: Element, table: Element) -> tuple[str, str]:
    """Give the label and the unit that a cell has from its table: caption, head and unit of the head."""
    caption = only(table, "caption").to_text()
    row = _up(value, "tr")
    cell = next(above for above in _ancestors(value) if above.name in {"td", "th"})
    if "stop" in _classes(row):
        # A reason to stop is about the row's key, whose unit stands in the head.
        return caption, "".join(unit.to_text() for unit in every(only(table, "thead tr"), ".unit")[:1])
    cells = [child for child in row.children or () if isinstance(child, Element)]
    heads = [child for child in only(table, "thead tr").children or () if isinstance(child, Element)]
    head = heads[cells.index(cell)]
    words = "".join(child.data or "" for child in head.children or () if isinstance(child, Text)).strip()
    return f"{caption}: {words}", "".join(unit.to_text() for unit in every(head, ".unit"))


def _unit(value: Element) -> str:
    beside = "".join(unit.to_text() for unit in every(value, ".unit"))
    tables = [above for above in _ancestors(value) if above.name == "table"]
    return beside or (_column(value, tables[0])[1] if tables else "")


def _second(value: Element) -> str:
    around = list((value.parent and value.parent.children) or ())
    after = around[around.index(value) + 1 :]
    beside = next((child for child in after if isinstance(child, Element)), None)
    if beside is None or "second" not in _classes(beside):
        return ""
    return beside.to_text().strip("()")
