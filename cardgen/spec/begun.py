"""A specification begun from that of a like rotor: what belongs to one rotor alone is emptied, the rest stays.

Comments and order are kept: only the bytes of the emptied values are replaced.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from cardgen.spec.positions import Positions
from cardgen.spec.problem import Path

#: What no two rotors share, or what must be looked at anew: names, serials, marks, dates, what was let pass.
_OWN: frozenset[tuple[str, ...]] = frozenset(
    {
        ("rotor", "set_id"),
        ("rotor", "diameter"),
        ("rotor", "mark_a"),
        ("rotor", "mark_b"),
        ("rotor", "drawn_a"),
        ("rotor", "drawn_b"),
        ("rotor", "hub_serial"),
        ("blades", "serial_a"),
        ("blades", "serial_b"),
        ("aircraft", "registration"),
        ("authority", "use_until"),
        ("documents", "date"),
        ("wrenches", "calibrated_until"),
        # Stacks are matched to the blades that they were fitted with.
        ("pitch", "shims", "thickness"),
        ("log", "form_url"),
        ("print", "copies", "place"),
        ("overrides", "acknowledged_by"),
        ("overrides", "date"),
    }
)


def begun(text: bytes, table: Mapping[str, Any]) -> bytes:
    """Empty what belongs to one rotor alone; ``table`` is what ``text`` says."""
    positions = Positions(text)
    spans = sorted((positions.value_of(path) for path in _own(table, ())), reverse=True)
    for start, end in spans:
        text = text[:start] + b'""' + text[end:]
    return text


def _own(value: Any, path: Path) -> Iterator[Path]:
    if isinstance(value, Mapping):
        for key, inside in value.items():
            yield from _own(inside, (*path, key))
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from _own(item, (*path, place))
    elif tuple(part for part in path if isinstance(part, str)) in _OWN:
        yield path
