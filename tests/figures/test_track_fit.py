"""The rotor's own rate from its runs, and what is refused."""

from __future__ import annotations

from fractions import Fraction

from cardgen.figures.track_fit import Fit, FitPoint, NoFit, fit, shrinks_by


def runs_of(*pairs: tuple[str, str]) -> list[FitPoint]:
    return [FitPoint(Fraction(total), Fraction(split)) for total, split in pairs]


def fitted(*pairs: tuple[str, str], most: int = 60, step: int = 60) -> Fit:
    found = fit(
        runs_of(*pairs),
        Fraction(30),
        Fraction("0.15"),
        max_split=Fraction(3),
        max_total=Fraction(most),
        max_step=Fraction(step),
    )
    assert isinstance(found, Fit)
    return found


def test_until_three_runs_the_rate_is_provisional() -> None:
    assert fitted(("0", "1.75"), ("40", "0.40")).provisional
    assert not fitted(("0", "1.75"), ("40", "0.40"), ("52", "0.05")).provisional


def test_the_next_total_is_held_inside_the_limits() -> None:
    far = fitted(("0", "2.5"), ("20", "1.8"), most=60, step=30)
    assert far.wanted_total > 60
    assert far.next_total == 50  # one largest row beyond the last total
    assert far.capped
    near = fitted(("0", "2.5"), ("50", "0.8"), most=60, step=30)
    assert near.next_total == 60


def test_a_rotor_whose_blade_b_was_high_is_fitted_alike() -> None:
    plus = fitted(("0", "1.75"), ("40", "0.40"))
    minus = fitted(("0", "-1.75"), ("-40", "-0.40"))
    assert minus.rate == plus.rate
    assert minus.next_total == -plus.next_total


def test_the_limits_hold_on_the_other_side_too() -> None:
    far = fitted(("0", "-2.5"), ("-20", "-1.8"), most=60, step=30)
    assert far.wanted_total < -60
    assert [far.next_total, far.capped] == [-50, True]
    # Back from beyond: the last total was 55, the fit asks for about 20 less, and a step may be 10.
    back = fitted(("0", "1"), ("55", "-0.9"), most=60, step=10)
    assert back.next_total == 45
    free = fitted(("0", "1.75"), ("40", "0.40"))
    assert not free.capped
    assert free.next_total == free.wanted_total


def test_a_split_that_does_not_answer_at_all_is_not_fitted() -> None:
    """The rule as one more reading of the slope, 1/30 within 0.35 of it, against two runs 60 thou apart.

    With a scatter of 0.35 in all weights are alike but for the units, and the normal equations give a
    slope of exactly nothing where the split grew by 2 x 30/60 = 1 in.
    """

    def slope_of(second: str) -> Fit | NoFit:
        return fit(
            runs_of(("0", "0.5"), ("60", second)),
            Fraction(30),
            Fraction("0.35"),
            max_split=Fraction(3),
            max_total=Fraction(60),
            max_step=Fraction(60),
        )

    assert isinstance(slope_of("1.5"), NoFit)
    assert isinstance(slope_of("1.49"), Fit)


def test_a_run_at_the_largest_split_still_enters() -> None:
    assert fitted(("0", "3"), ("40", "1.6")).runs == 2
    assert fitted(("0", "-3"), ("-40", "-1.6")).runs == 2
    assert fitted(("0", "3.01"), ("40", "1.6")).runs == 1


def test_a_split_that_grew_with_the_adjustment_is_not_fitted() -> None:
    grew = fit(
        runs_of(("0", "1"), ("30", "2.2"), ("60", "2.9")),
        Fraction(30),
        Fraction("0.05"),
        max_split=Fraction(3),
        max_total=Fraction(60),
        max_step=Fraction(60),
    )
    assert isinstance(grew, NoFit)


def test_runs_beyond_the_largest_split_do_not_enter() -> None:
    assert fitted(("0", "3.5"), ("0", "1.75"), ("40", "0.40")) == fitted(("0", "1.75"), ("40", "0.40"))
    nothing = fit(
        runs_of(("0", "4")),
        Fraction(30),
        Fraction(1),
        max_split=Fraction(3),
        max_total=Fraction(60),
        max_step=Fraction(60),
    )
    assert isinstance(nothing, NoFit)


def test_repeating_a_rule_more_than_twice_the_rotors_own_diverges() -> None:
    assert abs(shrinks_by(Fraction(30), Fraction(16))) < 1
    assert abs(shrinks_by(Fraction(30), Fraction(14))) > 1
    # Twice the rotor's own turns the split over, as large on the other blade; the rotor's own leaves none.
    assert shrinks_by(Fraction(30), Fraction(15)) == -1
    assert shrinks_by(Fraction(30), Fraction(30)) == 0
    # Two thirds of the table's step still converges at nearly three times the rate.
    assert abs(shrinks_by(Fraction(20), Fraction(11))) < 1
