"""A rotor's rule in the terms its runs are judged in, for every place and basis it can be stated at."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.logbook.track_rule import NoRule, TrackRule, rule_of, same_hub, same_rotor
from tests.figures.specs import spec_of, track_change, turnbuckles
from tests.logbook.logs import kept

#: Half a flat of 24 threads an inch: 1000/24/12 thou.
HALF_FLAT = Fraction(1000, 24 * 12)


def rule(*changes: tuple[str, str]) -> TrackRule:
    found = rule_of(kept(spec_of(*changes)))
    assert isinstance(found, TrackRule), found
    return found


def ends(*changes: tuple[str, str]) -> object:
    """Give what dial and adjuster move for the rule's thou, the largest total and the finest step."""
    found = rule(*changes)
    return found.dial, found.adjuster, found.max_total, found.finest


def test_the_invented_rotors_rule() -> None:
    found = rule()
    assert [found.rate, found.first_rate, found.max_split, found.rows[-1].change] == [30, 30, 2, 60]
    assert ends() == (1, 1, 60, HALF_FLAT)


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        # Half of the rule is made on each blade: the dial shows half, and the total is the sum of both.
        ({"basis": '"total of both"'}, (Fraction(1, 2), Fraction(1, 2), 60, 2 * HALF_FLAT)),
        ({"basis": '"amount on each"'}, (1, 1, 60, HALF_FLAT)),
        # Dial at 3 in, adjuster at 2 in: the dial shows half as much again as the adjuster moves.
        ({"dial_lever": '"3 in"'}, (1, Fraction(2, 3), 60, HALF_FLAT * 3 / 2)),
        ({"dial_lever": '"3 in"', "rule_reads": '"adjuster"'}, (Fraction(3, 2), 1, 40, HALF_FLAT)),
        # Without a lever nothing is known of the other end; two marks of the dial are 1 thou.
        ({"lever": ""}, (1, None, 60, 1)),
        ({"adjuster_thread": ""}, (1, 1, 60, 1)),
        ({"adjuster_thread": "", "basis": '"total of both"'}, (Fraction(1, 2), Fraction(1, 2), 60, 2)),
    ],
)
def test_dial_adjuster_total_and_finest_follow_basis_and_levers(
    values: dict[str, str], expected: object
) -> None:
    assert ends(*track_change(**values)) == expected


def test_the_largest_step_is_the_largest_row_of_the_table() -> None:
    # At most 40 thou of the rule: rows of a quarter inch end at 1.25 in, 56.25 on the dial, printed as 56.
    assert rule(*track_change(dial_lever='"3 in"', rule_reads='"adjuster"')).rows[-1].change == Fraction(
        56, 1
    ) / Fraction("1.5")


def test_a_rule_for_half_splits_counts_from_tip_to_tip() -> None:
    half = rule(
        *track_change(split='"half"', max_split='"1 in"'), ('rule = "30 thou/in"', 'rule = "60 thou/in"')
    )
    assert [half.rate, half.max_split] == [30, 2]


def test_a_metric_rule_is_read_in_millimetres() -> None:
    found = rule(
        ('rule = "30 thou/in"', 'rule = "0.03 mm/mm"'),
        *track_change(max_split='"50.8 mm"', max_total='"1.524 mm"', adjuster_thread='"M8x1"'),
    )
    assert [found.rate, found.max_split, found.max_total] == [30, 2, 60]
    # A twelfth of a millimetre is more than two hundredths; in thou of 0.0254 mm.
    assert found.finest == Fraction(1, 12) / Fraction("0.0254")
    assert found.thin(Fraction(100)) == Fraction("2.54")
    assert found.on_mark(Fraction(10)) == Fraction("0.25")
    thread = track_change(max_split='"50.8 mm"', max_total='"1.524 mm"', adjuster_thread="")
    assert rule(('rule = "30 thou/in"', 'rule = "0.03 mm/mm"'), *thread).finest == Fraction("0.02") / Fraction(
        "0.0254"
    )


def test_an_adjustment_is_held_back_to_a_mark_of_the_dial() -> None:
    found = rule()
    assert [found.on_mark(Fraction(each)) for each in ("10.4", "10.5", "-10.4", "-0.4", "0")] == [
        10,
        Fraction("10.5"),
        -10,
        0,
        0,
    ]
    assert found.made(Fraction("10.4")) == 10
    # Of 10.4 the dial shows 15.6; its mark is 15.5, which is 10 1/3 of the rule.
    out = rule(*track_change(dial_lever='"3 in"', rule_reads='"adjuster"'))
    assert out.made(Fraction("10.4")) == Fraction(31, 3)
    assert out.made(Fraction("-10.4")) == -Fraction(31, 3)
    assert out.of_dial(Fraction(45)) == 30


