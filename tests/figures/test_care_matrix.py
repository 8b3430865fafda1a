"""What a change undoes."""

from __future__ import annotations

from cardgen.figures.care_matrix import CHANGES, Check


def test_every_change_answers_for_every_check() -> None:
    for change in CHANGES:
        assert set(change.again) == set(Check)
        assert "yes" in change.again.values()


def test_whatever_is_fastened_again_is_looked_at_by_a_second_person() -> None:
    for change in CHANGES:
        if change.again[Check.FASTENERS] == "yes":
            assert change.again[Check.SECOND] == "yes"
            assert change.fasteners


def test_whatever_touches_a_tip_is_balanced_and_breathes_again() -> None:
    for change in CHANGES:
        if change.again[Check.TIPS] != "no":
            assert change.again[Check.BALANCE] == "yes"
