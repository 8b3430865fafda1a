"""A track move as the hand reads it: by the marks on the metal, and the maker's own words beside it."""

from __future__ import annotations

from typing import Literal

from markupsafe import Markup

from cardgen.deck.templates import quoted
from cardgen.register.kept import KeptDeck
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.track import Move

Way = Literal["to_lower", "to_raise"]


def move_words(spec: RotorSpec, way: Way, blade: Literal["a", "b"]) -> Markup:
    """Say what brings a blade down or up. Raises `LookupError` where the specification does not say it."""
    moves = getattr(spec.track, way)
    if moves is None:
        raise LookupError(f"the specification has no track.{way}")
    words = _words(getattr(moves, blade), f"track.{way}.{blade}", spec.track.first_move)
    own = spec.track.said and getattr(spec.track.said, f"{way.removeprefix('to_')}_{blade}")
    if not own:
        return words
    return Markup("{} ({})").format(words, quoted(own, f"track.said.{way.removeprefix('to_')}_{blade}"))


def move_text(spec: RotorSpec, way: Way, blade: str) -> str:
    """Say the same as plain text; nothing where the specification does not say it."""
    moves = getattr(spec.track, way)
    if moves is None:
        return ""
    return _words(getattr(moves, blade), "", spec.track.first_move).striptags()


def kept_move(kept: KeptDeck, way: Way, blade: str) -> Markup:
    """Say a move of an issued deck as it was typed; nothing where it says none.

    Decks from before moves were told by their marks have the maker's words alone.
    """
    typed = kept.table("track", way).get(blade)
    if typed:
        first = kept.typed("track", "first_move")
        return _words(Move.model_construct(**typed), f"track.{way}.{blade}", first)
    key = f"{way}_{blade}"
    return quoted(kept.typed("track", key), f"track.{key}") if kept.typed("track", key) else Markup("")


def _words(move: Move, key: str, first: str | None) -> Markup:
    if move.loosen and move.tighten:
        parts = [
            Markup("loosen {}").format(quoted(move.loosen, f"{key}.loosen")),
            Markup("tighten {}").format(quoted(move.tighten, f"{key}.tighten")),
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
