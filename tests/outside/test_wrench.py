"""The lever of an extension, against worked examples of published manuals."""

from __future__ import annotations

from math import cos, radians

import pytest

from cardgen.spec.model.hardware import Wrench
from cardgen.spec.units import magnitude, quantity
from cardgen.spec.windows import arm, drag_at_nut, lever_ratio
from tests.figures.specs import spec_of


def wrench(length: str, extension: str, angle: str = "0 deg") -> Wrench:
    lines = f'length = "{length}"\nextension = "{extension}"\nangle = "{angle}"\n'
    (found,) = spec_of(('length = "10 in"\n', lines)).wrenches or ()
    return found


def test_army_tm_1_1500_204_23_9_figure_8_16() -> None:
    """300 inch pounds, wrench of 10 inches, adapter of 4: set 214."""
    assert round(300 * lever_ratio(wrench("10 in", "4 in"))) == 214


def test_army_tm_9_2350_261_20_1_page_2_29() -> None:
    """40 foot pounds, 12 inches and 4: set 30."""
    assert 40 * lever_ratio(wrench("12 in", "4 in")) == 30


def test_army_tm_9_254_figure_45() -> None:
    """Set 60 inch pounds, 12 inches and 2: 70 are applied."""
    assert magnitude(drag_at_nut(quantity(60, "in·lbf"), wrench("12 in", "2 in")), "in·lbf") == 70


def test_an_extension_square_to_the_handle_changes_nothing() -> None:
    """Handbook rule of adapters: at 90 degrees no correction."""
    assert lever_ratio(wrench("10 in", "4 in", "90 deg")) == 1


@pytest.mark.parametrize("degrees", [5, 22, 30, 45, 60, 75, 89])
def test_an_extension_at_an_angle_counts_by_its_cosine(degrees: int) -> None:
    """Cosine of the standard library's math module."""
    reach = arm(wrench("10 in", "4 in", f"{degrees} deg"))
    assert reach is not None
    found = float(magnitude(reach, "in"))
    assert found == pytest.approx(10 + 4 * cos(radians(degrees)), rel=1e-14)
