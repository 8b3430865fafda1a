"""The whole proof of what is printed, in the one order that every command uses."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from functools import partial
from importlib import import_module
from typing import Literal

from cardgen.deck.card import Deck
from cardgen.press.canvas import paint_bare
from cardgen.press.deck_json import to_json
from cardgen.press.edition import Edition
from cardgen.press.layout import Overflow
from cardgen.press.marks import Side
from cardgen.press.notice import COPIED, Notice, copied_notice, lay_out_notice
from cardgen.press.publish import Printed, print_edition, screens, with_data
from cardgen.press.type import register
from cardgen.proof.finished import Finished, opened
from cardgen.proof.fork import side_by_side
from cardgen.proof.geometry import check_clips, check_geometry
from cardgen.proof.ink import check_ink
from cardgen.proof.meaning.asked import Asked
from cardgen.proof.meaning.compare import (
    DATA,
    asked_of,
    copied_against,
    data_against,
    drawn_against,
    prints_against,
    screens_against,
)
from cardgen.proof.meaning.hygiene import type_against
from cardgen.proof.read_back import check_places
from cardgen.proof.recheck import check_second_path

#: What every edition needs. Loaded before the process is copied, or each copy would load it again.
_NEEDED = ("pypdf", "pypdfium2", "qrcode.main", "reportlab.pdfgen.canvas", "zxingcpp")


@dataclass(frozen=True)
class Against:
    """Why a deck may not leave the program: text that does not fit, or a proof that failed; a line each."""

    kind: Literal["fit", "proof"]
    lines: tuple[str, ...]


@dataclass(frozen=True)
class _PrintedPart:
    """What became of one edition, or of the screens: its files, and what stands against them."""

    files: Mapping[str, bytes] = field(default_factory=dict)
    overflows: tuple[Overflow, ...] = ()
    faults: tuple[str, ...] = ()


def print_proved(deck: Deck, editions: Sequence[Edition], cores: int = 1) -> Mapping[str, bytes] | Against:
    """Print a deck and prove it: finished files by name, or what stands against every one of them.

    This is the only way from a deck to files that a keeper gets. The editions are printed and proved
    at the same time, on so many cores.
    """
    for name in _NEEDED:
        import_module(name)
    register()
    # An edition with sheets of two sides is the longest work, and begins first.
    asked = asked_of(deck.spec.text, deck.figures, deck.stamp, deck.only)
    order = sorted(range(len(editions)), key=lambda at: not editions[at].two_up)
    jobs = [
        *(partial(_edition, deck, editions[at], asked) for at in order),
        partial(_copied, deck, asked),
        partial(_screens, deck, asked),
    ]
    *done, copied, shown = side_by_side(jobs, min(cores, len(jobs)))
    parts = [*(done[order.index(at)] for at in range(len(editions))), copied, shown]
    if overflows := [str(overflow) for part in parts for overflow in part.overflows]:
        return Against("fit", tuple(overflows))
    if against := [*sums_against(deck), *type_against(), *(fault for part in parts for fault in part.faults)]:
        return Against("proof", shortened(against))
    files = {name: content for part in parts for name, content in part.files.items()}
    whole = with_data(files, deck)
    if against := [*data_against(whole[DATA], files, asked, deck.spec.text)]:
        return Against("proof", shortened(against))
    return whole


def print_notice(notice: Notice) -> bytes | Against:
    """Print a notice and prove it: a finished PDF, or what stands against it.

    This is the only way to paper for what is no card of a deck.
    """
    pdf, overflows, faults = _notice(notice, drawn_against)
    if overflows:
        return Against("fit", tuple(map(str, overflows)))
    return Against("proof", shortened(faults)) if faults else pdf


def shortened(against: Sequence[str], most: int = 12) -> tuple[str, ...]:
    """Keep the first lines and count the rest: one fault of a layout shows on every page."""
    if len(against) <= most:
        return tuple(against)
    return (*against[:most], f"and {len(against) - most} more")


def _edition(deck: Deck, edition: Edition, asked: Asked) -> _PrintedPart:
    printed = print_edition(deck, edition)
    if not isinstance(printed, Printed):
        return _PrintedPart(overflows=printed)
    with ExitStack() as held:
        files = {name: held.enter_context(opened(content)) for name, content in printed.files.items()}
        faults = (
            *files_against(files, printed.layouts, deck),
            *prints_against(files, asked, deck.spec.text),
        )
    return _PrintedPart(printed.files, faults=faults)


def _copied(deck: Deck, asked: Asked) -> _PrintedPart:
    pdf, overflows, faults = _notice(
        copied_notice(deck),
        partial(copied_against, asked=asked, spec=deck.spec.text, told=json.loads(to_json(deck))),
    )
    if overflows:
        return _PrintedPart(overflows=overflows)
    return _PrintedPart({COPIED: pdf}, faults=tuple(f"{COPIED}: {fault}" for fault in faults))


def _notice(
    notice: Notice, more: Callable[[Finished], Iterable[str]]
) -> tuple[bytes, tuple[Overflow, ...], tuple[str, ...]]:
    """Print a notice: its file, what does not fit, and what stands against the finished file.

    ``more`` is what is asked of its words and how they are drawn.
    """
    laid = lay_out_notice(notice)
    sides = tuple(side for side in laid if isinstance(side, Side))
    if len(sides) < len(laid):
        return b"", tuple(each for each in laid if isinstance(each, Overflow)), ()
    pdf = paint_bare(sides, notice.title)
    with opened(pdf) as file:
        return pdf, (), (*map(str, _faults(file, sides, notice.deck)), *more(file))


def _screens(deck: Deck, asked: Asked) -> _PrintedPart:
    files = screens(deck)
    return _PrintedPart(files, faults=tuple(screens_against(files, asked)))


def sums_against(deck: Deck) -> Iterator[str]:
    """Compute the figures a second time, another way, and say in a line each which differ."""
    for each in check_second_path(deck.spec.text, deck.figures):
        yield f'figure {each.figure}: "{each.expected}" by the second calculation, "{each.found}" by the first'


def files_against(
    files: Mapping[str, bytes | Finished], layouts: Mapping[str, Sequence[Side]], deck: Deck
) -> Iterator[str]:
    """Examine each file's record, read the finished file back and look at it; say each fault in a line."""
    for name, sides in layouts.items():
        yield from (f"{name}: {fault}" for fault in _faults(files[name], sides, deck))


def _faults(pdf: bytes | Finished, sides: Sequence[Side], deck: Deck | None) -> tuple[object, ...]:
    """Find everything that stands against one finished file."""
    with opened(pdf) as file:
        return (
            *check_geometry(sides),
            *check_places(file, sides, deck),
            *check_clips(file),
            *check_ink(file, sides),
        )
