"""Filling in, in a real browser: by keyboard, problems under their fields, the sheet beside."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect

from tests.cli.running import INCH
from tests.desk.serving import served

#: Nothing here waits so long unless it fails.
LONG = 60_000


def test_a_rotor_is_begun_filled_in_by_keyboard_kept_and_saved(chromium: Browser, folder: Path) -> None:
    shutil.copy(INCH, folder / "like.toml")
    complaints: list[str] = []
    with chromium.new_context(viewport={"width": 360, "height": 800}) as context:
        page = context.new_page()
        page.set_default_timeout(LONG)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        with served(folder) as (_, address):
            page.goto(address)
            page.get_by_role("link", name="New rotor").click()
            page.get_by_label("Name of its file").fill("mine")
            assert Axe().run(page).response["violations"] == []
            page.get_by_role("button", name="Begin").press("Enter")
            expect(page.get_by_role("heading", level=1)).to_have_text("Documents")
            page.goto(page.url.replace("documents", "blades"))
            chord = page.get_by_label("Chord", exact=True)
            needed, problem = page.locator("#blades-chord-need"), page.locator("#blades-chord-problem")
            expect(needed).to_have_text("Needed")
            chord.focus()
            page.keyboard.type("7")
            # Half typed it is kept, and not judged yet.
            expect(page.locator("#kept")).to_have_text("Not saved yet; kept beside the file.")
            expect(needed).to_be_hidden()
            expect(problem).to_be_empty()
            page.reload()
            expect(chord).to_have_value("7")
            chord.focus()
            page.keyboard.press("End")
            page.keyboard.type(".")
            # At once, before anything was sent.
            page.reload()
            expect(chord).to_have_value("7.")
            chord.focus()
            page.keyboard.press("End")
            page.keyboard.type("5")
            page.keyboard.press("Tab")
            expect(problem).to_contain_text("needs a unit", timeout=LONG)
            chord.fill("7.5 in")
            page.keyboard.press("Tab")
            expect(chord).to_have_value("7.5", timeout=LONG)
            expect(page.get_by_label("Unit of chord")).to_have_value("in")
            expect(problem).to_be_empty()
            # What no field has been left of is not told yet.
            expect(page.locator("#blades-serial_a-problem")).to_be_empty()
            expect(page.locator("#sheet")).to_contain_text("The sheet comes when nothing does", timeout=LONG)
            assert Axe().run(page).response["violations"] == []
            assert page.evaluate("document.documentElement.scrollWidth") == 360
            # The server is killed here, without a word.
        with served(folder) as (_, address):
            page.goto(address)
            page.goto(f"{page.url.rstrip('/')}{_fill_of(page, 'mine.toml')}blades")
            expect(page.get_by_label("Chord", exact=True)).to_have_value("7.5", timeout=LONG)
            assert tomllib.loads((folder / "mine.toml").read_text())["blades"]["chord"] == ""
            page.keyboard.press("Control+s")
            expect(page.locator("#kept")).to_have_text("Saved.", timeout=LONG)
            assert tomllib.loads((folder / "mine.toml").read_text())["blades"]["chord"] == "7.5 in"

            page.set_viewport_size({"width": 1400, "height": 1000})
            page.goto(f"{address.partition('/enter')[0]}{_fill_of(page, 'like.toml', address)}fasteners")
            expect(page.locator("#sheet h2")).to_have_text("Torque", timeout=LONG)
            page.locator("#fasteners-1-torque_max").fill("200")
            page.keyboard.press("Tab")
            # The very value, in a whole line; what is made from it, in a broken one.
            expect(page.locator("#sheet .itself").first).to_be_attached(timeout=LONG)
            page.locator("#sheet .itself").first.hover()
            expect(page.locator("#from")).to_contain_text("200 in·lbf")
            # The value stands on this line of the sample, counted by an editor.
            expect(page.locator("#from")).to_contain_text("MAKER-1 p.9; line 60 of the file")
            page.get_by_role("button", name="Track", exact=True).press("Enter")
            expect(page.locator("#sheet h2")).to_have_text("Track", timeout=LONG)
            assert Axe().run(page).response["violations"] == []
            assert page.evaluate("document.documentElement.scrollWidth") == 1400
            # Needed for a cotter pin, and for nothing else.
            pin = page.locator("#fasteners-1-pin_head-need")
            expect(pin).to_be_hidden()
            page.locator("#fasteners-1-pin_head").fill("")
            page.keyboard.press("Tab")
            expect(pin).to_be_visible()
    assert complaints == []


def _fill_of(page: object, name: str, address: str = "") -> str:
    from playwright.sync_api import Page

    assert isinstance(page, Page)
    if address:
        page.goto(f"{address.partition('/enter')[0]}/")
    link = page.locator(f"[data-state]:has-text('{name}') a")
    expect(link).to_have_count(1, timeout=LONG)
    href = link.get_attribute("href")
    assert href
    return f"{href}fill/"
