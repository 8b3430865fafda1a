"""A specification between reading and judging: what could be read, and what rules found in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from cardgen.spec.problem import Finding


@dataclass(frozen=True)
class Unjudged:
    """The groups that were read cleanly, so that a rule never sees half a group.

    ``groups`` goes by the names in the file (``"rotor"``, ``"fasteners"``); a list of tables is
    a tuple. A group left out, or one with a problem of its own, is absent. ``table`` is the
    parsed file as it stands, numbers with a point as `decimal.Decimal`.
    """

    groups: Mapping[str, Any]
    table: Mapping[str, Any]
    today: date


@dataclass(frozen=True)
class Findings:
    """What rules found: refusals, which stop every card, and warnings, which are printed on them."""

    refusals: tuple[Finding, ...] = ()
    warnings: tuple[Finding, ...] = ()
