"""The type's measures against the font file itself, read by fontTools."""

from __future__ import annotations

from typing import Literal

import pytest
from fontTools.ttLib import TTFont

from cardgen.press.type import CAP_HEIGHT, X_HEIGHT, font_file, has_glyph, width
from cardgen.spec.text import DRAWABLE


@pytest.mark.parametrize("face", ["regular", "bold"])
def test_a_word_is_as_wide_as_the_font_files_own_advances(face: Literal["regular", "bold"]) -> None:
    font = TTFont(font_file(face))
    names, advances = font.getBestCmap(), font["hmtx"]
    units = font["head"].unitsPerEm
    for text in ("160 in·lbf", "0O1lI", "23 ft 6-1/2 in"):
        total = sum(advances[names[ord(character)]][0] for character in text)
        assert width(text, face, 14.5) == pytest.approx(14.5 * total / units, abs=0.02)


def test_heights_are_those_of_the_font_files_own_tables() -> None:
    font = TTFont(font_file("regular"))
    table, units = font["OS/2"], font["head"].unitsPerEm
    assert table.sCapHeight / units == pytest.approx(CAP_HEIGHT, abs=0.001)
    assert table.sxHeight / units == pytest.approx(X_HEIGHT, abs=0.001)


def test_lower_case_of_pouch_body_type_is_a_tenth_of_an_inch_high() -> None:
    # NASA CR-177605 (1992) asks for an x-height of 0.10 in on important cards.
    assert pytest.approx(0.10, abs=0.001) == 14.5 * X_HEIGHT / 72


def test_both_faces_draw_every_character_that_a_specification_may_hold() -> None:
    assert all(has_glyph(character) for character in DRAWABLE)


def test_a_character_without_a_glyph_is_never_measured() -> None:
    with pytest.raises(KeyError):
        width("\u2192", "regular", 10)
