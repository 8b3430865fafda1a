"""What brings a blade down or up, lettered with the marks of its adjusters drawn as on the metal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from cardgen.deck.diagram import DrawnShape
from cardgen.deck.diagrams.parts import LETTERING, fits, lettering_width, marks, marks_width, note
from cardgen.spec.marks import DrawnMark
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.track import Move

Blade = Literal["a", "b"]
BLADES: tuple[Blade, ...] = ("a", "b")
WAYS: tuple[Literal["to_lower", "to_raise"], ...] = ("to_lower", "to_raise")
#: Between one move and the next.
_GAP = 3.0


@dataclass(frozen=True)
class HandMove:
    """One thing that the hand does: a verb, and the mark it is done at, in words and drawn."""

    verb: str
    name: str
    drawn: DrawnMark | None


def hand_moves(spec: RotorSpec, way: Literal["to_lower", "to_raise"], blade: Blade) -> tuple[HandMove, ...]:
    """Give what the hand does to a blade, in its order; nothing where the specification does not say it."""
    moves = getattr(spec.track, way)
    if moves is None:
        return ()
    move: Move = getattr(moves, blade)
    if move.loosen and move.tighten:
        pair = [HandMove("loosen", move.loosen, _drawn(spec, move.loosen))]
        pair.append(HandMove("tighten", move.tighten, _drawn(spec, move.tighten)))
        return tuple(pair[::-1] if spec.track.first_move == "tighten" else pair)
    if move.turn:
        seen = f"from {move.seen_from}" if move.seen_from else ""
        return (HandMove(f"turn {move.turn}", seen, None),)
    for verb, name in (("shorten", move.shorten), ("lengthen", move.lengthen)):
        if name:
            return (HandMove(verb, name, _drawn(spec, name)),)
    return ()


def adjuster_marks(spec: RotorSpec, blade: Blade = "a") -> tuple[tuple[str, DrawnMark | None], ...]:
    """Name the adjusters of a blade, with their marks as drawn."""
    own = spec.track.sides_a if blade == "a" else spec.track.sides_b
    names = spec.track.sides or own or ()
    return tuple((str(name), _drawn(spec, name)) for name in names)


def _drawn(spec: RotorSpec, name: str) -> DrawnMark | None:
    pairs = zip(spec.track.sides or (), spec.track.sides_drawn or (), strict=False)
    return next((drawn for side, drawn in pairs if side == name), None)


def move_lines(x: float, y: float, hand: Sequence[HandMove], width: float) -> Iterator[DrawnShape]:
    """Letter moves one after the other at a baseline: verb, drawn mark, and the names where all of them fit."""
    named = named_width(hand) <= width
    at = x
    for move in hand:
        yield note(at, y, move.verb, "start", bold=True)
        inner = at + lettering_width(move.verb, bold=True) + 1.0
        yield from marks(inner, y + 0.34 * LETTERING, move.drawn)
        if named or move.drawn is None:
            inner += marks_width(move.drawn) + (1.5 if move.drawn else 0.0)
            if move.name and fits(move.name, x + width - inner):
                yield note(inner, y, move.name, "start")
        at += _named_width(move) + _GAP if named else width / len(hand)


def named_width(hand: Sequence[HandMove]) -> float:
    """How wide moves are with the names of their marks, one after the other."""
    return sum(map(_named_width, hand)) + _GAP * (len(hand) - 1)


def _named_width(move: HandMove) -> float:
    drawn = marks_width(move.drawn) + (1.5 if move.drawn else 0.0)
    return lettering_width(move.verb, bold=True) + 1.0 + drawn + lettering_width(move.name)


def moves_are_lettered(spec: RotorSpec) -> bool:
    """Whether drawings alone tell the hand everything: every mark is drawn, and the maker says no words."""
    return spec.track.said is None and moves_are_drawn(spec)


def moves_are_drawn(spec: RotorSpec) -> bool:
    """Whether the mark of every move is drawn, whatever words the maker has for it beside."""
    hands = [hand_moves(spec, way, blade) for way in WAYS for blade in BLADES]
    return all(move.drawn for hand in hands for move in hand)


def told(hand: Sequence[HandMove]) -> str:
    """Say moves in words, for where a drawing cannot be seen."""
    return ", then ".join(_told(move) for move in hand)


def _told(move: HandMove) -> str:
    """A side word is a mark and no amount."""
    if move.verb in ("loosen", "tighten"):
        return f"{move.verb} the one marked {move.name}"
    return f"{move.verb} {move.name}".strip()
