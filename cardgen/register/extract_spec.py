"""Takes the specification out of a PDF that nobody vouches for. Runs on its own, as a separate program."""

from __future__ import annotations

import sys
from collections.abc import Iterator

from cardgen.register.child import answer

_LARGEST = 1 << 20


def attached(content: bytes) -> Iterator[bytes]:
    """Find the first attached TOML file, if there is one."""
    from io import BytesIO

    from pypdf import PdfReader

    for name, versions in PdfReader(BytesIO(content)).attachments.items():
        if name.endswith(".toml") and len(versions[0]) <= _LARGEST:
            yield versions[0]
            return


if __name__ == "__main__":
    sys.exit(answer(attached))
