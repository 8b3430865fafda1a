"""Cautions and fixed terms: each sentence stands in one place and is used by its id."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import cast, get_args

from cardgen.deck.card import Signal
from cardgen.deck.fault import BuildFault
from cardgen.layouts_root import layouts_root

#: One line on a wall, in characters.
LONGEST_BRIEF = 45


@dataclass(frozen=True)
class CautionWords:
    """A caution as it is kept: its signal word, its sentences, and what they are on a wall."""

    signal: Signal
    text: str
    brief: str = ""


@dataclass(frozen=True)
class Library:
    """All cautions and all fixed terms, by id."""

    cautions: Mapping[str, CautionWords]
    terms: Mapping[str, str]


def _table(name: str, keys: set[str], more: frozenset[str] = frozenset()) -> dict[str, dict[str, str]]:
    text = (layouts_root() / "words" / name).read_text(encoding="utf-8")
    entries: dict[str, dict[str, str]] = tomllib.loads(text)
    for id_, entry in entries.items():
        if set(entry) - more != keys or not all(
            isinstance(words, str) and words.strip() for words in entry.values()
        ):
            raise BuildFault(name, 1, f"{id_} must have exactly {', '.join(sorted(keys))}, each with words")
    return entries


@cache
def library() -> Library:
    """Read the cautions and the terms.

    Raises `BuildFault` for an entry with a missing or unknown key or an unknown signal word.
    """
    cautions = {}
    for id_, entry in _table("cautions.toml", {"signal", "text"}, frozenset({"brief"})).items():
        if entry["signal"] not in get_args(Signal):
            raise BuildFault("cautions.toml", 1, f"{id_}: there is no signal word {entry['signal']}")
        brief = entry.get("brief", "")
        if len(brief) > LONGEST_BRIEF:
            raise BuildFault("cautions.toml", 1, f"{id_}: on a wall it has at most {LONGEST_BRIEF} characters")
        cautions[id_] = CautionWords(cast(Signal, entry["signal"]), entry["text"], brief)
    terms = {id_: entry["text"] for id_, entry in _table("terms.toml", {"text"}).items()}
    return Library(cautions, terms)
