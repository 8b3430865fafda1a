"""Files opened once for every look at them. They are made with pikepdf, which has no part in the press."""

from __future__ import annotations

from io import BytesIO

import pikepdf

from cardgen.proof.finished import Finished, opened


def three_sheets() -> bytes:
    with pikepdf.new() as pdf:
        for width in (100, 200, 300):
            pdf.add_blank_page(page_size=(width, 400))
        out = BytesIO()
        pdf.save(out)
    return out.getvalue()


def test_pages_count_from_one() -> None:
    with opened(three_sheets()) as file:
        assert [file.page(number).get_width() for number in range(1, len(file) + 1)] == [100, 200, 300]


def test_a_page_and_its_words_are_read_in_once() -> None:
    with opened(three_sheets()) as file:
        assert file.page(2) is file.page(2)
        assert file.text(2) is file.text(2)


def test_a_damaged_file_has_no_pages() -> None:
    with opened(b"%PDF-1.4 torn off") as file:
        assert file.is_damaged
        assert len(file) == 0


def test_an_open_file_stays_open_for_whoever_opened_it() -> None:
    file = Finished(three_sheets())
    with opened(file) as again:
        assert again is file
    assert file.page(3).get_width() == 300
    file.close()
