"""Jobs and the cards that go to each together, from ``layouts/jobs.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache

from cardgen.layouts_root import layouts_root


class JobsError(ValueError):
    """A table of jobs that cannot be used, and what is wrong with it."""


@cache
def jobs() -> Mapping[str, tuple[str, ...]]:
    """Read the ids of the cards of each job, by its name. Raises `JobsError`, or `OSError` without a table."""
    return read_jobs((layouts_root() / "jobs.toml").read_text("utf-8"))


def read_jobs(text: str) -> Mapping[str, tuple[str, ...]]:
    """Read a table of jobs from its text, strictly. Raises `JobsError`."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobsError(f"jobs.toml: this is not TOML: {error}") from error
    return {name: _cards(name, entry) for name, entry in table.items()}


def _cards(name: str, entry: object) -> tuple[str, ...]:
    cards = entry.get("cards") if isinstance(entry, dict) and set(entry) == {"cards"} else None
    if not isinstance(cards, list) or not cards or not all(isinstance(card, str) for card in cards):
        raise JobsError(f"jobs.toml: {name} must have exactly cards, a list of their ids")
    if len(set(cards)) < len(cards):
        raise JobsError(f"jobs.toml: {name} names a card twice")
    return tuple(cards)
