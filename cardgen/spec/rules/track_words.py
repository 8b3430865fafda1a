"""Rules about the words that say which way to turn which adjuster of which blade.

The words are printed as they stand. They are looked at only for what would send a hand the wrong
way: no blade named or the wrong one, no mark on the metal, the same move for up and for down.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from cardgen.spec.model.running import Track
from cardgen.spec.rules.papers_and_marks import alike
from cardgen.spec.rules.rule import Doubt, Doubts, rule

_KEYS = ("to_lower_a", "to_lower_b", "to_raise_a", "to_raise_b")
_MOVES = f"track: {', '.join(_KEYS)}"
_TURNING = re.compile(r"\b(leading|trailing)\b", re.IGNORECASE)
_BLADE = re.compile(r"\bblade\s+([AB])\b", re.IGNORECASE)
_VERB = re.compile(r"\b(loosen|tighten)\b", re.IGNORECASE)


@rule("track-side-words", f"{_MOVES}, basis, sides")
def track_side_words(track: Track) -> Doubts:
    """A shared bar's sides are called leading or trailing, which change from blade to blade."""
    if track.basis == "whole bar":
        why = "on a bar that both blades share, the leading side of one blade is the trailing side of the other"
        write = "the side by its mark on the metal, the same word wherever it is meant"
        for place, side in enumerate(track.sides or ()):
            if _TURNING.search(side):
                yield Doubt(("sides", place), why, write)
        for key, words in _moves(track):
            if _TURNING.search(words):
                yield Doubt((key,), why, write)


@rule("track-sides-alike", "track: sides")
def track_sides_alike(track: Track) -> Doubts:
    """The two adjusters of a blade have the same mark."""
    if track.sides is not None and len(track.sides) == 2 and alike(*track.sides):
        why = "the other adjuster has the same mark, so either could be turned"
        yield Doubt(("sides", 1), why, "the mark on the metal by which this adjuster differs from the other")


@rule("track-words-blade", f"{_MOVES}, basis")
def track_words_blade(track: Track) -> Doubts:
    """Words that lower or raise a blade name no blade, or the other one."""
    for key, words in _moves(track):
        own = key[-1].upper()
        named = {blade.upper() for blade in _BLADE.findall(words)}
        if track.basis == "whole bar" and not named:
            continue  # One adjuster serves both blades there: the side alone is enough.
        if named != {own}:
            found = f"names blade {' and blade '.join(sorted(named))}" if named else "names no blade"
            why = f"this stands for blade {own} and {found}, so the hand may go to the wrong one"
            yield Doubt(
                (key,),
                why,
                f"the move that belongs to blade {own}, from the maker's document, naming blade {own}",
            )


@rule("track-words-side", f"{_MOVES}, sides")
def track_words_side(track: Track) -> Doubts:
    """Words that lower or raise a blade use no mark listed under sides, or not after each move."""
    for key, words in _moves(track):
        if why := _unmarked(track.sides or (), words):
            yield Doubt((key,), why, "each move with the mark on the metal, spelt as under sides")


@rule("track-words-move", _MOVES)
def track_words_move(track: Track) -> Doubts:
    """Words that lower or raise a blade do not say loosen or tighten."""
    for key, words in _moves(track):
        if not _VERB.search(words):
            why = "nothing in it says whether the adjuster is loosened or tightened"
            yield Doubt((key,), why, "loosen or tighten before each mark on the metal")


@rule("track-first-move", f"{_MOVES}, first_move")
def track_first_move(track: Track) -> Doubts:
    """Words that lower or raise a blade begin with the other move than first_move."""
    for key, words in _moves(track):
        verbs = [verb.lower() for verb in _VERB.findall(words)]
        if track.first_move is not None and len(set(verbs)) == 2 and verbs[0] != track.first_move:
            why = f'first_move is "{track.first_move}", but these words begin with {verbs[0]}'
            yield Doubt((key,), why, "the two moves in the order that the maker's document gives them")


@rule("track-lower-same", "track: basis, sides, to_lower_a, to_lower_b")
def track_lower_same(track: Track) -> Doubts:
    """On a shared bar the same move lowers blade A and blade B."""
    a, b = track.to_lower_a, track.to_lower_b
    if track.basis == "whole bar" and a is not None and b is not None and _same_move(track, a, b):
        why = "the same move lowers blade A, and a shared bar that lowers one blade raises the other"
        yield Doubt(("to_lower_b",), why, "the opposite move, by the marks on the metal")


@rule("track-raise-same", f"{_MOVES}, sides")
def track_raise_same(track: Track) -> Doubts:
    """The same move lowers and raises one blade."""
    for blade in ("a", "b"):
        lower, raising = getattr(track, f"to_lower_{blade}"), getattr(track, f"to_raise_{blade}")
        if lower is not None and raising is not None and _same_move(track, lower, raising):
            why = f"it is the move that to_lower_{blade} gives for going down"
            yield Doubt(
                (f"to_raise_{blade}",),
                why,
                "the move that raises this blade, by the marks on the metal",
            )


def _moves(track: Track) -> Iterator[tuple[str, str]]:
    for key in _KEYS:
        words = getattr(track, key)
        if words is not None:
            yield key, words


def _unmarked(sides: Sequence[str], words: str) -> str:
    """Say where a mark is missing: after each loosen or tighten one of the listed marks must stand."""
    marks = " or ".join(f'"{side}"' for side in sides)
    if not sides:
        return ""
    if not any(_mentions(words, side) for side in sides):
        return f"the adjusters are marked {marks}, and none of these marks is named here"
    moves = list(_VERB.finditer(words))
    ends = [*(move.start() for move in moves[1:]), len(words)]
    for move, end in zip(moves, ends, strict=False):
        if not any(_mentions(words[move.end() : end], side) for side in sides):
            return f"the adjusters are marked {marks}, and after {move[0].lower()} none of these marks is named"
    return ""


def _same_move(track: Track, first: str, second: str) -> bool:
    """Whether two texts ask for the same thing, or share a move such as tighten one notch."""
    if alike(_BLADE.sub("", first), _BLADE.sub("", second)):
        return True
    return bool(set(_turns(track, first)) & set(_turns(track, second)))


def _turns(track: Track, words: str) -> Iterator[tuple[str, str]]:
    """Find what is done to which side: the last verb before each mark."""
    for side in track.sides or ():
        for found in re.finditer(_whole(side), words, re.IGNORECASE):
            verbs = _VERB.findall(words[: found.start()])
            if verbs:
                yield verbs[-1].lower(), side.casefold()


def _mentions(words: str, side: str) -> bool:
    return re.search(_whole(side), words, re.IGNORECASE) is not None


def _whole(side: str) -> str:
    return rf"(?<!\w){re.escape(side)}(?!\w)"
