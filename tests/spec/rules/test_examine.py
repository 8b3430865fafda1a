"""How rules work together: stages, overrides, and what a message tells about this rotor."""

from __future__ import annotations

import importlib
import pkgutil
import tomllib
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from cardgen.spec import rules
from cardgen.spec.load import load_bytes
from cardgen.spec.problem import Problem
from cardgen.spec.rules import ALL_RULES, RULES
from cardgen.spec.rules.rule import Rule
from tests.bench.mutants import write
from tests.bench.safety import at
from tests.spec.rules.cases import BASE

TODAY = date(2026, 6, 1)


def judged(changes: Mapping[str, Any], *, drop: tuple[str, ...] = ()) -> dict[str, Problem]:
    """Change the base and give what was found, refusals and warnings alike, one for each rule."""
    loaded = load_bytes(write(changed(changes, drop)), "base.toml", TODAY)
    return {found.rule: found for found in (*loaded.warnings, *loaded.problems)}


def refused(changes: Mapping[str, Any], *, drop: tuple[str, ...] = ()) -> set[str]:
    loaded = load_bytes(write(changed(changes, drop)), "base.toml", TODAY)
    return {found.rule for found in loaded.problems}


def changed(changes: Mapping[str, Any], drop: tuple[str, ...] = ()) -> dict[str, Any]:
    table: dict[str, Any] = tomllib.loads(BASE, parse_float=Decimal)
    for key, value in changes.items():
        *place, last = (int(part) if part.isdigit() else part for part in key.split("."))
        at(table, tuple(place))[last] = value
    for group in drop:
        del table[group]
    return table


SLOW = {"rotor.normal_speed": "230 rpm", "overrides.0.value": "230 rpm"}


def test_a_flag_refuses_where_no_override_names_it() -> None:
    assert "tip-speed" in refused(SLOW, drop=("overrides",))


def test_an_override_turns_its_flag_into_a_warning_that_says_who_and_why() -> None:
    assert "tip-speed" not in refused(SLOW)
    passed = judged(SLOW)["tip-speed"]
    assert passed.write == (
        "let pass by inspector on duty on 2026-04-02, supported by MAKER-1: the maker confirmed it in writing"
    )


def test_an_override_lets_no_other_flag_pass() -> None:
    assert "mass-sum" in refused({**SLOW, "rotor.mass": "50 lb"})


def test_an_override_cannot_rest_on_a_general_handbook() -> None:
    assert refused({**SLOW, "overrides.0.document": "BOOK-1"}) >= {"override-document"}


def test_an_override_that_cannot_be_read_lets_nothing_pass() -> None:
    assert refused({**SLOW, "overrides.0.date": "2026-04-02"}) >= {"date-form", "tip-speed"}


def test_only_physics_flags_can_be_overridden() -> None:
    flags = {rule.id for rule in RULES if rule.kind == "flag"}
    assert "track-rule-physics" in flags
    assert not {name for name in flags if name.startswith(("bounds-", "drag-m", "torque-m", "order-"))}
    assert not {name for name in flags if name.startswith("override-")}


@pytest.mark.parametrize(
    "name",
    ["torque-missing", "bounds-torque", "bolts-unlike", "key-missing", "override-unknown", "override-unused"],
)
def test_nobody_can_let_any_other_rule_pass(name: str) -> None:
    assert refused({"overrides.0.rule": name}) == {"override-not-allowed"}


def test_an_absurd_value_is_reported_once_and_not_by_all_that_compare_with_it() -> None:
    assert refused({"blades.chord": "93 in"}) == {"bounds-chord"}


def test_an_absurd_value_hides_no_mistake_of_another_group() -> None:
    assert refused({"blades.chord": "93 in", "track.basis": "total of both"}) == {
        "track-max-total-of-missing",
        "bounds-chord",
        "track-raise-missing",
    }


def test_a_group_that_cannot_be_read_hides_no_mistake_of_another() -> None:
    found = refused({"rotor.mass": "68", "tightening.order": [1, 3]})
    assert found == {"quantity-unit-missing", "order-unknown", "order-incomplete"}


