"""The command line: takes arguments, calls the layers below, prints what they give.

Nothing of the trade is decided here. Only `main` is for others; it is loaded by the console
script, and everything heavy waits until a command needs it.
"""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command with this process's arguments and leave with its exit code."""
    from cardgen.cli.edge import run

    sys.exit(run(sys.argv[1:]))
