"""A finished PDF, opened with another library than the one that wrote it, for every look at it.

Reading a page in takes longer than most looks at it, so each is read in once, and so are its words.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


class Finished:
    """An open file, and its ``content``. A damaged one has no pages."""

    def __init__(self, pdf: bytes) -> None:
        import pypdfium2

        self.content = pdf
        self._document: Any = None
        try:
            self._document = pypdfium2.PdfDocument(pdf)
        except pypdfium2.PdfiumError:
            self.is_damaged, self._count = True, 0
        else:
            self.is_damaged, self._count = False, len(self._document)
        self._pages: dict[int, Any] = {}
        self._texts: dict[int, Any] = {}

    def __len__(self) -> int:
        """Count the pages."""
        return self._count

    def page(self, number: int) -> Any:
        """Give a page; they count from 1."""
        if number not in self._pages:
            self._pages[number] = self._document[number - 1]
        return self._pages[number]

    def text(self, number: int) -> Any:
        """Give the words of a page; pages count from 1."""
        if number not in self._texts:
            self._texts[number] = self.page(number).get_textpage()
        return self._texts[number]

    def close(self) -> None:
        """Close the words, the pages and the file."""
        for each in (*self._texts.values(), *self._pages.values()):
            each.close()
        self._texts.clear()
        self._pages.clear()
        if self._document is not None:
            self._document.close()


@contextmanager
def opened(pdf: bytes | Finished) -> Iterator[Finished]:
    """Open a file for a while; one that is open stays open for whoever opened it."""
    if isinstance(pdf, Finished):
        yield pdf
        return
    file = Finished(pdf)
    try:
        yield file
    finally:
        file.close()
