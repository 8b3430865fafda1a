"""Everything that can stand on a page, as values: the display list.

Layout produces marks; one painter puts them on a PDF, and the proof reads each text mark back
from the place recorded here. Lengths are points (1/72 in) from the lower left of the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

#: The "even" faces are the same type with digits of one width, for tables.
Face: TypeAlias = Literal["regular", "bold", "even", "even bold"]
Tone: TypeAlias = Literal["black", "white", "tint", "watermark"]
#: What a text mark belongs to; the proof asks for a reason for every digit. "was" is what its figure
#: was on the deck before.
Role: TypeAlias = Literal["figure", "was", "said", "words", "step", "frame", "label", "watermark"]


class Rect(NamedTuple):
    """A rectangle by its lower left and upper right corners."""

    x1: float
    y1: float
    x2: float
    y2: float

    def moved(self, dx: float, dy: float) -> Rect:
        """The same rectangle elsewhere."""
        return Rect(self.x1 + dx, self.y1 + dy, self.x2 + dx, self.y2 + dy)


class TextMark(NamedTuple):
    """One run of type on one baseline. ``figure`` is the id of the figure it shows a part of."""

    x: float
    y: float
    text: str
    face: Face
    size: float
    width: float
    tone: Tone = "black"
    role: Role = "words"
    figure: str = ""


class LineMark(NamedTuple):
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    weight: float
    dashed: bool = False


class RectMark(NamedTuple):
    """A rectangle, filled, outlined or both."""

    rect: Rect
    fill: Tone | None = None
    weight: float = 0.0


def outlined(rect: Rect, weight: float) -> RectMark:
    """Outline a rectangle with its line inside it, so that its outer edge is where it is said to be."""
    half = weight / 2
    return RectMark(Rect(rect.x1 + half, rect.y1 + half, rect.x2 - half, rect.y2 - half), weight=weight)


class ArcMark(NamedTuple):
    """A circle or part of one, by centre, radius and angles in degrees counter-clockwise from the right."""

    x: float
    y: float
    radius: float
    start: float = 0.0
    end: float = 360.0
    fill: Tone | None = None
    weight: float = 0.0


class PolygonMark(NamedTuple):
    """A closed outline, drawn in ``tone``."""

    points: tuple[tuple[float, float], ...]
    fill: Tone | None = None
    weight: float = 0.0
    tone: Tone = "black"


class QrMark(NamedTuple):
    """A QR symbol with its quiet zone: lower left, size of one module, rows of modules from the top."""

    x: float
    y: float
    module: float
    matrix: tuple[tuple[bool, ...], ...]


Mark: TypeAlias = TextMark | LineMark | RectMark | ArcMark | PolygonMark | QrMark


@dataclass(frozen=True)
class Side:
    """One side of paper, laid out: its marks, and the frame that all of them stay inside.

    ``card_id`` is the first card on it, or nothing; ``cards`` are all of them, and ``starts`` the numbers and
    titles of those that begin here. Where cards run on, sides are counted through the file.
    """

    card_id: str
    title: str
    card_number: int
    card_count: int
    side_number: int
    side_count: int
    width: float
    height: float
    frame: Rect
    marks: tuple[Mark, ...]
    cards: tuple[str, ...] = ()
    starts: tuple[tuple[int, str], ...] = ()
    runs_on: bool = False
