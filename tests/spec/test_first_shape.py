"""A file of the first shape gets one problem that says what to change, whatever else stands in it."""

from __future__ import annotations

from datetime import date

import pytest

from cardgen.spec.load import load_bytes
from tests.spec.rules.cases import BASE

TODAY = date(2026, 6, 1)

FIRST = BASE.replace("schema = 2", "schema = 1", 1)


def test_a_file_of_the_first_shape_is_one_problem_that_names_what_changed() -> None:
    old = FIRST.replace("stations = [1]", "station = 1").replace("drag_max =", "drag_mx =")
    loaded = load_bytes(old.encode(), "old.toml", TODAY)
    (found,) = loaded.problems
    assert (found.rule, found.key, found.line, found.read) == ("schema-first", "schema", 1, "1")
    assert loaded.spec is None and not loaded.warnings
    # Every key by which the second edition of the shape differs in a group that every file has.
    for key in ("stations", "abreast", "to_lower", "set_by", "dial_touches", "max_total_reads", "good_enough"):
        assert key in found.write
    assert "kept deck of the first is still read" in found.why


def test_text_that_is_no_toml_is_told_beside_it() -> None:
    loaded = load_bytes(FIRST.replace('mass = "68 lb"', "mass = 68 lb").encode(), "old.toml", TODAY)
    assert {found.rule for found in loaded.problems} >= {"toml-statement"}


@pytest.mark.parametrize("schema", ["true", "1.0", '"1"', "0", "3"])
def test_what_is_no_first_shape_is_judged_as_before(schema: str) -> None:
    loaded = load_bytes(BASE.replace("schema = 2", f"schema = {schema}", 1).encode(), "odd.toml", TODAY)
    assert {found.rule for found in loaded.problems} == {"schema-version"}
