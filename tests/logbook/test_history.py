"""The net adjustment over the seasons, and what breaks the row of runs."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from tests.logbook.logs import TODAY, Log, as_bytes, box, issued, kept, run, sample

RAISE = "".join(
    f'to_raise_{blade.lower()} = "loosen two grooves, tighten one groove, blade {blade}"\n' for blade in "AB"
)


def later(day: str, *runs: dict[str, Any], **parts: Any) -> dict[str, Any]:
    return {"record": {"date": day}, "runs": list(runs), **parts}


def test_the_total_is_not_known_until_an_entry_tells_it(log: Log) -> None:
    log.runs(run(1, "1", dial_after="30"), run(2, "0.2"))
    assert log.history().net is None
    log.add(log.entry(**later("2026-11-22", run(3, "0.2", total="30"))))
    history = log.history()
    assert history.net == 30
    assert [each.net for each in history.row] == [0, 30, 30]


def test_a_total_with_its_blade_is_believed(log: Log) -> None:
    log.runs(run(1, "1", dial_after="10", total="30", total_blade="B"))
    assert log.history().net == -30
    assert log.history().doubts == ()


def test_a_total_that_is_not_the_sum_is_doubted_and_not_used(log: Log) -> None:
    log.runs(run(1, "1", dial_after="30", total="50"))
    history = log.history()
    assert history.net is None
    assert len(history.doubts) == 1


@pytest.mark.parametrize(("total", "net"), [("30.5", 30), ("29.5", 30), ("30.6", None), ("29.4", None)])
def test_a_total_may_be_off_by_a_mark_of_the_dial(log: Log, total: str, net: int | None) -> None:
    # The sample's dial is read to half a thou.
    log.runs(run(1, "1", dial_after="30", total=total))
    assert log.history().net == net


def test_changes_either_way_add_up_with_their_signs(log: Log) -> None:
    log.runs(
        run(1, "1", dial_after="40", total="40"), run(2, "0.5", "B", dial_after="15", total="25"), run(3, "0")
    )
    assert log.history().net == 25


@pytest.mark.parametrize(
    "parts",
    [
        {"touched": ["a pitch block or its shims"]},
        {"values": {"balance": {"lead-a": box("20", "g")}}},
        {"values": {"assembly": {"joint-a": box("1", "thou")}}},
    ],
    ids=["said", "balanced", "assembled"],
)
def test_a_row_begins_again_after_something_was_touched_and_the_total_stays(
    log: Log, parts: dict[str, Any]
) -> None:
    log.runs(run(1, "1", dial_after="30", total="30"), run(2, "0.2"))
    log.add(log.entry(**later("2026-11-22", run(3, "0.4"), **parts)))
    history = log.history()
    assert [each.run.split for each in history.row] == [Fraction(2, 5)]
    assert history.net == 30
    assert history.last_event is not None
    assert "track" in history.last_event.again()


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
        ('"one blade"        #', '"total of both"    #'),
        ("[track.sources]", f"{RAISE}[track.sources]"),
    )
    assert of_dial() == 12
    assert of_dial(*both) == 24
    # 2+1/4 in of lever and 3 in to the dial: 12 thou on the dial are 9 at the adjuster.
    assert of_dial(('rule_reads          = "dial"', 'rule_reads          = "adjuster"')) == 9


def test_a_kept_run_that_cannot_be_read_any_more_is_told_and_ends_the_row(log: Log) -> None:
    """An entry was in order when it came in; a later version that reads less of it must not forget it."""
    log.runs(run(1, "1", dial_after="30", total="30", total_blade="A"), run(2, "0.2"))
    unread = log.entry(values={"track": {"run-first-split": box("about 1", "in")}})
    log.register.add_entry(log.row, "track", date(2026, 11, 25), as_bytes(unread).decode())
    history = log.history()
    assert not history.row
    assert history.net is None
    assert history.doubts == ("a run of 2026-11-21 cannot be read",)
