"""A fresh register for every test."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cardgen.register.database import Register
from tests.issuing.decks import opened


@pytest.fixture
def register(tmp_path: Path) -> Iterator[Register]:
    with opened(tmp_path / "club register.sqlite") as register:
        yield register
