"""How a row of runs is put into the terms that its end is judged in, and what its second reading says.

The rotor's rule is 30 thou an inch, its largest split 2 in, its largest total 60 thou, and half a flat is 3.47
thou. A reading from video is good to 1/16 in, by eye to 1/4.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from cardgen.figures.track_end import End
from cardgen.figures.track_verdict import Verdict
from cardgen.logbook.fit_report import convergence_words
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.stopping import end_of_row, second_reading, settled_split
from cardgen.logbook.track_learning import learn
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.track_runs import Reading, TrackRun
from tests.figures.specs import spec_of
from tests.logbook.logs import TODAY, kept

QUARTER = Fraction(1, 4)


def rule(limit: Fraction | None = None) -> TrackRule:
    found = rule_of(kept(spec_of()))
    assert isinstance(found, TrackRule)
    return replace(found, good_enough=limit, speeds=1)


def flown(split: str, change: str | None = "0", eye: bool = False, last: str | None = None) -> dict[str, Any]:
    return {"split": split, "change": change, "eye": eye, "last": last}


def row(*runs: dict[str, Any], net: int | None = 0) -> tuple[FlownRun, ...]:
    """A row of runs, each with what was changed after it in thou of the rule; ``net`` is the total before."""
    made, moved = [], Fraction(0)
    for each in runs:
        change = Fraction(each["change"])
        splits = [Fraction(each[name]) for name in ("split", "last") if each[name] is not None]
        readings = tuple(Reading(split, "A" if split >= 0 else "B") for split in splits)
        one = TrackRun(TODAY, "run", readings, "by eye" if each["eye"] else "video")
        made.append(FlownRun(one, moved, change, None if net is None else net + moved))
        moved += change
    return tuple(made)


def history(*runs: dict[str, Any], net: int | None = 0, limit: Fraction | None = None) -> History:
    made = row(*runs, net=net)
    moved = made[-1].since + (made[-1].applied or 0)
    return History(rule(limit), made, None, None if net is None else net + moved)


def end(*runs: dict[str, Any], limit: Fraction | None = None, net: int | None = 0) -> End:
    return end_of_row(history(*runs, net=net), rule(limit), None)


def test_readings_are_of_one_setting_until_something_is_changed() -> None:
    assert end(flown("0.1"), flown("0.1"), limit=QUARTER) is End.DONE
    assert end(flown("0.1", "5"), flown("0.1"), limit=QUARTER) is End.ONCE_MORE


def test_a_run_is_judged_at_both_its_speeds() -> None:
    assert end(flown("1", last="0.825")) is End.GO_ON
    assert end(flown("1", last="0.824")) is End.SPEEDS_APART
    assert end(flown("1", "5", last="0.7"), flown("1", last="0.7")) is End.TWO_SPEEDS


def test_the_total_counts_from_as_delivered_or_from_the_row() -> None:
    first, second = flown("1.5", "30"), flown("1")
    assert end(first, second, net=0) is End.GO_ON  # 30 and 30 more
    assert end(first, second, net=1) is End.TOTAL
    assert end(first, second, net=None) is End.GO_ON
    assert end(flown("1.6", "31"), second, net=None) is End.TOTAL


def test_the_next_change_is_made_by_the_mean_of_what_agrees() -> None:
    assert settled_split(row(flown("1.5", "30"), flown("0.5"), flown("0.625"))) == Fraction("0.5625")
    assert settled_split(row(flown("0.5"), flown("2"), flown("0.5"))) == Fraction("0.5")
    # What was read by eye says nothing beside a video.
    assert settled_split(row(flown("0.7", eye=True), flown("0.5"))) == Fraction("0.5")


def test_the_last_change_is_judged_by_the_reading_after_it() -> None:
    judged, confirmed = second_reading(row(flown("1.5", "30"), flown("0.5", "15"), flown("0")), Fraction(30))
    assert judged is not None
    assert [judged.effect, judged.verdict, confirmed] == [1, Verdict.FITS, False]
    twice, _ = second_reading(row(flown("1.5", "30"), flown("0.5", "15"), flown("-0.5")), Fraction(30))
    assert twice is not None
    assert [twice.effect, twice.verdict] == [2, Verdict.TWICE]
    assert second_reading(row(flown("1"), flown("1")), Fraction(30)) == (None, False)
    assert second_reading(row(flown("1", "30")), Fraction(30)) == (None, False)


@pytest.mark.parametrize(
    ("third", "confirmed"), [("-0.5", True), ("-0.325", True), ("-0.324", False), ("-0.676", False)]
)
def test_a_third_reading_confirms_the_second_within_chance(third: str, confirmed: bool) -> None:
    # 2.8 x 1/16 is 0.175 either way.
    runs = row(flown("1", "30"), flown("-0.5"), flown(third))
    assert second_reading(runs, Fraction(30))[1] is confirmed


def test_the_coarser_reading_says_how_sure_the_effect_is() -> None:
    judged, _ = second_reading(row(flown("1.5", "45", eye=True), flown("0")), Fraction(30))
    assert judged is not None
    # A quarter inch of 30 thou in 45.
    assert judged.uncertainty == Fraction(1, 6)


def test_a_table_that_doubles_or_leaves_the_split_diverges() -> None:
    found = learn(history(flown("1.5", "30"), flown("0.5")))
    said = {
        share: convergence_words(replace(found, repeats=Fraction(share)))
        for share in ("-1", "-0.99", "-0.01", "0", "0.5", "0.51", "0.99", "1")
    }
    assert "WARNING" in said["-1"]
    assert "WARNING" in said["1"]
    assert said["-0.99"] == said["-0.01"]
    assert "change places" in said["-0.01"]
    assert (said["0"], said["0.5"]) == ("", "")
    assert said["0.51"] == said["0.99"]
    assert "more than half" in said["0.51"]
