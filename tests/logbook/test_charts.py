"""What stands on a chart and where: runs, their scatter, the fit, limits, and what is told in numbers."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from cardgen.deck.diagram import Diagram, Disc, Label, Line
from cardgen.logbook.charts import track_chart, trend_chart
from cardgen.logbook.history import History
from cardgen.logbook.track_learning import learn
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.trend import Series, TrendPoint
from tests.figures.specs import spec_of, track_change
from tests.logbook.logs import kept
from tests.logbook.test_stopping import flown, history, row

METRIC = (
    ('rule = "30 thou/in"', 'rule = "0.03 mm/mm"'),
    *track_change(max_split='"50.8 mm"', max_total='"1.524 mm"', adjuster_thread='"M8x1"'),
)


def chart(found: History) -> Diagram:
    drawn = track_chart(learn(found))
    assert drawn is not None
    return drawn


def texts(drawn: Diagram) -> list[str]:
    return [shape.text for shape in drawn.shapes if isinstance(shape, Label)]


def discs(drawn: Diagram) -> list[Disc]:
    return [shape for shape in drawn.shapes if isinstance(shape, Disc)]


def test_runs_stand_at_their_total_and_split() -> None:
    # Totals 0 and 30 and a next of about 45: marks 0 to 50. Splits 1.5 and 0.5 with 1/16 either way: 0 to 1.75,
    # and a little below nothing.
    drawn = chart(history(flown("1.5", "30"), flown("0.5")))
    first, second = discs(drawn)
    assert [first.x, second.x - first.x] == pytest.approx([20.0, 134 * 30 / 50])
    # The board is 66 high for -0.5 to 2: an inch is 26.4.
    assert first.y - second.y == pytest.approx(26.4)
    assert {"1", "2", "next"} <= set(texts(drawn))


def test_video_is_black_and_a_reading_by_eye_open() -> None:
    drawn = chart(history(flown("1.5", "30", eye=True), flown("0.5")))
    assert [disc.fill for disc in discs(drawn)] == ["white", "black"]


def test_runs_that_cover_one_another_share_a_label() -> None:
    together = texts(chart(history(flown("0.5"), flown("0.5"), flown("0.5"))))
    assert "1–3" in together
    apart = texts(chart(history(flown("1.5", "30"), flown("0.5"), flown("0.5"))))
    assert {"1", "2, 3"} <= set(apart)


def test_the_limit_is_drawn_where_it_lies_on_the_board() -> None:
    assert "largest split" in texts(chart(history(flown("2"))))
    assert "largest split" not in texts(chart(history(flown("0.5"))))
    assert "largest total" in texts(chart(history(flown("2", "60"), flown("0.5"))))


def test_a_metric_rotor_is_drawn_in_millimetres() -> None:
    rule = rule_of(kept(spec_of(*METRIC)))
    assert isinstance(rule, TrackRule)
    runs = row(flown("1", "20"), flown("0.5"))
    drawn = chart(History(rule, runs, None, Fraction(20), ()))
    # Splits of 25.4 and 12.7 mm stand on an axis of millimetres, changes of 0.508 mm on one of millimetres.
    # 25.4 and 1.5875 of scatter over it, and as much under nothing: marks of 5 from -5 to 30.
    assert {"-5", "30"} <= set(texts(drawn))
    first, second = discs(drawn)
    assert any("mm of the rule" in text for text in texts(drawn))
    assert first.y - second.y == pytest.approx(12.7 * 66 / _height(drawn))
    # Across is counted in millimetres of the rule too, and no step goes beyond the largest total of 1.524.
    across = _across(drawn)
    assert 0.508 <= max(across) <= 1.6
    assert second.x - first.x == pytest.approx(0.508 * 134 / (max(across) - min(across)))


def _height(drawn: Diagram) -> float:
    """The span of the upright axis, from its lowest and highest numbers, which stand left of the board."""
    numbers = [
        float(shape.text)
        for shape in drawn.shapes
        if isinstance(shape, Label) and shape.anchor == "end" and shape.x < 20
    ]
    return max(numbers) - min(numbers)


def _across(drawn: Diagram) -> list[float]:
    """The numbers of the axis across, which stand under the board."""
    return [float(shape.text) for shape in drawn.shapes if isinstance(shape, Label) and _is_under(shape)]


def _is_under(label: Label) -> bool:
    return label.anchor == "middle" and label.y < 18 and label.text.replace("-", "").replace(".", "").isdigit()


def test_the_largest_total_is_drawn_at_its_own_place() -> None:
    # Splits of 2 and 1/2 with 60 changed between: the total stands at the largest, which is 60 thou.
    drawn = chart(history(flown("2", "60"), flown("0.5")))
    _, second = discs(drawn)
    dashed = [shape for shape in drawn.shapes if isinstance(shape, Line) and shape.dashed]
    (at,) = {line.x1 for line in dashed if line.x1 == line.x2}
    assert at == pytest.approx(second.x)


def test_a_rotor_without_a_rule_has_no_chart() -> None:
    only_read = rule_of(kept(spec_of(*track_change(method='"none"'))))
    runs = row(flown("1"))
    assert track_chart(learn(History(only_read, runs, None, Fraction(0), ()))) is None


def test_a_rotor_without_runs_has_no_chart() -> None:
    assert track_chart(learn(History(rule_of(kept(spec_of())), (), None, None, ()))) is None


START = date(2026, 11, 20)


def series(*readings: tuple[float, float], most: float | None) -> Series:
    points = tuple(TrendPoint(at, START, value) for at, value in readings)
    return Series("head", "Play", "thou", "rotor hours", START, points, most)


def test_a_trend_shows_its_readings_its_limit_and_when_it_comes() -> None:
    # 1 to 2 in 20 h without scatter: 3 comes at 40 h, within the board, which reaches so far.
    drawn = trend_chart(series((0, 1), (10, 1.5), (20, 2), most=3.0))
    assert {"limit", "check before"} <= set(texts(drawn))
    first, second, third = discs(drawn)
    assert [first.x, second.x - first.x] == pytest.approx([20.0, 134 * 10 / 40])
    assert second.y - first.y == pytest.approx(third.y - second.y)
    assert second.y - first.y == pytest.approx(66 * 0.5 / 3)
    dashed = [shape for shape in drawn.shapes if isinstance(shape, Line) and shape.dashed]
    assert max(line.x2 for line in dashed) == pytest.approx(154.0)


def test_a_limit_far_away_is_cut_at_twice_the_time_read_so_far() -> None:
    drawn = trend_chart(series((0, 1), (10, 1.01), (20, 1.02), most=3.0))
    assert "check before" not in texts(drawn)
    first, _, third = discs(drawn)
    assert third.x - first.x == pytest.approx(134 / 2)


def test_without_a_limit_only_readings_are_drawn() -> None:
    drawn = trend_chart(series((0, 1), (10, 1.5), (20, 2), most=None))
    assert "limit" not in texts(drawn)
    assert len(discs(drawn)) == 3
