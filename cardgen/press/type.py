"""The cards' type: Atkinson Hyperlegible, whose 0 and O, 1, l and I cannot be taken for one another.

Its measures are read once from the font file itself; widths of words are remembered, because a
deck says the same words on many sides.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from struct import pack_into, unpack_from
from typing import Any, cast

from cardgen.press.marks import Face

#: The names that reportlab knows the faces by, chosen so that nobody else's can be meant.
NAMES: Mapping[Face, str] = {
    "regular": "cardgen-regular",
    "bold": "cardgen-bold",
    "even": "cardgen-even",
    "even bold": "cardgen-even-bold",
}

#: Heights of the type in ems, as its own tables give them: above and below the baseline.
CAP_HEIGHT, X_HEIGHT = 0.668, 0.496
ASCENT, DESCENT = 0.95, 0.29

_FILES: Mapping[Face, str] = {
    "regular": "AtkinsonHyperlegible-Regular.ttf",
    "bold": "AtkinsonHyperlegible-Bold.ttf",
    "even": "AtkinsonHyperlegible-Regular.ttf",
    "even bold": "AtkinsonHyperlegible-Bold.ttf",
}
_EVEN: Mapping[Face, Face] = {"regular": "even", "bold": "even bold"}
_DIGITS = "0123456789"


def font_file(face: Face) -> Path:
    """Find a face's font file in the installed font package."""
    return Path(str(files("fontpkg_atkinson_hyperlegible") / "files" / _FILES[face]))


@cache
def _advances(face: Face) -> Mapping[int, float]:
    # Registering is reportlab's way to know a font by its name; once a process is enough.
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    font = TTFont(NAMES[face], str(font_file(face)))
    if face not in _EVEN:
        font = TTFont(NAMES[face], BytesIO(_with_even_digits(font.face)))
        # reportlab takes two faces of one name for the same, and would draw the other.
        font.face.name += b"-EvenDigits"
    pdfmetrics.registerFont(font)
    return cast(Mapping[int, float], font.face.charWidths)


def _with_even_digits(font: Any) -> bytes:
    """Copy a font file and give every digit the widest one's advance, its outline in the middle.

    Where a glyph begins and how far the next one is are the font's own metrics (OpenType, hmtx): readers of
    a page see digits beside one another and no spaces between them.
    """
    data = bytearray(font._ttf_data)
    start = font.get_table_pos("hmtx")[0]
    places = [start + 4 * font.charToGlyph[ord(digit)] for digit in _DIGITS]
    widest = max(unpack_from(">H", data, place)[0] for place in places)
    for place in places:
        advance, bearing = unpack_from(">Hh", data, place)
        pack_into(">Hh", data, place, widest, bearing + (widest - advance) // 2)
    return bytes(data)


def even(face: Face) -> Face:
    """Give the face whose digits all have one width."""
    return _EVEN.get(face, face)


def register() -> None:
    """Make all faces known to the PDF writer."""
    for face in NAMES:
        _advances(face)


@lru_cache(maxsize=16384)
def _ems(text: str, face: Face) -> float:
    advances = _advances(face)
    return sum(advances[ord(character)] for character in text) / 1000


def width(text: str, face: Face, size: float) -> float:
    """Measure a text in points.

    Raises `KeyError` for a character that the type does not have.
    """
    return _ems(text, face) * size


def has_glyph(character: str) -> bool:
    """Whether both faces can draw a character."""
    return all(ord(character) in _advances(face) for face in NAMES)
