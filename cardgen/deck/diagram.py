"""Diagrams as values: a few shapes on a drawing board measured in millimetres.

The board has its origin at the lower left. An edition scales a whole board, lines and lettering
with it, so a drawing looks the same everywhere and is checked once against the reading distance.
Meaning is never carried by colour or by shade alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

#: Line weights in millimetres on the board.
FINE, NORMAL, HEAVY = 0.3, 0.6, 1.2


@dataclass(frozen=True)
class Line:
    """A straight line; dashed for what is hidden or imagined."""

    x1: float
    y1: float
    x2: float
    y2: float
    weight: float = NORMAL
    dashed: bool = False
    arrow: bool = False  # a head at the second end


@dataclass(frozen=True)
class Disc:
    """A circle: open, black, or covered with the one 10 % tint."""

    x: float
    y: float
    radius: float
    fill: Literal["none", "black", "tint", "white"] = "none"
    weight: float = NORMAL


@dataclass(frozen=True)
class Arc:
    """Part of a circle from one angle to another, in degrees counter-clockwise from the right."""

    x: float
    y: float
    radius: float
    start: float
    end: float
    weight: float = NORMAL
    arrow: bool = False  # a head at the end angle


@dataclass(frozen=True)
class Polygon:
    """A closed outline."""

    points: tuple[tuple[float, float], ...]
    fill: Literal["none", "black", "tint", "white"] = "none"
    weight: float = NORMAL


@dataclass(frozen=True)
class Label:
    """Lettering: its baseline point, its size in millimetres of type, and the figure it shows, if any.

    ``figure`` is the id of the `Figure` whose printed number or words the text is.
    """

    x: float
    y: float
    text: str
    size: float = 4.5
    bold: bool = False
    anchor: Literal["start", "middle", "end"] = "middle"
    white: bool = False
    figure: str = ""


DrawnShape: TypeAlias = Line | Disc | Arc | Polygon | Label


@dataclass(frozen=True)
class Diagram:
    """One drawing, with the words that stand for it where it cannot be seen."""

    name: str
    width: float
    height: float
    title: str
    description: str
    shapes: tuple[DrawnShape, ...]
