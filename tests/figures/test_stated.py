"""Every number of a specification is a figure under its own key, printed as it was typed."""

from __future__ import annotations

from cardgen.figures import compute
from cardgen.spec.bound import Bound
from cardgen.spec.units import unit_of
from tests.figures.specs import spec_of


def test_a_stated_value_is_printed_as_typed_with_its_letter_and_source() -> None:
    figures = compute(spec_of()).all
    assert figures["rotor.diameter"].shown == "24 ft 0 in (7315.2 mm) M"
    assert figures["head.bearing_spacing"].shown == "1-1/2 in (38.1 mm) M"
    assert figures["string.checks[1].limit"].reference == "MK p.7"
    assert figures["tightening.order[1]"].shown == "1 M"
    assert figures["wrenches[1].error"].shown == "4 percent L"


def test_the_second_unit_never_widens_a_limit() -> None:
    figures = compute(spec_of()).all
    # 160 in·lbf is 18.077 N·m and 190 is 21.467 (NIST SP 811: 0.1129848 N·m to the inch pound).
    assert figures["fasteners[1].torque_min"].parts.second == "18.1 N·m"
    assert figures["fasteners[1].torque_max"].parts.second == "21.4 N·m"
    # 0.002 in is 0.0508 mm; 60 g is 2.116 oz.
    assert figures["head.radial_play"].parts.second == "0.050 mm"
    assert figures["balance.max_lead"].parts.second == "2.11 oz"


def test_a_stated_value_has_the_bound_of_its_key() -> None:
    figures = compute(spec_of()).all
    assert figures["fasteners[1].torque_min"].bound is Bound.AT_LEAST
    assert figures["wrenches[1].range_min"].bound is Bound.AT_LEAST
    assert figures["track.max_split"].bound is Bound.AT_MOST
    assert figures["rotor.normal_speed"].bound is Bound.NEITHER


def test_every_figure_stands_under_its_own_id() -> None:
    figures = compute(spec_of()).all
    assert all(figure.id == name for name, figure in figures.items())
    for figure in figures.values():
        for key in figure.inputs:
            assert key in figures or key.endswith("thread"), (figure.id, key)


def test_every_figure_is_held_in_a_listed_unit_and_can_be_explained() -> None:
    for figure in compute(spec_of()).all.values():
        assert unit_of(figure.quantity).shown == figure.parts.unit, figure.id
        assert figure.reference
