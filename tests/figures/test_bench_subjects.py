"""Balance, string, pitch, teeter, castle nuts and loads: worked by hand for the invented rotor."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.figures import Figure, compute
from cardgen.figures.three_run import Correction, NoCorrection, three_run
from cardgen.spec.units import magnitude
from tests.figures.specs import BASE, spec_of


def shown(name: str, *changes: tuple[str, str]) -> str:
    return compute(spec_of(*changes)).all[name].parts.number


def group(name: str) -> str:
    start = BASE.index(f"[{name}]")
    return BASE[start : BASE.index("\n\n", start)]


def test_lead_rows_run_to_the_most_allowed() -> None:
    figures = compute(spec_of()).balance
    assert figures is not None
    assert [row.mass.parts.number for row in figures.rows] == ["10", "20", "30", "40", "50", "60"]
    assert figures.stopped_by == "max_lead"
    odd = compute(spec_of(('max_lead = "60 g"', 'max_lead = "55 g"'))).balance
    assert odd is not None
    assert [row.mass.parts.number for row in odd.rows][-2:] == ["50", "55"]


def test_no_slug_is_longer_than_its_cavity() -> None:
    figures = compute(spec_of(('cavity_depth = "3 in"', 'cavity_depth = "1 in"'))).balance
    assert figures is not None
    # 36.5 g to the inch in a half-inch hole, so 30 g is the last row that fits.
    assert figures.rows[-1].mass.parts.number == "30"
    assert figures.stopped_by == "cavity_depth"


def test_lead_is_never_rounded_up() -> None:
    figures = compute(spec_of()).balance
    assert figures is not None
    for row in figures.rows:
        for figure in (row.mass, row.ounces, row.length):
            assert Fraction(figure.parts.number) <= magnitude(figure.quantity, figure.parts.unit)


def test_the_lag_of_an_offset_at_the_limit() -> None:
    # 1/16 in over 144 - 15 in is 0.02776 degrees.
    lag = compute(spec_of()).all["string.lag_at_limit"]
    assert lag.parts.number == "0.027"


def test_the_shake_of_an_offset() -> None:
    # 2 x 13.60777 kg x (72 - 15)/(144 - 15) x 0.001 m x (350 rpm = 36.6519 rad/s) squared = 16.155 N.
    assert shown("string.shake") == "16.2"
    # At 1/16 in, 1.5875 mm: 25.65 N.
    assert shown("string.shake_at_limit") == "26"
    no_mass = compute(spec_of(('mass = "30 lb"\n', ""))).string
    assert no_mass is not None
    assert no_mass.shake is None


def test_a_draught_bows_the_line_as_its_speed_squared() -> None:
    # 0.5 x 1.225 x 1.7 x 0.0008 x 7.3152 squared / (8 x 20) = 0.000279 m for 1 m/s.
    assert shown("string.draught.1.gap") == "0.3"
    # Sag: 0.0005 x 9.80665 x 53.512/160 = 0.00164 m.
    assert shown("string.sag") == "1.7"


def test_pitch_is_written_in_degrees_and_in_minutes() -> None:
    assert (shown("pitch.low"), shown("pitch.high")) == ("5.40", "5.60")
    assert (shown("pitch.low_minutes"), shown("pitch.high_minutes")) == ("5 deg 24", "5 deg 36")
    assert shown("pitch.difference_minutes") == "6"
    # A tenth of a degree on 2 in: 2000 x 0.00174533 = 3.49 thou.
    assert shown("pitch.rise_per_tenth") == "3.5"


def test_a_negative_pitch_keeps_its_sign() -> None:
    changes = [('angle = "5.5 deg"', 'angle = "-0.5 deg"')]
    assert (shown("pitch.low", *changes), shown("pitch.high", *changes)) == ("-0.40", "-0.60")[::-1]
    assert shown("pitch.low_minutes", *changes) == "-36"


def test_play_at_the_bearing_grows_to_the_tip() -> None:
    # 2 thou over 1.5 in, 144 in out: 0.192 in; and 144 x sin 9 deg = 22.5 in.
    assert shown("head.tip_play") == "0.19"
    assert shown("teeter.tip_travel") == "23"


def test_a_washer_turns_the_slot_by_its_part_of_a_turn() -> None:
    # 24 threads an inch: 41.667 thou a turn, 8.64 degrees a thou; a sixth is 6.94 thou.
    assert shown("castle.3/8-24.per_thickness") == "8.6"
    assert shown("castle.3/8-24.slot_advance") == "6.9"
    assert compute(spec_of(('locking = "cotter pin"', 'locking = "lock wire"'))).castle == ()


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("loads.tip_speed", "134"),  # 3.6576 m x 36.6519 rad/s = 134.06
        ("loads.pull_per_gram", "5.0"),  # 0.001 x 3.6576 x 1343.36 = 4.913
        ("loads.loose_item_pull", "50"),  # 49.13, up
        ("loads.loose_item_energy", "90"),  # 0.005 x 134.06 squared = 89.86
        ("loads.blade_pull", "33500"),  # 13.60777 x 1.8288 x 1343.36 = 33431
        ("loads.lead_pull", "287"),  # 0.060 x 3.556 x 1343.36 = 286.6
        ("loads.disc_loading", "7.1"),  # 300/(pi x 3.6576 squared) = 7.138
    ],
)
def test_loads_by_hand(name: str, number: str) -> None:
    assert shown(name) == number


def test_a_coarse_number_has_a_second_that_looks_no_more_exact() -> None:
    # 33500 N, as printed, over 4.4482216 is 7531 lbf, up; 100 N are 22 lbf, so tens are as fine as it goes.
    assert compute(spec_of()).all["loads.blade_pull"].parts.second == "7540 lbf"
    # 286.6 N is 64.43 lbf; a whole newton asks for no coarser second than the usual tenth.
    assert compute(spec_of()).all["loads.lead_pull"].parts.second == "64.5 lbf"


def test_a_group_that_is_not_stated_has_no_figures() -> None:
    bare = spec_of(
        *[(group(name), "") for name in ("string", "pitch", "balance", "teeter", "head", "aircraft")]
    )
    figures = compute(bare)
    assert (figures.string, figures.pitch, figures.balance) == (None, None, None)
    assert figures.teeter.tip_travel is None
    assert figures.loads.disc_loading is None


def test_every_figure_is_found_by_its_id() -> None:
    figures = compute(spec_of())
    balance = figures.balance
    assert balance is not None
    found: Figure = figures.all["balance.lead.2.length"]
    assert found is balance.rows[1].length


def test_a_correction_is_capped_and_a_nonsense_refused() -> None:
    # As it is 2 at A: trial 3 at A gives 5, at B gives 1; t is 3, take 2 off A by laying 2 on B.
    asked = three_run(Fraction(2), Fraction(5), Fraction(1), Fraction(3), Fraction(60))
    assert asked == Correction("B", Fraction(2), Fraction(2), False)
    capped = three_run(Fraction(2), Fraction(5), Fraction(1), Fraction(3), Fraction(1))
    assert isinstance(capped, Correction)
    assert capped.mass == 1
    assert capped.capped
    assert isinstance(three_run(Fraction(5), Fraction(5), Fraction(5), Fraction(3), Fraction(9)), NoCorrection)
    with pytest.raises(ValueError, match="below nothing"):
        three_run(Fraction(-1), Fraction(5), Fraction(5), Fraction(3), Fraction(9))
