"""Paints sides on a PDF with reportlab's canvas: no page templates, no clock, no chance.

The same sides give the same bytes in any time zone, locale and hash seed. No setting of reportlab is
changed; all that stays in this process is the cards' type, registered under names of our own.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from cardgen.deck.card import Deck
from cardgen.press.edition import Edition
from cardgen.press.marks import Face, Mark, Side
from cardgen.press.operators import content
from cardgen.press.type import NAMES, register

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


def paint(sides: Sequence[Side], deck: Deck, edition: Edition) -> bytes:
    """Write a PDF with one page a side, the specification attached."""
    out = BytesIO()
    first = sides[0]
    canvas = _canvas(out, first)
    title = f"{deck.spec.rotor.set_id} {edition.title}"
    canvas.setTitle(title)
    canvas.setSubject(
        "DRAFT, not issued"
        if deck.stamp.is_draft
        else f"revision {deck.stamp.revision}, code {deck.stamp.code}"
    )
    if edition.duplex:
        edge = "Short" if first.width > first.height else "Long"
        canvas.setViewerPreference("Duplex", f"DuplexFlip{edge}Edge")
    pen = _Pen(canvas)
    for number, side in enumerate(sides):
        _outline(canvas, side)
        canvas.addPageLabel(number, prefix=page_label(side))
        pen.write(side.marks)
        _end_page(canvas)
    _attach(canvas, f"{deck.spec.rotor.set_id}.toml", deck.spec.text)
    canvas.save()
    return out.getvalue()


def _canvas(out: BytesIO, first: Side) -> Canvas:
    from reportlab.pdfgen.canvas import Canvas

    register()
    # Begun in our own face, or every page would name a font that is not embedded.
    options: dict[str, Any] = {"initialFontName": NAMES["regular"], "lang": "en"}
    canvas = Canvas(out, pagesize=(first.width, first.height), invariant=1, pageCompression=1, **options)
    canvas.setAuthor("")
    canvas.setCreator("cardgen")
    canvas.setViewerPreference("PrintScaling", "None")
    return canvas


def paint_bare(sides: Sequence[Side], title: str = "") -> bytes:
    """Write marks alone, without outline, labels or attachment: a notice, or what ink is compared with."""
    out = BytesIO()
    canvas = _canvas(out, sides[0])
    if title:
        canvas.setTitle(title)
    pen = _Pen(canvas)
    for side in sides:
        canvas.setPageSize((side.width, side.height))
        pen.write(side.marks)
        _end_page(canvas)
    canvas.save()
    return out.getvalue()


def _end_page(canvas: Canvas) -> None:
    """Close a page; its stream stays binary, a fifth smaller than as text, which readers take since PDF 1.2."""
    from reportlab.pdfbase.pdfdoc import PDFStream, PDFZCompress

    canvas.showPage()
    document: Any = canvas._doc  # type: ignore[attr-defined]
    page = document.Pages.pages[-1]
    page.Contents = PDFStream(content=page.stream, filters=[PDFZCompress])


def page_label(side: Side) -> str:
    """Name a page as its own frame does: ``3/14 side 2``, or ``page 5`` where cards run on."""
    if side.runs_on:
        return f"page {side.side_number}"
    return f"{side.card_number}/{side.card_count} side {side.side_number}" if side.card_id else side.title


def _outline(canvas: Canvas, side: Side) -> None:
    sheets = ((side.card_number, side.title),) if not side.cards and side.side_number == 1 else ()
    for number, title in side.starts or sheets:
        key = f"card-{number}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(title, key, level=0)


class _Pen:
    """Writes marks on a canvas, and remembers the codes of every text and character it has written before."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas: Any = canvas
        self._texts: dict[tuple[str, Face], Sequence[tuple[str, str]]] = {}
        self._characters: dict[Face, dict[int, str]] = {face: {} for face in NAMES}

    def write(self, marks: Iterable[Mark]) -> None:
        """Add marks to the page that is open."""
        self._canvas._code.append(content(marks, self._encoded))

    def _encoded(self, text: str, face: Face) -> Sequence[tuple[str, str]]:
        known = self._texts.get((text, face))
        if known is None:
            known = self._texts[text, face] = self._encode(text, face)
        return known

    def _encode(self, text: str, face: Face) -> Sequence[tuple[str, str]]:
        from reportlab.pdfbase import pdfmetrics

        font: Any = pdfmetrics.getFont(NAMES[face])
        document, known = self._canvas._doc, self._characters[face]
        if not known.keys() >= set(map(ord, text)):
            parts = font.splitString(text, document)
            if [subset for subset, _ in parts] != [0]:
                return [
                    (font.getSubsetInternalName(subset, document), self._canvas._escape(codes))
                    for subset, codes in parts
                ]
            # Only of the font's first subset in the file, which has room for some two hundred characters.
            ((_, codes),) = parts
            known.update((ord(each), self._canvas._escape([c])) for each, c in zip(text, codes, strict=True))
        return [(font.getSubsetInternalName(0, document), text.translate(known))]


def _attach(canvas: Canvas, name: str, content: bytes) -> None:
    """Embed the specification as an associated file, its relationship Source (ISO 32000-2, 14.13)."""
    from reportlab.pdfbase import pdfdoc

    document: Any = canvas._doc  # type: ignore[attr-defined]
    parts: Any = pdfdoc
    stream = parts.PDFStream(
        parts.PDFDictionary(
            {
                "Type": parts.PDFName("EmbeddedFile"),
                "Subtype": "/application#2Ftoml",
                "Params": parts.PDFDictionary({"Size": len(content)}),
            }
        ),
        content,
    )
    held = document.Reference(stream)
    shown = parts.PDFString(name)
    file = document.Reference(
        parts.PDFDictionary(
            {
                "Type": parts.PDFName("Filespec"),
                "F": shown,
                "UF": shown,
                "Desc": parts.PDFString("the specification these cards were made from"),
                "AFRelationship": parts.PDFName("Source"),
                "EF": parts.PDFDictionary({"F": held, "UF": held}),
            }
        )
    )
    names = parts.PDFDictionary({"Names": parts.PDFArray([shown, file])})
    catalog = document.Catalog
    catalog.Names = parts.PDFDictionary({"EmbeddedFiles": names})
    catalog.AF = parts.PDFArray([file])
    catalog.__NoDefault__ = [*catalog.__NoDefault__, "AF"]
