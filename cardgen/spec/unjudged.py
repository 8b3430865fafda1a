"""A specification between reading and judging: what could be read, and what rules found in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from cardgen.spec.problem import Finding, Path


@dataclass(frozen=True)
class Unjudged:
    """What could be read of a file, and the places that could not.

    ``groups`` goes by the names in the file (``"rotor"``, ``"fasteners"``); a list of tables is
    a tuple. A group may have holes: ``unread`` names the keys, and the whole groups, that stand in
    the file or must stand there and could not be read. No rule looks into a hole. ``table`` is the
    parsed file as it stands, numbers with a point as `decimal.Decimal`.
    """

    groups: Mapping[str, Any]
    unread: frozenset[Path]
    table: Mapping[str, Any]
    today: date


@dataclass(frozen=True)
class Findings:
    """What rules found: refusals, which stop every card, and warnings, which are printed on them."""

    refusals: tuple[Finding, ...] = ()
    warnings: tuple[Finding, ...] = ()
