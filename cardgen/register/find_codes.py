"""Looks for set codes in a file that nobody vouches for. Runs on its own, as a separate program.

Codes go out one a line. What it finds is only a claim.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator

from cardgen.register.child import answer

_MOST_PAGES = 3
_MOST_CODES = 20

# Four, four and one character of the code's alphabet, as printed.
_CODE = re.compile(r"(?<![0-9A-Z-])[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z](?![0-9A-Z-])")


def codes(content: bytes) -> Iterator[bytes]:
    """Find codes in the bytes themselves, then on the first pages; each once, and not too many."""
    found: set[str] = set()
    for text in texts(content):
        for code in _CODE.finditer(text):
            if code[0] not in found:
                found.add(code[0])
                yield f"{code[0]}\n".encode()
            if len(found) == _MOST_CODES:
                return


def texts(content: bytes) -> Iterator[str]:
    """Give the bytes of a file as text, then the text of its first pages."""
    yield content.decode("latin-1")
    import pypdfium2

    pdf = pypdfium2.PdfDocument(content)
    for place in range(min(len(pdf), _MOST_PAGES)):
        yield pdf[place].get_textpage().get_text_bounded()


if __name__ == "__main__":
    sys.exit(answer(codes))
