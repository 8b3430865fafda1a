"""A finished file is nothing but its pages: turned, scaled, scripted or layered it would show otherwise."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from hashlib import sha256
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from typing import Any

from cardgen.proof.meaning.asked import Asked
from cardgen.proof.meaning.pages import Page

#: What a catalogue and a page may hold (ISO 32000-2, tables 29 and 31); all else could change what is seen.
_ROOT = frozenset(
    {"/AF", "/Lang", "/Names", "/Outlines", "/PageLabels", "/PageMode", "/Pages", "/Type", "/ViewerPreferences"}
)
_PAGE = frozenset({"/Contents", "/MediaBox", "/Parent", "/Resources", "/Rotate", "/Trans", "/Type"})
_RESOURCES = frozenset({"/Font", "/ProcSet"})
#: A code of a font, and the character that it is read as.
_CODE = re.compile(rb"<[0-9A-Fa-f]+>\s*<([0-9A-Fa-f]+)>\s(?!endcodespacerange)")
#: The type's files by their hash: regular and bold of the one release that the cards were looked at with.
_FACES = {
    "Regular": "7fb917c89019896d0b52ee84b7cbb3304c18cb90b19a62f5e32712bd23e97669",
    "Bold": "5a3b0c8cc8ca545155150b4512a1fa248298df121c50d6557e651e61fbdab92f",
}


def structure_against(pdf: bytes, asked: Asked, spec: bytes) -> Iterator[str]:
    """Name what a file holds besides plain pages and the specification."""
    from pypdf import PdfReader

    reader: Any = PdfReader(BytesIO(pdf))
    root = reader.trailer["/Root"]
    yield from (f"it holds {key}" for key in sorted(set(root) - _ROOT))
    for number, page in enumerate(reader.pages, 1):
        more = set(page) - _PAGE | set(page["/Resources"]) - _RESOURCES
        yield from (f"page {number}: it holds {key}" for key in sorted(more))
        if page.get("/Rotate", 0) != 0:
            yield f"page {number}: it is turned"
        if page.get("/Trans"):
            yield f"page {number}: it holds /Trans"
    yield from _codes_against(reader)
    # Without get_object, older versions of the library give a reference and not what it leads to.
    names = root.get("/Names", {}).get_object() if "/Names" in root else {}
    yield from (f"it holds {key}" for key in sorted(set(names) - {"/EmbeddedFiles"}))
    attached = dict(reader.attachments)
    if attached != {f"{asked.value('rotor.set_id')}.toml": [spec]}:
        yield "its attachment is not the specification alone"


def _codes_against(reader: Any) -> Iterator[str]:
    """Name characters that two codes of one font stand for: one of them could be drawn as something else."""
    held: dict[int, Any] = {}
    for page in reader.pages:
        fonts = page["/Resources"]["/Font"].get_object().values()
        held |= {getattr(font, "idnum", id(font)): font.get_object() for font in fonts}
    for font in held.values():
        if "/ToUnicode" not in font:
            yield "a font of it does not say which characters it draws"
            continue
        counted = Counter(_CODE.findall(font["/ToUnicode"].get_object().get_data()))
        twice = sorted(int(code, 16) for code, times in counted.items() if times > 1)
        yield from (f'"{chr(code)}" is read from two codes' for code in twice if code)


def hidden_against(pages: Iterable[Page]) -> Iterator[str]:
    """Name words that are in a file and not drawn."""
    for page in pages:
        yield from (f'page {page.number}: "{run.text}" is not drawn' for run in page.runs if run.hidden)


def type_against() -> Iterator[str]:
    """Compare the type's files with those that the cards were looked at with."""
    folder = Path(str(files("fontpkg_atkinson_hyperlegible") / "files"))
    for face in _FACES:
        file = folder / f"AtkinsonHyperlegible-{face}.ttf"
        if not file.is_file() or sha256(file.read_bytes()).hexdigest() != _FACES[face]:
            yield f"the type {file.name} is not the one that the cards were looked at with"
