"""Rules about the moves: which hand does what to which adjuster, by its mark on the metal.

The maker's own words stand beside the moves and are never read. What is looked at is data, so that any
language on the metal will do: a mark that is none of the adjusters', the same move for up and for down.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TypeGuard

from cardgen.spec.model.track import Move, Track
from cardgen.spec.problem import Path
from cardgen.spec.rules.papers_and_marks import alike
from cardgen.spec.rules.rule import Doubt, Doubts, rule
from cardgen.spec.rules.told_apart import look_alike
from cardgen.spec.text import Text

_PARTS = ("loosen", "tighten", "turn", "seen_from", "shorten", "lengthen")
#: What belongs together in one move.
_FORMS = ({"loosen", "tighten"}, {"turn", "seen_from"}, {"shorten"}, {"lengthen"})


def _reads(*ways: str, parts: tuple[str, ...] = _PARTS) -> str:
    return ", ".join(f"{way}.{blade}.{part}" for way in ways for blade in "ab" for part in parts)


_MOVES = f"track: {_reads('to_lower', 'to_raise')}"
#: Those parts that are marks.
_MARKED = ("loosen", "tighten", "shorten", "lengthen")
_SIDES = "sides, sides_a, sides_b"
_TURNING = re.compile(r"\b(leading|trailing|front|rear|fore|aft)\b", re.IGNORECASE)
_FROM_PAPER = "the move as the maker's document gives it, by the marks on the metal"


def sides_of(track: Track, blade: str) -> tuple[str, ...]:
    """Give the marks of one blade's adjusters, ``"a"`` or ``"b"``; none where they are not given."""
    own = track.sides_a if blade == "a" else track.sides_b
    return tuple(own or track.sides or ())


def undone(move: Move) -> Move:
    """Give the move that takes another one back."""
    other = {"clockwise": "counter-clockwise", "counter-clockwise": "clockwise"}
    return Move.model_construct(
        loosen=move.tighten,
        tighten=move.loosen,
        turn=other.get(move.turn or ""),
        seen_from=move.seen_from,
        shorten=move.lengthen,
        lengthen=move.shorten,
    )


@rule("track-move-form", _MOVES)
def track_move_form(track: Track) -> Doubts:
    """A move does not say exactly one thing that a hand can do."""
    for path, _, move in _moves(track):
        parts = _parts(move)
        if parts == {"turn"}:
            why = "a turn is the other way round when it is seen from the other end"
            yield Doubt(
                path, why, "seen_from beside it: the place from which the maker's document sees the turn"
            )
        elif parts not in _FORMS:
            why = f"it says {' and '.join(sorted(parts)) or 'nothing'}, which is no move that a hand could make"
            write = (
                "loosen and tighten, where a blade has two adjusters; where it has one, turn and seen_from, or "
                "shorten, or lengthen"
            )
            yield Doubt(path, why, write)


@rule("track-move-sides", f"{_MOVES}, {_SIDES}")
def track_move_sides(track: Track) -> Doubts:
    """A move is one for two adjusters where a blade has one, or the other way round."""
    for path, blade, move in _moves(track):
        two, sides = _parts(move) == _FORMS[0], sides_of(track, blade)
        if sides and _parts(move) in _FORMS and two != (len(sides) == 2):
            has = "two adjusters, and this does not say which of them" if len(sides) == 2 else "one adjuster"
            write = (
                "loosen and tighten, each with its mark"
                if len(sides) == 2
                else "turn and seen_from, or shorten"
            )
            yield Doubt(path, f"blade {blade.upper()} has {has}", f"{write}; or every adjuster under sides")


@rule("track-move-mark", f"track: {_reads('to_lower', 'to_raise', parts=_MARKED)}, {_SIDES}")
def track_move_mark(track: Track) -> Doubts:
    """A move names a mark that none of its blade's adjusters has."""
    for path, blade, move in _moves(track):
        sides = sides_of(track, blade)
        for part in _MARKED:
            mark = getattr(move, part)
            if mark is not None and sides and mark not in sides:
                listed = " and ".join(f'"{side}"' for side in sides)
                why = f"the adjusters of blade {blade.upper()} are marked {listed}, and none is marked so"
                near = next((side for side in sides if alike(side, mark)), None)
                write = f'"{near}", spelt as there' if near else "the mark as it is spelt under sides"
                yield Doubt((*path, part), why, write)


