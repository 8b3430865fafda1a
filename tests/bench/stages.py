"""What each stage of one draft costs in processor time, inside one cold process.

Run as a module with a specification and a day; prints one line a stage: its name and milliseconds.
What a process does once, however many pages it makes, comes first.
"""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import Any, TypeVar

Made = TypeVar("Made")

_NEEDED = (
    *("cardgen.spec.load", "cardgen.figures", "cardgen.deck.build", "cardgen.press.html", "cardgen.press.form"),
    *("cardgen.press.deck_json", "cardgen.proof.prove", "qrcode.main", "pypdfium2", "reportlab.pdfgen.canvas"),
    *("pypdf", "zxingcpp"),
)

#: Stages whose cost grows with the number of pages.
BY_THE_PAGE = (
    *("layout", "paint", "proof: geometry", "proof: by place", "proof: clips", "proof: ink"),
    *("proof: reading pages", "proof: words as drawn", "proof: meaning", "proof: structure"),
)


class Clock:
    """Times one stage after another."""

    def __init__(self) -> None:
        self.spent: dict[str, float] = {}

    def time(self, stage: str, make: Callable[[], Made]) -> Made:
        """Do something and add its processor time, in seconds, to a stage."""
        started = time.process_time()
        made = make()
        self.spent[stage] = self.spent.get(stage, 0.0) + time.process_time() - started
        return made


def measure(spec: Path, today: date) -> Clock:
    """Make a draft of all editions, stage by stage."""
    clock = Clock()
    clock.time("start: imports and type", _start)
    loaded = clock.time("load", lambda: _loaded(spec, today))
    figures = clock.time("figures", lambda: _figures(loaded.spec))
    deck = clock.time("deck", lambda: _deck(loaded, figures))
    laid = clock.time("layout", lambda: _laid(deck))
    pdfs = clock.time("paint", lambda: _painted(deck, laid))
    screens = clock.time("screens", lambda: _screens(deck))
    clock.time("proof: second calculation", lambda: _second(deck))
    asked = clock.time("proof: what a deck must say", lambda: _asked(deck))
    for name, (_, sides) in laid.items():
        _prove(clock, (name, pdfs[name]), sides, deck, asked)
    clock.time("proof: screens", lambda: _prove_screens(screens, asked))
    clock.time("second reader's sheet", lambda: _copied(deck))
    return clock


def _start() -> None:
    for name in _NEEDED:
        import_module(name)
    import_module("cardgen.press.type").register()


def _loaded(spec: Path, today: date) -> Any:
    from cardgen.spec.load import load

    return load(spec, today)


def _figures(spec: Any) -> Any:
    from cardgen.figures import compute

    return compute(spec)


def _deck(loaded: Any, figures: Any) -> Any:
    from cardgen.deck.build import build_deck
    from cardgen.deck.card import Stamp

    return build_deck(loaded.spec, figures, loaded.warnings, Stamp())


def _laid(deck: Any) -> dict[str, tuple[Any, Any]]:
    from cardgen.press.edition import editions_of
    from cardgen.press.halves import lay_out_halves
    from cardgen.press.layout import lay_out
    from cardgen.press.sheets import two_up

    laid: dict[str, tuple[Any, Any]] = {}
    for edition in editions_of(deck.spec):
        sides: Any = lay_out(deck, edition)
        laid[edition.name] = edition, sides
        if edition.two_up:
            laid[f"{edition.name}-2up"] = edition, two_up(sides, edition)
        if edition.halves:
            laid[f"{edition.name}-halves"] = edition, lay_out_halves(deck, edition)
    return laid


def _painted(deck: Any, laid: dict[str, tuple[Any, Any]]) -> dict[str, bytes]:
    from cardgen.press.canvas import paint

    return {name: paint(sides, deck, edition) for name, (edition, sides) in laid.items()}


def _screens(deck: Any) -> dict[str, bytes]:
    from cardgen.press.publish import screens, with_data

    return with_data(screens(deck), deck)


def _second(deck: Any) -> None:
    from cardgen.proof.recheck import check_second_path

    assert not check_second_path(deck.spec.text, deck.figures)


def _asked(deck: Any) -> Any:
    from cardgen.proof.meaning.compare import asked_of

    return asked_of(deck.spec.text, deck.figures, deck.stamp)


def _prove(clock: Clock, named: tuple[str, bytes], sides: Any, deck: Any, asked: Any) -> None:
    from cardgen.proof.finished import opened
    from cardgen.proof.geometry import check_clips, check_geometry
    from cardgen.proof.ink import check_ink
    from cardgen.proof.meaning.compare import drawn_on
    from cardgen.proof.meaning.hygiene import structure_against
    from cardgen.proof.meaning.pages import pages_of
    from cardgen.proof.read_back import check_places

    name, pdf = named
    with opened(pdf) as file:
        assert not clock.time("proof: geometry", lambda: check_geometry(sides))
        assert not clock.time("proof: by place", lambda: check_places(file, sides, deck))
        assert not clock.time("proof: clips", lambda: check_clips(file))
        assert not clock.time("proof: ink", lambda: check_ink(file, sides))
        pages = clock.time("proof: reading pages", lambda: pages_of(file))
        assert not clock.time("proof: words as drawn", lambda: list(drawn_on(pages)))
        clock.time("proof: meaning", lambda: _meaning(name, file, pages, asked))
    assert not clock.time("proof: structure", lambda: list(structure_against(pdf, asked, deck.spec.text)))


def _meaning(name: str, file: Any, pages: Any, asked: Any) -> None:
    """Compare cards with what they must mean, codes among it; sheets of two sides show the same ones again."""
    from cardgen.proof.meaning.asked import edition
    from cardgen.proof.meaning.compare import cards_of
    from cardgen.proof.meaning.frame import paired

    base, _, shape = name.partition("-")
    if shape != "2up":
        whole = paired(pages) if shape else pages
        assert not list(cards_of(file, whole, asked, edition(base)))


def _prove_screens(files: Any, asked: Any) -> None:
    from cardgen.proof.meaning.compare import screens_against

    assert not list(screens_against(files, asked))


def _copied(deck: Any) -> None:
    from cardgen.press.notice import copied_notice
    from cardgen.proof.prove import print_notice

    assert isinstance(print_notice(copied_notice(deck)), bytes)


if __name__ == "__main__":
    # As an installation has it, and as the command line sets it.
    sys.modules["numpy"] = None  # type: ignore[assignment]
    gc.set_threshold(100_000, 20, 20)
    for stage, seconds in measure(Path(sys.argv[1]), date.fromisoformat(sys.argv[2])).spent.items():
        print(f"{stage}\t{seconds * 1000:.1f}")
