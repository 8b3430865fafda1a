"""From a place back to the text that stands there."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from cardgen.spec.load import load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path
from cardgen.spec.typed_quantity import reading_of
from cardgen.spec.units import magnitude


@pytest.fixture(scope="module")
def spec(shape_text: str, today: date) -> RotorSpec:
    loaded = load_bytes(shape_text.encode(), "complete.toml", today)
    assert loaded.spec is not None
    return loaded.spec


@pytest.mark.parametrize(
    ("path", "number", "unit", "value"),
    [
        (("rotor", "diameter"), "24 ft 6", "in", Fraction(294)),
        (("blades", "mass_centre"), "72-1/2", "in", Fraction(145, 2)),
        (("fasteners", 0, "torque_min"), "165", "in·lbf", Fraction(165)),
        (("pitch", "angle"), "4 deg 30", "arcmin", Fraction(270)),
        (("track", "points", 1, "rule"), "23", "thou/in", Fraction(23)),
        (("pitch", "shims", 1, "thickness"), "0.03", "in", Fraction(3, 100)),
    ],
)
def test_a_quantity_is_given_back_as_typed(
    spec: RotorSpec, path: Path, number: str, unit: str, value: Fraction
) -> None:
    reading = reading_of(spec, path)
    assert (reading.number, reading.unit) == (number, unit)
    assert magnitude(reading.quantity, unit) == value
    assert spec.quantity(path) == reading.quantity


def test_what_is_no_quantity_is_not_given(spec: RotorSpec) -> None:
    with pytest.raises(LookupError):
        reading_of(spec, ("rotor", "mark_a"))
    with pytest.raises(LookupError):
        reading_of(spec, ("rotor", "no such key"))
