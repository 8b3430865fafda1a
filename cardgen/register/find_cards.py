"""Names the cards in a PDF that nobody vouches for. Runs on its own, as a separate program.

The titles of its outline go out one a line. What it finds is only a claim.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from itertools import islice

from cardgen.register.child import answer

_MOST_CARDS = 60


def titles(content: bytes) -> Iterator[bytes]:
    """Find the titles in a file's outline."""
    import pypdfium2

    pdf = pypdfium2.PdfDocument(content)
    for entry in islice(pdf.get_toc(), _MOST_CARDS):
        yield f"{entry.get_title()}\n".encode()


if __name__ == "__main__":
    sys.exit(answer(titles))