@rule("track-move-twice", f"track: {_reads('to_lower', 'to_raise', parts=_MARKED[:2])}")
def track_move_twice(track: Track) -> Doubts:
    """A move loosens and tightens the same adjuster."""
    for path, _, move in _moves(track):
        if move.loosen is not None and move.loosen == move.tighten:
            why = "this adjuster is loosened in the same move, so the blade would stay as it is"
            yield Doubt((*path, "tighten"), why, _FROM_PAPER)


@rule("track-sides-alike", f"track: {_SIDES}")
def track_sides_alike(track: Track) -> Doubts:
    """The two adjusters of a blade have the same mark."""
    for key in ("sides", "sides_a", "sides_b"):
        sides = getattr(track, key) or ()
        if len(sides) == 2 and look_alike(*sides):
            why = "the other adjuster has the same mark, so either could be turned"
            write = "the mark on the metal by which this adjuster differs from the other"
            yield Doubt((key, 1), why, write)


@rule("track-side-words", "track: basis, sides")
def track_side_words(track: Track) -> Doubts:
    """A shared bar's adjusters are told by leading or trailing, which change from blade to blade."""
    for place, side in enumerate(track.sides or ()):
        if track.basis == "whole bar" and _TURNING.search(side):
            why = "on a bar that both blades share, the front of one blade is the rear of the other"
            yield Doubt(("sides", place), why, "the mark on the metal, the same word wherever it is meant")


@rule("track-lower-same", f"track: basis, {_reads('to_lower')}")
def track_lower_same(track: Track) -> Doubts:
    """On a shared bar blade B is not lowered by the opposite of what lowers blade A."""
    moves = _lowering(track)
    if track.basis == "whole bar" and moves and moves[1] != undone(moves[0]):
        same = "the same move" if moves[0] == moves[1] else "this is not the opposite of the move that"
        why = f"{same} lowers blade A, and a shared bar that lowers one blade raises the other"
        yield Doubt(("to_lower", "b"), why, "the opposite move, in the same marks and seen from the same place")


@rule("track-lower-mirrored", f"track: basis, {_reads('to_lower')}", kind="warning")
def track_lower_mirrored(track: Track) -> Doubts:
    """Opposite moves lower the two blades, though each has adjusters of its own."""
    moves = _lowering(track)
    if track.basis not in {None, "whole bar"} and moves:
        first, second = map(_unmarked, moves)
        if second == undone(first):
            why = "this is the opposite of what lowers blade A, and a hand that mixes the two doubles the split"
            yield Doubt(
                ("to_lower", "b"), why, "nothing, if the marks on this metal and the maker's words say so"
            )


@rule("track-raise-same", _MOVES)
def track_raise_same(track: Track) -> Doubts:
    """What raises a blade is not the opposite of what lowers it."""
    for blade in ("a", "b"):
        lower, up = (getattr(getattr(track, way), blade, None) for way in ("to_lower", "to_raise"))
        if _formed(lower) and _formed(up) and up != undone(lower):
            same = "it is the move" if up == lower else "it is not the opposite of the move"
            why = f"{same} that lowers blade {blade.upper()}, and only its opposite raises the blade again"
            yield Doubt(("to_raise", blade), why, f"{_FROM_PAPER}, seen from the same place")


@rule("track-raise-unused", "track: basis, to_raise", kind="warning")
def track_raise_unused(track: Track) -> Doubts:
    """What raises a blade is given, but by its basis the rule only lowers one."""
    if track.to_raise is not None and track.basis in {"one blade", "whole bar"}:
        why = f'the basis is "{track.basis}", so no card says how one is raised; a wrong basis is wrong by two'
        yield Doubt(("to_raise",), why, "nothing, if the maker's document bears out the basis")


def _moves(track: Track) -> Iterator[tuple[Path, str, Move]]:
    for way in ("to_lower", "to_raise"):
        for blade in ("a", "b"):
            move = getattr(getattr(track, way), blade, None)
            if move is not None:
                yield (way, blade), blade, move


def _parts(move: Move) -> set[str]:
    return {part for part in _PARTS if getattr(move, part) is not None}


def _formed(move: Move | None) -> TypeGuard[Move]:
    return move is not None and _parts(move) in _FORMS


def _lowering(track: Track) -> tuple[Move, Move] | None:
    """Give both moves down where each is one; what is no move is told by its own rule."""
    both = track.to_lower
    return (both.a, both.b) if both is not None and _formed(both.a) and _formed(both.b) else None


def _unmarked(move: Move) -> Move:
    """Give a move without the mark of a single adjuster, which may differ from blade to blade."""
    any_mark = Text("it")
    return move.model_copy(
        update={part: any_mark for part in ("shorten", "lengthen") if getattr(move, part) is not None}
    )
