"""The groups of a specification as wholes: which must stand, and what their sources may name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from cardgen.spec.fields import expected, required_groups
from cardgen.spec.nearest import nearest
from cardgen.spec.problem import Finding, Path
from cardgen.spec.safe_text import shown

#: What each group that must stand is for.
PURPOSES: Mapping[str, str] = MappingProxyType(
    {
        "schema": "it says which shape this file has, so that no key is taken for another",
        "rotor": "it says which rotor the cards are for",
        "blades": "it says which pair of blades the cards are for",
        "authority": "it says who may sign, and until which day the cards may be used",
        "documents": "every value on a card comes from a document that is named",
        "fasteners": "it holds the bolts and their torque; at least the strap bolts must be there",
        "track": "it holds the maker's rule for correcting the track, or says that there is none",
    }
)


#: Keys of a group that hold no value of its own.
_NO_VALUES = {"source", "sources", "not_given"}


def missing_groups(table: Mapping[str, Any]) -> Iterator[Finding]:
    """Find the required groups that a file does not have."""
    for name in required_groups():
        if name not in table:
            yield Finding((name,), "group-missing", "nothing", PURPOSES[name], _opening(name))


def _opening(name: str) -> str:
    place = expected((name,))
    many = place is not None and place.many
    row = expected((name, 0)) if many else place
    if row is None or not row.needed:
        return f"{name} = 2 on the first line, above every group"
    keys = ", ".join(row.needed)
    return f"[[{name}]], once for each, with at least {keys}" if many else f"[{name}], with at least {keys}"


def stray_sources(name: str, raw: object) -> list[Finding]:
    """Find the entries of ``sources`` sub-tables that name no key of their group."""
    if isinstance(raw, list):
        return [found for index, row in enumerate(raw) for found in _strays((name, index), row)]
    return list(_strays((name,), raw))


def _strays(path: Path, row: object) -> Iterator[Finding]:
    sources = row.get("sources") if isinstance(row, dict) else None
    place = expected(path)
    if not isinstance(row, dict) or not isinstance(sources, dict) or place is None:
        return
    for key, source in sources.items():
        if key in row and key not in _NO_VALUES:
            continue
        meant = nearest(key, (own for own in row if own not in _NO_VALUES))
        why = "a source is given for a key that does not stand in this group"
        write = f"{meant}, if that is the key meant" if meant else "a key of this group, or no line at all"
        yield Finding((*path, "sources", key), "sources-key-unknown", shown(source), why, write)
