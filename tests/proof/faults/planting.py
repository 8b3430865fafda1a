"""Plants one fault between a specification and what a keeper gets, and says what the proof by meaning finds.

Faults on paper are planted in the marks of one card's sides, which are painted and read alone: a deck is laid
out once. Faults of a file are planted in the finished file.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from io import BytesIO
from types import MappingProxyType
from typing import Any

import pikepdf

from cardgen.press.canvas import paint, paint_bare
from cardgen.press.publish import with_data
from cardgen.proof.finished import Finished, opened
from cardgen.proof.meaning.asked import edition as edition_kind
from cardgen.proof.meaning.compare import (
    DATA,
    cards_of,
    copied_against,
    data_against,
    drawn_against,
    drawn_on,
    prints_against,
    screens_against,
)
from cardgen.proof.meaning.pages import Page, pages_of
from tests.proof.faults.decks import (
    asked_of_sample,
    copied_sides,
    deck_of,
    edition_of,
    printed_of,
    screens_of,
    told_of,
)
from tests.proof.faults.editing import IN_FILES
from tests.proof.faults.marking import ON_SIDES
from tests.proof.faults.table import Fault


def found(fault: Fault) -> list[str]:
    """Plant a fault and give what the proof says."""
    if fault.where == "paper":
        return _on_paper(fault)
    if fault.where == "copied":
        return _on_copied(fault)
    if fault.where == "file":
        return _in_file(fault)
    return _on_screen(fault)


def _on_paper(fault: Fault) -> list[str]:
    deck, asked = deck_of(fault.rotor, fault.state), asked_of_sample(fault.rotor, fault.state)
    name, edition = f"{fault.edition}.pdf", edition_of(fault.rotor, fault.state, fault.edition)
    true = printed_of(fault.rotor, fault.state, fault.edition).layouts[name]
    if fault.card:
        true = tuple(side for side in true if side.card_id == fault.card)
        asked = replace(asked, only=(fault.card,))
    sides = true
    for what, how in fault.how.items():
        sides = ON_SIDES[what](sides, how)
    changed = [at for at, (one, other) in enumerate(zip(true, sides, strict=False)) if one != other]
    if len(sides) != len(true) or not changed:
        return list(prints_against({name: paint(sides, deck, edition)}, asked, deck.spec.text))
    file, pages = _read(fault.rotor, fault.state, fault.edition, fault.card)
    with opened(paint([sides[at] for at in changed], deck, edition)) as new:
        planted = {at: _numbered(page, at + 1) for at, page in zip(changed, pages_of(new), strict=True)}
        whole = [planted.get(at, page) for at, page in enumerate(pages)]
        mixed = _Mixed(file, {at + 1: new.page(place) for place, at in enumerate(changed, 1)})
        said = (*drawn_on(planted.values()), *cards_of(mixed, whole, asked, edition_kind(fault.edition)))
        return [f"{name}: {each}" for each in said]


class _Mixed(Finished):
    """A finished file of which some pages are another file's."""

    def __init__(self, file: Finished, others: Mapping[int, Any]) -> None:
        self._file, self._others = file, others

    def __len__(self) -> int:
        return len(self._file)

    def page(self, number: int) -> Any:
        return self._others.get(number) or self._file.page(number)


@cache
def _read(rotor: str, state: str, edition: str, card: str) -> tuple[Finished, tuple[Page, ...]]:
    """Paint and read a card, or an edition, without a fault: most of its sides stay so."""
    sides = printed_of(rotor, state, edition).layouts[f"{edition}.pdf"]
    mine = [side for side in sides if not card or side.card_id == card]
    file = Finished(paint(mine, deck_of(rotor, state), edition_of(rotor, state, edition)))
    return file, pages_of(file)


def _numbered(page: Page, number: int) -> Page:
    return replace(page, number=number, runs=tuple(run._replace(page=number) for run in page.runs))


def _on_copied(fault: Fault) -> list[str]:
    sides = copied_sides(fault.rotor)
    for what, how in fault.how.items():
        sides = ON_SIDES[what](sides, how)
    pdf, text = paint_bare(sides), deck_of(fault.rotor, "draft").spec.text
    asked, told = asked_of_sample(fault.rotor, "draft"), told_of(fault.rotor)
    return [*copied_against(pdf, asked, text, told), *drawn_against(pdf)]


def _in_file(fault: Fault) -> list[str]:
    """Plant what an editor of PDF files could in one card's finished file."""
    deck = deck_of(fault.rotor, fault.state)
    asked = replace(asked_of_sample(fault.rotor, fault.state), only=(fault.card,))
    sides = printed_of(fault.rotor, fault.state, fault.edition).layouts[f"{fault.edition}.pdf"]
    pdf = paint(
        [side for side in sides if side.card_id == fault.card],
        deck,
        edition_of(fault.rotor, fault.state, fault.edition),
    )
    with pikepdf.open(BytesIO(pdf)) as file:
        IN_FILES[str(fault.how["edit"])](file)
        out = BytesIO()
        file.save(out)
    return list(prints_against({f"{fault.edition}.pdf": out.getvalue()}, asked, deck.spec.text))


_NAMES = MappingProxyType({"twin": "cards.html", "text": "cards.txt", "form": "log-entry.html"})


def _on_screen(fault: Fault) -> list[str]:
    """Exchange words in a finished screen, text or description."""
    deck, asked = deck_of(fault.rotor, fault.state), asked_of_sample(fault.rotor, fault.state)
    files = dict(screens_of(fault.rotor, fault.state))
    if fault.where == "data":
        whole = with_data(files, deck)
        shape = json.loads(whole[DATA])
        _change_data(shape, fault.how)
        return list(data_against(json.dumps(shape).encode(), files, asked, deck.spec.text))
    name = _NAMES[fault.where]
    old, new = (str(each) for each in fault.how["set"])
    text = files[name].decode()
    start = text.index(fault.how["after"]) if "after" in fault.how else 0
    assert old in text[start:], f"{old!r} is not in {name}"
    files[name] = (text[:start] + text[start:].replace(old, new, int(fault.how.get("times", 1)))).encode()
    return list(screens_against(files, asked))


def _change_data(shape: dict[str, Any], how: Mapping[str, Any]) -> None:
    """Set what stands at a path, or take it away."""
    *path, last = how["path"]
    here: Any = shape
    for part in path:
        here = next(each for each in here if each["id"] == part) if isinstance(here, list) else here[part]
    if isinstance(here, list):
        at = next(place for place, each in enumerate(here) if each["id"] == last)
        del here[at]
    elif "to" in how:
        assert here[last] != how["to"]
        here[last] = how["to"]
    else:
        del here[last][how["at"]]
