"""Which words may stand on a card."""

from __future__ import annotations

import unicodedata
from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec.text import DRAWABLE, Text, Unprintable, read_text


@pytest.mark.parametrize("face", ["Regular", "Bold"])
def test_the_drawable_characters_are_those_of_the_embedded_type(face: str) -> None:
    folder = files("fontpkg_atkinson_hyperlegible") / "files"
    (name,) = [file.name for file in folder.iterdir() if file.name.endswith(f"-{face}.ttf")]
    with TTFont(str(folder / name)) as font:
        mapped = {chr(code) for code in font.getBestCmap()}
    assert mapped >= DRAWABLE
    # Left out on purpose: controls, accents without a letter, and the space that does not break.
    left_out = {unicodedata.category(character) for character in mapped - DRAWABLE}
    assert left_out == {"Cc", "Cf", "Mn", "Zs"}


@pytest.mark.parametrize(
    ("raw", "rule"),
    [
        ("", "text-empty"),
        ("   ", "text-empty"),
        (" bolt", "text-spaces"),
        ("bolt ", "text-spaces"),
        ("two\nlines", "text-control"),
        ("tab\tstop", "text-control"),
        ("escape \x1b[2J", "text-control"),
        ("null \x00", "text-control"),
        ("next \x85 line", "text-control"),
        ("line \u2028 separator", "text-control"),
        ("no width \u200b space", "text-control"),
        ("soft \u00ad hyphen", "text-control"),
        ("mark \u200e left", "text-direction"),
        ("override \u202e tfel", "text-direction"),
        ("isolate \u2066 x", "text-direction"),
        ("Hebrew \u05d0", "text-direction"),
        ("Arabic \u0627", "text-direction"),
        ("surrogate \ud800", "text-control"),
        ("private \ue000", "text-control"),
        ("nobody's \uffff", "text-control"),
        ("emoji \U0001f600", "text-glyph"),
        ("arrow \u2192", "text-glyph"),
        ("Greek \u03b1", "text-glyph"),
        ("no-break\u00a0space", "text-spaces"),
        ("wide\u2003space", "text-spaces"),
        ("stacked a\u0301\u0301\u0301", "text-glyph"),
        ("x" * 201, "text-length"),
    ],
)
def test_words_that_would_not_print_as_written_are_refused(raw: str, rule: str) -> None:
    refused = read_text(raw)
    assert isinstance(refused, Unprintable)
    assert refused.rule == rule


@pytest.mark.parametrize("raw", ["0123-A", "Ø 9 mm, 20 °C", "pilot's seat", "x" * 200, "naïve – “quoted”"])
def test_words_that_print_stay_as_they_are(raw: str) -> None:
    assert read_text(raw) == raw


def test_a_letter_and_its_accent_become_one_character() -> None:
    # Unicode Standard Annex 15: e with a combining acute composes to U+00E9.
    assert read_text("cafe\u0301") == "caf\u00e9"


def test_a_length_limit_counts_characters_after_composition() -> None:
    assert read_text("e\u0301" * 40, longest=40) == "\u00e9" * 40
    assert isinstance(read_text("x" * 41, longest=40), Unprintable)


def test_a_refusal_names_the_character_and_its_place() -> None:
    refused = read_text("ab\u2192")
    assert isinstance(refused, Unprintable)
    assert "character 3" in refused.why
    assert "U+2192" in refused.why


@given(st.text(max_size=60))
def test_any_text_is_taken_whole_or_refused(raw: str) -> None:
    text = read_text(raw)
    if isinstance(text, Text):
        assert text == unicodedata.normalize("NFC", raw)
        assert set(text) <= DRAWABLE
        assert text.isprintable()


# Unicode Character Database; a control has no name there, and a tab is what its key says.
@pytest.mark.parametrize(
    ("raw", "name", "write"),
    [
        ("tab\tstop", "a tab (U+0009)", "a plain space"),
        ("no-break\u00a0space", "a no-break space (U+00A0)", "a plain space"),
        ("bolt\u20101", "a hyphen of another kind (U+2010)", "the hyphen -"),
        ("no width \u200b space", "zero width space (U+200B)", "text without it"),
    ],
)
def test_a_character_that_cannot_be_told_by_eye_is_named(raw: str, name: str, write: str) -> None:
    refused = read_text(raw)
    assert isinstance(refused, Unprintable)
    assert name in refused.why
    assert refused.write == write
