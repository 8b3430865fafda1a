"""The command line: takes arguments, calls the layers below, prints what they give.

Nothing of the trade is decided here. Only `main` is for others; it is loaded by the console
script, and everything heavy waits until a command needs it.
"""

from __future__ import annotations

import gc
import signal
import sys
from typing import NoReturn


def main() -> None:
    """Run the command with this process's arguments and leave with its exit code."""
    # A deck's marks live until the process ends: looking for garbage among them takes a twentieth of it.
    gc.set_threshold(100_000, 20, 20)
    # Asked to end, a command tidies up as it does for Ctrl-C.
    signal.signal(signal.SIGTERM, _interrupted)
    from cardgen.cli.errors import run

    sys.exit(run(sys.argv[1:]))


def _interrupted(*_: object) -> NoReturn:
    raise KeyboardInterrupt
