"""A file of the first shape: one problem that says what to change, in place of one for each key."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cardgen.spec.problem import Finding

_WHY = (
    "this file has the first shape and this program reads the second; a kept deck of the first is still read, "
    "but no new card is made from it"
)
_CHANGES = (
    "schema = 2, and: bolts alike in one [[fasteners]] with stations, abreast under [tightening]; "
    '"leading side of blade A"; [track.to_lower] (and to_raise) with a and b by marks, not words; '
    "set_by, dial_touches, max_total_reads, good_enough, run.track_read_in, reflectors.faces, swap.bolts; "
    'record with "other"; key and value in each override; not_given = [] for what the papers leave open'
)


def of_first_shape(table: Mapping[str, Any]) -> Finding | None:
    """Find that a file says schema 1, with the differences a keeper has to carry over."""
    schema = table.get("schema")
    if isinstance(schema, bool) or not isinstance(schema, int) or schema != 1:
        return None
    return Finding(("schema",), "schema-first", "1", _WHY, _CHANGES)
