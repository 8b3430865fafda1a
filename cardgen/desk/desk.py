"""What one running desk has: its folder, its register, its day, its long work."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from cardgen.desk.fill.sheet_press import SheetPress
from cardgen.desk.fill.unsaved import Keeper
from cardgen.desk.hangar import Hangar
from cardgen.desk.work import Jobs
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.location import store_path
from cardgen.register.open_register import open_register


@dataclass(frozen=True)
class Desk:
    """One desk on one folder; ``today`` is asked anew each time, since a desk may stay open overnight."""

    hangar: Hangar
    register: Path
    today: Callable[[], date] = date.today
    jobs: Jobs = field(default_factory=Jobs)
    sheets: SheetPress = field(default_factory=SheetPress)
    keeper: Keeper = field(default_factory=Keeper)

    def opened_register(self) -> Register | RegisterTrouble | None:
        """Open the register to read it; nothing where none was begun yet. The caller closes it."""
        if not os.path.lexists(self.register) and not store_path(self.register).exists():
            return None
        return open_register(self.register, "read")
