"""What every part's tests share: the samples, one complete specification, a fixed day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# The same examples on every run and machine; few, so that the whole suite stays quick.
settings.register_profile("suite", max_examples=60, deadline=None, derandomize=True)
settings.load_profile("suite")

_SAMPLES = Path(__file__).resolve().parents[1] / "sample_inputs"


@pytest.fixture(scope="session")
def today() -> date:
    """The day on which every test judges dates."""
    return date(2026, 7, 1)


@pytest.fixture(scope="session")
def complete_path() -> Path:
    """An invented, valid specification with every group and key."""
    return Path(__file__).parent / "spec" / "complete.toml"


@pytest.fixture(scope="session")
def shape_text(complete_path: Path) -> str:
    """The text of the complete specification; `tests.editing` changes one thing in it."""
    return complete_path.read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def sample_paths() -> list[Path]:
    """Every sample that must be accepted."""
    return sorted(_SAMPLES.glob("*.toml"))


@pytest.fixture(scope="session")
def refused_paths() -> list[Path]:
    """Every sample that must be refused."""
    return sorted((_SAMPLES / "refused").glob("*.toml"))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all tests of a worker; starting one takes seconds."""
    from tests.press.browser import browser

    with browser() as started:
        yield started
