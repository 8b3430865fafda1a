"""The stamp on every page of a deck that is placed again for the records: out of use, and since when.

It is made from the kept bytes and nothing else, so that a stamped file is known again by making it anew.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from cardgen.register.kept_pdf import pages_asked
from cardgen.register.state import DeckState, Standing

if TYPE_CHECKING:
    from pypdf import PageObject, PdfWriter

_SAYS = "FOR RECORDS ONLY, OUT OF USE"
_STATES: dict[DeckState, str] = {"superseded": "superseded", "withdrawn": "withdrawn", "expired": "out of date"}
_FOUND = re.compile(
    rb"FOR RECORDS ONLY, OUT OF USE: ([a-z0-9._-]{1,60}) of ([0-9A-Z-]{11}), "
    rb"(superseded|withdrawn|out of date) since (\d{4}-\d\d-\d\d)"
)
#: Share of a quarter of the page that the words take, and the width of a capital letter in its own height.
_SHARE, _WIDE = 0.9, 0.74


@dataclass(frozen=True)
class RecordsStamp:
    """What a stamp says of one file of a deck."""

    file: str
    code: str
    state: str
    since: date

    def words(self) -> str:
        """Say it in one line."""
        return f"{_SAYS}: {self.file} of {self.code}, {self.state} since {self.since.isoformat()}"

    def on(self, content: bytes) -> bytes:
        """Stamp a file: every page of a PDF, the beginning of a text or a page for a screen; no other.

        Raises `NotAPdfError`.
        """
        if self.file.endswith(".pdf"):
            return _stamped_pdf(content, self)
        if self.file.endswith(".txt"):
            return f"{self.words()}. Do not work from this.\n\n".encode() + content
        if self.file.endswith(".html"):
            mark = f'<p role="alert"><strong>{self.words()}. Do not work from this.</strong></p>'
            return content.replace(b"<body>", b"<body>\n" + mark.encode(), 1)
        return content


def stamp_of(file: str, where: Standing) -> RecordsStamp:
    """Make the stamp for a file of a deck that is not current."""
    return RecordsStamp(file, where.deck.code, _STATES[where.state], where.since)


def claimed_stamp(content: bytes) -> RecordsStamp | None:
    """Read what a file says of itself as a print for the records."""
    found = _FOUND.search(content)
    if found is None:
        return None
    file, code, state, since = (group.decode("ascii") for group in found.groups())
    try:
        return RecordsStamp(file, code, state, date.fromisoformat(since))
    except ValueError:
        # No such day: whatever wrote this, no stamp of ours did.
        return None


def _stamped_pdf(content: bytes, stamp: RecordsStamp) -> bytes:
    from io import BytesIO

    from pypdf import PdfReader, PdfWriter

    out = BytesIO()
    with pages_asked():
        writer = PdfWriter(clone_from=PdfReader(BytesIO(content)))
        for page in writer.pages:
            _stamp_page(writer, page, stamp)
        writer.write(out)
    # A remark at the end, as ISO 32000-1, 7.2.3, allows; by it a stamped file is known again.
    return out.getvalue() + f"% {stamp.words()}\n".encode("ascii")


def _stamp_page(writer: PdfWriter, page: PageObject, stamp: RecordsStamp) -> None:
    """Write in outlines over each quarter of a page, so that a sheet cut in half is stamped on either half."""
    from pypdf import PageObject
    from pypdf.generic import DictionaryObject, NameObject, StreamObject

    box = page.mediabox
    wide, high = float(box.width) / 2, float(box.height) / 2
    marks = [
        _outlined(stamp, float(box.left) + wide * column, float(box.bottom) + high * row, wide, high)
        for column in (0, 1)
        for row in (0, 1)
    ]
    stream: Any = StreamObject()
    stream.set_data("\n".join(marks).encode("ascii"))
    font = DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Font"),
            NameObject("/Subtype"): NameObject("/Type1"),
            NameObject("/BaseFont"): NameObject("/Helvetica-Bold"),
        }
    )
    over: Any = PageObject.create_blank_page(writer, width=float(box.right), height=float(box.top))
    fonts = DictionaryObject({NameObject("/RecordsStamp"): font})
    over[NameObject("/Resources")] = DictionaryObject({NameObject("/Font"): fonts})
    over[NameObject("/Contents")] = stream
    page.merge_page(over)


def _outlined(stamp: RecordsStamp, left: float, low: float, wide: float, high: float) -> str:
    lines = ["FOR RECORDS", "OUT OF USE", f"{stamp.state} since", stamp.since.isoformat()]
    size = wide * _SHARE / (_WIDE * max(map(len, lines)))
    first = low + (high + size * 1.2 * len(lines)) / 2 - size
    shown = "".join(f"({line}) Tj T* " for line in lines)
    return (
        f"q 0.45 G 0.7 w BT 1 Tr /RecordsStamp {size:.2f} Tf {size * 1.2:.2f} TL "
        f"{left + wide * (1 - _SHARE) / 2:.2f} {first:.2f} Td {shown}ET Q"
    )
