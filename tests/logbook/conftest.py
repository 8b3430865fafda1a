"""An issued rotor and its empty log for every test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.issuing.decks import opened
from tests.logbook.logs import Log, issue_rotor


@pytest.fixture(scope="session")
def issued_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A register with one issued rotor, to be copied."""
    folder = tmp_path_factory.mktemp("issued")
    with opened(folder / "register.sqlite") as register:
        issue_rotor(register, folder / "out")
    return folder


@pytest.fixture
def log(issued_once: Path, tmp_path: Path) -> Iterator[Log]:
    folder = tmp_path / "club"
    shutil.copytree(issued_once, folder)
    with opened(folder / "register.sqlite", "write") as register:
        row = register.newest("NR-0306")
        assert row is not None
        yield Log(register, folder / "out", row)
