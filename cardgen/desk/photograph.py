"""The code of a card in a photograph of its square mark."""

from __future__ import annotations

import re
from io import BytesIO

import zxingcpp
from PIL import Image

from cardgen.register.code import Code, read_code

#: A photograph of a telephone has about 12 million points, or 50 million.
_MOST_POINTS = 64_000_000
_FORMATS = ("JPEG", "PNG", "WEBP")
# Four, four and one character, as printed.
_CODE = re.compile(r"(?<![0-9A-Z-])[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z](?![0-9A-Z-])")


def is_picture(content: bytes) -> bool:
    """Whether a file begins as a photograph does (JPEG, PNG, WebP)."""
    return content.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n")) or content[8:12] == b"WEBP"


def code_in_picture(content: bytes) -> Code | str:
    """Read the one code in a photograph, or say why there is none."""
    try:
        with Image.open(BytesIO(content), formats=_FORMATS) as picture:
            if picture.width * picture.height > _MOST_POINTS:
                return "this picture is too large"
            marks = zxingcpp.read_barcodes(picture.convert("L"))
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        # Whatever is wrong with the picture, the keeper is told that no code was read.
        return "this picture cannot be read"
    found = {found for mark in marks for found in _CODE.findall(mark.text)}
    codes = {code for code in map(read_code, found) if isinstance(code, Code)}
    if not codes:
        return "no code of a card was found in this picture"
    return codes.pop() if len(codes) == 1 else "more than one card is in this picture"
