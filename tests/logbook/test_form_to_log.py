"""What the form saves in a browser is what the log keeps: one shape on both sides."""

from __future__ import annotations

import json
from pathlib import Path

from playwright.sync_api import Browser

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.logbook.track_runs import TrackRun, runs_of
from cardgen.press.form import to_form
from tests.logbook.logs import Log, sample
from tests.press.browser import visit

TYPED = {
    "#record-date": "2026-11-21",
    "#record-time": "14:05",
    "#record-place": "north hangar",
    "#record-rotor_hours": "12.5",
    "#record-work": "Track runs.\nLock nuts checked.",
    "#box-track-run-first-split": "1-1/4",
    "#box-track-run-first-high": "A",
    "#box-track-run-first-after": "25",
    "#box-track-run-first-total": "25",
    "#box-track-run-second-split": "0.55",
    "#box-track-run-second-high": "A",
    "#box-head-play-front": "2.5",
}


def test_an_entry_saved_in_a_browser_is_kept_whole(chromium: Browser, log: Log, tmp_path: Path) -> None:
    spec = sample()
    deck = build_deck(spec, compute(spec), (), Stamp(log.row.revision, log.row.code, log.row.issued))
    fragment = f"#c={log.row.code}&k=track"
    with visit(chromium, to_form(deck), tmp_path, fragment=fragment) as seen:
        page = seen.page
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        for place, text in TYPED.items():
            choose = page.select_option if place.endswith("-high") else page.fill
            choose(place, text)
        page.check("[data-touched='a strap bolt loosened']")
        with page.expect_download() as waited:
            page.click("#save")
        saved = json.loads(Path(waited.value.path()).read_text("utf-8"))
        assert seen.complaints == []
    kept = log.add(saved)
    assert [one.label for one in kept.outside] == ["Play at the front"]
    assert kept.doubts == ()
    (found,) = log.entries()
    assert found.entry.touched == ("a strap bolt loosened",)
    assert found.entry.record.work == TYPED["#record-work"]
    first, second = (each for each in runs_of(found.entry) if isinstance(each, TrackRun))
    assert [float(first.split), first.change.moved, float(second.split)] == [1.25, 25, 0.55]
    assert saved["values"]["head"]["play-front"]["outside"] is True
