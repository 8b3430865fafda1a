"""Keys of a specification in a reader's words: for cards and lists of changes, where nobody types them."""

from __future__ import annotations

_SPOKEN = str.maketrans({"_": " ", "[": " ", "]": None})


def key_words(key: str, name: str = "") -> str:
    """Say a key in words: ``fasteners[1].torque_min`` as ``fasteners 1 (inner bolt), torque min``.

    ``name`` is what the specification calls the thing that the key belongs to, or empty.
    """
    group, *rest = key.split(".")
    words = f"{group.translate(_SPOKEN)} ({name})" if name else group.translate(_SPOKEN)
    return ", ".join([words, *(part.translate(_SPOKEN) for part in rest if part)])


def group_of(key: str) -> tuple[str, int | None]:
    """Take a key's group apart into its name and its place, counted from 1, if it stands in a list."""
    name, _, place = key.partition(".")[0].rstrip("]").partition("[")
    return name, int(place) if place.isdecimal() else None
