"""Contrast of every text by the formula of WCAG 2.2 (relative luminance, contrast ratio): seven to one.

Seven is success criterion 1.4.6; a card under a torch has no second chance. On paper the colours are
those another program draws; on the screen they are the browser's own computed styles.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser

from cardgen.deck.card import Stamp
from cardgen.press.canvas import paint
from cardgen.press.edition import EditionName, load_edition
from cardgen.press.form import to_form
from cardgen.press.html import to_html
from cardgen.press.layout import lay_out
from cardgen.press.marks import Side, TextMark
from tests.outside.damage import Page
from tests.outside.pages import EACH_ONCE, drawn, sheets
from tests.outside.vision import contrast
from tests.press.browser import visit
from tests.press.paper_deck import deck as paper_deck
from tests.press.samples import SAMPLES, sample
from tests.press.screen_deck import draft

LEAST = 7.0
#: Dots an inch: even the smallest letters have some dots of pure ink.
DPI = 96


def low_contrasts(page: Page, side: Side) -> list[str]:
    """Texts of a side that do not stand out from every shade in their own rectangle; the page is in grey."""
    low = []
    for mark in side.marks:
        if not isinstance(mark, TextMark):
            continue
        scale = page.shape[0] / side.height
        rows = slice(
            round((side.height - mark.y - 0.7 * mark.size) * scale), round((side.height - mark.y) * scale)
        )
        seen = page[rows, round(mark.x * scale) : round((mark.x + mark.width) * scale)]
        shades = [np.full(3, shade) for shade in np.unique(seen)]
        ink = shades[-1] if mark.tone == "white" else shades[0]
        others = shades[:-1] if mark.tone == "white" else shades[1:]
        if not others or any(contrast(ink, shade) < LEAST for shade in others):
            low.append(mark.text)
    return low


def _shades(pdf: bytes, page: int) -> Page:
    """A page in grey without mixed edges, 0 to 255; that it has no colours is asked in `test_colour`."""
    return np.rint(drawn(pdf, page, DPI, smooth=False) * 255)


@pytest.mark.parametrize(("path", "name"), EACH_ONCE)
def test_every_text_on_paper_stands_out_seven_to_one(path: Path, name: EditionName) -> None:
    printed = sheets(path, name)
    for number, side in enumerate(printed.sides):
        assert low_contrasts(_shades(printed.pdf, number), side) == []


def test_text_over_the_mark_of_a_draft_stands_out_as_well() -> None:
    drafted = paper_deck(stamp=Stamp())
    edition = load_edition("pouch", "iso")
    sides = [side for side in lay_out(drafted, edition) if isinstance(side, Side)]
    pdf = paint(sides, drafted, edition)
    for number, side in enumerate(sides):
        page = _shades(pdf, number)
        assert low_contrasts(page, side) == []
        # The same page in a copier's pale toner is seen to be pale.
        assert low_contrasts(255 - (255 - page) * 0.4, side)


#: Every text node that takes room, with the colour it is drawn in and the first ground behind it.
_TEXTS = """() => {
  const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const element = walk.currentNode.parentElement, text = walk.currentNode.data.trim();
    const box = element.getBoundingClientRect();
    if (!text || !box.width || !box.height || element.closest('.hidden, script, style, title, desc')) continue;
    const style = getComputedStyle(element);
    let ground = element, back = 'rgba(0, 0, 0, 0)', over = back, share = 0;
    if (element instanceof SVGElement) {
      const x = box.x + box.width / 2, y = box.y + box.height / 2;
      for (const shape of element.ownerSVGElement.querySelectorAll('rect, circle, ellipse, polygon, path')) {
        const fill = getComputedStyle(shape).fill;
        const before = shape.compareDocumentPosition(element) & Node.DOCUMENT_POSITION_FOLLOWING;
        const under = shape.isPointInFill(new DOMPoint(x, y).matrixTransform(shape.getScreenCTM().inverse()));
        if (before && under && fill !== 'none') { over = fill; share = +getComputedStyle(shape).fillOpacity; }
      }
    }
    while (ground && back === 'rgba(0, 0, 0, 0)') {
      back = getComputedStyle(ground).backgroundColor; ground = ground.parentElement;
    }
    const ink = element instanceof SVGElement ? style.fill : style.color;
    found.push([text.slice(0, 60), ink, back, style.opacity, over, share]);
  }
  return found;
}"""


def _rgb(css: str) -> Page:
    inside = css[css.index("(") + 1 : css.rindex(")")].split(",")
    assert len(inside) == 3, f"{css} is not opaque"
    return np.array([float(part) for part in inside])


def _ground(behind: str, over: str, share: float) -> Page:
    """The ground behind a text, through the shape of a drawing that lies over it."""
    return _rgb(behind) * (1 - share) + _rgb(over) * share if share else _rgb(behind)


PAGES: dict[str, Callable[[], str]] = {
    "cards, first sample": lambda: to_html(sample(SAMPLES[0])),
    "cards, second sample": lambda: to_html(sample(SAMPLES[1])),
    "cards, draft": lambda: to_html(draft()),
    "form": lambda: to_form(sample(SAMPLES[0])),
}


@pytest.mark.parametrize("page", PAGES)
def test_every_text_on_the_screen_stands_out_seven_to_one(chromium: Browser, tmp_path: Path, page: str) -> None:
    with visit(chromium, PAGES[page](), tmp_path) as seen:
        inks = []
        for scheme in ("light", "dark"):
            seen.page.emulate_media(color_scheme=scheme)
            found: list[list[Any]] = seen.page.evaluate(_TEXTS)
            assert len(found) > 30
            low = {
                (text, ink, ground)
                for text, ink, ground, opacity, over, share in found
                if opacity != "1" or contrast(_rgb(ink), _ground(ground, over, share)) < LEAST
            }
            assert not low
            inks.append({ink for _, ink, *_ in found})
    assert inks[0] != inks[1]
