"""Keeping entries: once, for good, for the right rotor, with every box known to the deck."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cardgen.issuing.withdraw_deck import withdraw
from cardgen.logbook.adding import Kept, add
from cardgen.logbook.entry import ReadEntry, read_entry
from cardgen.register.audit import check
from cardgen.register.code import Code
from tests.logbook.logs import TODAY, Log, as_bytes, box, issued, rules_of, run, sample


def test_an_entry_is_kept_and_read_again(log: Log) -> None:
    kept = log.add(log.entry(values={"track": {"split": box("1+1/4", "in"), "high-blade": box("A")}}))
    assert kept.new
    (found,) = log.entries()
    assert found.entry.values["track"]["split"].value == "1+1/4"
    assert found.row.card == "track"
    assert check(log.register).is_sound


def test_the_same_entry_again_changes_nothing(log: Log) -> None:
    entry = log.entry(runs=[run(1, "1")])
    first, again = log.add(entry), log.add(dict(reversed(entry.items())))
    assert (first.new, again.new) == (True, False)
    assert first.row == again.row
    assert len(log.entries()) == 1


def test_one_mark_of_the_form_stands_for_one_entry(log: Log) -> None:
    log.add(log.entry(entry="4f1c0d9a77aa"))
    other = log.entry(entry="4f1c0d9a77aa", record={"work": "Something else."})
    assert rules_of(log.try_to_add(other)) == ["entry-mark"]


@pytest.mark.parametrize(
    ("parts", "rule"),
    [
        ({"set_id": "NR-9999"}, "entry-rotor"),
        ({"code": "not a code"}, "entry-code"),
        ({"code": "0000-0000-0"}, "entry-code"),
        ({"revision": 2}, "entry-code"),
        ({"values": {"engine": {"oil": box("1")}}}, "entry-card"),
        ({"values": {"track": {"colour": box("1")}}}, "entry-box"),
        ({"values": {"track": {"split": box("1", "mm"), "high-blade": box("A")}}}, "entry-unit"),
        ({"values": {"head": {"play-front": box("none", "thou")}}}, "entry-number"),
        ({"values": {"second-reading": {"run-first-split": box("1", "in")}}}, "run-blade"),
        ({"values": {"track": {"split": box("1", "in"), "high-blade": box("left")}}}, "run-blade"),
        ({"values": {"second-reading": {"run-first-after": box("1", "thou")}}}, "run-split"),
        (
            {"values": {"second-reading": {"run-first-split": box("0", "in")}}, "runs": [run(1, "1")]},
            "run-twice",
        ),
    ],
)
def test_what_does_not_belong_to_the_deck_is_refused_and_not_kept(
    log: Log, parts: dict[str, Any], rule: str
) -> None:
    assert rules_of(log.try_to_add({**log.entry(), **parts})) == [rule]
    assert log.entries() == ()


def test_what_was_done_is_asked_where_rules_ask_it(log: Log) -> None:
    entry = log.entry()
    del entry["record"]["work"]
    assert rules_of(log.try_to_add(entry)) == ["entry-missing"]


def test_a_value_out_of_limit_is_kept_and_told(log: Log) -> None:
    # The sample's limit for the mast bearing is 2 thou at every place.
    values = {"head": {"play-front": box("2", "thou"), "play-left": box("2.1", "thou")}}
    kept = log.add(log.entry(values=values))
    assert [one.label for one in kept.outside] == ["Play at the left"]


def test_an_entry_of_another_deck_than_the_code_named_is_refused(log: Log) -> None:
    read = read_entry(as_bytes(log.entry()), "entry.json", TODAY)
    assert isinstance(read, ReadEntry)
    made = add(log.register, read, "entry.json", TODAY, set_id="NR-0306", code=Code("0000-0000-0"))
    assert rules_of(made) == ["entry-code"]


def test_a_superseded_card_is_told_and_the_entry_kept(log: Log) -> None:
    before, after = log.entry(), log.entry(record={"date": "2026-11-24", "work": "Later."})
    issued(
        log.register,
        log.out,
        sample(changes=(("Rotor handbook, wide blades", "Rotor handbook"),)),
        date(2026, 11, 23),
    )
    early, late = log.add(before), log.add(after)
    assert early.standing.state == late.standing.state == "superseded"
    assert (early.used_after, late.used_after) == (False, True)


@pytest.mark.parametrize("day", ["2026-11-31", "2027-01-01"])
def test_a_bad_date_hides_no_bad_value(log: Log, day: str) -> None:
    values = {"head": {"play-rear": box("loose", "thou"), "nowhere": box("1")}, "no-card": {"x": box("1")}}
    found = log.try_to_add(log.entry(record={"date": day}, values=values))
    assert isinstance(found, tuple)
    assert {each.key for each in found} == {
        "record.date",
        "values.head.play-rear.value",
        "values.head.nowhere",
        "values.no-card",
    }
    assert log.entries() == ()


def test_what_is_refused_is_not_said_to_be_missing_as_well(log: Log) -> None:
    found = log.try_to_add(log.entry(record={"work": ""}, code="0000-0000-0"))
    assert isinstance(found, tuple)
    assert [each.key for each in found] == ["record.work", "code"]
    found = log.try_to_add(log.entry(record={"work": ""}, values={"no-card": {"x": box("1")}}))
    assert isinstance(found, tuple)
    assert [each.key for each in found] == ["record.work", "values.no-card"]


def test_an_entry_says_for_good_that_its_card_was_not_current_on_the_day_of_the_work(
    log: Log, tmp_path: Path
) -> None:
    log.add(log.entry(record={"date": "2026-11-21"}), date(2026, 11, 21))
    log.add(log.entry(record={"date": "2026-11-23", "work": "Read it again."}), date(2026, 11, 23))
    issued(log.register, tmp_path / "out", sample(), on=date(2026, 11, 23))
    # A later withdrawal does not make the card good again for the days between.
    withdraw(log.register, log.row.code, "wrong page", date(2026, 11, 24))
    assert [each.out_of_use for each in log.entries()] == [
        "",
        "superseded on 2026-11-23, because: for a test",
    ]


def test_the_first_of_two_ways_out_of_use_is_told(log: Log, tmp_path: Path) -> None:
    withdraw(log.register, log.row.code, "wrong page", date(2026, 11, 22))
    issued(log.register, tmp_path / "out", sample(), on=date(2026, 11, 23))
    log.add(log.entry(record={"date": "2026-11-24"}))
    (entry,) = log.entries()
    assert entry.out_of_use == "withdrawn on 2026-11-22, because: wrong page"


def test_a_withdrawn_card_is_told(log: Log) -> None:
    withdraw(log.register, log.row.code, "a wrong torque", date(2026, 11, 20))
    kept = log.add(log.entry())
    assert kept.standing.state == "withdrawn"
    assert kept.used_after


def test_what_is_odd_is_told(log: Log) -> None:
    kept = log.add(log.entry(record={"date": "2026-11-01", "registration": "X-OTHER"}))
    assert len(kept.doubts) == 2


def test_entries_come_in_the_order_of_the_work(log: Log) -> None:
    for day, time in (("2026-11-22", "09:00"), ("2026-11-21", "15:00"), ("2026-11-21", "08:30")):
        log.add(log.entry(record={"date": day, "time": time}))
    found = [(each.entry.record.date, each.entry.record.time) for each in log.entries()]
    assert found == sorted(found)


_texts = st.text(max_size=12) | st.text("0123456789+-/.,e ", max_size=8)
_values = st.dictionaries(
    st.sampled_from(["track", "head", "torque"]) | _texts,
    st.dictionaries(
        st.sampled_from(["split", "high-blade", "play-front", "run-first-split"]) | _texts,
        st.fixed_dictionaries({"value": _texts, "unit": st.sampled_from(["in", "thou", ""]) | _texts}),
        max_size=3,
    ),
    max_size=2,
)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(_values)
def test_no_text_in_a_box_raises_or_is_kept_when_it_is_refused(log: Log, values: dict[str, Any]) -> None:
    before = len(log.entries())
    made = log.try_to_add(log.entry(values=values))
    new = isinstance(made, Kept) and made.new
    assert len(log.entries()) == before + new
    log.history()


def test_a_changed_row_of_the_register_is_found_and_not_believed(log: Log, tmp_path: Path) -> None:
    log.add(log.entry())
    log.register.connection.execute("UPDATE entries SET content = '{}'")
    assert not check(log.register).is_sound
    from cardgen.logbook.keeping import entries_of
    from cardgen.register.errors import RegisterTrouble

    assert isinstance(entries_of(log.register, "NR-0306"), RegisterTrouble)
