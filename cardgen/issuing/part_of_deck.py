"""Some cards of an issued deck, taken as they are out of its kept files.

A page is carried over whole: nothing is laid out or drawn again, and its code, revision and numbering
stay on it. Where an edition is printed on both sides, what was the front of a leaf stays a front.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from contextlib import suppress
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from cardgen.register.kept_pdf import NotAPdfError, pages_asked

if TYPE_CHECKING:
    from pypdf import PdfReader, PdfWriter

#: Label of a page that only keeps the next one a front, or a back, of its leaf.
BLANK = "blank"


@dataclass(frozen=True)
class OtherCards:
    """Cards that a deck has not got; ``known`` are those it has, and ``left_out`` says why others are not."""

    asked: tuple[str, ...]
    known: tuple[str, ...]
    left_out: Mapping[str, str]


@dataclass(frozen=True)
class PartOfDeck:
    """Files with some cards of a deck: their ids in the deck's order, and the files by name."""

    cards: tuple[str, ...]
    files: Mapping[str, bytes]


def cards_of(described: Mapping[str, Any]) -> dict[str, str]:
    """Titles of a deck's cards by id, in the order of work."""
    return {str(card["id"]): str(card["title"]) for card in described.get("cards") or ()}


def part_of(
    files: Mapping[str, bytes], described: Mapping[str, Any], asked: Iterable[str], name: str
) -> PartOfDeck | OtherCards:
    """Take the pages of some cards out of every printed file of a deck that has single cards on its pages.

    ``name`` is what the cards are wanted for; it stands in the name of every file and in its title. Raises
    `NotAPdfError` where pages of a kept file cannot be read.
    """
    wanted, titles = tuple(dict.fromkeys(asked)), cards_of(described)
    unknown = tuple(card for card in wanted if card not in titles)
    if unknown:
        left_out = {str(each["id"]): str(each["why"]) for each in described.get("left_out") or ()}
        return OtherCards(unknown, tuple(titles), left_out)
    pdfs = {file: _KeptPdf.of(content) for file, content in files.items() if file.endswith(".pdf")}
    printed = {title for pdf in pdfs.values() for title in pdf.ranges}
    if unprinted := tuple(card for card in wanted if titles[card] not in printed):
        return OtherCards(
            unprinted, tuple(titles), dict.fromkeys(unprinted, "no printed file of it has this card")
        )
    cards = tuple(card for card in titles if card in wanted)
    chosen = {titles[card] for card in cards}
    made = {
        f"part-{name}-{file}": pdf.with_only(chosen)
        for file, pdf in pdfs.items()
        if not chosen.isdisjoint(pdf.ranges)
    }
    return PartOfDeck(cards, made)


def is_part(
    content: bytes,
    files: Mapping[str, bytes],
    titles: Set[str],
    dressed: Callable[[bytes], bytes] = lambda part: part,
) -> bool:
    """Whether a file is exactly what `part_of` takes out of one of a deck's files for cards of these titles.

    ``dressed`` is what was done with the part afterwards, such as stamping it.
    """
    return bool(titles) and any(
        _is_taken_out(content, kept, titles, dressed) for name, kept in files.items() if name.endswith(".pdf")
    )


def _is_taken_out(content: bytes, kept: bytes, titles: Set[str], dressed: Callable[[bytes], bytes]) -> bool:
    # Nothing was ever taken out of a kept file that has no pages.
    with suppress(NotAPdfError):
        pdf = _KeptPdf.of(kept)
        return titles <= pdf.ranges.keys() and dressed(pdf.with_only(titles)) == content
    return False


@dataclass(frozen=True)
class _KeptPdf:
    """A kept file, and which of its pages each card has, by its title."""

    reader: PdfReader
    ranges: Mapping[str, range]

    @classmethod
    def of(cls, content: bytes) -> _KeptPdf:
        """Read a kept file. Raises `NotAPdfError`."""
        from pypdf import PdfReader

        with pages_asked():
            reader = PdfReader(BytesIO(content))
            return cls(reader, dict(_ranges(reader)))

    def with_only(self, chosen: Set[str]) -> bytes:
        """Write the pages of these cards as a file of their own. Raises `NotAPdfError`."""
        with pages_asked():
            return _pages(self.reader, {title: self.ranges[title] for title in self.ranges if title in chosen})


def _pages(reader: PdfReader, ranges: Mapping[str, range]) -> bytes:
    from pypdf import PdfWriter

    writer = PdfWriter()
    both_sides = "/Duplex" in _preferences(reader)
    for title, pages in ranges.items():
        _add_card(writer, reader, title, pages, both_sides)
    _dress(writer, reader, list(ranges))
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def _ranges(reader: PdfReader) -> Iterator[tuple[str, range]]:
    """Find which pages each card has: from where its outline begins to where the next one does."""
    entries = [entry for entry in reader.outline if not isinstance(entry, list)]
    if not entries:
        return  # A sheet that goes with the cards, such as that for the second reader.
    starts = [reader.get_destination_page_number(entry) for entry in entries]
    # Where cards run on, a card ends on the page on which the next one begins.
    last = len(reader.pages)
    more = 1 if reader.page_labels[0].startswith("page ") else 0
    for entry, start, end in zip(entries, starts, [*starts[1:], last], strict=True):
        if start is not None and end is not None:
            yield str(entry.title), range(start, min(last, end + more))


def _add_card(writer: PdfWriter, reader: PdfReader, title: str, pages: range, both_sides: bool) -> None:
    if both_sides and (len(writer.pages) - pages.start) % 2:
        box = reader.pages[pages.start].mediabox
        writer.add_blank_page(float(box.width), float(box.height))
        _label(writer, BLANK)
    for place in pages:
        writer.add_page(reader.pages[place])
        _label(writer, reader.page_labels[place])
    writer.add_outline_item(title=title, page_number=len(writer.pages) - len(pages))


def _label(writer: PdfWriter, label: str) -> None:
    last = len(writer.pages) - 1
    writer.set_page_label(last, last, prefix=label)


def _preferences(reader: PdfReader) -> Any:
    found: Any = reader.trailer["/Root"]
    return found.get("/ViewerPreferences") or {}


def _dress(writer: PdfWriter, reader: PdfReader, titles: list[str]) -> None:
    """Carry over how the file wants to be printed and what is attached; its title says that it is a part."""
    from pypdf.generic import NameObject

    root: Any = reader.trailer["/Root"]
    for key in ("/ViewerPreferences", "/Lang"):
        if key in root:
            writer.root_object[NameObject(key)] = root[key].clone(writer)
    for name, versions in reader.attachments.items():
        for content in versions:
            writer.add_attachment(name, content)
    about = reader.metadata
    whole, subject = (about.title or "", about.subject or "") if about else ("", "")
    named = f"{whole}, only a part of the deck: {', '.join(titles)}"
    writer.add_metadata({"/Title": named, "/Subject": subject, "/Creator": "cardgen"})
