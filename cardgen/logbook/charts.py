"""Charts of the log as drawings: told apart by shape and words, never by colour."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line
from cardgen.figures.track_fit import Fit
from cardgen.logbook.axes import HEIGHT, SMALL, WIDTH, Axes, axis
from cardgen.logbook.fit_report import lines_of
from cardgen.logbook.history import FlownRun
from cardgen.logbook.lettering import ChartPart, Choice, around, lettered
from cardgen.logbook.track_learning import Learned
from cardgen.logbook.track_rule import NoRule, TrackRule
from cardgen.logbook.trend import Series, earliest, forecast_words, straight

_POINTS = 24


@dataclass(frozen=True)
class _Scale:
    """Turns inches of split and thou of the rule into the units this rotor is read in."""

    rule: TrackRule

    def split(self, inches: Fraction | float) -> float:
        return float(inches) * (1.0 if self.rule.scale.split == "in" else 25.4)

    def thin(self, thou: Fraction | float) -> float:
        return float(thou) * (1.0 if self.rule.scale.thin == "thou" else 0.0254)


def track_chart(learned: Learned) -> Diagram | None:
    """Draw the runs of the row: split over total adjustment, with the fitted line and its band."""
    rule, row = learned.history.rule, learned.history.row
    if isinstance(rule, NoRule) or not row:
        return None
    scale = _Scale(rule)
    known = all(each.net is not None for each in row)
    xs = [scale.thin(each.net if known and each.net is not None else each.since) for each in row]
    axes = _track_axes(learned, scale, xs, "from as delivered" if known else "since the first run of the row")
    shapes = lettered(_track_shapes(axes, learned, scale, xs), WIDTH, HEIGHT)
    title = "Track runs: split against total adjustment"
    return Diagram("log-track", WIDTH, HEIGHT, title, " ".join(_track_words(learned)), shapes)


def _track_axes(learned: Learned, scale: _Scale, xs: Sequence[float], counted: str) -> Axes:
    wide = [*xs, 0.0]
    if learned.step is not None:
        wide.append(scale.thin(learned.step.total))
    if learned.fit is not None:
        wide.append(scale.thin(learned.fit.wanted_total))
    ends = [
        scale.split(each.run.split + side * each.run.uncertainty)
        for each in learned.history.row
        for side in (-1, 1)
    ]
    # A little beyond nothing either way, so that the fit is seen to cross it.
    room = scale.split(learned.uncertainty)
    units = scale.rule.scale
    return Axes(
        axis(f"total adjustment {counted}, {units.thin} of the rule, to the right lowers A", wide),
        axis(f"split, {units.split}: above nothing A was high, below it B", [-room, room, *ends]),
    )


def _track_shapes(axes: Axes, learned: Learned, scale: _Scale, xs: Sequence[float]) -> Iterator[ChartPart]:
    row, rule = learned.history.row, scale.rule
    yield from axes.frame()
    yield from axes.run([(axes.across.low, 0.0), (axes.across.high, 0.0)], FINE)
    for side in (1, -1):
        yield from axes.level(side * scale.split(rule.max_split), "largest split")
        if rule.max_total is not None:
            yield from axes.upright(side * scale.thin(rule.max_total), "largest total")
    if learned.fit is not None:
        yield from _band(axes, learned.fit, scale)
    for x, each in zip(xs, row, strict=True):
        yield from _run(axes, x, each, scale)
    yield from _numbers(axes, xs, [scale.split(each.run.split) for each in row])
    if learned.step is not None:
        x, zero = axes.x(scale.thin(learned.step.total)), axes.y(0)
        # From the side where the runs are not, so that the arrow stands on white.
        side = -1 if row[-1].run.split < 0 else 1
        yield Line(x, zero + side * 12, x, zero + side * 1.5, NORMAL, arrow=True)
        yield around(x, zero + side * 12, "next", SMALL)


def _band(axes: Axes, fit: Fit, scale: _Scale) -> Iterator[DrawnShape]:
    low, high = axes.across.low, axes.across.high
    at = [low + (high - low) * place / _POINTS for place in range(_POINTS + 1)]
    fitted = [fit.split_at(Fraction(x / scale.thin(1)).limit_denominator(1000)) for x in at]
    yield from axes.run([(x, scale.split(s)) for x, (s, _) in zip(at, fitted, strict=True)], NORMAL)
    for side in (-1, 1):
        edge = [(x, scale.split(float(s) + side * u)) for x, (s, u) in zip(at, fitted, strict=True)]
        yield from axes.run(edge, FINE, dashed=True)


def _run(axes: Axes, x: float, each: FlownRun, scale: _Scale) -> Iterator[DrawnShape]:
    """Draw a run: a bar of its scatter, and a disc that is black for video and open by eye."""
    split, u = scale.split(each.run.split), scale.split(each.run.uncertainty)
    yield Line(axes.x(x), axes.y(split - u), axes.x(x), axes.y(split + u), FINE)
    fill: Literal["black", "white"] = "black" if each.run.method == "video" else "white"
    yield Disc(axes.x(x), axes.y(split), 1.6, fill, NORMAL)


def _numbers(axes: Axes, xs: Sequence[float], splits: Sequence[float]) -> Iterator[Choice]:
    """Number the runs; those that nearly cover one another share their numbers."""
    places: list[tuple[float, float, list[int]]] = []
    for number, (x, split) in enumerate(zip(xs, splits, strict=True), 1):
        px, py = axes.x(x), axes.y(split)
        near = next((at for a, b, at in places if abs(a - px) < 6 and abs(b - py) < 4.5), None)
        if near is None:
            places.append((px, py, [number]))
        else:
            near.append(number)
    for px, py, numbers in places:
        yield around(px, py, in_short(numbers), SMALL)


def in_short(numbers: Sequence[int]) -> str:
    """Write numbers that rise, three and more in a row as a range: ``1, 4–7``."""
    rows: list[list[int]] = []
    for number in numbers:
        if rows and number == rows[-1][-1] + 1:
            rows[-1].append(number)
        else:
            rows.append([number])
    return ", ".join(f"{row[0]}–{row[-1]}" if len(row) > 2 else ", ".join(map(str, row)) for row in rows)


def _track_words(learned: Learned) -> Iterator[str]:
    yield "Numbered in the order of the runs. A black disc was read from video, an open one by eye."
    yield "The bar through a disc is one standard deviation of the reading."
    if learned.fit is not None:
        yield "The line is the fit, and the dashed lines are one standard deviation of it."
    yield from lines_of(learned)


def trend_chart(series: Series) -> Diagram:
    """Draw readings over hours or days, their limit, their line, and when the limit may come."""
    line, at = straight(series.readings), earliest(series)
    last = series.readings[-1].at
    reach = last if at is None else min(at, last + max(last - series.readings[0].at, 1.0))
    tall = [0.0, *(each.value for each in series.readings)]
    if series.most is not None:
        tall.append(series.most)
    across = "rotor hours" if series.axis == "rotor hours" else f"days since {series.start.isoformat()}"
    unit = f", {series.unit}" if series.unit else ""
    axes = Axes(
        axis(across, [series.readings[0].at, last, reach]),
        axis(f"{series.title}{unit}", tall),
    )
    shapes: list[ChartPart] = [*axes.frame()]
    if series.most is not None:
        shapes += axes.level(series.most, "limit")
    if line is not None:
        shapes += axes.run([(x, line.at(x)) for x in (series.readings[0].at, last)], NORMAL)
        shapes += _ahead(axes, series, last, at)
    for each in series.readings:
        shapes.append(Disc(axes.x(each.at), axes.y(each.value), 1.6, "black", NORMAL))
    return Diagram(
        f"log-{series.id}",
        WIDTH,
        HEIGHT,
        series.title,
        f"{len(series.readings)} readings. {forecast_words(series)}",
        lettered(shapes, WIDTH, HEIGHT),
    )


def _ahead(axes: Axes, series: Series, last: float, at: float | None) -> Iterator[ChartPart]:
    """Draw the steepest likely way from the last reading to the limit, where it comes within the board."""
    if at is None or series.most is None or at <= last or at > axes.across.high:
        return
    start = max(series.readings[-1].value, 0.0)
    yield Line(axes.x(last), axes.y(start), axes.x(at), axes.y(series.most), NORMAL, dashed=True)
    yield Line(axes.x(at), axes.y(0), axes.x(at), axes.y(series.most), HEAVY / 2, dashed=True)
    levels = [axes.y(0) + up for up in (2.0, 7.0, 12.0, 17.0)]
    before = tuple(Label(axes.x(at) - 1, up, "check before", SMALL, bold=True, anchor="end") for up in levels)
    after = tuple(Label(axes.x(at) + 1, up, "check before", SMALL, bold=True, anchor="start") for up in levels)
    yield Choice((before, after))
