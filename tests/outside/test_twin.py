"""The page twin in a real browser, under other people's checkers: axe, Chromium, a QR reader."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Literal

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, expect

from cardgen.deck.card import Column, Paragraph, Row, Said, Section, Table, WriteIn
from cardgen.press.html import to_html
from tests.press.browser import visit
from tests.press.samples import SAMPLES, sample
from tests.press.screen_deck import ADDRESS, deck, draft, figures, spec, track

SCHEMES: tuple[Literal["light"], Literal["dark"]] = ("light", "dark")
#: What dark is like without forced colours is measured text by text in `test_contrast`.
LOOKS: list[tuple[int, Literal["light", "dark"], bool]] = [
    (1000, "light", False),
    (360, "light", False),
    (360, "dark", True),
]


def test_axe_finds_nothing_and_the_page_asks_for_nothing(chromium: Browser, tmp_path: Path) -> None:
    with visit(chromium, to_html(draft()), tmp_path) as seen:
        for width, scheme, forced in LOOKS:
            seen.page.set_viewport_size({"width": width, "height": 760})
            seen.page.emulate_media(color_scheme=scheme, forced_colors="active" if forced else "none")
            assert seen.violations() == []
        assert len([address for address in seen.requests if not address.startswith("data:")]) == 1
        assert seen.complaints == []


def test_the_checks_notice_a_picture_without_words_a_request_and_a_forbidden_style(
    chromium: Browser, tmp_path: Path
) -> None:
    fault = '<main><img src="https://other.example.org/x.png"><p style="color:red">x</p>'
    html = to_html(deck()).replace("<main", f"{fault}</main><main", 1)
    with visit(chromium, html, tmp_path) as seen:
        assert any(one.startswith("image-alt") for one in seen.violations())
        assert sum("Content Security Policy" in one for one in seen.complaints) >= 2


def _with_a_wide_table() -> str:
    columns = tuple(Column(f"A rather wide head {name}") for name in "ABCDEF")
    row = Row((*((Said("wide words"),) for _ in "ABCDE"), (WriteIn("far", "Far to the right"),)))
    wide = Table("wide", "Wide", columns, (row,))
    long = Section("W" * 60, (Paragraph((Said("M" * 200),)), wide))
    return to_html(replace(deck(), cards=(track(figures(spec()), (long,)),)))


def test_nothing_is_read_by_moving_the_page_sideways(chromium: Browser, tmp_path: Path) -> None:
    with visit(chromium, _with_a_wide_table(), tmp_path) as seen:
        # 320 px is the reflow width of WCAG 2.2, criterion 1.4.10.
        for width in (1000, 360, 320):
            seen.page.set_viewport_size({"width": width, "height": 760})
            assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
        region = seen.page.locator(".scroll:has(table)", has_text="A rather wide head")
        assert region.evaluate("e => e.scrollWidth > e.clientWidth")
        # The wide table is moved by itself, with the keyboard.
        region.focus()
        seen.page.keyboard.press("ArrowRight")
        expect(region).not_to_have_js_property("scrollLeft", 0)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_number_is_cut_off_at_the_edge_of_a_telephone(chromium: Browser, tmp_path: Path, path: Path) -> None:
    """A table wider than the screen could show 156 as 15."""
    with visit(chromium, to_html(sample(path)), tmp_path, width=360) as seen:
        wide = seen.page.eval_on_selector_all(
            ".scroll:has(table)", "all => all.filter(e => e.scrollWidth > e.clientWidth).map(e => e.innerText)"
        )
        assert wide == []


def test_injected_words_do_not_run(chromium: Browser, tmp_path: Path) -> None:
    words = "<img src=x onerror=\"document.title='ran'\"><script>document.title='ran'</script>"
    long = Section("x", (Paragraph((Said(words),)),))
    with visit(chromium, to_html(replace(deck(), cards=(track(figures(spec()), (long,)),))), tmp_path) as seen:
        assert seen.page.title() != "ran"
        assert words in seen.page.locator("main").inner_text()
        assert len([one for one in seen.requests if not one.startswith("data:")]) == 1


def test_the_skip_link_is_first_and_the_cards_type_is_really_used(chromium: Browser, tmp_path: Path) -> None:
    with visit(chromium, to_html(deck()), tmp_path) as seen:
        faces = "[...document.fonts].filter(f => f.status === 'loaded').map(f => f.weight).sort().join()"
        assert seen.page.evaluate(faces) == "400,700"
        seen.page.keyboard.press("Tab")
        assert seen.page.evaluate("document.activeElement.className") == "skip"
        seen.page.keyboard.press("Enter")
        assert seen.page.evaluate("document.activeElement.id") == "cards"


def test_the_code_on_the_screen_is_read_by_another_phone(chromium: Browser, tmp_path: Path) -> None:
    with visit(chromium, to_html(deck()), tmp_path, width=360) as seen:
        for scheme in SCHEMES:
            seen.page.emulate_media(color_scheme=scheme)
            picture = Image.open(BytesIO(seen.page.locator("svg.qr").screenshot()))
            (read,) = zxingcpp.read_barcodes(picture)
            assert read.text == ADDRESS


def test_each_card_begins_a_printed_sheet(chromium: Browser, tmp_path: Path) -> None:
    from pypdf import PdfReader

    with visit(chromium, to_html(deck()), tmp_path) as seen:
        pages = PdfReader(BytesIO(seen.page.pdf(prefer_css_page_size=True))).pages
    texts = [" ".join(page.extract_text().split()) for page in pages]
    first, second = (next(n for n, text in enumerate(texts) if f"Card {card} of 2" in text) for card in (1, 2))
    assert 0 < first < second
    assert "Card 1 of 2" not in texts[second]
