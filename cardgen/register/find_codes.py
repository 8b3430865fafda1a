"""Looks for set codes in a file that nobody vouches for. Runs on its own, as a separate program.

The file comes in on standard input; codes go out, one a line. It is bounded in processor time and
memory, so that a hostile file costs a few seconds at most. What it finds is only a claim.
"""

from __future__ import annotations

import contextlib
import re
import sys
from collections.abc import Iterator

_CPU_SECONDS = 5
_MEMORY_BYTES = 1 << 30
_MOST_PAGES = 3
_MOST_CODES = 20

# Four, four and one character of the code's alphabet, as printed.
_CODE = re.compile(r"(?<![0-9A-Z-])[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z](?![0-9A-Z-])")


def main() -> None:
    """Print the codes found in the bytes on standard input."""
    _limit()
    content = sys.stdin.buffer.read()
    found: set[str] = set()
    for text in (content.decode("latin-1"), *_pages(content)):
        for code in _CODE.finditer(text):
            if code[0] not in found:
                found.add(code[0])
                print(code[0], flush=True)  # noqa: T201
            if len(found) == _MOST_CODES:
                return


def _limit() -> None:
    with contextlib.suppress(ImportError, OSError, ValueError):
        import resource

        resource.setrlimit(resource.RLIMIT_CPU, (_CPU_SECONDS, _CPU_SECONDS))
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY_BYTES, _MEMORY_BYTES))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


def _pages(content: bytes) -> Iterator[str]:
    # Whatever the reader makes of a damaged file, no claim is found, and that is the answer.
    with contextlib.suppress(Exception):
        import pypdfium2

        pdf = pypdfium2.PdfDocument(content)
        pages = min(len(pdf), _MOST_PAGES)
        for place in range(pages):
            yield pdf[place].get_textpage().get_text_bounded()


if __name__ == "__main__":
    main()
