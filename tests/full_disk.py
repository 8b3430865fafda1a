"""A disk that fills up in the middle of a file, as the system itself can play it."""

from __future__ import annotations

import resource
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def full_disk(room: int) -> Iterator[None]:
    """Let every write fail that would make a file longer than ``room`` bytes.

    The limit stops a write half done, as a full disk does (setrlimit, POSIX.1-2017: RLIMIT_FSIZE; Python
    ignores the signal that goes with it).
    """
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
