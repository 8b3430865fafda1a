"""Plants what hides or changes words that still read back: on marks, and in a finished file's type."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from io import BytesIO
from types import MappingProxyType
from typing import Any

import pikepdf
from fontTools.ttLib import TTFont

from cardgen.press.marks import LineMark, Mark, PolygonMark, Rect, RectMark, Side, TextMark
from cardgen.proof.geometry import box_of


def over(sides: Sequence[Side], mark: TextMark, how: Sequence[Any]) -> tuple[Side, ...]:
    """Paint a shade over a part of a word's width and height, counted from its left and its foot."""
    wide, high = mark.width * how[2], 0.7 * mark.size * how[3]
    cover = RectMark(Rect(mark.x, mark.y - 0.5, mark.x + wide, mark.y + high), fill=how[1])
    return _with(sides, mark, lambda marks: (*marks, cover))


def strike(sides: Sequence[Side], mark: TextMark, when: str) -> tuple[Side, ...]:
    """Draw a line through a word, before or after it."""
    line = LineMark(mark.x, mark.y + 0.3 * mark.size, mark.x + mark.width, mark.y + 0.3 * mark.size, 1.0)
    return _with(sides, mark, lambda marks: (line, *marks) if when == "before" else (*marks, line))


def unband(sides: Sequence[Side], mark: TextMark) -> tuple[Side, ...]:
    """Take the black area away under a word that is white."""

    def holds(each: Mark) -> bool:
        if not isinstance(each, RectMark | PolygonMark) or each.fill != "black":
            return False
        rect = box_of(each)
        return rect.x1 <= mark.x <= rect.x2 and rect.y1 <= mark.y + 0.3 * mark.size <= rect.y2

    left = _with(sides, mark, lambda marks: tuple(each for each in marks if not holds(each)))
    assert left != tuple(sides), f"{mark.text!r} stands in no black area"
    return left


def _with(
    sides: Sequence[Side], mark: TextMark, edit: Callable[[tuple[Mark, ...]], tuple[Mark, ...]]
) -> tuple[Side, ...]:
    return tuple(replace(side, marks=edit(side.marks)) if mark in side.marks else side for side in sides)


def _faces(file: pikepdf.Pdf, edit: Callable[[Any, Mapping[int, str]], None]) -> None:
    """Change every embedded face of the first page."""
    for face in file.pages[0].Resources.Font.values():
        holder = face.FontDescriptor
        font = TTFont(BytesIO(holder.FontFile2.read_bytes()))
        edit(font["glyf"], font["cmap"].tables[0].cmap)
        out = BytesIO()
        font.save(out)
        holder.FontFile2 = file.make_stream(out.getvalue())


def _other_glyph(glyf: Any, names: Mapping[int, str]) -> None:
    glyf[names[ord("6")]] = glyf[names[ord("8")]]


def _no_glyph(glyf: Any, names: Mapping[int, str]) -> None:
    from fontTools.ttLib.tables._g_l_y_f import Glyph

    glyf[names[ord("6")]] = Glyph()


def _bent_glyph(glyf: Any, names: Mapping[int, str]) -> None:
    glyph = glyf[names[ord("6")]]
    glyph.coordinates[0] = (glyph.coordinates[0][0], glyph.coordinates[0][1] + 150)


def _renamed(file: pikepdf.Pdf) -> None:
    for face in file.pages[0].Resources.Font.values():
        face.BaseFont = pikepdf.Name("/AAAAAA+Another")


def _read_as(file: pikepdf.Pdf, old: bytes, new: bytes) -> None:
    """Let readers take one code for another's character."""
    for face in file.pages[0].Resources.Font.values():
        codes = face.ToUnicode.read_bytes()
        assert old in codes
        face.ToUnicode = file.make_stream(codes.replace(old, new))


def _drawn(file: pikepdf.Pdf, old: bytes, new: bytes) -> None:
    content = file.pages[0].Contents.read_bytes()
    changed = re.sub(old, new, content)
    assert changed != content
    file.pages[0].Contents = file.make_stream(changed)


_IMAGE = b"q 40 0 0 40 100 100 cm BI /W 1 /H 1 /CS /G /BPC 8 ID \x7f EI Q\n"

#: What an editor could do to the type of a finished file, and to the words in it.
EDITS: Mapping[str, Callable[[pikepdf.Pdf], None]] = MappingProxyType(
    {
        "6 drawn as 8": lambda file: _faces(file, _other_glyph),
        "6 not drawn": lambda file: _faces(file, _no_glyph),
        "6 bent": lambda file: _faces(file, _bent_glyph),
        "another type": _renamed,
        "6 read for 8": lambda file: _read_as(file, b"<38> <0038>", b"<38> <0036>"),
        "6 and 8 read for one another": lambda file: _read_as(
            file, b"<36> <0036>\n<37> <0037>\n<38> <0038>", b"<36> <0038>\n<37> <0037>\n<38> <0036>"
        ),
        "words turned": lambda file: _drawn(file, rb"1 0 0 1( \S+ \S+ Tm)", rb"-1 0 0 -1\1"),
        "words mirrored": lambda file: _drawn(file, rb"1 0 0 1( \S+ \S+ Tm)", rb"-1 0 0 1\1"),
        "words too small": lambda file: _drawn(file, rb"1 0 0 1( \S+ \S+ Tm)", rb".01 0 0 .01\1"),
        "words grey": lambda file: _drawn(file, rb"BT 0 g", rb"BT .5 g"),
        "inline picture": lambda file: _drawn(file, rb"\A", _IMAGE),
    }
)
