"""Text from a file made safe to show: on a terminal, in a log, in a message.

A specification may hold anything, such as escape sequences that repaint a terminal or
characters that turn the direction of writing. What is shown of it is plain and short.
"""

from __future__ import annotations

import unicodedata
from datetime import date, time
from itertools import islice

#: Characters of a value that are shown before it is cut.
LONGEST = 60

_HIDDEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
_TURNING = {"R", "AL", "AN"}


def plain(text: str) -> str:
    """Replace every control, invisible or direction-turning character by its code."""
    return "".join(map(_plain_character, text))


def _plain_character(character: str) -> str:
    hidden = unicodedata.category(character) in _HIDDEN
    if hidden or unicodedata.bidirectional(character) in _TURNING:
        code = ord(character)
        return f"\\u{code:04X}" if code <= 0xFFFF else f"\\U{code:08X}"
    return character


def shortened(text: str, longest: int = LONGEST) -> str:
    """Cut a text to a length, with an ellipsis where something was cut."""
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


def shown(value: object) -> str:
    """Show a parsed value about as it stands in the file, plain and cut to `LONGEST`."""
    return shortened(plain(_written(value)))


def _written(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value[:LONGEST]}"'
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
        return f"a list of {len(value)} tables" if len(value) > 1 else "a list of one table"
    if isinstance(value, list):
        inside = ", ".join(_item(item) for item in islice(value, LONGEST))
        return f"[{inside}]"
    if isinstance(value, dict):
        return "a table" if value else "an empty table"
    return _number(value)


def _item(value: object) -> str:
    # A list within a list is not followed down: hostile files nest them without end.
    return "[…]" if isinstance(value, list) else _written(value)


def _number(value: object) -> str:
    # Python refuses to write out an integer of thousands of digits.
    if isinstance(value, int) and value.bit_length() > 4 * LONGEST:
        return "a number of very many digits"
    return str(value)
