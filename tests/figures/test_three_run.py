"""Three amplitudes at their edges; the sums themselves are compared with a simulated rotor in tests/outside."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.figures.three_run import Correction, NoCorrection, three_run


def run(
    as_is: int, with_a: int, with_b: int, trial: int, most: int, scatter: str = "0"
) -> Correction | NoCorrection:
    amplitudes = Fraction(as_is), Fraction(with_a), Fraction(with_b)
    return three_run(*amplitudes, Fraction(trial), Fraction(most), Fraction(scatter))


def test_as_much_as_is_allowed_is_not_capped() -> None:
    # As it is 2, at A 5, at B 1: t squared (25 + 1)/2 - 4 = 9, mass at B 3 x 24/36 = 2.
    assert run(2, 5, 1, 3, 2) == Correction("B", Fraction(2), Fraction(2), False)
    assert run(2, 1, 5, 3, 2) == Correction("A", Fraction(2), Fraction(2), False)


def test_where_no_lead_is_allowed_none_is_given() -> None:
    found = run(2, 5, 1, 3, 0)
    assert isinstance(found, Correction)
    assert [found.mass, found.wanted, found.capped] == [0, 2, True]


def test_a_rotor_without_shake_asks_for_nothing() -> None:
    # As it is 0, both trials alike 3: nothing along the blades, whatever the trial.
    assert isinstance(run(0, 3, 3, 3, 60), NoCorrection)


@pytest.mark.parametrize(("scatter", "mass"), [("1.42", True), ("1.43", False)])
def test_trials_that_shake_alike_within_the_scatter_give_no_mass(scatter: str, mass: bool) -> None:
    # As it is 0, at A 8, at B 12: 4 apart, which is 2.8 x 1.4286. Two readings of u each lie 1.96 x root 2 =
    # 2.77 u apart by chance, one time in twenty.
    assert isinstance(run(0, 8, 12, 3, 60, scatter), Correction) is mass


@pytest.mark.parametrize(("scatter", "mass"), [("0.84", True), ("0.85", False)])
def test_a_trial_that_is_lost_in_the_scatter_gives_no_mass(scatter: str, mass: bool) -> None:
    # As it is 2, at A 5, at B 1: the square of the trial's shake is 9, and its u is root(25 + 1 + 16) = 6.481
    # of that of a reading (JCGM 100, 5.1.2); 1.65 of it is 9 at 0.8417. A and B are 4 apart, 2.8 x 1.43.
    assert isinstance(run(2, 5, 1, 3, 60, scatter), Correction) is mass


def test_a_scatter_that_nobody_knows_is_a_twentieth_of_the_largest_reading() -> None:
    """Common practice, no source. Of 5 it is a quarter: the sum above stands; a trial of a third does not."""
    third = (Fraction(6), Fraction(4), Fraction(8), Fraction(30), Fraction(80))
    assert isinstance(three_run(*third), NoCorrection)
    assert isinstance(three_run(*third, Fraction(1, 10)), Correction)
    assert isinstance(three_run(*map(Fraction, (2, 5, 1, 3, 60))), Correction)


def test_readings_that_fit_no_rotor_give_no_mass() -> None:
    # The trial's own shake would be nothing, or its square less than nothing.
    assert isinstance(run(5, 5, 5, 3, 60), NoCorrection)
    assert isinstance(run(5, 4, 4, 3, 60), NoCorrection)


@pytest.mark.parametrize(
    "reading",
    [(-1, 5, 5, 3, 9), (2, -1, 5, 3, 9), (2, 5, -1, 3, 9), (2, 5, 1, 0, 9), (2, 5, 1, -1, 9), (2, 5, 1, 3, -1)],
)
def test_what_cannot_be_an_amplitude_or_a_mass_is_an_error(reading: tuple[int, int, int, int, int]) -> None:
    with pytest.raises(ValueError, match="below nothing"):
        run(*reading)
