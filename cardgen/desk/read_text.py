"""The text that was read last, kept in a hidden file beside the specification, so that less is read again.

It proves nothing by itself: it counts only where the register holds a reading with its check.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from cardgen.placing import place_file
from cardgen.plain_file import read_plain
from cardgen.spec.load import LARGEST


def keep_read_text(path: Path, text: bytes) -> None:
    """Keep what was read; where the disk refuses, everything will be read again."""
    # Without it more is read again than has to be, and nothing less.
    with suppress(OSError):
        place_file(_beside(path), text, mode=0o600)


def read_text(path: Path) -> bytes:
    """Give what was read last; nothing where that is not known."""
    try:
        return read_plain(_beside(path), LARGEST, follow=False)
    except OSError:
        # Nothing was read here yet.
        return b""


def _beside(path: Path) -> Path:
    return path.with_name(f".{path.name}.read")
