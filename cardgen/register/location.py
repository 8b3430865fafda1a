"""Where the register is, when nobody says so."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

VARIABLE = "CARDGEN_REGISTER"


def register_path(given: Path | None, environment: Mapping[str, str]) -> Path:
    """Choose the register: the one given, else ``CARDGEN_REGISTER``, else in the user's data folder.

    The data folder is ``XDG_DATA_HOME``, or ``~/.local/share`` where that is unset or relative
    (XDG Base Directory Specification 0.8).
    """
    if given is not None:
        return given
    if named := environment.get(VARIABLE):
        return Path(named)
    data = Path(environment.get("XDG_DATA_HOME", ""))
    if not data.is_absolute():
        data = Path(environment.get("HOME") or Path.home()) / ".local" / "share"
    return data / "cardgen" / "register.sqlite"


def store_path(register: Path) -> Path:
    """The folder of kept files that belongs to a register, by whichever link it is reached."""
    real = Path(os.path.realpath(register))
    return real.with_name(real.name + ".store")
