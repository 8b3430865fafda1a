"""Text from a file, made safe to show."""

from __future__ import annotations

import unicodedata
from datetime import date, datetime, time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec.safe_text import LONGEST, plain, shown


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("190", '"190"'),
        (190, "190"),
        (True, "true"),
        (False, "false"),
        (Decimal("1.50"), "1.50"),
        (date(2027, 5, 31), "2027-05-31"),
        (datetime(2027, 5, 31, 8, 0), "2027-05-31T08:00:00"),
        (time(8, 30), "08:30:00"),
        ([1, "a", [2]], '[1, "a", […]]'),
        ([], "[]"),
        ({"a": 1}, "a table"),
        ({}, "an empty table"),
        ([{"a": 1}, {}], "a list of 2 tables"),
        ([{"a": 1}], "a list of one table"),
        ([{"a": 1}, 7], "[a table, 7]"),
        ("\x1b[31mred\u202e", '"\\u001B[31mred\\u202E"'),
        ("\U000e0001", '"\\U000E0001"'),
        pytest.param(10**5000, "a number of very many digits", id="digits"),
    ],
)
def test_values_are_shown_about_as_they_stand(value: object, text: str) -> None:
    assert shown(value) == text


def test_a_long_text_is_cut_and_says_so() -> None:
    assert shown("x" * 1000) == '"' + "x" * (LONGEST - 2) + "…"


def test_a_list_of_lists_without_end_is_not_followed() -> None:
    nested: list[object] = []
    for _ in range(10_000):
        nested = [nested]
    assert shown(nested) == "[[…]]"


@given(st.text(max_size=100))
def test_nothing_shown_can_steer_a_terminal(text: str) -> None:
    # Unicode Standard Annex 9 lists the classes that turn the direction of writing.
    turning = {"R", "AL", "AN", "RLE", "RLO", "LRE", "LRO", "PDF", "RLI", "LRI", "FSI", "PDI"}
    for character in plain(text):
        assert unicodedata.category(character) not in {"Cc", "Cf", "Cs", "Zl", "Zp"}
        assert unicodedata.bidirectional(character) not in turning
    assert len(shown(text)) <= LONGEST
