"""The code symbols on paper, read back from a picture of the page by another library than made them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from cardgen.proof.finished import Finished
from cardgen.proof.meaning.asked import Asked, Kind
from cardgen.proof.meaning.pages import Box, Flow, Page

#: Where something is measured and entered; a wall has none.
_CARDS = ("torque", "track", "balance", "sealing", "log-slip")
#: A symbol is as wide as high, and drawn in hundreds of strokes.
_LEAST_POINTS, _SQUARE = 200, 0.06
#: Pixels a point, so that a module of half a millimetre has four.
_SCALE = 3.0


def symbols_against(
    file: Finished, pages: Sequence[Page], held: Mapping[str, Flow], asked: Asked, kind: Kind
) -> Iterator[str]:
    """Name a card whose symbol is missing, cannot be read, or says something else."""
    if not kind.boxes and not kind.runs_on:
        return
    read = [(page.number, text) for page in pages for text in _read(file, page)]
    for card in _CARDS:
        if card not in held:
            continue
        right, numbers = payload(asked, card), {run.page for run in held[card].runs}
        if not any(text == right and number in numbers for number, text in read):
            yield f"card {card}: its code symbol does not say {right}"
    known = {payload(asked, card) for card in _CARDS}
    yield from (f'page {number}: a code symbol says "{text}"' for number, text in read if text not in known)


def payload(asked: Asked, card: str) -> str:
    """Say what a card's symbol must hold: the form's address with code and card, or set, revision, code."""
    stamp = asked.stamp
    code = stamp.code or "DRAFT"
    if (url := asked.value("log.form_url")) is not None:
        return f"{url}#c={code}&k={card}"
    revision = "" if stamp.revision is None else f" r{stamp.revision}"
    return f"{asked.value('rotor.set_id')}{revision} {code} {card}"


def _read(file: Finished, page: Page) -> Iterator[str]:
    import zxingcpp

    for shape in page.shapes:
        wide, high = shape.box.x2 - shape.box.x1, shape.box.y2 - shape.box.y1
        if shape.points < _LEAST_POINTS or shape.light or abs(wide - high) > _SQUARE * high:
            continue
        bitmap = file.page(page.number).render(scale=_SCALE, grayscale=True, crop=_crop(shape.box, page))
        shades = bytes(bitmap.buffer)
        rows = b"".join(
            shades[row * bitmap.stride : row * bitmap.stride + bitmap.width] for row in range(bitmap.height)
        )
        picture = memoryview(rows).cast("B", (bitmap.height, bitmap.width))
        bitmap.close()
        found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))
        yield found[0].text if found else "nothing that can be read"


def _crop(box: Box, page: Page) -> tuple[float, float, float, float]:
    """Keep the symbol with some of its quiet zone: what is left away at the left, below, right and above."""
    room = 6.0
    sides = (box.x1 - room, box.y1 - room, page.width - box.x2 - room, page.height - box.y2 - room)
    left, low, right, top = (max(0.0, side) for side in sides)
    return left, low, right, top
