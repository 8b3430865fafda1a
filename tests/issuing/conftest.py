"""A fresh register for every test, and decks of a few cards."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cardgen.register.database import Register
from tests.issuing import quick
from tests.issuing.decks import opened


@pytest.fixture
def register(tmp_path: Path) -> Iterator[Register]:
    with opened(tmp_path / "club register.sqlite") as register:
        yield register


@pytest.fixture
def few_cards() -> Iterator[None]:
    with quick.few_cards():
        yield


@pytest.fixture
def workers_in_threads() -> Iterator[None]:
    with quick.workers_in_threads():
        yield
