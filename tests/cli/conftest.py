"""What the tests of the command line share: small decks, and fleets that start no process."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.issuing import quick


@pytest.fixture
def workers_in_threads() -> Iterator[None]:
    with quick.workers_in_threads():
        yield


@pytest.fixture
def few_cards() -> Iterator[None]:
    with quick.few_cards():
        yield
