"""Looks for ends of a register's chain in a file that nobody vouches for. Runs on its own, as a program.

They go out one a line, as they stand on a sheet. What it finds is only a claim.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

from cardgen.register.child import answer
from cardgen.register.find_codes import texts
from cardgen.register.head import heads_in

_MOST = 20


def heads(content: bytes) -> Iterator[bytes]:
    """Find heads in the bytes themselves, then on the first pages; each once, and not too many."""
    found: set[str] = set()
    for text in texts(content):
        for head in heads_in(text):
            if head.words() not in found and len(found) < _MOST:
                found.add(head.words())
                yield f"{head.words()}\n".encode()


if __name__ == "__main__":
    sys.exit(answer(heads))
