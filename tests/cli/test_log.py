"""``cardgen log`` the way a keeper uses it: codes and files in, words and exit codes out."""

from __future__ import annotations

import csv
import io
import json
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import INCH, Ran, cardgen
from tests.issuing.decks import opened
from tests.logbook.logs import Log, as_bytes, box, issue_rotor, run

TODAY = "2026-11-25"


@dataclass(frozen=True)
class Bench:
    """A register with one issued rotor, and a folder for entries."""

    folder: Path
    code: str

    @property
    def register(self) -> Path:
        return self.folder / "register.sqlite"

    def log(self, *arguments: str | Path, today: str = TODAY) -> Ran:
        return cardgen("log", *arguments, "--register", self.register, "--today", today)

    def written(self, name: str = "entry.json", **parts: Any) -> Path:
        with opened(self.register, "read") as register:
            row = register.newest("NR-0306")
            assert row is not None
            entry = Log(register, self.folder, row).entry(**parts)
        path = self.folder / name
        path.write_bytes(as_bytes(entry))
        return path

    def added(self, **parts: Any) -> None:
        assert self.log("add", self.code, self.written(**parts)).code == 0


@pytest.fixture(scope="module")
def issued_once(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    folder = tmp_path_factory.mktemp("bench")
    with opened(folder / "register.sqlite") as register:
        return Bench(folder, issue_rotor(register, folder / "out").row.code)


@pytest.fixture
def bench(issued_once: Bench, tmp_path: Path) -> Bench:
    shutil.copytree(issued_once.folder, tmp_path / "club")
    return Bench(tmp_path / "club", issued_once.code)


# 43.5 thou is the row of the card at 1+1/4 in; at half an inch it is 17.5.
RUNS = [run(1, "1.25", dial_after="43.5", total="43.5"), run(2, "0.32")]
ODD = [run(1, "1.25", dial_after="4.35", total="4.35")]


def test_an_entry_is_added_by_code_and_by_specification_and_only_once(bench: Bench) -> None:
    entry = bench.written(runs=RUNS)
    first = bench.log("add", bench.code, entry)
    assert first.code == 0
    assert "kept." in first.out
    again = bench.log("add", INCH, entry)
    assert again.code == 0
    assert "nothing changed" in again.out


def test_a_refused_entry_is_explained_and_not_kept(bench: Bench) -> None:
    told = bench.log("add", bench.code, bench.written(runs=[run(1, "1.25", high=None)]))
    assert told.code == 1
    assert "runs[1].high_blade" in told.err
    assert "Nothing was kept: 1 problem." in told.err
    assert bench.log("show", bench.code).out.strip() == "There is no entry."


def test_a_bad_date_and_a_bad_value_are_told_in_one_run(bench: Bench) -> None:
    entry = bench.written(record={"date": "2026-13-01"}, values={"no-card": {"x": box("1")}})
    told = bench.log("add", bench.code, entry)
    assert told.code == 1
    assert "record.date" in told.err
    assert "values.no-card" in told.err
    assert "Nothing was kept: 2 problems." in told.err
    # A register that is not there hides what is wrong with the entry no more than before.
    nowhere = ("--register", bench.folder / "none.sqlite", "--today", TODAY)
    elsewhere = cardgen("log", "add", bench.code, entry, *nowhere)
    assert elsewhere.code == 1
    assert "record.date" in elsewhere.err


def test_out_of_limit_is_said_on_standard_error(bench: Bench) -> None:
    told = bench.log("add", bench.code, bench.written(values={"head": {"play-front": box("3", "thou")}}))
    assert told.code == 0
    assert "OUT OF LIMIT" in told.err


@pytest.mark.parametrize(
    ("rotor", "entry", "code"),
    [
        ("0000-0000-0", "entry.json", 4),
        ("nonsense", "entry.json", 4),
        ("missing.toml", "entry.json", 3),
        (None, "absent.json", 3),
        (None, ".", 3),
    ],
)
def test_what_cannot_be_found_has_its_own_exit_code(
    bench: Bench, rotor: str | None, entry: str, code: int
) -> None:
    bench.written()
    told = bench.log("add", rotor or bench.code, bench.folder / entry)
    assert told.code == code
    assert "Traceback" not in told.err
    assert told.err


def test_entries_are_shown_in_every_form(bench: Bench) -> None:
    bench.added(runs=RUNS)
    assert "1.25 in, blade A high, video" in bench.log("show", bench.code).out
    assert json.loads(bench.log("show", bench.code, "--json").out)[0]["entry"] == 1
    rows = list(csv.reader(io.StringIO(bench.log("show", bench.code, "--csv").out)))
    assert rows[0][0] == "entry"
    assert bench.log("show", bench.code, "--html").out.startswith("<!DOCTYPE html>")


def test_the_fit_is_told_in_words_and_as_data(bench: Bench) -> None:
    bench.added(runs=RUNS)
    told = bench.log("fit", bench.code)
    assert told.code == 0
    assert told.out.startswith("One more step may be made: lower blade A")
    data = json.loads(bench.log("fit", INCH, "--json").out)
    assert data["next"]["blade"] == "A"
    assert data["next"]["row_thou"] == 8.5
    assert data["done"] is False


def test_odd_numbers_are_asked_about_and_kept_only_where_they_were_read_so(bench: Bench) -> None:
    entry = bench.written(runs=ODD)
    told = bench.log("add", bench.code, entry)
    assert told.code == 1
    assert "Is this right?" in told.err
    assert "4.0 thou on the dial; for a split of 1.25 in it is 43.5 thou" in told.err
    assert bench.log("show", bench.code).out.strip() == "There is no entry."
    assert bench.log("add", bench.code, entry, "--as-read").code == 0


def test_an_entry_is_put_right_by_another_and_both_are_shown(bench: Bench) -> None:
    assert bench.log("add", bench.code, bench.written(runs=ODD), "--as-read").code == 0
    right = bench.written(runs=RUNS[:1])
    assert bench.log("add", bench.code, right, "--corrects", "1").code == 0
    shown = bench.log("show", bench.code).out
    assert "PUT RIGHT: read entry 2 in its place" in shown
    assert "In place of: entry 1" in shown
    told = bench.log("add", bench.code, bench.written(runs=RUNS), "--corrects", "9")
    assert told.code == 1
    assert "no entry of this number" in told.err


def test_the_sheet_is_printed_once_and_never_over_another_file(bench: Bench) -> None:
    bench.added(runs=RUNS)
    sheet = bench.folder / "next.pdf"
    assert bench.log("fit", bench.code, "--sheet", sheet).code == 0
    before = sheet.read_bytes()
    assert before.startswith(b"%PDF")
    assert bench.log("fit", bench.code, "--sheet", sheet).code == 3
    assert sheet.read_bytes() == before


def test_no_sheet_is_made_without_a_step_or_from_an_old_deck(bench: Bench) -> None:
    bench.added(runs=RUNS[:1])
    sheet = bench.folder / "next.pdf"
    assert bench.log("fit", bench.code, "--sheet", sheet).code == 1
    bench.added(runs=[run(2, "0.32")], record={"date": "2026-11-22"})
    late = bench.log("fit", bench.code, "--sheet", sheet, today="2027-12-01")
    assert late.code == 1
    assert "out of date" in late.err
    assert not sheet.exists()


def test_charts_are_placed_or_their_absence_is_told(bench: Bench) -> None:
    out = bench.folder / "charts"
    assert bench.log("plot", bench.code, "--out", out).code == 1
    bench.added(runs=RUNS)
    assert bench.log("plot", bench.code, "--out", out).code == 0
    assert sorted(path.name for path in out.iterdir()) == ["NR-0306-log-track.svg", "NR-0306-log.pdf"]
