"""Balance against ISO 21940-11, a materials handbook, and a rotor simulated with complex numbers."""

from __future__ import annotations

import cmath
from fractions import Fraction
from math import pi

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cardgen.figures.balance import LEAD, shake_per_gram, slug_length
from cardgen.figures.three_run import Correction, NoCorrection, three_run
from cardgen.spec.units import magnitude, quantity
from tests.figures.specs import spec_of


@pytest.mark.parametrize(
    ("kilograms", "rpm", "grade", "gram_millimetres"),
    # ISO 21940-11 (formerly ISO 1940-1), U = 9549 G m / n: 2 kg, 10 000 rpm, G 6.3 is printed as
    # 12 g mm; 6 kg at 5000 rpm with 180 g mm is G 15.708 by the exact factor.
    [(2, 10_000, 6.3, 12.032), (6, 5000, 15.708, 180.0)],
)
def test_the_shake_of_a_permitted_imbalance_is_what_its_grade_says(
    kilograms: int, rpm: int, grade: float, gram_millimetres: float
) -> None:
    """A grade G is the speed of the mass centre in mm/s, so the shake is m x G x speed of rotation."""
    one_millimetre = shake_per_gram(quantity(1, "mm"), quantity(rpm, "rpm"))
    shake = float(magnitude(one_millimetre, "N/g")) * gram_millimetres
    expected = kilograms * grade / 1000 * rpm * 2 * pi / 60
    assert shake == pytest.approx(expected, rel=1e-4)


def test_the_density_of_lead_is_the_handbooks() -> None:
    """CRC Handbook: lead 11.35 g/cm3; chemical lead 11.340."""
    assert 11340 <= magnitude(LEAD, "kg/m³") <= 11350


@pytest.mark.parametrize(
    ("bore", "grams_an_inch"),
    # Area of the bore in cm2 x 2.54 cm x 11.34 g/cm3, by hand.
    # Of half an inch with a hole of 0.17 in along it: 36.49 less 36.49 x 0.34 squared.
    [
        ("3/8 in", 20.5),
        ("1/2 in", 36.5),
        ("5/8 in", 57.0),
        ('1/2 in"\nscrew_hole = "0.17 in', 32.27),
    ],
)
def test_a_slug_weighs_its_volume(bore: str, grams_an_inch: float) -> None:
    balance = spec_of(('cavity_diameter = "1/2 in"', f'cavity_diameter = "{bore}"')).balance
    assert balance is not None
    inches = float(magnitude(slug_length(quantity(100, "g"), balance), "in"))
    assert 100 / inches == pytest.approx(grams_an_inch, abs=0.1)


@settings(max_examples=60, deadline=None)
@given(
    imbalance=st.integers(-20, 20),
    across=st.integers(-20, 20),
    trial=st.integers(1, 20),
    shake=st.floats(0.1, 5),
    phase=st.floats(0, 6.28),
)
def test_three_amplitudes_find_the_imbalance_along_the_blades(
    imbalance: int, across: int, trial: int, shake: float, phase: float
) -> None:
    """A rotor as complex numbers: any answer of the mast, and shake across the blades as well."""
    answer = cmath.rect(shake, phase)
    as_is, with_a, with_b = (abs(answer * complex(imbalance + mass, across)) for mass in (0, trial, -trial))
    found = three_run(
        Fraction(as_is), Fraction(with_a), Fraction(with_b), Fraction(trial), Fraction(1000), Fraction(0)
    )
    assume(with_a != with_b)
    assert isinstance(found, Correction)
    toward_a = float(found.mass) if found.blade == "A" else -float(found.mass)
    assert imbalance + toward_a == pytest.approx(0, abs=1e-6)


#: A trial of 3 on a rotor that shakes 1 for each unit of imbalance along the blades.
TRIAL = 3


def read_again(imbalance: float, across: float, spread: float) -> list[Correction | NoCorrection]:
    """Take the three runs again and again, each amplitude with the normal scatter of its instrument."""
    rng = np.random.default_rng(11)
    true = [abs(complex(imbalance + mass, across)) for mass in (0, TRIAL, -TRIAL)]
    readings = np.abs(rng.normal(true, spread, (2000, 3)))
    masses = Fraction(TRIAL), Fraction(1000)
    return [
        three_run(Fraction(as_is), Fraction(with_a), Fraction(with_b), *masses, Fraction(spread))
        for as_is, with_a, with_b in readings.tolist()
    ]


@pytest.mark.parametrize("across", [0.5, 2.0])
@pytest.mark.parametrize("spread", [0.05, 0.15, 0.5])
def test_a_rotor_in_balance_is_given_no_mass_but_once_in_twenty(across: float, spread: float) -> None:
    """numpy's normal scatter: whatever the trial, readings that do not differ beyond it ask for nothing."""
    given_one = sum(isinstance(each, Correction) for each in read_again(0, across, spread))
    assert given_one < 0.06 * 2000


def test_a_trial_of_half_as_much_again_finds_the_imbalance() -> None:
    # Spread of 0.1, a twentieth of the shake of 2: the mass scatters by a tenth or so about 2, toward B.
    found = [each for each in read_again(2, 0, 0.1) if isinstance(each, Correction)]
    assert len(found) == 2000
    assert {each.blade for each in found} == {"B"}
    masses = [float(each.mass) for each in found]
    assert np.mean(masses) == pytest.approx(2, abs=0.03)
    assert np.std(masses) < 0.15


def test_a_trial_that_is_lost_in_the_scatter_gives_no_mass() -> None:
    # The trial of 3 beside an imbalance of 2 and an instrument that scatters by 2.
    given_one = sum(isinstance(each, Correction) for each in read_again(2, 0, 2.0))
    assert given_one < 0.2 * 2000
