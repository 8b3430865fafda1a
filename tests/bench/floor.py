"""The least a PDF of the same marks can cost with the same library: no cards, no layout, no proof.

Run as a program with a file of plain marks and the file to write. Nothing of cardgen is imported here.
"""

from __future__ import annotations

import marshal
import sys
from pathlib import Path
from typing import Any

#: A page: its width and height, and its marks as tuples that begin with a letter.
Page = tuple[float, float, list[tuple[Any, ...]]]


def draw(pages: list[Page], fonts: dict[str, str], out: Path) -> None:
    """Draw the pages with the canvas's own calls, one for each mark."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for name, file in fonts.items():
        pdfmetrics.registerFont(TTFont(name, file))
    canvas = Canvas(str(out), invariant=1, pageCompression=1)
    for width, height, marks in pages:
        canvas.setPageSize((width, height))
        for kind, *values in marks:
            _mark(canvas, kind, values)
        canvas.showPage()
    canvas.save()


def _mark(canvas: Any, kind: str, values: list[Any]) -> None:
    match kind:
        case "text":
            x, y, words, font, size, grey = values
            canvas.setFillGray(grey)
            canvas.setFont(font, size)
            canvas.drawString(x, y, words)
        case "line":
            *ends, weight = values
            canvas.setLineWidth(weight)
            canvas.line(*ends)
        case "rectangle":
            x, y, width, height, weight, grey = values
            if grey is not None:
                canvas.setFillGray(grey)
            canvas.rect(x, y, width, height, int(weight > 0), int(grey is not None))
        case "outline":
            (points,) = values
            path = canvas.beginPath()
            path.moveTo(*points[0])
            for point in points[1:]:
                path.lineTo(*point)
            path.close()
            canvas.drawPath(path)
        case "arc":
            x, y, radius, start, extent = values
            canvas.arc(x - radius, y - radius, x + radius, y + radius, start, extent)


if __name__ == "__main__":
    pages, fonts = marshal.loads(Path(sys.argv[1]).read_bytes())
    draw(pages, fonts, Path(sys.argv[2]))