@pytest.mark.parametrize("key", ["max_total", "max_split"])
def test_without_a_limit_runs_are_not_judged(key: str) -> None:
    changes = track_change(**{key: ""})
    if key == "max_split":
        changes += [('[track.sources]\nmax_split = "CB s.1"\n', "")]
        with pytest.raises(ValueError, match="largest split"):
            rule_of(kept(spec_of(*changes)))
        return
    found = rule_of(kept(spec_of(*changes)))
    assert isinstance(found, TrackRule)
    assert found.max_total is None


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "24 ft + 1/8 in"'),
        ('serial_a = "1"', 'serial_a = "3"'),
        ('serial_b = "2"', 'serial_b = "3"'),
        ('hub_serial = "H-1"', 'hub_serial = "H-2"'),
        ('rule = "30 thou/in"', 'rule = "31 thou/in"'),
    ],
)
def test_another_blade_hub_size_or_rule_is_another_rotor(old: str, new: str) -> None:
    base, other = kept(spec_of()), kept(spec_of((old, new)))
    assert same_rotor(base, kept(spec_of()))
    assert not same_rotor(base, other)
    assert same_hub(base, other) is (old != 'hub_serial = "H-1"')


def test_a_flat_of_a_turnbuckle_is_not_known() -> None:
    # Both ends may have threads; what is left as the finest is two marks of half a thou.
    found = rule(*turnbuckles())
    assert found.flat is None
    assert [found.finest, found.dial] == [1, 1]


def test_of_flats_of_a_turnbuckle_no_length_and_so_no_rate_is_known() -> None:
    in_flats = track_change(set_by='"flats"', max_total="", max_total_reads="")
    found = rule_of(kept(spec_of(("30 thou/in", "4 flats/in"), *in_flats, *turnbuckles())))
    assert found == NoRule("flats of a part that may have two threads tell no length")


@pytest.mark.parametrize(
    ("stated", "values", "rate", "one_flat"),
    [
        # 24 threads an inch: a flat is 1000/24/6 thou. The rule is told at the adjuster, where flats are made.
        ("4 flats/in", {}, 4 * 2 * HALF_FLAT, 2 * HALF_FLAT),
        ("30 thou/in", {"rule_reads": '"adjuster"'}, 30, 2 * HALF_FLAT),
        # The rule counts both blades, so one flat on each is two of it.
        ("4 flats/in", {"basis": '"total of both"'}, 4 * 2 * HALF_FLAT, 4 * HALF_FLAT),
    ],
)
def test_flats_are_the_rules_thousandths_by_the_thread(
    stated: str, values: dict[str, str], rate: Fraction, one_flat: Fraction
) -> None:
    by_flats = {"set_by": '"flats"', "dial_lever": "", "max_total_reads": '"adjuster"', **values}
    found = rule(("30 thou/in", stated), *track_change(**by_flats))
    assert found.by_flats
    assert [found.rate, found.of_flats(Fraction(1)), found.flats(one_flat)] == [rate, one_flat, 1]
    # Where no dial is, a dial's reading says nothing.
    assert found.of_dial(Fraction(1)) is None
    # What is printed is held back to a tenth of a flat, toward nothing.
    assert found.made(one_flat * Fraction("1.19")) == one_flat * Fraction("1.1")
    assert found.made(-one_flat * Fraction("1.19")) == -one_flat * Fraction("1.1")


def test_with_a_dial_nothing_is_told_in_flats() -> None:
    assert rule().flats(Fraction(30)) is None


@pytest.mark.parametrize(
    ("stated", "rate"),
    [
        # Half a degree, pi / 360, on 2 in of lever to the dial: 17.453 thou; four flats are 27.78 thou.
        ("0.5 deg/in", pytest.approx(17.4533, abs=1e-3)),
        ("4 flats/in", Fraction(4000, 144)),
    ],
)
def test_a_rule_in_degrees_or_flats_is_told_as_the_dial_shows_it(stated: str, rate: object) -> None:
    found = rule(("30 thou/in", stated), *track_change(lever='"2 in"', dial_lever='"2 in"'))
    assert found.dial == 1
    assert found.rate == rate
