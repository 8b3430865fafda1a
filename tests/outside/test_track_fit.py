"""The fit of a rotor's own rate against the weighted least squares of other libraries."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import least_squares

from cardgen.figures.track_fit import Fit, FitPoint, fit


def ours(runs: list[tuple[float, float]], rule: int, scatter: str) -> Fit:
    found = fit(
        [FitPoint(Fraction(str(total)), Fraction(str(split))) for total, split in runs],
        Fraction(rule),
        Fraction(scatter),
        max_split=Fraction(1000),
        max_total=Fraction(10_000),
        max_step=Fraction(10_000),
    )
    assert isinstance(found, Fit)
    return found


@pytest.mark.parametrize(
    ("runs", "rate", "uncertainty", "next_total"),
    # Worked out apart from this code; no published source.
    [
        ([(0, 1.75), (40, 0.40), (52, 0.05)], 30.3, 3.4, 52.9),
        ([(0, 1.75), (40, 0.40)], 29.7, 4.3, None),
        ([(0, 2.5), (60, 0.5), (75, 0.05)], 30.4, 2.4, None),
    ],
)
def test_worked_runs(
    runs: list[tuple[float, float]], rate: float, uncertainty: float, next_total: float | None
) -> None:
    found = ours(runs, 30, "0.15")
    assert float(found.rate) == pytest.approx(rate, abs=0.05)
    assert found.rate_uncertainty == pytest.approx(uncertainty, abs=0.05)
    if next_total is not None:
        assert float(found.wanted_total) == pytest.approx(next_total, abs=0.05)


@settings(max_examples=25, deadline=None)
@given(
    splits=st.lists(st.integers(-30, 30), min_size=2, max_size=5),
    rule=st.integers(10, 60),
    scatter=st.sampled_from(["0.06", "0.15", "0.25"]),
)
def test_scipys_least_squares_finds_the_same(splits: list[int], rule: int, scatter: str) -> None:
    """scipy.optimize.least_squares on the residuals, the prior as one more residual."""
    runs = [(float(20 * at), split / 10) for at, split in enumerate(splits)]
    sigma, prior = float(scatter), 1 / rule

    def residuals(unknown: np.ndarray) -> np.ndarray:
        start, slope = unknown[0], unknown[1] / 100
        rows = [(start - slope * total - split) / sigma for total, split in runs]
        return np.array([*rows, (slope - prior) / (0.35 * prior)])

    solved = least_squares(residuals, [1.0, 100 / rule], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    start, slope = solved.x[0], solved.x[1] / 100
    assume(slope > 1e-3)
    jacobian = np.array(solved.jac, dtype=float)
    covariance = np.linalg.inv(jacobian.T @ jacobian)
    found = ours(runs, rule, scatter)
    assert float(found.rate) == pytest.approx(1 / slope, rel=1e-5)
    assert float(found.wanted_total) == pytest.approx(start / slope, rel=1e-5, abs=1e-5)
    assert found.rate_uncertainty == pytest.approx(sqrt(covariance[1, 1]) / 100 / slope**2, rel=1e-4)


def test_a_simulated_rotor_gives_its_physical_rate_back() -> None:
    """The flap equation of a teetering rotor is flown by scipy with two settings of the adjuster.

    The lift of each blade is summed along its span; the two share one teeter hinge, so that their
    moments oppose each other. By the textbook's Lock number the steady answer must come out at
    16000 x lever/(Lock number x diameter) thou for an inch of split.
    """
    radius, chord, mass, lever = 3.6, 0.2, 13.0, 2.0
    density, lift_slope, inertia = 1.225, 5.73, 13.0 * 3.6**2 / 3
    lock = density * lift_slope * chord * radius**4 / inertia
    assert mass * radius**2 / 3 == pytest.approx(inertia)

    def moment(pitch: float, rate: float) -> float:
        # At one radian a second, a blade that flaps up at a rate meets the air at less angle.
        lift = quad(lambda r: 0.5 * density * lift_slope * chord * r**2 * (pitch - rate) * r, 0, radius)
        return float(lift[0])

    def split(adjusted_thou: float) -> float:
        pitch = (60 - adjusted_thou) / 1000 / lever

        def motion(_: float, state: np.ndarray) -> list[float]:
            tilt, rate = state
            turning = moment(pitch / 2, rate) - moment(-pitch / 2, -rate)
            return [rate, turning / (2 * inertia) - tilt]

        flown = solve_ivp(motion, (0, 80), [0.0, 0.0], rtol=1e-7, atol=1e-10)
        return float(flown.y[0][-1]) * 2 * radius / 0.0254

    own = 16_000 * lever / (lock * 2 * radius / 0.0254)
    found = ours([(0.0, round(split(0), 6)), (40.0, round(split(40), 6))], round(own), "0.001")
    assert float(found.rate) == pytest.approx(own, rel=1e-3)
    assert float(found.wanted_total) == pytest.approx(60, rel=1e-3)
