"""Working on the pages of a kept file: whatever its reader stumbles over is one error with one name."""

from __future__ import annotations

import logging
import zlib
from collections.abc import Iterator
from contextlib import contextmanager


class NotAPdfError(ValueError):
    """A file that says by its name that it is a PDF, and whose pages cannot be found."""


@contextmanager
def pages_asked() -> Iterator[None]:
    """Do something with a PDF's pages. Raises `NotAPdfError` where it has none that can be read."""
    from pypdf.errors import PyPdfError

    log = logging.getLogger("pypdf")
    if not log.handlers:
        # The reader's own remarks would come between our words.
        log.addHandler(logging.NullHandler())
    try:
        yield
    except (
        PyPdfError,
        ValueError,
        TypeError,
        LookupError,
        AttributeError,
        RecursionError,
        zlib.error,
    ) as error:
        raise NotAPdfError(str(error)) from error
