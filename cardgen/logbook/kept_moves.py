"""What brings a blade down or up by a kept deck, as it was issued and never judged again."""

from __future__ import annotations

from typing import Literal

from markupsafe import Markup

from cardgen.deck.moves import Way, beside_own, words_of
from cardgen.deck.templates import quoted
from cardgen.register.kept import KeptDeck
from cardgen.spec.model.track import Move


def kept_move(kept: KeptDeck, way: Way, blade: Literal["a", "b"]) -> Markup:
    """Say the move by the marks on the metal; of schema 1 in the sentence that was typed there.

    Raises `LookupError` where the deck does not say it.
    """
    if sentence := kept.typed("track", f"{way}_{blade}"):
        return quoted(sentence, f"track.{way}_{blade}")
    name = f"{way.removeprefix('to_')}_{blade}"
    parts = {part: kept.typed("track", way, blade, part) or None for part in Move.model_fields}
    words = words_of(
        Move.model_construct(None, **parts), f"track.{way}.{blade}", kept.typed("track", "first_move")
    )
    return beside_own(words, kept.typed("track", "said", name), f"track.said.{name}")
