"""Plants one fault between a specification and what a keeper gets, and says what the proof by meaning finds.

Faults on paper are planted in the marks of one card's sides, which are painted and read alone: a deck is laid
out once. Faults of a file are planted in the finished file.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from io import BytesIO
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pikepdf

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck, Stamp
from cardgen.figures import compute
from cardgen.press.canvas import paint, paint_bare
from cardgen.press.edition import Edition, load_edition
from cardgen.press.marks import LineMark, Mark, PolygonMark, QrMark, Side, TextMark
from cardgen.press.notice import copied_notice, lay_out_notice
from cardgen.press.publish import Printed, print_edition, screens, with_data
from cardgen.proof.finished import Finished, opened
from cardgen.proof.meaning.asked import Asked, cautions
from cardgen.proof.meaning.asked import edition as edition_kind
from cardgen.proof.meaning.compare import (
    DATA,
    asked_of,
    cards_of,
    copied_against,
    data_against,
    drawn_against,
    drawn_on,
    prints_against,
    screens_against,
)
from cardgen.proof.meaning.pages import Page, pages_of
from cardgen.spec.load import Loaded, load_bytes
from tests.proof.faults import hiding
from tests.proof.faults.editing import IN_FILES

_TREE = Path(__file__).parents[3]
_DAY = date(2026, 11, 25)
_ISSUED = Stamp(2, "ABCD-EFGH-7", _DAY, "reader", _DAY, "inspector")
_STAMPS = MappingProxyType({"issued": _ISSUED, "draft": Stamp()})


@dataclass(frozen=True)
class Fault:
    """One planted fault: where, what is done there, and what the proof must say of it."""

    where: str
    how: Mapping[str, Any]
    says: str
    rotor: str = "nr-0306"
    state: str = "issued"
    edition: str = "pouch"
    card: str = ""

    @property
    def name(self) -> str:
        """Say it in a few words."""
        done = ", ".join(f"{key} {value}" for key, value in self.how.items())
        return f"{self.edition if self.where == 'paper' else self.where} {self.card}: {done}"


def faults() -> tuple[Fault, ...]:
    """Read the table; ``each`` in a line stands for several faults of one kind."""
    table = tomllib.loads((Path(__file__).parent / "faults.toml").read_text("utf-8"))
    return tuple(
        Fault(where=where, **{key: value for key, value in entry.items() if key != "each"} | one)
        for where, entries in table.items()
        for entry in entries
        for one in entry.get("each", ({},))
    )


@cache
def deck_of(rotor: str, state: str) -> Deck:
    """Build a sample's deck once."""
    file = _TREE / "sample_inputs" / f"{rotor}.toml"
    read = load_bytes(file.read_bytes(), file.name, _DAY)
    assert isinstance(read, Loaded) and read.spec is not None
    return build_deck(read.spec, compute(read.spec), (), _STAMPS[state])


@cache
def _asked(rotor: str, state: str) -> Asked:
    deck = deck_of(rotor, state)
    return asked_of(deck.spec.text, deck.figures, deck.stamp)


def _edition(fault: Fault) -> Edition:
    paper = deck_of(fault.rotor, fault.state).spec.print
    return load_edition(fault.edition, paper.paper if paper else "iso")


@cache
def _printed(rotor: str, state: str, edition: str) -> Printed:
    fault = Fault("paper", {}, "", rotor, state, edition)
    made = print_edition(deck_of(rotor, state), _edition(fault))
    assert isinstance(made, Printed)
    return made


@cache
def _screens(rotor: str, state: str) -> Mapping[str, bytes]:
    return screens(deck_of(rotor, state))


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
    deck, asked = deck_of(fault.rotor, fault.state), _asked(fault.rotor, fault.state)
    name, edition = f"{fault.edition}.pdf", _edition(fault)
    true = _printed(fault.rotor, fault.state, fault.edition).layouts[name]
    if fault.card:
        true = tuple(side for side in true if side.card_id == fault.card)
        asked = replace(asked, only=(fault.card,))
    sides = true
    for what, how in fault.how.items():
        sides = _EDITS[what](sides, how)
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
    fault = Fault("paper", {}, "", rotor, state, edition, card)
    sides = _printed(rotor, state, edition).layouts[f"{edition}.pdf"]
    mine = [side for side in sides if not card or side.card_id == card]
    file = Finished(paint(mine, deck_of(rotor, state), _edition(fault)))
    return file, pages_of(file)


