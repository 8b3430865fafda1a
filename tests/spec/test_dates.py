"""Days as people write them."""

from __future__ import annotations

from datetime import date

import pytest

from cardgen.spec.dates import day_meant


# What each means is plain to read: a number above twelve is no month, and four digits are a year.
@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("30.06.2027", date(2027, 6, 30)),
        ("30-6-2027", date(2027, 6, 30)),
        ("6/30/2027", date(2027, 6, 30)),
        ("2027-6-30", date(2027, 6, 30)),
        ("2027.06.30", date(2027, 6, 30)),
        ("05/05/2027", date(2027, 5, 5)),
        ("30 June 2027", date(2027, 6, 30)),
        ("30th Jun. 2027", date(2027, 6, 30)),
        ("June 30, 2027", date(2027, 6, 30)),
    ],
)
def test_a_day_that_can_only_be_one_is_found(text: str, day: date) -> None:
    assert day_meant(text) == day


@pytest.mark.parametrize("text", ["05/06/2027", "31.02.2027", "2027-13-01", "1.2.27"])
def test_a_day_that_could_be_two_or_none_is_not_guessed(text: str) -> None:
    assert day_meant(text) is None


@pytest.mark.parametrize("text", ["", "3/8-24", "68 lb", "4,5", "2027", "1.5", "30 Juxx 2027", "2019-12-0042"])
def test_other_things_are_no_days(text: str) -> None:
    assert day_meant(text) is None
