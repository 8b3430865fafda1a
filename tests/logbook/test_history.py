"""The net adjustment over the seasons, and what breaks the row of runs."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from cardgen.logbook.track_learning import learn
from tests.logbook.logs import BY_FLATS, TODAY, Log, as_bytes, box, issued, kept, rules_of, run, sample

RAISE = "".join(f'to_raise.{blade} = {{ loosen = "two grooves", tighten = "one groove" }}\n' for blade in "ab")


def later(day: str, *runs: dict[str, Any], **parts: Any) -> dict[str, Any]:
    return {"record": {"date": day}, "runs": list(runs), **parts}


def test_the_total_is_not_known_until_an_entry_tells_it(log: Log) -> None:
    log.runs(run(1, "1", dial_after="30"), run(2, "0.2"))
    assert log.history().net is None
    log.add(log.entry(**later("2026-11-22", run(3, "0.2", total="30"))))
    history = log.history()
    assert history.net == 30
    assert [each.net for each in history.row] == [0, 30, 30]


def test_a_first_total_with_its_blade_says_where_counting_begins(log: Log) -> None:
    log.runs(run(1, "1", total="20", total_blade="B"))
    assert log.history().net == -20
    log.add(log.entry(**later("2026-11-22", run(2, "1", dial_after="10", total="10", total_blade="B"))))
    assert log.history().net == -10
    assert log.history().doubts == ()


@pytest.mark.parametrize(
    ("change", "numbers"),
    [
        ({"dial_after": "25", "total": "25", "total_blade": "B"}, ("25 thou toward lowering B", "lowering A")),
        ({"dial_after": "250", "total": "25"}, ("25 thou", "250 thou")),
        ({"dial_after": "30", "total": "50"}, ("50 thou", "30 thou")),
    ],
)
def test_a_total_and_changes_that_contradict_each_other_are_both_named_and_give_no_step(
    log: Log, change: dict[str, str], numbers: tuple[str, str]
) -> None:
    log.runs(run(1, "1", **change), run(2, "0.5"))
    history = log.history()
    assert history.net is None
    (doubt,) = history.clashes
    assert all(number in doubt for number in numbers)
    assert learn(history).step is None


def test_a_step_told_only_by_its_total_is_doubted_once_the_total_was_known(log: Log) -> None:
    log.runs(run(1, "1", total="0"), run(2, "1", total="25", total_blade="A"))
    assert len(log.history().clashes) == 1
    assert log.history().row[0].net == 0


def test_an_entry_that_is_put_right_counts_in_its_place_and_both_stay(log: Log) -> None:
    log.runs(run(1, "1", dial_after="30", total="50"))
    wrong = log.entries()[0].row.id
    log.add(log.entry(**later("2026-11-22", run(2, "0.2"))))
    log.add(log.entry(runs=[run(1, "1", dial_after="30", total="30")]), corrects=wrong)
    assert log.history().doubts == ()
    assert [each.net for each in log.history().row] == [0, 30]
    assert len(log.entries()) == 3


def test_an_entry_can_only_be_put_right_once_and_only_of_this_rotor(log: Log) -> None:
    log.runs(run(1, "1"))
    first = log.entries()[0].row.id
    assert rules_of(log.try_to_add(log.entry(runs=[run(1, "0.9")]), corrects=99)) == ["entry-corrects"]
    log.add(log.entry(runs=[run(1, "0.9")]), corrects=first)
    again = log.try_to_add(log.entry(runs=[run(1, "0.8")]), corrects=first)
    assert rules_of(again) == ["entry-corrects"]


def test_a_change_is_added_to_the_run_before_it(log: Log) -> None:
    log.runs(run(1, "1", total="0"))
    log.add(log.entry(changed={"lowered": "A", "dial_after": "30", "dial_unit": "thou"}))
    assert log.history().net == 30
    assert log.history().row[-1].applied == 30
    log.add(log.entry(**later("2026-11-22", run(2, "0.2"))))
    assert [each.since for each in log.history().row] == [0, 30]


@pytest.mark.parametrize(("total", "net"), [("30.5", 30), ("29.5", 30), ("30.6", None), ("29.4", None)])
def test_a_total_may_be_off_by_a_mark_of_the_dial(log: Log, total: str, net: int | None) -> None:
    # The sample's dial is read to half a thou.
    log.runs(run(1, "1", dial_after="30", total=total))
    assert log.history().net == net


def test_a_total_counts_on_from_the_one_that_the_log_began_with(log: Log) -> None:
    # As delivered to the first run is not in the log; 20, 10 and 5 more are 35.
    log.runs(
        run(1, "1", total="20", total_blade="A"),
        run(2, "1", dial_after="10", total="30", total_blade="A"),
        run(3, "0.5", dial_after="5", total="35"),
    )
    history = log.history()
    assert history.net == 35
    assert history.doubts == ()


def test_a_total_is_not_believed_for_agreeing_with_changes_of_which_one_was_not_read(log: Log) -> None:
    log.runs(run(1, "1", dial_before="5"), run(2, "0.5", dial_after="10", total="10"))
    assert log.history().net is None
    assert len(log.history().doubts) == 1


def test_changes_either_way_add_up_with_their_signs(log: Log) -> None:
    log.runs(
        run(1, "1", dial_after="40", total="40"), run(2, "0.5", "B", dial_after="15", total="25"), run(3, "0")
    )
    assert log.history().net == 25


@pytest.mark.parametrize(
    "parts",
    [
        {"touched": ["a pitch block or its shims"]},
        {"values": {"sealing": {"lead-a": box("20", "g")}}},
        {"values": {"assembly": {"joint-a": box("1", "thou")}}},
    ],
    ids=["said", "balanced", "assembled"],
)
def test_a_row_begins_again_after_something_was_touched_and_the_total_stays(
    log: Log, parts: dict[str, Any]
) -> None:
    log.runs(run(1, "1", dial_after="30", total="30"), run(2, "0.2"))
    log.add(log.entry(**later("2026-11-22", run(3, "0.4"), **parts, touched_when="before the runs")))
    history = log.history()
    assert [each.run.split for each in history.row] == [Fraction(2, 5)]
    assert history.net == 30
    assert history.last_event is not None
    assert "track" in history.last_event.again()


def test_what_was_touched_counts_after_the_runs_unless_the_entry_says_before(log: Log) -> None:
    log.runs(run(1, "0.1"), run(2, "0.1"), touched=["a strap bolt loosened"])
    assert log.history().row == ()
    assert "a strap bolt loosened" in learn(log.history()).why_no_step


def test_moving_the_adjuster_for_track_breaks_no_row(log: Log) -> None:
    log.runs(run(1, "1", dial_after="30"), run(2, "0.2"), touched=["an adjuster moved for track"])
    assert len(log.history().row) == 2


def test_shake_is_cured_after_the_runs_of_the_day(log: Log) -> None:
    log.add(log.entry(runs=[run(1, "0.2")], values={"shake": {"shake-after": box("0.1")}}))
    history = log.history()
    assert history.row == ()
    assert history.last_event is not None
    assert history.last_event.what == "lead or a screw in a tip"


def test_an_unread_change_breaks_the_row_and_the_total(log: Log) -> None:
    log.runs(run(1, "1", dial_after="30", total="30"), run(2, "0.2", dial_before="5"), run(3, "0.1"))
    history = log.history()
    assert history.net is None
    assert len(history.row) == 1
    assert history.doubts


def test_another_blade_begins_a_new_row_and_another_hub_a_new_total(log: Log) -> None:
    log.runs(run(1, "1", dial_after="30", total="30"))
    blade = (("W-0518-B", "W-0777-B"),)
    log.row = issued(log.register, log.out, sample(changes=blade), TODAY)
    history = log.history()
    assert not history.row
    assert history.net == 30
    log.row = issued(log.register, log.out, sample(changes=(*blade, ("HB-306-14", "HB-306-15"))), TODAY)
    assert log.history().net is None


def test_the_dial_of_each_basis_is_turned_into_the_rules_thousandths(log: Log) -> None:
    """Half of a total is on each blade; a rule read at the adjuster shows larger on a longer dial lever."""
    from cardgen.logbook.track_rule import TrackRule, rule_of

    def of_dial(*changes: tuple[str, str]) -> Fraction | None:
        rule = rule_of(kept(sample(changes=changes)))
        assert isinstance(rule, TrackRule)
        return rule.of_dial(Fraction(12))

    both = (
        ('basis               = "one blade"', 'basis = "total of both"\nmax_total_of = "both, added"'),
        ("to_lower.a", f"{RAISE}to_lower.a"),
    )
    assert of_dial() == 12
    assert of_dial(*both) == 24
    # 2+1/4 in of lever and 3 in to the dial: 12 thou on the dial are 9 at the adjuster.
    assert of_dial(('rule_reads          = "dial"', 'rule_reads          = "adjuster"')) == 9


def test_flats_of_the_nut_are_turned_into_the_rules_thousandths(log: Log) -> None:
    """5/16-24 advances 41.67 thou a turn, 6.944 for a flat; five of them at the adjuster are 34.72 thou."""
    log.row = issued(log.register, log.out, sample(changes=BY_FLATS), date(2026, 11, 22))
    turned = run(1, "1", dial_after="5", dial_unit="flats", total="5", total_blade="A")
    log.runs(turned, run(2, "0.1"), record={"date": "2026-11-23"})
    history = log.history()
    assert history.doubts == ()
    assert history.net == Fraction(5) * Fraction(125, 18)
    assert float(history.net) == pytest.approx(34.72, abs=0.005)


def test_a_kept_run_that_cannot_be_read_any_more_is_told_and_ends_the_row(log: Log) -> None:
    """An entry was in order when it came in; a later version that reads less of it must not forget it."""
    log.runs(run(1, "1", dial_after="30", total="30", total_blade="A"), run(2, "0.2"))
    unread = log.entry(values={"track": {"run-first-split": box("about 1", "in")}})
    log.register.add_entry(log.row, "track", date(2026, 11, 25), as_bytes(unread).decode())
    history = log.history()
    assert not history.row
    assert history.net is None
    assert history.doubts == ("a run of 2026-11-21 cannot be read",)
