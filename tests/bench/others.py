"""Other ways to a PDF of the same content, for comparison: an HTML renderer and a typesetter.

Both are installed by the extra ``bench``. Where one is missing, its row says so.
"""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from tests.bench.measure import Cost, cost, told_by

_HTML = "import sys, weasyprint; weasyprint.HTML(sys.argv[1]).write_pdf(sys.argv[2])"
_TYPE = "import sys, typst; typst.compile(sys.argv[1], output=sys.argv[2], font_paths=[sys.argv[3]])"
_PAGES = "import sys, pypdfium2; print(len(pypdfium2.PdfDocument(sys.argv[1])))"


def has(name: str) -> bool:
    """Whether a library is installed."""
    return find_spec(name) is not None


def from_the_twin(html: Path, folder: Path, runs: int) -> tuple[Cost, int]:
    """Print the twin for screens with WeasyPrint; gives the cost and the number of pages."""
    out = folder / "twin.pdf"
    return cost(["-c", _HTML, str(html), str(out)], runs), _pages(out)


def typeset(spec: str, day: str, folder: Path, runs: int) -> tuple[Cost, Cost, int]:
    """Typeset the handout's content with Typst; gives its cost, that of an empty page, and the pages."""
    fonts = told_by(["-m", "tests.bench.typst_source", spec, day, str(folder / "typst")]).strip()
    empty, out = folder / "typst" / "empty.typ", folder / "typst.pdf"
    empty.write_text('#set text(font: "Atkinson Hyperlegible")\nempty\n', "utf-8")
    nothing = cost(["-c", _TYPE, str(empty), str(folder / "empty.pdf"), fonts], runs)
    whole = cost(["-c", _TYPE, str(folder / "typst" / "deck.typ"), str(out), fonts], runs)
    return whole, nothing, _pages(out)


def _pages(pdf: Path) -> int:
    return int(told_by(["-c", _PAGES, str(pdf)]))
