"""What the form saves in a browser is what the log keeps: one shape on both sides."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.logbook.adding import Asked, Kept
from cardgen.logbook.records import shown, to_text
from cardgen.logbook.track_learning import learn
from cardgen.logbook.track_runs import TrackRun, runs_of
from cardgen.press.form import to_form
from tests.logbook.logs import Log, sample
from tests.press.browser import visit

RECORD = {
    "#record-date": "2026-11-21",
    "#record-time": "14:05",
    "#record-place": "north hangar",
    "#record-rotor_hours": "12.5",
    "#record-work": "Track runs.\nLock nuts checked.",
}
RUNS = {
    "#run-0-total": "0",
    "#run-1-split": "1-1/4",
    "#run-1-high": "A",
    "#run-1-last": "1-1/4",
    "#run-1-last-high": "A",
    "#run-1-method": "video",
    "#run-1-changed": "A",
    # The row for 1-1/4 in: 35 thou an inch are 43.75, on a mark of half a thou 43.5.
    "#run-1-dial": "43.5",
    "#run-1-total": "43.5",
    "#run-1-lowered": "A",
    "#run-2-split": "0.3",
    "#run-2-high": "A",
    "#run-2-last": "0.3",
    "#run-2-last-high": "A",
}


@contextmanager
def form(chromium: Browser, log: Log, folder: Path) -> Iterator[Page]:
    """The form of the log's deck, every card open."""
    spec = sample()
    deck = build_deck(spec, compute(spec), (), Stamp(log.row.revision, log.row.code, log.row.issued))
    with visit(chromium, to_form(deck), folder, fragment=f"#c={log.row.code}&k=track") as seen:
        seen.page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        yield seen.page
        assert seen.complaints == []


def typed(page: Page, *lines: dict[str, str]) -> dict[str, Any]:
    """Fill in lines and save."""
    for place, text in (pair for each in lines for pair in each.items()):
        chosen = page.evaluate("place => document.querySelector(place).tagName === 'SELECT'", place)
        (page.select_option if chosen else page.fill)(place, text)
    with page.expect_download() as waited:
        page.click("#save")
    saved = json.loads(Path(waited.value.path()).read_text("utf-8"))
    assert isinstance(saved, dict)
    return saved


def test_an_entry_saved_in_a_browser_is_kept_whole(chromium: Browser, log: Log, tmp_path: Path) -> None:
    with form(chromium, log, tmp_path) as page:
        page.check("[data-touched='a strap bolt loosened']")
        late = {"#box-head-play-front": "2.5", "#when": "before the runs"}
        saved = typed(page, RECORD, RUNS, late)
    kept = log.try_to_add(saved, as_read=False)
    assert isinstance(kept, Kept), kept
    assert [one.label for one in kept.outside] == ["Play at the front"]
    assert kept.doubts == ()
    (found,) = log.entries()
    assert found.entry.touched == ("a strap bolt loosened",)
    assert found.entry.touched_when == "before the runs"
    assert found.entry.record.work == RECORD["#record-work"]
    first, second = (each for each in runs_of(found.entry) if isinstance(each, TrackRun))
    assert [float(first.split), first.change.moved, float(second.split)] == [1.25, 43.5, 0.3]
    assert saved["values"]["head"]["play-front"]["outside"] is True
    # What was touched before the runs ends no row: form and log give the same next step.
    step = learn(log.history()).step
    assert step is not None and [step.blade, step.step] == ["A", 8.5]


def test_the_form_names_the_row_that_the_log_then_uses(chromium: Browser, log: Log, tmp_path: Path) -> None:
    with form(chromium, log, tmp_path) as page:
        log.add(typed(page, RECORD, RUNS))
        told = (page.text_content("#run-2-told") or "").replace("\u00a0", " ")
    step = learn(log.history()).step
    # The row for 1/4 in: 8.75 thou, on a mark of half a thou 8.5.
    assert step is not None and step.step == step.row == 8.5
    assert "The card's row for 0.25 in: the dial must read 8.5 thou." in told


def test_a_change_made_later_belongs_to_the_run_that_is_in_the_log(
    chromium: Browser, log: Log, tmp_path: Path
) -> None:
    read_only = {place: text for place, text in RUNS.items() if place.startswith("#run-2") is False}
    for place in ("#run-1-changed", "#run-1-dial", "#run-1-total", "#run-1-lowered"):
        read_only.pop(place)
    with form(chromium, log, tmp_path) as page:
        log.add(typed(page, RECORD, read_only))
    late = {"#record-time": "15:00", "#run-0-changed": "A", "#run-0-dial": "43.5"}
    with form(chromium, log, tmp_path) as page:
        log.add(typed(page, RECORD, late, {"#run-0-total": "43.5", "#run-0-lowered": "A"}))
    history = log.history()
    assert history.net == 43.5 and history.row[-1].applied == 43.5


def test_an_entry_is_put_right_from_the_form(chromium: Browser, log: Log, tmp_path: Path) -> None:
    with form(chromium, log, tmp_path) as page:
        wrong = log.add(typed(page, RECORD, RUNS, {"#run-1-dial": "4.35", "#run-1-total": "4.35"}))
    with form(chromium, log, tmp_path) as page:
        log.add(typed(page, RECORD, RUNS, {"#corrects": str(wrong.row.id)}))
    assert log.history().row[0].applied == 43.5
    assert "PUT RIGHT" in to_text(shown(log.entries()))


def test_a_factor_of_ten_is_asked_about_by_form_and_log(chromium: Browser, log: Log, tmp_path: Path) -> None:
    with form(chromium, log, tmp_path) as page:
        saved = typed(page, RECORD, RUNS, {"#run-1-dial": "4.35", "#run-1-total": "4.35"})
        assert "The row says 43.5" in (page.text_content("#run-1-sum") or "")
    assert isinstance(log.try_to_add(saved, as_read=False), Asked)


def test_a_total_that_is_written_before_the_runs_is_known_to_the_log(
    chromium: Browser, log: Log, tmp_path: Path
) -> None:
    """The form and the log count on from the same total, where nothing was changed before the runs."""
    told = {"#run-0-changed": "no", "#run-0-total": "30", "#run-0-lowered": "A"}
    runs = {**RUNS, "#run-1-total": "73.5"}
    with form(chromium, log, tmp_path) as page:
        saved = typed(page, RECORD, runs, told)
        assert "Total from as delivered: 73.5" in (page.text_content("#run-1-sum") or "")
    log.add(saved)
    # 30 before, and 43.5 by the dial.
    assert log.history().doubts == ()
    assert log.history().net == 73.5
    assert "total before these runs: 30.0 thou toward lowering A" in to_text(shown(log.entries()))


def test_a_total_before_the_runs_is_compared_with_what_the_log_knows(
    chromium: Browser, log: Log, tmp_path: Path
) -> None:
    with form(chromium, log, tmp_path) as page:
        log.add(typed(page, RECORD, RUNS))
    late = {"#record-date": "2026-11-22", "#run-0-total": "20", "#run-0-lowered": "A"}
    with form(chromium, log, tmp_path) as page:
        log.add(typed(page, RECORD, late))
    assert ["total is written as 20" in doubt for doubt in log.history().doubts] == [True]


def test_a_number_without_its_zero_is_asked_for_again(chromium: Browser, log: Log, tmp_path: Path) -> None:
    with form(chromium, log, tmp_path) as page:
        page.fill("#run-1-split", ".75")
        page.press("#run-1-split", "Tab")
        assert page.text_content("#run-1-split-verdict") == "This is not a number. Write 0.75."
