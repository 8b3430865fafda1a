"""Whether all words of all pages can be seen: black on paper or white in a black band, nothing over them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from cardgen.proof.meaning.pages import Box, Page, Run, Shape

#: Shades from 0 to 255: ink is darker than the one, paper and tints are lighter than the other.
_DARK, _LIGHT = 64, 224
#: What stays of a word's rectangle without its edges, which a frame may touch: letters with tails are rare.
_EDGE = 0.15
#: Points by which what is painted later may meet a word.
_TOUCH = 0.3


def seen_against(pages: Iterable[Page]) -> Iterator[str]:
    """Name words that cannot be seen as they are read, and whatever is neither words, lines nor areas."""
    for page in pages:
        if any(shape.points < 0 for shape in page.shapes):
            yield f"page {page.number}: it holds a picture"
        # Lines alone rarely matter, and looking at each beside each word would take most of the time.
        areas = [shape for shape in page.shapes if shape.fill is not None or _can_strike(shape)]
        for run in page.runs:
            if wrong := _unseen(run, page, areas):
                yield f'page {page.number}: "{run.text}" {wrong}'


def _can_strike(shape: Shape) -> bool:
    """Whether a line could hide words: a light one, or one that runs level."""
    if shape.stroke is None:
        return False
    return shape.stroke > _DARK or shape.box.y2 - shape.box.y1 < 2 * shape.weight + _TOUCH


def _unseen(run: Run, page: Page, areas: Sequence[Shape]) -> str:
    """Say why words cannot be seen; nothing where they can."""
    ink, box = run.ink, run.box
    if ink is None or not ink.upright or box.x2 <= box.x1 or box.y2 <= box.y1:
        return "is turned, or drawn at no size"
    if _DARK <= ink.shade <= _LIGHT:
        return "is neither black nor white"
    if box.x1 < 0 or box.y1 < 0 or box.x2 > page.width or box.y2 > page.height:
        return "stands beyond the page"
    edge = _EDGE * (box.y2 - box.y1)
    core = Box(box.x1 + _TOUCH, box.y1 + edge, box.x2 - _TOUCH, box.y2 - edge)
    ground, whole = 255, True
    for area in areas:
        at = area.box
        # Most areas stand elsewhere, and the first line tells.
        if at.y1 >= box.y2 or at.y2 <= box.y1 or at.x1 >= box.x2 or at.x2 <= box.x1:
            continue
        light = max(area.fill or 0, area.stroke or 0) > _DARK
        if area.order > ink.order:
            if _meets(area, box if light and ink.shade < _DARK else core):
                return "is painted over"
        elif _meets(area, core):
            if area.fill is not None:
                ground, whole = area.fill, _holds(area.box, core)
            elif not light:
                return "is struck through"
    if ink.shade < _DARK:
        return "" if ground > _LIGHT else "is black on black"
    return "" if ground < _DARK and whole else "is white on white"


def _meets(shape: Shape, other: Box) -> bool:
    one = shape.box
    meets = (
        one.x1 < other.x2 - _TOUCH
        and other.x1 < one.x2 - _TOUCH
        and one.y1 < other.y2 - _TOUCH
        and other.y1 < one.y2 - _TOUCH
    )
    return meets and (not shape.round or _in_circle(one, other))


def _in_circle(one: Box, other: Box) -> bool:
    """Whether the nearest point of a rectangle lies in a circle: numbers stand close around bolts."""
    across, up = one.middle, (one.y1 + one.y2) / 2
    right = min(max(across, other.x1), other.x2) - across
    high = min(max(up, other.y1), other.y2) - up
    return right**2 + high**2 < ((one.x2 - one.x1) / 2 - _TOUCH) ** 2


def _holds(outer: Box, inner: Box) -> bool:
    return outer.x1 <= inner.x1 and outer.y1 <= inner.y1 and outer.x2 >= inner.x2 and outer.y2 >= inner.y2
