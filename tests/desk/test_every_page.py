"""Every page in every state: in light and dark, on a small screen, with large letters, and by keys alone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, CDPSession, Page

from tests.desk.every_page import PARTS, Gallery, gallery, pages_of

#: The narrowest screen that must do, in CSS pixels.
NARROW = {"width": 360, "height": 800}
#: A browser's letters as they come, and at 200 % (WCAG 2.2, 1.4.4), in CSS pixels.
LETTERS = (16, 32)
#: What an element is where a hand does something.
HANDLES = "a[href], button, input, select, textarea, summary, [tabindex='0']"
#: Names what can be reached by no key; radio buttons of one name are one stop, moved in by arrows.
_UNREACHED = """(handles) => [...document.querySelectorAll(handles)].filter((each) =>
  each.checkVisibility({ visibilityProperty: true }) && !each.disabled && each.type !== "hidden" &&
  (each.tabIndex < 0 || each.closest("[inert]"))).map((each) => each.outerHTML.slice(0, 120))"""
#: Names what is wider than the page and does not scroll by itself.
_CUT = """() => [...document.querySelectorAll("main *, header *")].filter((each) => {
  const box = each.getBoundingClientRect();
  return box.width > 1 && box.right > innerWidth + 1 && !each.closest(".wide, figure, .skip, .hidden");
}).map((each) => each.outerHTML.slice(0, 120))"""
_FOCUS = """() => {
  const here = document.activeElement, box = here.getBoundingClientRect(), style = getComputedStyle(here);
  return { name: here.outerHTML.slice(0, 120), outline: parseFloat(style.outlineWidth),
           inside: box.bottom > 0 && box.top < innerHeight, body: here === document.body };
}"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Gallery]:
    folder = tmp_path_factory.mktemp("desk") / "rotors"
    folder.mkdir()
    with gallery(folder) as found:
        yield found


@pytest.mark.parametrize("part", PARTS)
def test_every_page_is_for_everybody(chromium: Browser, made: Gallery, part: str) -> None:
    faults: list[str] = []
    with chromium.new_context(viewport=NARROW, reduced_motion="reduce") as context:  # type: ignore[arg-type]
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        letters = context.new_cdp_session(page)
        names = []
        for name in pages_of(part, page, made):
            names.append(name)
            found = [*_seen(page), *_with_letters(page, letters), *_by_keys(page)]
            faults += [f"{name}: {each}" for each in found]
    assert faults == []
    assert len(names) == len(set(names)) > 4


def _seen(page: Page) -> Iterator[str]:
    """Ask axe in light, and in dark for what differs there."""
    for scheme, only in (("light", {}), ("dark", {"runOnly": ["color-contrast"]})):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        found: list[dict[str, Any]] = Axe().run(page, options=only).response["violations"]
        yield from (f"{scheme}: {each['id']}: {node['html'][:120]}" for each in found for node in each["nodes"])
    page.emulate_media(color_scheme="light")


def _with_letters(page: Page, letters: CDPSession) -> Iterator[str]:
    for size in reversed(LETTERS):
        letters.send("Page.setFontSizes", {"fontSizes": {"standard": size, "fixed": size}})
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > NARROW["width"]:
            yield f"letters of {size}: {wide} wide: {page.evaluate(_CUT)}"


def _by_keys(page: Page, most: int = 12) -> Iterator[str]:
    """Say what no key comes to; the first stops are walked, and each is seen."""
    yield from (f"no key comes to {each}" for each in page.evaluate(_UNREACHED, HANDLES))
    page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
    for _ in range(most):
        page.keyboard.press("Tab")
        here = page.evaluate(_FOCUS)
        if here["body"]:
            break
        if here["outline"] < 2 or not here["inside"]:
            yield f"focus is not seen at {here['name']}"
