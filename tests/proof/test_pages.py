"""Pages are read the same, whether the other library tells all their words at once or not."""

from __future__ import annotations

import pytest
from pypdfium2 import PdfTextPage

from cardgen.press.canvas import paint_bare
from cardgen.press.marks import Rect, Side, TextMark
from cardgen.press.type import width
from cardgen.proof.finished import opened
from cardgen.proof.meaning.pages import Page, pages_of

_WORDS = ("Wind", "at most", "15 kt – 28 km/h")


def _pdf() -> bytes:
    marks = tuple(
        TextMark(40, 300 - 30 * at, words, "regular", 12, width(words, "regular", 12))
        for at, words in enumerate(_WORDS)
    )
    return paint_bare([Side("", "", 1, 1, 1, 1, 400, 400, Rect(0, 0, 400, 400), marks)])


def _read() -> tuple[Page, ...]:
    with opened(_pdf()) as file:
        return tuple(
            Page(each.number, each.width, each.height, tuple(run._replace(ink=None) for run in each.runs), ())
            for each in pages_of(file)
        )


def test_words_are_read_as_they_stand_on_the_page() -> None:
    (page,) = _read()
    assert tuple(run.text for run in page.runs) == _WORDS


def test_characters_are_read_one_by_one_where_the_whole_leaves_one_out(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = _read()
    monkeypatch.setattr(PdfTextPage, "get_text_range", lambda _: "")
    assert _read() == whole
