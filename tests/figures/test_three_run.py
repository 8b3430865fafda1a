"""Three amplitudes at their edges; the sums themselves are compared with a simulated rotor in tests/outside."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.figures.three_run import Correction, NoCorrection, three_run


def run(as_is: int, with_a: int, with_b: int, trial: int, most: int) -> Correction | NoCorrection:
    return three_run(Fraction(as_is), Fraction(with_a), Fraction(with_b), Fraction(trial), Fraction(most))


def test_as_much_as_is_allowed_is_not_capped() -> None:
    # As it is 2, at A 5, at B 1: t squared (25 + 1)/2 - 4 = 9, mass at B 3 x 24/36 = 2.
    assert run(2, 5, 1, 3, 2) == Correction("B", Fraction(2), Fraction(2), False, Fraction(9))
    assert run(2, 1, 5, 3, 2) == Correction("A", Fraction(2), Fraction(2), False, Fraction(9))


def test_where_no_lead_is_allowed_none_is_given() -> None:
    found = run(2, 5, 1, 3, 0)
    assert isinstance(found, Correction)
    assert [found.mass, found.wanted, found.capped] == [0, 2, True]


def test_a_rotor_without_shake_asks_for_nothing() -> None:
    # As it is 0, both trials alike 3: the trial's own shake is 3.
    found = run(0, 3, 3, 3, 60)
    assert isinstance(found, Correction)
    assert [found.mass, found.capped, found.trial_shake_squared] == [0, False, 9]


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
