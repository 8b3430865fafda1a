"""The cards' type: Atkinson Hyperlegible, whose 0 and O, 1, l and I cannot be taken for one another.

Its measures are read once from the font file itself; widths of words are remembered, because a
deck says the same words on many sides.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path
from typing import cast

from cardgen.press.marks import Face

#: The names that reportlab knows the faces by, chosen so that nobody else's can be meant.
NAMES: Mapping[Face, str] = {"regular": "cardgen-regular", "bold": "cardgen-bold"}

#: Heights of the type in ems, as its own tables give them: above and below the baseline.
CAP_HEIGHT, X_HEIGHT = 0.668, 0.496
ASCENT, DESCENT = 0.95, 0.29

_FILES: Mapping[Face, str] = {
    "regular": "AtkinsonHyperlegible-Regular.ttf",
    "bold": "AtkinsonHyperlegible-Bold.ttf",
}


def font_file(face: Face) -> Path:
    """Find a face's font file in the installed font package."""
    return Path(str(files("fontpkg_atkinson_hyperlegible") / "files" / _FILES[face]))


@cache
def _advances(face: Face) -> Mapping[int, float]:
    # Registering is reportlab's way to know a font by its name; once a process is enough.
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    font = TTFont(NAMES[face], str(font_file(face)))
    pdfmetrics.registerFont(font)
    return cast(Mapping[int, float], font.face.charWidths)


def register() -> None:
    """Make both faces known to the PDF writer."""
    _advances("regular")
    _advances("bold")


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
