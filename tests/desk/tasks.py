"""Tasks for a worker's process, which imports this and little else."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Waiting:
    """Works until it is told to end by a file, or interrupted; tidies up either way."""

    folder: Path

    def __call__(self) -> str:
        try:
            (self.folder / "begun").touch()
            until(lambda: (self.folder / "end").exists())
        finally:
            (self.folder / "tidied").touch()
        return "a whole deck"


@dataclass(frozen=True)
class Failing:
    """Meets a fault of the program."""

    def __call__(self) -> None:
        raise ValueError


def until(holds: Callable[[], object], seconds: float = 20) -> None:
    for _ in range(int(seconds / 0.01)):
        if holds():
            return
        time.sleep(0.01)
    raise AssertionError("this never came to be")
