"""A desk on a folder of its own, asked without a server; nothing of this machine's register is touched."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from cardgen.desk.app import make_app
from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Hangar
from cardgen.desk.safety import Keys
from tests.desk.browsing import PORT, Visitor, let_in


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The folder of the desk's rotors, beside which there are other files."""
    made = tmp_path / "rotors"
    made.mkdir()
    return made


@pytest.fixture
def desk(folder: Path) -> Desk:
    """A desk whose day is fixed, and whose register is not there yet."""
    return Desk(Hangar(folder), folder.parent / "register.sqlite", lambda: date(2026, 11, 25))


@pytest.fixture
def keys() -> Keys:
    """The secrets of this run."""
    return Keys("entry-key", "session-key", "post-key")


@pytest.fixture
def stranger(desk: Desk, keys: Keys) -> Visitor:
    """Somebody who has not been let in."""
    return Visitor(make_app(desk, PORT, keys).test_client(use_cookies=False), keys)


@pytest.fixture
def visitor(stranger: Visitor) -> Visitor:
    """A browser that has come in by the address that the command gave."""
    return let_in(stranger)