def _numbered(page: Page, number: int) -> Page:
    return replace(page, number=number, runs=tuple(run._replace(page=number) for run in page.runs))


@cache
def _copied(rotor: str) -> tuple[Side, ...]:
    laid = lay_out_notice(copied_notice(deck_of(rotor, "draft")))
    return tuple(side for side in laid if isinstance(side, Side))


def _on_copied(fault: Fault) -> list[str]:
    sides = _copied(fault.rotor)
    for what, how in fault.how.items():
        sides = _EDITS[what](sides, how)
    pdf = paint_bare(sides)
    return [*copied_against(pdf, _asked(fault.rotor, "draft")), *drawn_against(pdf)]


def _marks(sides: Sequence[Side], edit: Callable[[tuple[Mark, ...]], tuple[Mark, ...]]) -> tuple[Side, ...]:
    return tuple(replace(side, marks=edit(side.marks)) for side in sides)


def _texts(sides: Sequence[Side]) -> list[TextMark]:
    return [mark for side in sides for mark in side.marks if isinstance(mark, TextMark)]


def _nth(sides: Sequence[Side], text: str) -> TextMark:
    """Find a text on the sides; "text#2" is the second of them."""
    wanted, _, place = text.partition("#")
    same = [mark for mark in _texts(sides) if mark.text == wanted]
    assert len(same) >= int(place or 1), f"{text!r} is not on the card: {[mark.text for mark in _texts(sides)]}"
    return same[int(place or 1) - 1]


