"""Trends of play and shake, and when to look again."""

from __future__ import annotations

from datetime import date, timedelta
from math import sqrt

import pytest

from cardgen.logbook.trend import Axis, Series, TrendPoint, all_series, earliest, forecast_words, straight
from tests.logbook.logs import Log, box


def head(log: Log, *readings: tuple[str, str, str]) -> Series:
    for day, hours, value in readings:
        record = {"date": day, **({"rotor_hours": hours} if hours else {})}
        log.add(log.entry(record=record, values={"head": {"play-front": box(value, "thou")}}))
    (series,) = all_series(log.entries())
    return series


RISING = (
    ("2026-11-20", "10", "0.6"),
    ("2026-11-21", "40", "0.9"),
    ("2026-11-22", "70", "1.2"),
    ("2026-11-23", "100", "1.5"),
)


def test_readings_on_a_line_reach_the_limit_where_the_line_does(log: Log) -> None:
    # 0.3 thou in 30 h from 1.5 at 100 h: the sample's 2 thou come at 150 h.
    series = head(log, *RISING)
    assert series.axis == "rotor hours"
    assert earliest(series) == pytest.approx(150)
    assert "150 rotor hours" in forecast_words(series)


def test_scatter_makes_the_check_come_earlier(log: Log) -> None:
    steps = (0.1, -0.1, 0.1, 0)
    scattered = [(*each[:2], str(float(each[2]) + step)) for each, step in zip(RISING, steps, strict=True)]
    at = earliest(head(log, *scattered))
    assert at is not None
    assert 100 < at < 150


def test_without_hours_days_are_counted(log: Log) -> None:
    series = head(log, *((day, "", value) for day, _, value in RISING))
    assert (series.axis, series.start) == ("days", date(2026, 11, 20))
    assert "2026-11-24" in forecast_words(series)


def test_the_largest_of_four_places_counts(log: Log) -> None:
    values = {f"play-{place}": box(value, "thou") for place, value in (("front", "0.5"), ("rear", "1.5"))}
    log.add(log.entry(values={"head": values}))
    (series,) = all_series(log.entries())
    assert [each.value for each in series.readings] == [1.5]


def test_two_readings_are_no_trend(log: Log) -> None:
    series = head(log, *RISING[:2])
    assert straight(series.readings) is None
    assert "Too few" in forecast_words(series)


def test_over_the_limit_is_said_first(log: Log) -> None:
    assert "over the limit" in forecast_words(head(log, ("2026-11-20", "10", "2.1")))


def test_readings_that_fall_forecast_nothing(log: Log) -> None:
    falling = [(day, hours, value) for (day, hours, _), (_, _, value) in zip(RISING, RISING[::-1], strict=True)]
    assert "do not rise" in forecast_words(head(log, *falling))


START = date(2026, 11, 20)


def series(*readings: tuple[float, float], most: float | None = 3.0, axis: Axis = "rotor hours") -> Series:
    points = tuple(TrendPoint(at, START, value) for at, value in readings)
    return Series("head", "Play", "thou", axis, START, points, most)


def test_the_forecast_starts_from_the_line_where_the_last_reading_lies_under_it() -> None:
    # Through 0, 2 and 1 at 0, 10 and 20 h: slope 0.05, and 1.5 at the last. Left over is 0.25 + 1 + 0.25 with
    # one reading beyond two, so the slope is good to root(1.5/200); 6.32 times that is Student's 95 %.
    steepest = 0.05 + 6.32 * sqrt(1.5 / 200)
    assert earliest(series((0, 0), (10, 2), (20, 1))) == pytest.approx(20 + 1.5 / steepest)
    # Turned up at the end the last reading itself counts: slope 0.1, line 2.17 at the last, left over 1/6.
    steepest = 0.1 + 6.32 * sqrt(1 / 6 / 200)
    assert earliest(series((0, 0.5), (10, 1), (20, 2.5))) == pytest.approx(20 + 0.5 / steepest)


def test_a_limit_that_is_reached_comes_at_once_and_one_that_is_passed_is_told() -> None:
    reached = series((0, 1), (10, 2), (20, 3))
    assert earliest(reached) == 20
    assert forecast_words(reached).startswith("At the earliest the limit comes at about 20 rotor hours.")
    assert "over the limit" in forecast_words(series((0, 1), (10, 2), (20, 3.01)))


def test_what_has_no_limit_or_no_line_has_no_forecast() -> None:
    assert forecast_words(series((0, 1), (10, 2), (20, 3), most=None)).startswith("No limit is stated")
    assert earliest(series((0, 1), (10, 2), (20, 3), most=None)) is None
    at_once = series((5, 1), (5, 2), (5, 1.5))
    assert straight(at_once.readings) is None
    assert "Too few" in forecast_words(at_once)
    level = series((0, 1), (10, 1), (20, 1))
    assert earliest(level) is None


def test_a_forecast_beyond_a_lifetime_is_cut_to_a_hundred_years() -> None:
    # 0.3 in 3 days is 0.1 a day: 2 more take 20 days; a ten-thousandth of that slope takes 200,000.
    near, far = (
        series((0, 0.7), (1.5, 0.85), (3, 1), axis="days"),
        series((0, 0.99997), (1.5, 0.999985), (3, 1), axis="days"),
    )
    assert (START + timedelta(days=23)).isoformat() in forecast_words(near)
    assert (START + timedelta(days=36_500)).isoformat() in forecast_words(far)


@pytest.mark.parametrize("hours", [("10", "40", "40"), ("40", "10", "70"), ("10", "", "70")])
def test_hours_that_do_not_rise_are_not_counted_by(log: Log, hours: tuple[str, str, str]) -> None:
    read = [(day, hour, value) for (day, _, value), hour in zip(RISING, hours, strict=False)]
    found = head(log, *read)
    assert found.axis == "days"
    assert [each.at for each in found.readings] == [0, 1, 2]
