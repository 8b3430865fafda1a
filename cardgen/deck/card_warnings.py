"""Flags that were let pass and warnings that remain, on the card they are about and all on the cover."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from markupsafe import Markup

from cardgen.deck.listed_cards import listed_cards
from cardgen.deck.templates import quoted
from cardgen.spec.key_words import group_of, key_words
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Problem


@dataclass(frozen=True)
class Doubts:
    """Places of overrides, counted from 1, and warnings as one text each."""

    overrides: tuple[int, ...]
    warnings: tuple[Markup, ...]


def all_doubts(spec: RotorSpec, warnings: Sequence[Problem]) -> Doubts:
    """Give every override and every warning."""
    overrides = tuple(range(1, len(spec.overrides or ()) + 1))
    return Doubts(overrides, tuple(_text(spec, place, doubt) for place, doubt in enumerate(warnings, start=1)))


def doubts_about(card: str, spec: RotorSpec, warnings: Sequence[Problem]) -> Doubts:
    """Give the overrides and warnings that are about one card's numbers; the cover has all of them."""
    if card == "cover":
        return all_doubts(spec, warnings)
    groups, flags = listed_cards()[card].groups, listed_cards()[card].flags
    return Doubts(
        overrides=tuple(
            place
            for place, override in enumerate(spec.overrides or (), start=1)
            if flags and override.rule.startswith(flags)
        ),
        warnings=tuple(
            _text(spec, place, doubt)
            for place, doubt in enumerate(warnings, start=1)
            if doubt.key.split(".")[0].split("[")[0] in groups
        ),
    )


def doubt_words(spec: RotorSpec, doubt: Problem) -> str:
    """Say a warning in one sentence: what it is about, in a reader's words, and why."""
    why = " ".join(doubt.why.split())
    return f"{key_words(doubt.key, _name_of(spec, doubt.key))}: {why}" if doubt.key else why


def _name_of(spec: RotorSpec, key: str) -> str:
    group, place = group_of(key)
    if place is None:
        return ""
    # Not everything in a list has a name.
    with suppress(LookupError, TypeError):
        return spec.typed((group, place - 1, "name"))
    return ""


def _text(spec: RotorSpec, place: int, doubt: Problem) -> Markup:
    return quoted(doubt_words(spec, doubt), f"warnings[{place}]")
