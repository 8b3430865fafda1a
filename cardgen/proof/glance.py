"""One sheet as it would print now, as a picture, for whoever fills in a specification.

Only the card that is asked for is set and printed. Nothing of it leaves the program as a file.
"""

from __future__ import annotations

import struct
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck, Stamp
from cardgen.deck.fault import BuildFault
from cardgen.deck.landing import landings, made_from, said_otherwise
from cardgen.deck.listed_cards import listed_cards
from cardgen.figures import Figures, compute
from cardgen.figures.figure import Figure
from cardgen.press.canvas import paint
from cardgen.press.edition import EditionError, editions_of
from cardgen.press.layout import Overflow, chosen, lay_out
from cardgen.press.marks import Side, TextMark
from cardgen.proof.finished import opened
from cardgen.spec.load import Loaded, load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.positions import Positions
from cardgen.spec.problem import Path, key_of
from cardgen.spec.written import value_at

#: Pixels a point: a sheet is then as sharp as a large screen shows it.
_PIXELS = 1.8
#: Words shorter than this stand in many places by chance.
_FEW_LETTERS = 3


@dataclass(frozen=True)
class Spot:
    """A number or words on the sheet, in points from its upper left; ``of`` is its figure's id, or its key."""

    x: float
    y: float
    width: float
    height: float
    text: str
    of: str
    is_marked: bool


@dataclass(frozen=True)
class Glance:
    """One side of a card. ``told`` says of each figure on it, in lines, where it comes from, down to the paper.

    ``cards`` are all that there are, by id; ``lands`` names for every key of the file the cards it is
    found on, where the whole deck was asked, else nothing.
    """

    card: str
    title: str
    edition: str
    side: int
    sides: int
    width: float
    height: float
    picture: bytes
    spots: tuple[Spot, ...]
    told: Mapping[str, tuple[str, ...]]
    cards: tuple[tuple[str, str], ...]
    lands: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class NoGlance:
    """Why there is no sheet, in words."""

    why: str


@dataclass(frozen=True)
class GlanceTask:
    """Print one side: without ``card`` of the first that ``key`` is on, with ``side`` 0 the first with it."""

    text: bytes
    today: date
    key: str = ""
    path: Path = ()
    card: str = ""
    side: int = 0

    def __call__(self) -> Glance | NoGlance:
        """Set it and print it."""
        try:
            loaded, figures = _known(self.text, self.today)
            if loaded.spec is None or figures is None:
                return NoGlance(_left_words(len(loaded.problems)))
            only = (self.card,) if self.card else ()
            deck = _built(self.text, self.today, only)
            return self._printed(deck, loaded.spec)
        except (BuildFault, EditionError) as fault:
            return NoGlance(f"The layouts are at fault, not what was filled in: {fault}.")

    def _printed(self, deck: Deck, spec: RotorSpec) -> Glance | NoGlance:
        lands = {} if self.card else _lands(deck, self.path)
        ids = {each.title: each.id for each in deck.cards}
        here = lands.get(self.key, ()) if self.key else ()
        wanted = self.card or next(iter(here), deck.cards[0].id if deck.cards else "")
        found = next((each for each in deck.cards if each.id == wanted), None)
        if found is None:
            return NoGlance("This card is left out now: its group is not in the file.")
        one = replace(deck, cards=(found,))
        closure: dict[str, frozenset[str]] = {}
        typed = _words_at(spec, self.path)
        sheets = []
        for edition in reversed(editions_of(spec)):
            if not chosen(one, edition):
                continue
            sides = lay_out(one, edition)
            if over := [each for each in sides if isinstance(each, Overflow)]:
                return NoGlance(f"Too much for its place. {over[0]}.")
            whole = tuple(each for each in sides if isinstance(each, Side))
            spots = [_spots(each, self.key, typed, deck.figures, closure) for each in whole]
            sheets.append((edition, whole, spots))
            if "." not in self.key or _any(spots):
                break
        if not sheets:
            return NoGlance(f"None of the editions that are made has the card {found.title}.")
        edition, whole, spots = sheets[-1] if _any(sheets[-1][2]) else sheets[0]
        marked = (at for at, each in enumerate(spots, 1) if any(spot.is_marked for spot in each))
        side = min(self.side or next(marked, 1), len(whole))
        shown = whole[side - 1]
        names = {spot.of for spot in spots[side - 1]}
        lines = Positions(self.text).lines()
        return Glance(
            found.id,
            found.title,
            edition.title,
            side,
            len(whole),
            shown.width,
            shown.height,
            _picture(paint((shown,), one, edition)),
            spots[side - 1],
            {name: tuple(_told(deck.figures, name, lines)) for name in sorted(names) if name in deck.figures},
            tuple((name, _title(name)) for name in deck.names) if deck.names else tuple(ids.items()),
            lands,
        )


