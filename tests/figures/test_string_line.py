"""The line from tip to tip: what its own weight and a draught do to it, worked by hand."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from cardgen.spec.units import magnitude
from tests.figures.specs import spec_of


@pytest.mark.parametrize(
    ("name", "millimetres"),
    # Span 24 ft = 7.3152 m, squared 53.5122; bow = load x 53.5122 / (8 x 20 N).
    # Half a gram a metre, standard gravity 9.80665: 0.00490333 N/m. Air 1.225 kg/m3 (ISO 2533) on a
    # line of 0.8 mm: 0.5 x 1.225 x 1.7 x 0.0008 x 1 = 0.000833; 1.5 at 2 m/s 0.00294; 1.3 at 3 m/s 0.005733.
    [
        ("sag", 1.63992),
        ("draught.1.gap", 0.278598),
        ("draught.2.gap", 0.983287),
        ("draught.3.gap", 1.917409),
    ],
)
def test_a_line_bows_by_its_load(name: str, millimetres: float) -> None:
    bow = compute(spec_of()).all[f"string.{name}"]
    assert float(magnitude(bow.quantity, "mm")) == pytest.approx(millimetres, rel=2e-5)


def test_a_bow_is_rounded_up_to_a_tenth_for_three_draughts() -> None:
    figures = compute(spec_of())
    assert figures.string is not None
    assert figures.string.sag.parts.number == "1.7"
    rows = [(each.speed.parts.number, each.gap.parts.number) for each in figures.string.draughts]
    assert rows == [("1", "0.3"), ("2", "1.0"), ("3", "2.0")]
    assert [each.speed.id for each in figures.string.draughts] == [
        f"string.draught.{at}.speed" for at in (1, 2, 3)
    ]


def test_the_limit_is_that_of_the_first_check_that_has_one() -> None:
    # The check before it says no number; at 1/8 in the shake is 2 x 25.65 N, and the lag 2 x 0.02776 degrees.
    checks = (
        '[[string.checks]]\nmethod = "centre mark"\nlimit = "1/16 in"\n',
        '[[string.checks]]\nmethod = "hub face"\n[[string.checks]]\nmethod = "centre mark"\nlimit = "1/8 in"\n',
    )
    figures = compute(spec_of(checks)).all
    assert figures["string.shake_at_limit"].parts.number == "52"
    assert figures["string.lag_at_limit"].parts.number == "0.055"
    assert "string.checks[2].limit" in figures["string.lag_at_limit"].inputs


def test_without_a_limit_nothing_is_said_of_one() -> None:
    string = compute(spec_of(('method = "centre mark"\nlimit = "1/16 in"', 'method = "hub face"'))).string
    assert string is not None
    assert (string.shake_at_limit, string.lag_at_limit) == (None, None)
    assert string.shake is not None
