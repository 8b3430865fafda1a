"""Travel and play at the tips of a metric rotor; worked by hand."""

from __future__ import annotations

from cardgen.figures import compute
from tests.figures.specs import spec_of

METRIC = ('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "7.3152 m"')


def test_a_metric_rotor_is_told_in_millimetres() -> None:
    figures = compute(spec_of(METRIC, ('diameter = "24 ft + 0 in", chord', 'diameter = "7.3152 m", chord'))).all
    # 3657.6 mm x sin 9 degrees (0.156434) is 572.17; nearest.
    travel = figures["teeter.tip_travel"].parts
    assert (travel.number, travel.unit) == ("572", "mm")
    # 2 thou is 0.0508 mm; x 3657.6 / 38.1 is 4.877; down.
    play = figures["head.tip_play"].parts
    assert (play.number, play.unit) == ("4.8", "mm")
