"""The type as it is drawn: every character's outline in a finished file is the one in the type's own file.

A font that draws 6 as 8, or draws nothing, reads back perfectly; its outlines do not.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import closing
from ctypes import byref, c_float, c_uint8, c_void_p, cast, create_string_buffer
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeAlias

from cardgen.proof.meaning.pages import Page

#: How many points a character has, and its points, its left edge at nothing: kind, across and up in ems.
Outline: TypeAlias = tuple[int | tuple[int, float, float], ...]

#: The type's files, by the names that a finished file calls them; digits of one width are the same outlines.
_FILES = MappingProxyType(
    {
        f"AtkinsonHyperlegible-{face}{even}": f"AtkinsonHyperlegible-{face}.ttf"
        for face in ("Regular", "Bold")
        for even in ("", "-EvenDigits")
    }
)
#: Points that tell one character, which is no digit, from another.
_FIRST = 6
#: Characters that have no ink.
_BLANK = frozenset(" \xa0")


def faces_against(pages: Iterable[Page]) -> Iterator[str]:
    """Name every character of a file that is not drawn as the type's own file draws it."""
    used: dict[int, tuple[Any, set[str]]] = {}
    for page in pages:
        for run in page.runs:
            if run.ink is not None:
                address = cast(run.ink.face, c_void_p).value or 0
                used.setdefault(address, (run.ink.face, set()))[1].update(run.text)
    for face, characters in used.values():
        name = _name(face)
        if name not in _FILES:
            yield f"it is set in a type {name}, which is not the cards'"
            continue
        true = outlines_of(name, frozenset(characters - _BLANK))
        wrong = sorted(each for each in true if not true[each] or outline(face, each) != true[each])
        yield from (f'"{each}" is not drawn as it is in {name}' for each in wrong)


def _name(face: Any) -> str:
    import pypdfium2.raw as raw

    held = create_string_buffer(200)
    raw.FPDFFont_GetBaseFontName(face, held, len(held))
    return held.value.decode("utf-8", "replace").rpartition("+")[2]


@cache
def outlines_of(name: str, characters: frozenset[str]) -> dict[str, Outline]:
    """Read characters' outlines from the type's own file."""
    import pypdfium2
    import pypdfium2.raw as raw

    content = (Path(str(files("fontpkg_atkinson_hyperlegible") / "files")) / _FILES[name]).read_bytes()
    with closing(pypdfium2.PdfDocument.new()) as empty:
        held = (c_uint8 * len(content)).from_buffer_copy(content)
        face = raw.FPDFText_LoadFont(empty, held, len(content), raw.FPDF_FONT_TRUETYPE, True)
        try:
            return {each: outline(face, each) for each in characters}
        finally:
            raw.FPDFFont_Close(face)


def outline(face: Any, character: str) -> Outline:
    """Follow a character's outline; where digits have one width they stand further right, and are the same.

    A digit is followed to its end. Of other characters the first points tell, and how many there are.
    """
    import pypdfium2.raw as raw

    path = raw.FPDFFont_GetGlyphPath(face, ord(character), 1.0)
    if not path:
        return ()
    x, y = c_float(), c_float()
    at_x, at_y, points = byref(x), byref(y), []
    count = raw.FPDFGlyphPath_CountGlyphSegments(path)
    for at in range(count if character.isdigit() else min(count, _FIRST)):
        part = raw.FPDFGlyphPath_GetGlyphPathSegment(path, at)
        raw.FPDFPathSegment_GetPoint(part, at_x, at_y)
        points.append((raw.FPDFPathSegment_GetType(part), x.value, y.value))
    left = min((across for _, across, _ in points), default=0.0)
    return (count, *((kind, round(across - left, 3), round(up, 3)) for kind, across, up in points))
