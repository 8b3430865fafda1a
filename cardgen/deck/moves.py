"""A track move as the hand reads it: by the marks on the metal, and the maker's own words beside it."""

from __future__ import annotations

from typing import Literal

from markupsafe import Markup

from cardgen.deck.templates import quoted
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.track import Move

Way = Literal["to_lower", "to_raise"]


def move_words(spec: RotorSpec, way: Way, blade: Literal["a", "b"]) -> Markup:
    """Say what brings a blade down or up. Raises `LookupError` where the specification does not say it."""
    moves = getattr(spec.track, way)
    if moves is None:
        raise LookupError(f"the specification has no track.{way}")
    name = f"{way.removeprefix('to_')}_{blade}"
    own = (spec.track.said and getattr(spec.track.said, name)) or ""
    words = words_of(getattr(moves, blade), f"track.{way}.{blade}", spec.track.first_move)
    return beside_own(words, own, f"track.said.{name}")


def beside_own(words: Markup, own: str, key: str) -> Markup:
    """Put the maker's own words for a move beside ours; nothing where there are none."""
    return Markup("{} ({})").format(words, quoted(own, key)) if own else words


def move_text(spec: RotorSpec, way: Way, blade: str) -> str:
    """Say the same as plain text; nothing where the specification does not say it."""
    moves = getattr(spec.track, way)
    if moves is None:
        return ""
    return words_of(getattr(moves, blade), "", spec.track.first_move).striptags()


def words_of(move: Move, key: str, first: str | None) -> Markup:
    """Say one move, which stands at ``key``. Raises `LookupError` for one that says nothing."""
    if move.loosen and move.tighten:
        parts = [
            Markup("loosen the one marked {}").format(quoted(move.loosen, f"{key}.loosen")),
            Markup("tighten the one marked {}").format(quoted(move.tighten, f"{key}.tighten")),
        ]
        return Markup(", then ").join(parts[::-1] if first == "tighten" else parts)
    if move.turn:
        seen = (
            Markup(", seen from {}").format(quoted(move.seen_from, f"{key}.seen_from"))
            if move.seen_from
            else ""
        )
        return Markup("turn {}{}").format(move.turn, seen)
    if move.shorten:
        return Markup("make shorter: {}").format(quoted(move.shorten, f"{key}.shorten"))
    if move.lengthen:
        return Markup("make longer: {}").format(quoted(move.lengthen, f"{key}.lengthen"))
    raise LookupError(f"{key} says no move")
