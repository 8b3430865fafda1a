"""Castle nuts on metric threads, and whose nuts they are; worked by hand."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from tests.figures.specs import spec_of


@pytest.mark.parametrize(
    ("thread", "per_thickness", "slot"),
    # 360 degrees over the pitch; a slot is a sixth of it. M5x0.8: 450 and 0.1333; M12x1.75: 205.71 and 0.29167.
    [("M8x1.25", "288", "0.21"), ("M5x0.8", "450", "0.13"), ("M12x1.75", "206", "0.29")],
)
def test_a_metric_nut_turns_by_its_pitch(thread: str, per_thickness: str, slot: str) -> None:
    figures = compute(spec_of(('thread = "3/8-24"\nnut', f'thread = "{thread}"\nnut'))).all
    assert figures[f"castle.{thread}.per_thickness"].parts.number == per_thickness
    assert figures[f"castle.{thread}.slot_advance"].parts.number == slot


def test_a_nut_of_the_makers_is_not_yours_to_count() -> None:
    assert compute(spec_of(('fitted_by = "you"', 'fitted_by = "maker"'))).castle == ()


def test_one_entry_a_thread_names_its_stations_and_the_first_ones_key() -> None:
    from tests.figures.specs import BASE

    first = BASE[BASE.index("[[fasteners]]") : BASE.index("[tightening]")]
    second = first.replace("stations = [1]", "stations = [2, 4]")
    teeter = first.replace('where = "strap"', 'where = "teeter"').replace("3/8-24", "1/2-20")
    (nut, other) = compute(spec_of((first, first + second + teeter))).castle
    assert (nut.stations, other.stations) == (("strap 1", "strap 2", "strap 4"), ("teeter 1",))
    assert nut.slot_advance.inputs == ("fasteners[1].thread",)
    assert other.slot_advance.inputs == ("fasteners[3].thread",)
