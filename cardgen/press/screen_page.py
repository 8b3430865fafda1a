"""What every page for a screen shares: templates, embedded type and its content security policy."""

from __future__ import annotations

from base64 import b64encode
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from cardgen.deck.library import library
from cardgen.layouts_root import layouts_root
from cardgen.press.marks import Face
from cardgen.press.type import font_file

_WEIGHTS: tuple[tuple[Face, int], ...] = (("regular", 400), ("bold", 700))


def screen_folder() -> Path:
    """Find the folder of the templates for screens."""
    return layouts_root() / "screen"


@lru_cache(maxsize=1)
def environment() -> Environment:
    """Make the one template environment of the pages; everything printed through it is escaped."""
    pages = Environment(
        loader=FileSystemLoader(screen_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    pages.globals["term"] = library().terms.__getitem__
    pages.tests["kind"] = lambda value, name: type(value).__name__ == name
    return pages


@lru_cache(maxsize=1)
def font_faces() -> str:
    """Give the cards' own type as ``@font-face`` rules that need no other file."""
    return "".join(
        f'@font-face{{font-family:"Atkinson Hyperlegible";font-weight:{weight};font-display:block;'
        f"src:url(data:font/ttf;base64,{_base64(font_file(face).read_bytes())})}}\n"
        for face, weight in _WEIGHTS
    )


def _base64(data: bytes) -> str:
    return b64encode(data).decode()


def source_hash(text: str) -> str:
    """Name the one style sheet or script a content security policy allows, by its text."""
    return f"sha256-{_base64(sha256(text.encode()).digest())}"
