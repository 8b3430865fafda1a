"""Somebody at the desk with a mouse and a keyboard, whose typing, clicks and waiting are counted."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from playwright.sync_api import Locator, Page, expect

#: Nothing here waits so long unless it fails, in milliseconds.
LONG = 60_000
_BESIDE = ("source", "sources", "not_given")


@dataclass
class Person:
    """Works on one page; remembers every text that the desk showed."""

    page: Page
    typed: int = 0
    clicks: int = 0
    waited: float = 0.0
    told: list[str] = field(default_factory=list)

    def type(self, box: Locator, text: str) -> None:
        """Type into a box, or choose what is called so."""
        self.typed += 1
        if box.evaluate("box => box.tagName") == "SELECT":
            box.select_option(label=_option(box, text))
        else:
            box.fill(text)
        box.press("Tab")

    def click(self, what: Locator) -> None:
        self.clicks += 1
        what.click()

    def open(self, link: Locator) -> None:
        """Click what leads to another page, and look at it."""
        with self.waits(), self.page.expect_navigation():
            self.click(link)
        self.look()

    def look(self) -> str:
        text = self.page.locator("main").inner_text()
        self.told.append(text)
        return text

    def place(self, name: str) -> None:
        """Go to a place by its link above the page."""
        self.open(self.page.get_by_role("navigation", name="Places").get_by_role("link", name=name, exact=True))

    def button(self, name: str) -> None:
        self.open(self.page.get_by_role("button", name=name, exact=True))

    @contextmanager
    def waits(self) -> Iterator[None]:
        began = time.monotonic()
        yield
        self.waited += time.monotonic() - began

    # --- the pages on which a specification is filled in ---

    def fill_in(self, entered: Mapping[str, Any]) -> None:
        """Go through the groups in the order of the desk; what the paper does not have is left empty or out."""
        while True:
            group = self.page.locator("#form").get_attribute("data-group")
            assert group
            if (held := entered.get(group)) is not None:
                self._group(self.page.locator("#form"), held)
            elif (out := self.page.get_by_role("button", name="Leave out:")).count():
                self.open(out)
            self.look()
            following = self.page.get_by_role("navigation", name="Next group").get_by_role("link", name="Next:")
            if not following.count():
                return
            self.open(following)

    def _group(self, region: Locator, held: Mapping[str, Any] | Sequence[Mapping[str, Any]]) -> None:
        if not isinstance(held, Mapping):
            self._rows(region, held)
            return
        self._source(region, held.get("source", ""), "where it stands")
        for key, value in held.items():
            if key in _BESIDE:
                continue
            if _is_group(value):
                within = region.locator(":scope > section.within")
                self._group(within.filter(has=_heading(self.page, key)), value)
            else:
                self.type(_field(region, key).get_by_label(_label(key)), shown(value))
        for key in held.get("not_given", ()):
            self.click(_field(region, key).get_by_label("The paper does not say"))
        for key, source in held.get("sources", {}).items():
            self.click(_field(region, key).locator("summary"))
            self._source(_field(region, key), source, "only this one comes from another paper")

    def _rows(self, region: Locator, held: Sequence[Mapping[str, Any]]) -> None:
        for number, row in enumerate(held, 1):
            if region.get_by_role("button", name=re.compile("^Take out no")).count() < number:
                self.open(region.get_by_role("button", name=re.compile("^Add one( more)?$")))
            self._source(region, row.get("source", ""), f"no. {number} comes from")
            for key, value in row.items():
                if key not in _BESIDE:
                    self.type(region.get_by_label(f"{_words(key)}, no. {number}", exact=True), shown(value))
            for key in row.get("not_given", ()):
                box = self.page.get_by_label(f"{_words(key)}, no. {number}", exact=True)
                self.click(region.locator("td").filter(has=box).get_by_label("The paper does not say"))

    def _source(self, region: Locator, source: str, where: str) -> None:
        """Name document and place, where the desk has not carried them on."""
        for asked, text in zip(("Document", "Place in it"), source.partition(" ")[::2], strict=True):
            if text and (box := region.get_by_label(f"{asked}, {where}", exact=True)).input_value() != text:
                self.type(box, text)

    # --- the pages after that ---

    def read_all(self, name: str) -> int:
        """Read every value by the keyboard, and sign; tell how many there were."""
        values = self.page.locator("fieldset.value").count()
        for _ in range(values):
            self.page.keyboard.press("r")
        expect(self.page.locator("#left")).to_have_text("Everything is read.", timeout=LONG)
        self.type(self.page.get_by_label("Name of who has read it"), name)
        self.button("Keep this reading")
        return values

    def issue(self, who: str, why: str) -> str:
        """Issue; give the code of what was issued."""
        self.type(self.page.get_by_label("Who answers for it"), who)
        self.type(self.page.get_by_label("Why it is issued"), why)
        self.button("Issue")
        with self.waits():
            expect(self.page.locator("#came")).to_be_visible(timeout=LONG)
        found = re.search(r"Issued: revision \d, code (\S+)", self.look())
        assert found, self.told[-1]
        return found[1]

    def check(self, code: str) -> str:
        """Check a code as it is typed off a card; give what is told."""
        self.place("Check a code")
        self.type(self.page.get_by_label("The code from the foot of the card"), code)
        self.button("Check")
        return self.page.get_by_role("alert", name="Answer").inner_text()


def shown(value: object) -> str:
    """A value as a hand types it into its box."""
    if isinstance(value, list):
        return "\n".join(map(shown, value))
    return value.isoformat() if isinstance(value, date) else str(value)


def _is_group(value: object) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and isinstance(value[0], dict))


def _words(key: str) -> str:
    """A key as the page names it: of those for each blade, which blade."""
    before, _, last = key.rpartition("_")
    if last in ("a", "b"):
        return f"{before.replace('_', ' ')}, blade {last.upper()}" if before else f"blade {last.upper()}"
    return key.replace("_", " ")


def _label(key: str) -> re.Pattern[str]:
    return re.compile(rf"^{_words(key)}( where it applies)?$", re.IGNORECASE)


def _field(region: Locator, key: str) -> Locator:
    own = region.locator(":scope > .field")
    return own.filter(has=region.page.get_by_label(_label(key)))


def _heading(page: Page, key: str) -> Locator:
    said = _words(key)
    return page.get_by_role("heading", name=said[:1].upper() + said[1:], exact=True)


def _option(box: Locator, text: str) -> str:
    """Find what a list calls it: by its word, or by the other word that stands behind it."""
    options = box.locator("option").all_text_contents()
    return next(each for each in options if each == text or each.startswith(f"{text} (") or f"({text})" in each)
