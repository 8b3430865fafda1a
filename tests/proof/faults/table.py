"""The table of planted faults: where each is planted, what is done there, and what the proof must say of it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Fault:
    """One planted fault: where, what is done there, and what the proof must say of it."""

    where: str
    how: Mapping[str, Any]
    says: str
    rotor: str = "nr-0306"
    state: str = "issued"
    edition: str = "pouch"
    card: str = ""

    @property
    def name(self) -> str:
        """Say it in a few words."""
        done = ", ".join(f"{key} {value}" for key, value in self.how.items())
        return f"{self.edition if self.where == 'paper' else self.where} {self.card}: {done}"


def faults() -> tuple[Fault, ...]:
    """Read the table; ``each`` in a line stands for several faults of one kind."""
    table = tomllib.loads((Path(__file__).parent / "faults.toml").read_text("utf-8"))
    return tuple(
        Fault(where=where, **{key: value for key, value in entry.items() if key != "each"} | one)
        for where, entries in table.items()
        for entry in entries
        for one in entry.get("each", ({},))
    )
