"""What a process does that reads a file nobody vouches for: limit itself, search, say how it ended.

The file comes in on standard input and what is found goes out on standard output, piece by piece, so
that a search which is cut off has told what it found. It is bounded in processor time, memory and
files, so that a hostile file costs a few seconds at most.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator

#: How a search ended, as exit codes: at its end; in a file that its reader gave up; without a reader.
ENDED, GIVEN_UP, NO_READER = 0, 4, 5

_LIMITS = {
    "RLIMIT_CPU": 5,  # seconds
    "RLIMIT_AS": 1 << 30,  # bytes of memory
    "RLIMIT_CORE": 0,
    "RLIMIT_FSIZE": 0,
}


def limit() -> None:
    """Set every limit that this system knows and lets be set, each by itself."""
    try:
        import resource
    except ImportError:
        # Windows has none of them; the seconds that the asking process waits still hold.
        return
    for name, most in _LIMITS.items():
        try:
            resource.setrlimit(getattr(resource, name), (most, most))
        except (AttributeError, OSError, ValueError):
            # No harm in one that is refused: the others, and the seconds that are waited, still hold.
            continue


def answer(search: Callable[[bytes], Iterator[bytes]]) -> int:
    """Search what stands on standard input, write what is found, and give the exit code."""
    limit()
    try:
        for found in search(sys.stdin.buffer.read()):
            sys.stdout.buffer.write(found)
            sys.stdout.buffer.flush()
    except ImportError as error:
        return _told(error, NO_READER)
    except Exception as error:
        # A reader may raise anything on a damaged file.
        return _told(error, GIVEN_UP)
    return ENDED


def _told(error: Exception, code: int) -> int:
    words = " ".join(str(error).split())
    sys.stderr.write(f"\n{words or type(error).__name__}\n")
    return code