def test_the_missing_split_is_explained_with_this_rotors_numbers() -> None:
    # 26 thou/in on 2 in is 52; counted from the mean, the tips are 1 in off it: 26.
    table = changed({})
    del table["track"]["split"]
    (found,) = load_bytes(write(table), "base.toml", TODAY).problems
    assert "for tips 2 in apart the rule 26 thou/in makes 52 thou if it counts from tip to tip" in found.why
    assert "and 26 if it counts from the mean" in found.why
    assert found.write == '"total" or "half", as the maker\'s document measures a split'


def test_the_missing_basis_is_explained_with_this_rotors_numbers() -> None:
    table = changed({})
    del table["track"]["basis"]
    (found,) = load_bytes(write(table), "base.toml", TODAY).problems
    assert (
        "52 thou on one blade, or 26 on each if 52 is the sum of both, or 52 on each, 104 in all" in found.why
    )


def test_a_rule_twice_too_large_names_the_basis_that_would_agree() -> None:
    # Physics gives 27.5 thou/in for one blade and half of it, 13.8, for the amount on each (see tests/outside).
    words = {
        "track.basis": "amount on each",
        "track.max_total_of": "one blade",
        "track.to_raise": {blade: {"loosen": "two notches", "tighten": "one notch"} for blade in "ab"},
    }
    why = judged(words)["track-rule-unlike"].why
    assert 'The two would agree if the basis were "one blade" or "total of both"' in why
    assert why.endswith("only the maker's document can tell")


def test_a_rule_for_half_splits_is_halved_before_it_is_compared() -> None:
    # 52 thou for each inch from the mean is 26 for each inch from tip to tip: nothing to object to.
    half = {
        "track.split": "half",
        "track.points": [{"diameter": "24 ft + 0 in", "chord": "7+1/2 in", "rule": "52 thou/in"}],
        "track.good_enough": "1/8 in",
        "track.max_split": "1 in",
    }
    assert judged(half).keys() == {"override-unused"}


def test_the_estimate_follows_the_arm_at_which_the_rule_is_measured() -> None:
    # Dial at one and a half times the adjuster's distance: 39 on the dial is 26 at the adjuster.
    far = {
        "track.dial_lever": "3+3/8 in",
        "track.points": [{"diameter": "24 ft + 0 in", "chord": "7+1/2 in", "rule": "39 thou/in"}],
        "track.max_total": "80 thou",
    }
    assert judged(far).keys() == {"override-unused"}


def test_interpolating_between_the_trades_two_common_rules_is_refused() -> None:
    # Common practice, no source: 5 thou an inch on 25 ft and 10 on 30 ft, each for its own hub and chord.
    points = [
        {"diameter": "25 ft + 0 in", "chord": "7+1/2 in", "rule": "5 thou/in"},
        {"diameter": "30 ft + 0 in", "chord": "7+1/2 in", "rule": "10 thou/in"},
    ]
    found = refused({"rotor.diameter": "27 ft + 0 in", "track.points": points, "track.interpolate": True})
    assert "track-points-unlike" in found


def test_a_lock_of_the_adjuster_beyond_its_thread_is_refused() -> None:
    # AC 43.13-1B, table 7-1: at most 390 in·lbf on 3/8-24 with the stronger nut.
    window = {"track.adjuster_torque_min": "350 in·lbf", "track.adjuster_torque_max": "391 in·lbf"}
    assert refused(window) == {"torque-thread-bounds"}
    assert refused({**window, "track.adjuster_torque_max": "390 in·lbf"}) == set()


def test_lead_is_compared_with_its_cavity_as_the_lightest_lead() -> None:
    # 60 g of lead at 10.90 g/cm3 in a hole of 1/2 in: 43.45 mm by hand, 1.711 in.
    assert refused({"balance.cavity_depth": "43.4 mm"}) == {"lead-too-long"}
    assert refused({"balance.cavity_depth": "43.5 mm"}) == set()


