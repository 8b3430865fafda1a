"""The printed cards in other people's software: qpdf, poppler, pdfium, a QR reader, a ruler of our own."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from io import BytesIO
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import zxingcpp

from cardgen.deck.card import Stamp
from cardgen.press.canvas import paint
from cardgen.press.edition import NAMES, EditionName, PaperKind, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import QrMark, Side, TextMark
from cardgen.press.sheets import two_up
from tests.press.paper_deck import ISSUED, MAX, deck, value

_PAPERS: list[PaperKind] = ["iso", "ansi"]


@cache
def sides(name: EditionName, paper: PaperKind = "iso", stamp: Stamp | None = None) -> tuple[Side, ...]:
    laid = lay_out(deck(stamp=stamp), load_edition(name, paper))
    return tuple(side for side in laid if isinstance(side, Side))


@cache
def printed(name: EditionName, paper: PaperKind = "iso", stamp: Stamp | None = None) -> bytes:
    return paint(sides(name, paper, stamp), deck(stamp=stamp), load_edition(name, paper))


@cache
def sheets() -> bytes:
    edition = load_edition("pouch", "iso")
    return paint(two_up(sides("pouch"), edition), deck(), edition)


def run(*command: str) -> str:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr + done.stdout
    assert done.stderr == ""
    return done.stdout


@pytest.fixture(params=["pouch", "wall", "handout", "2up"])
def pdf(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    file = tmp_path / f"{request.param}.pdf"
    file.write_bytes(sheets() if request.param == "2up" else printed(request.param))
    return file


def test_qpdf_finds_no_syntax_or_stream_errors(pdf: Path) -> None:
    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", str(pdf))


def test_qpdf_lists_the_attached_specification(pdf: Path) -> None:
    assert f"{deck().spec.rotor.set_id}.toml" in run("qpdf", "--list-attachments", str(pdf))


def test_poppler_finds_every_font_embedded_with_its_characters(pdf: Path) -> None:
    rows = run("pdffonts", str(pdf)).splitlines()[2:]
    assert {row.split()[0].split("+")[1] for row in rows} >= {"AtkinsonHyperlegible-Bold"}
    for row in rows:
        embedded, subset, unicode_map = row.split()[-5:-2]
        assert (embedded, subset, unicode_map) == ("yes", "yes", "yes")


def test_poppler_reads_a_sentence_with_its_numbers_in_order(tmp_path: Path) -> None:
    file = tmp_path / "pouch.pdf"
    file.write_bytes(printed("pouch"))
    text = " ".join(run("pdftotext", "-layout", str(file), "-").split())
    parts = value(MAX).figure.parts
    assert re.search(rf"no more than ?(\S+ )*{parts.number} {parts.unit}", text)


@pytest.mark.parametrize("paper", _PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_page_boxes_are_the_standards_paper(name: EditionName, paper: PaperKind, tmp_path: Path) -> None:
    # ISO 216, in millimetres; ANSI, in inches.
    iso = {"A6": (105, 148), "A5": (148, 210), "A4": (210, 297), "A3": (297, 420)}
    ansi = {"half letter": (5.5, 8.5), "letter": (8.5, 11), "tabloid": (11, 17)}
    sheet = load_edition(name, paper).paper.name
    wide, high = (
        [side / 25.4 * 72 for side in iso[sheet]] if paper == "iso" else [side * 72 for side in ansi[sheet]]
    )
    with pikepdf.open(BytesIO(printed(name, paper))) as opened:
        for page in opened.pages:
            box = [float(edge) for edge in page.mediabox]
            assert box == pytest.approx([0, 0, wide, high], abs=0.01)
            assert "/Rotate" not in page.obj or page.obj.Rotate == 0


@pytest.mark.parametrize("name", NAMES)
def test_the_scale_bar_in_the_content_stream_is_a_hundred_millimetres(name: EditionName) -> None:
    with pikepdf.open(BytesIO(printed(name))) as opened:
        for page, side in zip(opened.pages, sides(name), strict=True):
            content = page.Contents.read_bytes().decode("latin-1")
            lines = re.findall(r"w ([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l S", content)
            says = _bar_says(side)
            # What is ruled at the left of its words, level with them.
            long = [
                float(x2) - float(x1)
                for x1, y1, x2, y2 in lines
                if y1 == y2 and abs(float(y1) - says.y) < says.size and float(x2) < says.x
            ]
            assert [length / 72 * 25.4 for length in long] == pytest.approx([100.0], abs=0.01)


def _bar_says(side: Side) -> TextMark:
    """The words beside the bar of a side."""
    (says,) = [mark for mark in side.marks if isinstance(mark, TextMark) and mark.text == "is 100 mm"]
    return says


def test_the_scale_bar_measures_a_hundred_millimetres_on_a_rendered_page() -> None:
    dots = 600
    document = pypdfium2.PdfDocument(printed("pouch"))
    side = sides("pouch")[0]
    bitmap = document[0].render(scale=dots / 72, grayscale=True)
    says = _bar_says(side)
    level = range(*(int((side.height - says.y - up) * dots / 72) for up in (says.size, 0)))
    found = []
    for y in level:
        row = bytes(bitmap.buffer)[y * bitmap.stride : y * bitmap.stride + int(says.x * dots / 72)]
        dark = [x for x, shade in enumerate(row) if shade < 128]
        found += [max(dark) - min(dark) + 1] if dark else []
    assert [length / dots * 25.4 for length in {*found}] == pytest.approx([100], abs=25.4 / dots)


@pytest.mark.parametrize("name", ["pouch", "handout"])
def test_the_code_to_scan_is_read_from_a_rendered_page(name: EditionName) -> None:
    number, mark = next(
        (number, mark)
        for number, side in enumerate(sides(name))
        for mark in side.marks
        if isinstance(mark, QrMark)
    )
    image = pypdfium2.PdfDocument(printed(name))[number].render(scale=200 / 72).to_pil()
    (code,) = zxingcpp.read_barcodes(image)
    assert code.text == "https://log.example.org/rb-2041/#c=DRAFT&k=track"
    assert mark.module >= 0.5 * 72 / 25.4


def test_a_photocopyable_page_is_black_white_and_one_light_tint() -> None:
    for page in pypdfium2.PdfDocument(printed("pouch")):
        shades = bytes(page.render(scale=1, grayscale=True).buffer)
        flat = {shade for shade in set(shades) if shades.count(shade) > len(shades) // 200}
        assert flat <= {0, 229, 230, 255}


def test_a_page_shows_as_many_texts_as_were_recorded() -> None:
    marks = [
        mark for side in sides("pouch", "iso", ISSUED) for mark in side.marks if isinstance(mark, TextMark)
    ]
    with pikepdf.open(BytesIO(printed("pouch", "iso", ISSUED))) as opened:
        shown = sum(len(re.findall(rb"\) Tj", page.Contents.read_bytes())) for page in opened.pages)
    assert shown == len(marks)
