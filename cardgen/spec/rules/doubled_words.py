"""Rules about words that a card sets into a sentence of its own, where one word would stand twice."""

from __future__ import annotations

import re
from typing import Any

from cardgen.spec.rules.rule import Doubt, Doubts, Reads, Rule

_MEANING = "Words begin or end with a word that the card's own sentence has there already."
# A capital A may be the blade.
_ARTICLE = re.compile(r"([Tt]he|THE|an?)\s")
_TOUCH = re.compile(r".*\s([Tt]ouch(?:es)?)[.\s]*\Z")


def _doubled(where: str, sentence: str, doubled: re.Pattern[str], end: str = "beginning") -> Rule:
    """Refuse words under a key such as ``track: dial_base`` that double one of the card's sentence."""
    key = where.partition(": ")[2]

    def test(group: Any) -> Doubts:
        if match := doubled.match(getattr(group, key) or ""):
            why = f'the card says "{sentence}" with these words in it, so "{match[1]}" is one word too many'
            yield Doubt((key,), why, f'the same words without "{match[1]}" at the {end}')

    return Rule("word-doubled", _MEANING, test, (Reads.of(where),))


WORDS = (
    _doubled("fasteners[]: name", "torque the …", _ARTICLE),
    _doubled("teeter: contact", "… touch", _TOUCH, "end"),
    _doubled("track: dial_touches", "set the dial on the …", _ARTICLE),
    _doubled("track: dial_base", "set the stand on the …", _ARTICLE),
    _doubled("reflectors: view_from", "watch from the …", _ARTICLE),
)
