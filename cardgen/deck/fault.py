"""A fault of our own in a card's words.

The keeper can mend a specification, not a template. So a fault here is an exception, worded for
whoever edits `layouts`, and it stops the build before anything is made.
"""

from __future__ import annotations


class BuildFault(Exception):  # noqa: N818 - a fault of ours, not an error of the keeper's
    """A card cannot be built as its template is written: which card, which line, why."""

    def __init__(self, card: str, line: int, reason: str) -> None:
        self.card = card
        self.line = line
        self.reason = reason
        super().__init__(f"card {card}, line {line}: {reason}")