def test_thread_bounds_hold_at_their_edges() -> None:
    # 3/8-24, tension nut: 390 at most; half of 160 at least (AC 43.13-1B, table 7-1).
    high = {"fasteners.0.torque_min": "300 in·lbf", "fasteners.0.torque_max": "390 in·lbf"}
    assert refused({**high}, drop=("wrenches",)) == set()
    low = {"fasteners.0.torque_min": "80 in·lbf", "fasteners.0.torque_max": "100 in·lbf"}
    assert refused({**low}, drop=("wrenches",)) == set()
    assert refused({**low, "fasteners.0.torque_min": "79.9 in·lbf"}, drop=("wrenches",)) == {
        "torque-thread-bounds"
    }


def test_a_rule_is_known_from_where_it_is_written() -> None:
    for found in pkgutil.iter_modules(rules.__path__):
        module = importlib.import_module(f"{rules.__name__}.{found.name}")
        tables = [value if isinstance(value, tuple) else (value,) for value in vars(module).values()]
        written = {each for table in tables for each in table if isinstance(each, Rule)}
        assert written <= set(RULES), found.name


def test_every_rule_is_listed_with_its_meaning() -> None:
    assert {rule.id for rule in RULES} <= set(ALL_RULES)
    assert all(ALL_RULES.values())


@pytest.mark.parametrize(
    ("key", "word"), [("basis", "both blades"), ("split", "tip to tip"), ("rule_reads", "dail")]
)
def test_no_spelling_chooses_between_two_factors(key: str, word: str) -> None:
    found = judged({f"track.{key}": word})["word-unknown"]
    assert "nearest" not in found.write


# 12 ft is 3.6576 m and 40 ft 12.192 m; 5 thou is 0.127 mm and 250 thou 6.35 mm; 3000 in·lbf is 338.95 N·m,
# 5 in·lbf 0.56492 N·m. A rounded bound lies inside the exact one.
@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("rotor.diameter", "2 m", "A diameter of 2 m is below anything such a rotor has, 3.658 to 12.19 m"),
        ("rotor.diameter", "2 ft + 3 in", "2 ft + 3 in is below anything such a rotor has, 12 to 40 ft"),
        ("blades.pad_thickness", "0.01 mm", "0.01 mm is below anything such a rotor has, 0.127 to 6.35 mm"),
        ("fasteners.0.torque_max", "400 N·m", "400 N·m is above anything such a rotor has, 0.565 to 338.9 N·m"),
        ("blades.mass", "2000 g", "2000 g is below anything such a rotor has, 3000 to 45000 g"),
    ],
)
def test_an_absurd_value_is_answered_in_the_unit_that_was_typed(key: str, typed: str, said: str) -> None:
    found = [problem for rule, problem in judged({key: typed}).items() if rule.startswith("bounds-")]
    assert said in found[0].why


def test_a_source_in_other_letters_is_answered_with_the_listed_id() -> None:
    for typed, offered in (
        ("maker-1 sheet 9", '"MAKER-1 sheet 9", if that is the document meant'),
        ("MAKER1 p.3", '"MAKER-1 p.3", if that is the document meant'),
        ("maker-1", "MAKER-1, a space, and the page, if that is the document meant"),
    ):
        assert judged({"blades.source": typed})["source-unknown"].write == offered


def test_a_source_of_another_number_is_not_answered_with_a_document_that_was_not_meant() -> None:
    for typed in ("MAKER-10 p.3", "MAKER-2 p.3"):
        assert "if that is" not in judged({"blades.source": typed})["source-unknown"].write


def test_a_source_that_differs_by_a_dash_alone_says_so() -> None:
    found = judged({"blades.source": "MAKER\u20131 p.3"})["source-unknown"]
    assert found.why == "an en dash (U+2013) stands in it, where the listed id MAKER-1 has another character"
    assert found.write == '"MAKER-1 p.3", if that is the document meant'
    # Of two ids on one list the hyphen may be the odd one out.
    listed = judged({"documents.0.id": "MAKER\u20131"})["source-unknown"]
    assert "an en dash (U+2013) stands in the listed id MAKER\u20131" in listed.why


def test_a_source_needs_a_place_in_its_document_wherever_it_stands() -> None:
    for key in ("rotor.source", "fasteners.1.source", "track.source"):
        found = judged({key: "MAKER-1"})["source-place"]
        assert found.write == "MAKER-1, a space, and the page or section"
    assert "source-place" in refused({"track.sources": {"max_split": "MAKER-1"}})