@lru_cache(maxsize=2)
def _known(text: bytes, today: date) -> tuple[Loaded, Figures | None]:
    loaded = load_bytes(text, "", today)
    return loaded, compute(loaded.spec) if loaded.spec else None


@lru_cache(maxsize=4)
def _built(text: bytes, today: date, only: tuple[str, ...]) -> Deck:
    loaded, figures = _known(text, today)
    assert loaded.spec is not None and figures is not None
    return build_deck(loaded.spec, figures, loaded.warnings, Stamp(), only=only)


def _left_words(count: int) -> str:
    lines = "One thing stands" if count == 1 else f"{count} things stand"
    return f"{lines} against cards. The sheet comes when nothing does: no card is made of half a file."


def _title(name: str) -> str:
    return listed_cards()[name].title


def _lands(deck: Deck, path: Path) -> Mapping[str, tuple[str, ...]]:
    ids = {card.title: card.id for card in deck.cards}
    found = {key: tuple(ids[title] for title in titles) for key, titles in landings(deck).items()}
    key = key_of(path)
    if path and key not in found and (others := said_otherwise(path)):
        found[key] = tuple(card.id for card in deck.cards if card.id in others)
    if key and key not in found:
        # A list or a group is found first where most of it is.
        within = [cards for each, cards in found.items() if each.startswith((f"{key}[", f"{key}."))]
        often = Counter(card for cards in within for card in cards)
        found[key] = tuple(card for card, _ in often.most_common())
    found.pop("", None)
    return found


def _any(spots: Iterable[tuple[Spot, ...]]) -> bool:
    return any(spot.is_marked for each in spots for spot in each)


def _words_at(spec: RotorSpec, path: Path) -> str:
    value = value_at(spec.table, path)
    return value if isinstance(value, str) else ""


def _spots(
    side: Side, key: str, typed: str, figures: Mapping[str, Figure], closure: dict[str, frozenset[str]]
) -> tuple[Spot, ...]:
    return tuple(
        Spot(
            mark.x,
            side.height - mark.y - 0.8 * mark.size,
            mark.width,
            mark.size,
            mark.text,
            mark.figure,
            _is_marked(mark, key, figures, closure),
        )
        for mark in side.marks
        if isinstance(mark, TextMark) and mark.text.strip() and (mark.figure or _quotes(mark, typed))
    )


def _is_marked(
    mark: TextMark, key: str, figures: Mapping[str, Figure], closure: dict[str, frozenset[str]]
) -> bool:
    if "." not in key:
        return False
    if not mark.figure:
        return True
    made = made_from(mark.figure, figures, closure)
    return any(each == key or each.startswith((f"{key}[", f"{key}.")) for each in made)


def _quotes(mark: TextMark, typed: str) -> bool:
    text = mark.text.strip()
    return (
        mark.role == "said" and bool(typed) and (text == typed or (len(text) >= _FEW_LETTERS and text in typed))
    )


def _told(figures: Mapping[str, Figure], name: str, lines: Mapping[str, int]) -> Iterator[str]:
    figure = figures[name]
    yield figure.shown
    if figure.formula:
        yield f"made: {figure.formula}"
        for each in sorted(made_from(name, figures, {}) - {name}):
            stated = figures.get(each)
            if stated is not None and not stated.formula:
                yield f"from: {each}, {stated.shown}, {stated.reference}{_line(lines, each)}"
    else:
        yield f"from: {figure.reference}{_line(lines, name)}"


def _line(lines: Mapping[str, int], key: str) -> str:
    return f"; line {lines[key]} of the file" if key in lines else ""


def _picture(pdf: bytes) -> bytes:
    """Render the first page, and write it as PNG in shades of grey (W3C, PNG third edition)."""
    with opened(pdf) as file:
        bitmap = file.page(1).render(scale=_PIXELS, grayscale=True)
        width, height, stride = bitmap.width, bitmap.height, bitmap.stride
        shades = bytes(bitmap.buffer)
        bitmap.close()
    rows = b"".join(b"\0" + shades[at * stride : at * stride + width] for at in range(height))
    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", zlib.compress(rows, 1)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in chunks
    )
