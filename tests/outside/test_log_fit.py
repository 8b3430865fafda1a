"""What the log computes against other people's statistics: spreads, trends, and simulated rotors."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import ceil, sqrt
from statistics import mean

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import curve_fit

from cardgen.figures.track_fit import Fit, FitPoint, fit
from cardgen.logbook.trend import TrendPoint, guard, straight
from tests.bench.clumsy import fly
from tests.bench.hands import Outcome
from tests.logbook.logs import TODAY

RUNS = ((0.0, 1.75), (40.0, 0.40), (52.0, 0.05))


def fitted() -> Fit:
    found = fit(
        [FitPoint(Fraction(str(total)), Fraction(str(split))) for total, split in RUNS],
        Fraction(30),
        Fraction("0.15"),
        max_split=Fraction(3),
        max_total=Fraction(100),
        max_step=Fraction(100),
    )
    assert isinstance(found, Fit)
    return found


def solved() -> tuple[np.ndarray, np.ndarray]:
    """scipy.optimize.curve_fit on the runs, the prior on the slope as one more weighted point."""

    def line(parts: np.ndarray, start: float, slope: float) -> np.ndarray:
        return np.array(parts[0] * start + parts[1] * slope)

    parts = np.array([[1.0, 1.0, 1.0, 0.0], [*(-total for total, _ in RUNS), 1.0]])
    read = np.array([*(value for _, value in RUNS), 1 / 30])
    spread = np.array([0.15, 0.15, 0.15, 0.35 / 30])
    values, covariance = curve_fit(line, parts, read, p0=[1.0, 0.03], sigma=spread, absolute_sigma=True)
    return np.array(values), np.array(covariance)


def test_the_spread_of_the_next_total_is_that_of_a_ratio() -> None:
    """First-order propagation (JCGM 100, 5.2.2) with scipy's covariance, differentiated numerically."""
    values, covariance = solved()
    step = values * 1e-5
    ratio = values[0] / values[1]
    slopes = (
        np.array([(values[0] + step[0]) / values[1] - ratio, values[0] / (values[1] + step[1]) - ratio]) / step
    )
    expected = sqrt(float(slopes @ covariance @ slopes))
    assert fitted().total_uncertainty == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("total", [-10, 0, 30, 60])
def test_the_band_of_the_fit_is_scipys(total: int) -> None:
    values, covariance = solved()
    gradient = np.array([1.0, -float(total)])
    split, spread = fitted().split_at(Fraction(total))
    assert float(split) == pytest.approx(values[0] - values[1] * total, rel=1e-4, abs=1e-6)
    assert spread == pytest.approx(sqrt(float(gradient @ covariance @ gradient)), rel=1e-4)


def test_a_trend_is_scipys_straight_line() -> None:
    """scipy.stats.linregress."""
    at, value = [0.0, 11.0, 25.0, 40.0, 71.0], [0.4, 0.7, 0.6, 1.1, 1.3]
    line = straight([TrendPoint(x, TODAY, y) for x, y in zip(at, value, strict=True)])
    assert line is not None
    other = stats.linregress(at, value)
    assert (line.start, line.slope) == pytest.approx((other.intercept, other.slope))
    assert line.slope_deviation == pytest.approx(other.stderr)


@pytest.mark.parametrize("freedom", range(1, 40))
def test_the_guard_of_a_trend_is_students_and_never_too_small(freedom: int) -> None:
    """scipy.stats.t, one-sided 95 percent, rounded up to a hundredth."""
    exact = float(stats.t.ppf(0.95, freedom))
    assert guard(freedom) >= exact
    if freedom <= 10:
        assert guard(freedom) == pytest.approx(ceil(exact * 100) / 100)


@cache
def by_the_log(slips: bool) -> list[Outcome]:
    return fly(40, "log", "video", slips)


def test_simulated_rotors_are_called_done_only_when_they_are() -> None:
    """Forty rotors of known truth, scatter of a video reading; the whole run is in tests/bench."""
    ended = by_the_log(slips=False)
    assert sum(each.done for each in ended) >= 26
    assert not any(each.false_done for each in ended)
    assert not any(each.past_total for each in ended)
    assert not any(each.wrong_way for each in ended)
    assert mean(each.readings for each in ended if each.done) < 5


def test_a_clumsy_hand_is_never_told_done_when_it_is_not() -> None:
    ended = by_the_log(slips=True)
    assert any(each.slips for each in ended)
    assert not any(each.false_done for each in ended)


def test_repeating_the_table_blindly_is_called_done_wrongly_and_passes_the_total() -> None:
    blindly = fly(40, "table", "video")
    assert sum(each.false_done or each.past_total for each in blindly) >= 2