def _exchange(sides: Sequence[Side], new: Mapping[TextMark, TextMark | None]) -> tuple[Side, ...]:
    def edit(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
        changed = (new.get(mark, mark) if isinstance(mark, TextMark) else mark for mark in marks)
        return tuple(mark for mark in changed if mark is not None)

    return _marks(sides, edit)


def _set(sides: Sequence[Side], how: Sequence[str]) -> tuple[Side, ...]:
    mark = _nth(sides, how[0])
    return _exchange(sides, {mark: mark._replace(text=how[1])})


def _tone(sides: Sequence[Side], how: Sequence[Any]) -> tuple[Side, ...]:
    """Write a text in another shade."""
    mark = _nth(sides, how[0])
    return _exchange(sides, {mark: mark._replace(tone=how[1])})


def _swap(sides: Sequence[Side], how: Sequence[str]) -> tuple[Side, ...]:
    one, other = (_nth(sides, text) for text in how)
    return _exchange(sides, {one: one._replace(text=other.text), other: other._replace(text=one.text)})


def _drop(sides: Sequence[Side], how: Sequence[str]) -> tuple[Side, ...]:
    """Take away everything from one text to another."""
    texts = _texts(sides)
    first, last = (texts.index(_nth(sides, text)) for text in (how[0], how[-1]))
    assert first <= last
    return _exchange(sides, dict.fromkeys(texts[first : last + 1]))


def _move(sides: Sequence[Side], how: Sequence[Any]) -> tuple[Side, ...]:
    """Move everything from one text to another by points to the right and up."""
    texts = _texts(sides)
    first, last = (texts.index(_nth(sides, text)) for text in how[:2])
    moved = {mark: mark._replace(x=mark.x + how[2], y=mark.y + how[3]) for mark in texts[first : last + 1]}
    return _exchange(sides, moved)


def _caution(sides: Sequence[Side], name: str) -> list[TextMark]:
    """Find a caution by its name: its signal word and the lines of its words."""
    caution, texts = cautions()[name], _texts(sides)
    wanted = f"{caution['signal']} {caution['text']}"
    for first, mark in enumerate(texts):
        if mark.text == caution["signal"]:
            for last in range(first + 1, len(texts)):
                said = " ".join(each.text for each in texts[first : last + 1])
                if said == wanted:
                    return texts[first : last + 1]
                if not wanted.startswith(said):
                    break
    raise AssertionError(f"caution {name} is not on the card")


def _unguard(sides: Sequence[Side], how: str) -> tuple[Side, ...]:
    return _exchange(sides, dict.fromkeys(_caution(sides, how)))


def _lower(sides: Sequence[Side], how: Sequence[Any]) -> tuple[Side, ...]:
    """Set a caution lower by points, behind the step that it guards."""
    return _exchange(sides, {mark: mark._replace(y=mark.y - how[1]) for mark in _caution(sides, how[0])})


def _without_side(sides: Sequence[Side], how: int) -> tuple[Side, ...]:
    return (*sides[: how - 1], *sides[how:])


def _twice(sides: Sequence[Side], how: int) -> tuple[Side, ...]:
    return (*sides[:how], sides[how - 1], *sides[how:])


def _without_card(sides: Sequence[Side], how: str) -> tuple[Side, ...]:
    left = tuple(side for side in sides if side.card_id != how)
    assert len(left) < len(sides)
    return left


def _bar(sides: Sequence[Side], how: float) -> tuple[Side, ...]:
    def edit(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
        return tuple(
            mark._replace(x2=mark.x1 + (mark.x2 - mark.x1) * how)
            if isinstance(mark, LineMark) and abs(mark.x2 - mark.x1 - 283.46) < 0.1
            else mark
            for mark in marks
        )

    return _marks(sides, edit)


def _watermark(sides: Sequence[Side], how: bool) -> tuple[Side, ...]:
    outlines = [
        mark
        for side in _printed("nr-0306", "draft", "pouch").layouts["pouch.pdf"][:1]
        for mark in side.marks
        if isinstance(mark, PolygonMark) and mark.tone == "watermark"
    ]
    if how:
        return _marks(sides, lambda marks: (*outlines, *marks))
    return _marks(
        sides,
        lambda marks: tuple(m for m in marks if not (isinstance(m, PolygonMark) and m.tone == "watermark")),
    )


def _symbol(sides: Sequence[Side], how: str) -> tuple[Side, ...]:
    """Take the code symbol away, give it another card's, or darken a corner of it."""
    other = next(
        mark
        for side in _printed("nr-0306", "issued", "pouch").layouts["pouch.pdf"]
        if side.card_id == "balance"
        for mark in side.marks
        if isinstance(mark, QrMark)
    )

    def edit(mark: Mark) -> Mark | None:
        if not isinstance(mark, QrMark):
            return mark
        if how == "other":
            return mark._replace(matrix=other.matrix)
        if how == "corner":
            rows = [(True,) * 16 + row[16:] if at < 16 else row for at, row in enumerate(mark.matrix)]
            return mark._replace(matrix=tuple(rows))
        return None

    return _marks(sides, lambda marks: tuple(new for mark in marks if (new := edit(mark)) is not None))


_EDITS: Mapping[str, Callable[[Sequence[Side], Any], tuple[Side, ...]]] = MappingProxyType(
    {
        "set": _set,
        "swap": _swap,
        "drop": _drop,
        "move": _move,
        "unguard": _unguard,
        "lower": _lower,
        "without_side": _without_side,
        "twice": _twice,
        "without_card": _without_card,
        "bar": _bar,
        "watermark": _watermark,
        "symbol": _symbol,
        "over": lambda sides, how: hiding.over(sides, _nth(sides, how[0]), how),
        "strike": lambda sides, how: hiding.strike(sides, _nth(sides, how[0]), how[1]),
        "unband": lambda sides, how: hiding.unband(sides, _nth(sides, how)),
        "tone": _tone,
    }
)


def _in_file(fault: Fault) -> list[str]:
    """Plant what an editor of PDF files could in one card's finished file."""
    deck = deck_of(fault.rotor, fault.state)
    asked = replace(_asked(fault.rotor, fault.state), only=(fault.card,))
    sides = _printed(fault.rotor, fault.state, fault.edition).layouts[f"{fault.edition}.pdf"]
    pdf = paint([side for side in sides if side.card_id == fault.card], deck, _edition(fault))
    with pikepdf.open(BytesIO(pdf)) as file:
        IN_FILES[str(fault.how["edit"])](file)
        out = BytesIO()
        file.save(out)
    return list(prints_against({f"{fault.edition}.pdf": out.getvalue()}, asked, deck.spec.text))


_NAMES = MappingProxyType({"twin": "cards.html", "text": "cards.txt", "form": "log-entry.html"})


def _on_screen(fault: Fault) -> list[str]:
    """Exchange words in a finished screen, text or description."""
    deck, asked = deck_of(fault.rotor, fault.state), _asked(fault.rotor, fault.state)
    files = dict(_screens(fault.rotor, fault.state))
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
