"""Trends of play and shake, and when to look again."""

from __future__ import annotations

from datetime import date

import pytest

from cardgen.logbook.trend import Series, all_series, earliest, forecast_words, straight
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
