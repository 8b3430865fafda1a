"""Black and white, and nothing said by colour: on the sheets, and on the screen for eyes without colours."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Literal

import numpy as np
import pikepdf
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser

from cardgen.deck.card import Stamp
from cardgen.press.canvas import paint
from cardgen.press.edition import EditionName, load_edition
from cardgen.press.html import to_html
from cardgen.press.layout import lay_out
from cardgen.press.marks import Side
from tests.outside.damage import Page
from tests.outside.pages import EACH_ONCE, colours, sheets
from tests.outside.vision import MACHADO, contrast, luminance, seen_by
from tests.press.browser import visit
from tests.press.paper_deck import deck as paper_deck
from tests.press.samples import SAMPLES, sample
from tests.press.screen_deck import deck

#: The one tint: a tenth of black, 0.9 x 255 rounded either way.
TINT = {229.0, 230.0}
_COLOUR_OPERATORS = {"rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN", "sh", "Do", "gs"}


@pytest.mark.parametrize(("path", "name"), EACH_ONCE)
def test_a_file_asks_for_grey_ink_only(path: Path, name: EditionName) -> None:
    """ISO 32000-2, 8.6.8: g and G choose a grey; no other operator for colour, picture or shade is used."""
    greys: set[float] = set()
    with pikepdf.open(BytesIO(sheets(path, name).pdf)) as opened:
        for page in opened.pages:
            for instruction in pikepdf.parse_content_stream(page):
                assert str(instruction.operator) not in _COLOUR_OPERATORS
                if str(instruction.operator) in {"g", "G"}:
                    greys.add(float(instruction.operands[0]))
    assert {0.0, 1.0} <= greys <= {0.0, 0.9, 1.0}


@pytest.mark.parametrize(("path", "name"), EACH_ONCE)
def test_a_drawn_sheet_has_no_colour_and_one_tint(path: Path, name: EditionName) -> None:
    printed = sheets(path, name)
    for page in range(0, len(printed.sides), 3):
        seen = colours(printed.pdf, page, 72, smooth=False)
        assert np.ptp(seen, axis=2).max() == 0
        # Without mixed edges nothing is left but ink, paper and the tint.
        assert set(np.unique(seen[:, :, 0])) <= {0.0, 255.0} | TINT


def test_a_drafts_mark_is_the_same_tint() -> None:
    drafted = paper_deck(stamp=Stamp())
    edition = load_edition("pouch", "iso")
    sides = [side for side in lay_out(drafted, edition) if isinstance(side, Side)]
    seen = colours(paint(sides, drafted, edition), 0, 100, smooth=False)
    assert np.ptp(seen, axis=2).max() == 0
    shades = set(np.unique(seen[:, :, 0]))
    assert shades & TINT
    assert shades <= {0.0, 255.0} | TINT


def _pixels(shot: bytes) -> Page:
    return np.asarray(Image.open(BytesIO(shot)).convert("RGB"), dtype=np.float64)


def test_the_page_has_no_colour_to_lose(chromium: Browser, tmp_path: Path) -> None:
    """Red, green and blue are alike within a dozen of 255, and within six on the average."""
    with visit(chromium, to_html(sample(SAMPLES[0])), tmp_path) as seen:
        for scheme in SCHEMES:
            seen.page.emulate_media(color_scheme=scheme)
            for heading in ("#cover", "#track"):
                seen.page.locator(heading).scroll_into_view_if_needed()
                colours_ = _pixels(seen.page.screenshot())
                assert np.ptp(colours_, axis=2).max() <= 12
                assert np.ptp(colours_, axis=2).mean() < 6


SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
_SIGNALS = {
    "WARNING": ".caution.warning",
    "CAUTION": ".caution:not(.warning):not(.note)",
    "NOTE": ".caution.note",
}


@pytest.fixture(scope="module")
def signals(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, str], Page]:
    """A picture of each signal in each scheme."""
    shots: dict[tuple[str, str], Page] = {}
    with visit(chromium, to_html(deck()), tmp_path_factory.mktemp("signals")) as seen:
        for scheme in SCHEMES:
            seen.page.emulate_media(color_scheme=scheme)
            for signal, place in _SIGNALS.items():
                shots[scheme, signal] = _pixels(seen.page.locator(place).first.screenshot())
    return shots


def look(region: Page, astray: int) -> str:
    """Say which signal of the page a region looks like: by its ground and its edges, not by its words."""
    ink = region < 0.5
    if ink[2 * astray : -2 * astray, 2 * astray : -2 * astray].mean() > 0.55:
        return "WARNING"
    edges: dict[str, NDArray[np.bool_]] = {
        "left": np.atleast_1d(ink[:, : 2 * astray].any(axis=1)),
        "right": np.atleast_1d(ink[:, -2 * astray :].any(axis=1)),
        "top": np.atleast_1d(ink[: 2 * astray].any(axis=0)),
        "bottom": np.atleast_1d(ink[-2 * astray :].any(axis=0)),
    }
    ruled = {name for name, edge in edges.items() if edge[2 * astray : -2 * astray].mean() > 0.95}
    if ruled == set(edges):
        return "CAUTION"
    return "NOTE" if ruled == {"left"} else "nothing"


@pytest.mark.parametrize("deficiency", [*MACHADO, "none at all", "every colour"])
def test_the_three_signals_are_told_apart_by_any_eye(
    signals: dict[tuple[str, str], Page], deficiency: str
) -> None:
    """Machado and others (2009), matrices from memory; "none at all" sees luminance alone."""
    for (scheme, signal), shot in signals.items():
        seen = seen_by(shot, deficiency) if deficiency in MACHADO else shot
        light = luminance(seen)
        if deficiency == "every colour":
            light = seen.mean(axis=2) / 255
        # Ink is what differs from the page around: dark on a light page, light on a dark one.
        paper = 1.0 - light if scheme == "dark" else light
        spread = (paper - paper.min()) / np.ptp(paper)
        assert look(spread, 5) == signal


def test_the_simulation_knows_colours_that_a_deficiency_takes_away() -> None:
    """A known pair: a red and a green far apart for most, nearly one colour without the green cone."""
    red, green = np.array([192.0, 0.0, 0.0]), np.array([0.0, 128.0, 0.0])
    apart = np.abs(red - green).max()
    seen = [seen_by(colour[None, :], "deuteranopia")[0] for colour in (red, green)]
    assert apart > 100
    assert np.abs(seen[0] - seen[1])[:2].max() < 25
    assert contrast(np.array([0.0, 0, 0]), np.array([255.0, 255, 255])) == pytest.approx(21.0)
    grey = np.array([[119.0, 119.0, 119.0]])
    # WCAG's own well-known border case: #777 on white is just below 4.5 to 1.
    assert contrast(grey[0], np.array([255.0, 255, 255])) == pytest.approx(4.48, abs=0.005)
    for deficiency in MACHADO:
        assert np.abs(seen_by(grey, deficiency) - grey).max() < 0.1
