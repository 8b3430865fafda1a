"""Takes the specification out of a PDF that nobody vouches for. Runs on its own, as a separate program.

The file comes in on standard input; the attached specification goes out. Time and memory are
bounded, as for every reader of foreign files.
"""

from __future__ import annotations

import contextlib
import sys

_CPU_SECONDS = 5
_MEMORY_BYTES = 1 << 30
_LARGEST = 1 << 20


def main() -> None:
    """Write the first attached TOML file to standard output, or nothing."""
    with contextlib.suppress(ImportError, OSError, ValueError):
        import resource

        resource.setrlimit(resource.RLIMIT_CPU, (_CPU_SECONDS, _CPU_SECONDS))
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY_BYTES, _MEMORY_BYTES))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    # Whatever the reader makes of a damaged file, no specification is found, and that is the answer.
    with contextlib.suppress(Exception):
        from io import BytesIO

        from pypdf import PdfReader

        for name, versions in PdfReader(BytesIO(sys.stdin.buffer.read())).attachments.items():
            if name.endswith(".toml") and len(versions[0]) <= _LARGEST:
                sys.stdout.buffer.write(versions[0])
                return


if __name__ == "__main__":
    main()
