"""A real browser for the tests of pages: Chromium, driven over its own protocol."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect, sync_playwright

#: A page is waited for so long, in ms: what is asked is whether it comes, on a busy machine too.
PATIENT = 60_000
_EMPTY = "about:blank"


@dataclass
class Visit:
    """A page as it was opened, and everything it asked for or complained about."""

    page: Page
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def violations(self) -> list[str]:
        """Ask axe for violations of its rules; none is expected."""
        found: list[dict[str, Any]] = Axe().run(self.page).response["violations"]
        return [f"{one['id']}: {node['html'][:160]}" for one in found for node in one["nodes"]]


@contextmanager
def browser() -> Iterator[Browser]:
    """Start the system's Chromium. Its absence is a failure: what was not looked at is not known."""
    chromium = shutil.which("chromium")
    assert chromium, "chromium is not on the PATH: pages cannot be checked without a browser"
    expect.set_options(timeout=PATIENT)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        try:
            yield started
        finally:
            started.close()


@contextmanager
def visit(
    started: Browser,
    html: str,
    folder: Path,
    *,
    width: int = 1000,
    scheme: Literal["light", "dark"] = "light",
    forced: bool = False,
    fragment: str = "",
    now: str = "2026-11-25T12:00:00",
) -> Iterator[Visit]:
    """Open a page from a file, as it would be opened from a phone's own storage.

    A tab that an earlier visit left empty is taken again: the browser starts no process for it. Its clock
    stands still at ``now``.
    """
    file = folder / "page.html"
    file.write_text(html, encoding="utf-8")
    page = _tab(started)
    page.set_viewport_size({"width": width, "height": 760})
    page.emulate_media(color_scheme=scheme, forced_colors="active" if forced else "none")
    page.clock.set_fixed_time(now)
    seen = Visit(page)
    listeners: dict[Any, Any] = {
        "request": lambda request: seen.requests.append(request.url.partition(",")[0][:120]),
        "console": lambda message: seen.complaints.append(message.text),
        "pageerror": lambda error: seen.complaints.append(str(error)),
    }
    for event, listener in listeners.items():
        page.on(event, listener)
    try:
        page.goto(f"{file.as_uri()}{fragment}")
        yield seen
    finally:
        for event, listener in listeners.items():
            page.remove_listener(event, listener)
        page.evaluate("localStorage.clear()")
        page.goto(_EMPTY)


def _tab(started: Browser) -> Page:
    context = started.contexts[0] if started.contexts else started.new_context(accept_downloads=True)
    return next((page for page in context.pages if page.url == _EMPTY), None) or context.new_page()
