"""The known name that a mistyped one was probably meant to be."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import islice

# Longer names are no typing slip, and comparing them is slow.
_LONGEST = 60

# No honest table has so many unknown keys.
_STRANGERS = 50


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Find the known name nearest to a mistyped one, or none that is near enough."""
    if len(name) > _LONGEST:
        return None
    by_lower = {word.lower().replace("_", "-"): word for word in known}
    found = get_close_matches(name.lower().replace("_", "-"), by_lower, n=1)
    return by_lower[found[0]] if found else None


def misspelt(known: Iterable[str], table: Iterable[str]) -> set[str]:
    """Find the known keys that stand in a table under a name near to theirs only."""
    keys = tuple(known)
    strangers = islice((key for key in table if key not in keys), _STRANGERS)
    return {meant for key in strangers if (meant := nearest(key, keys))} - set(table)


def quoted(words: Iterable[str]) -> str:
    """List words as they stand in the file: ``"a", "b" or "c"``."""
    *first, last = (f'"{word}"' for word in words)
    return f"{', '.join(first)} or {last}" if first else last
