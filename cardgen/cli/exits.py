"""What the command's exit codes mean. They are stable: scripts may rely on them."""

from __future__ import annotations

from collections.abc import Mapping
from enum import IntEnum
from types import MappingProxyType


class Exit(IntEnum):
    """How a command ended."""

    DONE = 0
    REFUSED = 1
    USAGE = 2
    TROUBLE = 3
    NOT_CURRENT = 4
    INTERRUPTED = 130


#: One line for each code, for the help page and the README.
MEANINGS: Mapping[Exit, str] = MappingProxyType(
    {
        Exit.DONE: "done",
        Exit.REFUSED: "refused: the specification, the layout or the proof stands against a card",
        Exit.USAGE: "the command was not understood",
        Exit.TROUBLE: "a file or the system failed",
        Exit.NOT_CURRENT: "the deck asked about is not the current one",
        Exit.INTERRUPTED: "interrupted",
    }
)
