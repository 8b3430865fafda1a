"""The desk in a real browser, under its own rules on what a page may load and run."""

from __future__ import annotations

import shutil
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect

from tests.cli.running import INCH, METRIC
from tests.desk.serving import served


def test_states_come_one_by_one_and_the_keyboard_opens_a_rotor(chromium: Browser, folder: Path) -> None:
    for sample in (INCH, METRIC):
        shutil.copy(sample, folder)
    complaints: list[str] = []
    with (
        served(folder) as (_, address),
        chromium.new_context(viewport={"width": 360, "height": 800}) as context,
    ):
        page = context.new_page()
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(address)
        expect(page.locator(".deck")).to_have_text(["Never issued."] * 2, timeout=20_000)
        assert page.evaluate("document.documentElement.scrollWidth") == 360
        assert Axe().run(page).response["violations"] == []
        # Past the link to the page and those to the places, to the first rotor.
        for _ in range(2 + page.locator("nav a").count()):
            page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        expect(page.get_by_role("heading", level=1)).to_have_text("FT-7400")
        assert Axe().run(page).response["violations"] == []
    assert complaints == []
