from __future__ import annotations

from cardgen.press.edition import load_edition
from cardgen.press.qr import QUIET_ZONE, matrix

MM = 72 / 25.4
DOT = 72 / 600


def test_a_module_is_a_whole_number_of_printer_dots_and_large_enough() -> None:
    # ISO/IEC 18004 leaves the size open; whole dots keep every module equally wide.
    for edition, least in (("pouch", 0.5), ("handout", 0.5), ("wall", 0.8)):
        module = load_edition(edition, "iso").module
        assert round(module / DOT, 9) == round(module / DOT)
        assert least <= module / MM < least + 0.05


def test_the_quiet_zone_is_light_and_the_finder_begins_after_it() -> None:
    rows = matrix("https://log.example.org/a/#c=DRAFT&k=track")
    assert all(len(row) == len(rows) for row in rows)
    for edge in range(QUIET_ZONE):
        assert not any(rows[edge]) and not any(rows[-1 - edge])
        assert not any(row[edge] or row[-1 - edge] for row in rows)
    assert all(rows[QUIET_ZONE][QUIET_ZONE : QUIET_ZONE + 7])


def test_the_same_text_is_encoded_once() -> None:
    assert matrix("https://log.example.org/b/") is matrix("https://log.example.org/b/")
