"""The order of the day as a way to follow: its cards, the wait for the cure, and the loop round the track."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import HEAVY, NORMAL, Diagram, DrawnShape, Label, Line
from cardgen.deck.diagrams.parts import box, lettering_width
from cardgen.deck.listed_cards import listed_cards
from cardgen.deck.selection import cards_of
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_LEFT, _TALL, _STEP = 0.6, 10.2, 12.8
#: Lettering of a card's name and of what stands beside it, and white from a name to the edge of its box.
_NAME, _SMALL, _PAD = 9.0, 5.4, 3.0
#: Cards that the loop round the track goes through.
_LOOP = ("run-up", "track", "teeter", "second-reading")


def day_flow(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw the day's cards in order, those of the bench, the aircraft and the turning rotor apart."""
    listed = listed_cards()
    day = [name for name in cards_of(spec) if listed[name].worked]
    # No wider than its words: the narrower the board, the larger its lettering in a column.
    right = _LEFT + max(lettering_width(listed[name].title, _NAME, bold=True) for name in day) + 2 * _PAD
    beside = [words for name in day for words in (listed[name].phase, *_beside(spec, name))]
    board = right + 5.0 + max(lettering_width(words, _SMALL, bold=True) for words in beside) + 0.6
    height = round(_STEP * len(day) + 2.0, 1)
    return Diagram(
        name="day-flow",
        width=round(board, 1),
        height=height,
        title="The day in order",
        description="\n".join(_description(spec, day)),
        shapes=tuple(_shapes(spec, day, height, round(right, 1), round(board, 1))),
    )


def _turns_again(spec: RotorSpec) -> bool:
    return spec.track.method != "none"


def _stops_move(spec: RotorSpec) -> bool:
    return spec.teeter is not None and spec.teeter.thrust == "adjustable"


def _shapes(spec: RotorSpec, day: list[str], height: float, right: float, board: float) -> Iterator[DrawnShape]:
    at = {name: round(height - _STEP * (place + 1) + 1.4, 1) for place, name in enumerate(day)}
    listed, phase = listed_cards(), ""
    for name, y in at.items():
        card = listed[name]
        heavy = HEAVY if name == "track" else NORMAL
        yield box(_LEFT, y, right, y + _TALL, heavy, "white")
        yield Label(_LEFT + _PAD, y + 2.4, card.title, _NAME, bold=True, anchor="start")
        if card.phase != phase:
            phase = card.phase
            yield Label(board - 0.6, y + _TALL - 4.0, phase, _SMALL, bold=True, anchor="end")
            yield Line(right + 4.0, y + _TALL + 1.2, board - 0.6, y + _TALL + 1.2, NORMAL)
        if name != day[-1]:
            yield Line((_LEFT + right) / 2, y, (_LEFT + right) / 2, y - _STEP + _TALL, NORMAL, arrow=True)
        for line, words in enumerate(_beside(spec, name)):
            low = y - 2.0 if name == "track" else y + 6.6
            yield Label(right + 5.0, low - 5.6 * line, words, _SMALL, anchor="start")
    if _turns_again(spec) and {"track", "run-up"} <= set(day):
        yield from _loop(at["track"], at["run-up"], right)


def _loop(track: float, run: float, right: float) -> Iterator[DrawnShape]:
    """From the track back to the run: one change, one run."""
    low, high = track + 0.65 * _TALL, run + 0.35 * _TALL
    yield Line(right, low, right + 4.0, low, HEAVY)
    yield Line(right + 4.0, low, right + 4.0, high, HEAVY)
    yield Line(right + 4.0, high, right, high, HEAVY, arrow=True)


def _beside(spec: RotorSpec, name: str) -> tuple[str, ...]:
    """What stands beside a card, line by line: when it is worked, what is waited for, what comes back."""
    if name == "sealing":
        return "if opened:", "wait for cure"
    if name == "string" and spec.rotor.alignment == "self-centring":
        return "a check,", "if wanted"
    if name == "string":
        return "and again", "before pins"
    if name == "track" and _turns_again(spec):
        return ("one change,", "one run") if not _stops_move(spec) else ("each move:", "teeter again")
    return ()


def _description(spec: RotorSpec, day: list[str]) -> Iterator[str]:
    listed = listed_cards()
    yield ("In order: " + ", ".join(listed[name].title for name in day) + ".")
    if "sealing" in day:
        yield "Tips only where one is opened; then nothing turns before the end of the cure."
    if _turns_again(spec):
        yield "From Track back to Run-up: one change, one run."
        if _stops_move(spec):
            yield "After every move of an adjuster, Teeter play before that run."
