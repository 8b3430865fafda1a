"""What the fit says of the total: how much, and toward which blade."""

from __future__ import annotations

import pytest

from cardgen.logbook.fit_report import lines_of
from cardgen.logbook.track_learning import learn
from tests.logbook.test_stopping import flown, history


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("0", "0.0 thou on the dial;"),
        ("0.5", "0.5 thou on the dial, toward lowering blade A;"),
        ("-0.5", "0.5 thou on the dial, toward lowering blade B;"),
        ("1", "1.0 thou on the dial, toward lowering blade A;"),
        ("-1", "1.0 thou on the dial, toward lowering blade B;"),
    ],
)
def test_a_total_names_the_blade_that_it_lowers_and_none_where_nothing_was_moved(
    change: str, said: str
) -> None:
    (total,) = [line for line in lines_of(learn(history(flown("1", change)))) if line.startswith("Total from")]
    assert total.startswith(f"Total from as delivered: {said}")
