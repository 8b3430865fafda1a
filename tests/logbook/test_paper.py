"""The next-step sheet and the charts, read back from the finished files."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from math import floor
from xml.etree import ElementTree

import pypdfium2
import pytest

from cardgen.logbook.next_step_sheet import next_sheet
from cardgen.logbook.plots import plots
from cardgen.logbook.track_learning import learn
from tests.logbook.logs import Log, box, run

MADE = date(2026, 11, 24)
START = run(1, "1.25", dial_after="25", total="25")


def text_of(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    pages = [document[at].get_textpage().get_text_range() for at in range(len(document))]
    document.close()
    return " ".join(" ".join(pages).split())


def sheet(log: Log) -> str:
    made = next_sheet(learn(log.history()), log.deck(), MADE)
    assert isinstance(made, bytes), made
    return text_of(made)


def test_the_sheet_is_dated_and_for_one_run(log: Log) -> None:
    log.runs(START, run(2, "0.55", dial_after="10"), run(3, "0.3"))
    said = sheet(log)
    assert "24 November 2026" in said
    assert "for one run, then destroyed" in said
    assert "lower blade A" in said
    assert log.row.code in said


def test_the_sheets_numbers_carry_the_letter_of_what_was_measured(log: Log) -> None:
    log.runs(START, run(2, "0.55", dial_after="10"), run(3, "0.3"))
    found = learn(log.history())
    assert found.step is not None
    said = sheet(log)
    assert f"{float(found.step.step):.1f}" in said
    assert "thou L" in said
    assert "thou M" not in said


def test_flats_are_rounded_down_so_that_nothing_is_moved_too_far(log: Log) -> None:
    log.runs(START, run(2, "0.55", dial_after="10"), run(3, "0.3"))
    found = learn(log.history())
    assert found.step is not None
    # The dial stands at 3 in, the adjuster at 2 1/4 in; 24 threads an inch: six flats move it 1000/24 thou.
    flats = abs(found.step.step) * Fraction("2.25") / 3 / (Fraction(1000, 24) / 6)
    down = floor(flats * 10) / 10
    assert down < flats
    dial = f"{float(found.step.step):.1f}"
    assert re.search(rf"{dial} {down} ", sheet(log))


def test_before_three_runs_the_sheet_says_the_cards_row_and_nothing_learned(log: Log) -> None:
    # 25 thou took out 0.7 in, so the runs ask for 19.6; the row at 1/2 in says 17.5.
    log.runs(START, run(2, "0.55"))
    said = sheet(log)
    assert "Row of the track card 0.50 17.5" in said
    assert "Used: the card's row" in said
    assert "Dial must read" in said


def test_from_three_runs_the_sheet_says_why_less_is_used_than_the_row(log: Log) -> None:
    # 15 thou took out 0.68 in, 7 more 0.32: this rotor answers 22 thou an inch, where its rule says 35.
    log.runs(run(1, "1.5", dial_after="15", total="15"), run(2, "0.82", dial_after="7"), run(3, "0.5"))
    found = learn(log.history())
    assert found.step is not None, found.why_no_step
    assert found.step.uses_learned
    said = sheet(log)
    assert "this rotor answers more than its rule says" in said
    assert f"{float(abs(found.step.step)):.1f}" in said


def test_without_a_step_there_is_no_sheet(log: Log) -> None:
    log.runs(START, run(2, "0.1"))
    with pytest.raises(ValueError, match="no step"):
        next_sheet(learn(log.history()), log.deck(), MADE)


def test_the_sheet_is_the_same_bytes_each_time(log: Log) -> None:
    log.runs(START, run(2, "0.55"))
    first, again = (next_sheet(learn(log.history()), log.deck(), MADE) for _ in range(2))
    assert first == again


def test_charts_are_made_of_what_there_is(log: Log) -> None:
    assert plots(log.entries(), log.deck(), MADE) == {}
    log.runs(START, run(2, "0.55"))
    log.add(log.entry(values={"head": {"play-front": box("1", "thou")}}))
    log.add(log.entry(values={"shake": {"shake-none": box("0.4")}}))
    files = plots(log.entries(), log.deck(), MADE)
    assert isinstance(files, dict)
    assert list(files) == [
        "NR-0306-log.pdf",
        "NR-0306-log-track.svg",
        "NR-0306-log-head.svg",
        "NR-0306-log-shake.svg",
    ]


def test_many_runs_in_one_place_make_a_chart_that_is_read_back_like_a_card(log: Log) -> None:
    # They end at nothing, with the fit, its band and the line of nothing all running through them.
    splits = ["1.25", "0.55", "0.3", *["0.02"] * 9]
    first = [run(number, split, dial_after="20") for number, split in enumerate(splits[:3], start=1)]
    log.runs(*first, *(run(number, split) for number, split in enumerate(splits[3:], start=4)))
    files = plots(log.entries(), log.deck(), MADE)
    assert isinstance(files, dict), files
    assert "4–12" in text_of(files["NR-0306-log.pdf"])


def test_a_chart_tells_in_words_what_it_shows_and_uses_no_colour(log: Log) -> None:
    log.runs(START, run(2, "0.55"))
    files = plots(log.entries(), log.deck(), MADE)
    assert isinstance(files, dict)
    svg = files["NR-0306-log-track.svg"].decode()
    root = ElementTree.fromstring(svg)
    space = "{http://www.w3.org/2000/svg}"
    description = root.find(f"{space}desc")
    assert description is not None
    assert description.text is not None
    assert "lower blade A" in description.text
    inks = {element.get("fill") for element in root.iter()} | {element.get("stroke") for element in root.iter()}
    assert inks <= {None, "none", "currentColor", "white"}
    assert "lower blade A" in text_of(files["NR-0306-log.pdf"])
