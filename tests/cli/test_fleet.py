"""``cardgen fleet``: a folder of rotors at once."""

from __future__ import annotations

import json
import os
import pty
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cardgen.cli import errors
from cardgen.issuing.fleet import pool
from cardgen.layouts_root import made_with
from cardgen.proof.prove import Against
from tests.bench.generate import SPOILT, generate
from tests.bench.issued import issue_small
from tests.bench.soak import run as soak
from tests.cli.running import INCH, METRIC, TODAY, TREE, Ran, altered, cardgen
from tests.issuing.decks import read_all

#: The soak and Ctrl-C, below, run a fleet with the processes it has in a hangar.
pytestmark = pytest.mark.usefixtures("workers_in_threads")

ISSUE = ("--approved-by", "keeper", "--reason", "first issue", *TODAY)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two good rotors, small decks, and one that is refused."""
    generate(tmp_path / "specs", 2, pouch_only=True)
    (tmp_path / "specs" / "bad.toml").write_text("schema = 2\n")
    return tmp_path / "specs"


def issue(folder: Path, out: Path, *more: str) -> Ran:
    read_all(folder, out / "r.sqlite")
    return cardgen("fleet", "issue", folder, "--out", out, "--register", out / "r.sqlite", *ISSUE, *more)


def test_a_good_fleet_ends_well_and_a_refused_rotor_is_told_with_its_problems(tmp_path: Path) -> None:
    made = generate(tmp_path, 4)
    ran = cardgen("fleet", "check", tmp_path, *TODAY)
    assert ran.code == 0, ran.err
    assert [line.split(":")[0] for line in ran.out.splitlines()[:4]] == sorted(each.set_id for each in made)
    altered(tmp_path, ('"335 rpm"', '"335"'))
    ran = cardgen("fleet", "check", tmp_path, *TODAY)
    assert ran.code == 1
    assert "rotor.toml:" in ran.err
    assert "[quantity-unit-missing]" in ran.err
    assert "NR-0306: refused, 1 problem" in ran.out


def test_rotors_that_nobody_has_read_are_left_and_listed(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    ran = cardgen("fleet", "issue", folder, "--out", out, "--register", out / "r.sqlite", *ISSUE, "--json")
    assert ran.code == 1
    states = [each["state"] for each in json.loads(ran.out)["rotors"]]
    assert sorted(states) == ["not read", "not read", "refused"]
    assert "nobody has read" in (out / "index.txt").read_text("utf-8")


def test_two_files_of_one_rotor_are_refused_before_anything_is_made(folder: Path, tmp_path: Path) -> None:
    first = next(folder.rglob("?t-*.toml"), None) or next(folder.rglob("nr-*.toml"))
    (folder / "copy.toml").write_bytes(first.read_bytes())
    (other,) = [path for path in folder.rglob("*-0*.toml") if path != first]
    other.unlink()
    ran = issue(folder, tmp_path / "out")
    assert ran.code == 1
    assert ran.err.count("[fleet-set-id]") == 2
    assert not list((tmp_path / "out").glob("*-r1"))


@pytest.mark.usefixtures("few_cards")
def test_what_is_issued_is_left_as_it_is_and_a_changed_rotor_alone_is_issued_again(
    folder: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    first = issue(folder, out)
    assert first.code == 1, first.err
    assert first.out.count(": issued, revision 1, code ") == 2
    changed = sorted(folder.rglob("*-0*.toml"))[0]
    changed.write_bytes(changed.read_bytes() + b"# read once more\n")
    second = issue(folder, out, "--json")
    told = json.loads(second.out)
    states = {Path(each["file"]).name: each["state"] for each in told["rotors"]}
    other = sorted(folder.rglob("*-0*.toml"))[1]
    assert states == {changed.name: "issued", other.name: "unchanged", "bad.toml": "refused"}
    assert told["ok"] is False
    assert len(told["recall"]) == 1
    assert "Take down and destroy" in (out / "index.txt").read_text()
    listed = cardgen("register", "list", "--register", out / "r.sqlite", *TODAY)
    assert listed.out.count("current") == 2
    assert cardgen("register", "check", "--register", out / "r.sqlite").code == 0


@pytest.mark.usefixtures("few_cards")
def test_drafts_stand_each_in_a_folder_and_are_not_made_twice(folder: Path, tmp_path: Path) -> None:
    (folder / "bad.toml").unlink()
    out = tmp_path / "out"
    first = cardgen("fleet", "draft", folder, "--out", out, *TODAY)
    assert first.code == 0, first.err
    folders = sorted(out.glob("*-draft"))
    assert len(folders) == 2
    assert all((each / "pouch.pdf").is_file() for each in folders)
    assert "NOT ISSUED" in (out / "index.txt").read_text()
    ages = [(each / "pouch.pdf").stat().st_mtime_ns for each in folders]
    second = cardgen("fleet", "draft", folder, "--out", out, *TODAY)
    assert second.code == 0
    assert second.out.count(": unchanged") == 2
    assert [(each / "pouch.pdf").stat().st_mtime_ns for each in folders] == ages


@pytest.mark.usefixtures("few_cards")
def test_a_draft_whose_specification_is_gone_or_refused_by_now_is_pointed_out(
    folder: Path, tmp_path: Path
) -> None:
    (folder / "bad.toml").unlink()
    out = tmp_path / "out"
    first = cardgen("fleet", "draft", folder, "--out", out, *TODAY)
    assert "Older drafts" not in first.err
    gone, spoilt = sorted(folder.rglob("*.toml"))
    folders = sorted(out.glob("*-draft"))
    gone.unlink()
    second = cardgen("fleet", "draft", folder, "--out", out, *TODAY)
    (left,) = [each for each in folders if f"  {each}\n" in second.err]
    assert second.code == 0
    assert gone.stem.upper() in left.name
    spoilt.write_text(spoilt.read_text("utf-8").replace("schema = 2", "schema = 1", 1), "utf-8")
    third = cardgen("fleet", "draft", folder, "--out", out, "--json", *TODAY)
    assert third.code == 1
    assert json.loads(third.out)["old_drafts"] == [str(each) for each in folders]
    assert all((each / "deck.json").is_file() for each in folders)


def test_warnings_are_counted_for_their_rotor_and_their_command_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "our rotors"
    folder.mkdir()
    # A wrench whose calibration ends before the cards do.
    short = ("calibrated_until = 2027-08-31", "calibrated_until = 2027-05-31")
    path = altered(folder, short, source=METRIC).rename(folder / "ft.toml")
    ran = cardgen("fleet", "check", folder, *TODAY)
    assert ran.code == 0
    warnings = json.loads(cardgen("check", path, "--json", *TODAY).out)["warnings"]
    assert len(warnings) == 1
    assert "FT-7400: nothing stands against cards, 1 warning" in ran.out
    (command,) = [line.strip() for line in ran.out.splitlines() if line.strip().startswith("cardgen check")]
    assert shlex.split(command) == ["cardgen", "check", str(folder / "ft.toml")]


def test_a_value_unlike_the_others_is_noted_and_stops_nothing(tmp_path: Path) -> None:
    text = INCH.read_text("utf-8")
    for number, lead in enumerate((80, 80, 80, 60)):
        varied = text.replace("NR-0306", f"NR-{number}").replace('"80 g"', f'"{lead} g"')
        varied = varied.replace("HB-306", f"HB-{number}").replace("W-0518", f"W-{number}")
        (tmp_path / f"{number}.toml").write_text(varied, "utf-8")
    ran = cardgen("fleet", "check", tmp_path, *TODAY, environment={"COLUMNS": "200"})
    assert ran.code == 0
    assert "note: NR-3: most lead in one tip 60 g; the median with 3 like rotors" in " ".join(ran.err.split())
    note = json.loads(cardgen("fleet", "check", tmp_path, *TODAY, "--json").out)["notes"][0]
    assert (note["set_id"], note["value"], note["median"], note["unit"]) == ("NR-3", "60", "80", "g")


@pytest.mark.parametrize("place", ["nowhere", "empty"])
def test_a_folder_without_specifications_is_a_trouble(tmp_path: Path, place: str) -> None:
    (tmp_path / "empty").mkdir()
    ran = cardgen("fleet", "check", tmp_path / place, *TODAY)
    assert ran.code == 3
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1


def test_a_reason_that_cannot_be_printed_is_refused_before_anything_is_read(tmp_path: Path) -> None:
    generate(tmp_path, 1)
    ran = cardgen(
        "fleet", "issue", tmp_path, "--out", tmp_path / "out", "--approved-by", "keeper", "--reason", "", *TODAY
    )
    assert ran.code == 1
    assert "--reason" in ran.err
    assert not (tmp_path / "out").exists()


def test_a_register_that_is_none_stops_the_run_and_says_so_once(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "r.sqlite").write_bytes(b"not a register" * 100)
    where = ("--out", tmp_path / "out", "--register", tmp_path / "out" / "r.sqlite")
    ran = cardgen("fleet", "issue", folder, *where, *ISSUE)
    assert ran.code == 3
    assert ran.err.count("not a register") == 1


def test_the_impact_of_a_document_names_the_deck_that_hangs_now(tmp_path: Path) -> None:
    made = generate(tmp_path / "specs", 3)
    issue_small(made, tmp_path, made_with())
    where = ("--register", str(tmp_path / "register.sqlite"))
    ran = cardgen("fleet", "impact", "club-2", tmp_path / "specs", *where, *TODAY)
    assert ran.code == 0, ran.err
    inch = [each for each in made if each.set_id.startswith("NR")]
    assert inch
    assert f"club-2: {len(inch)} of 3 rotors" in ran.out
    told = json.loads(cardgen("fleet", "impact", "CLUB-2", tmp_path / "specs", *where, "--json", *TODAY).out)
    assert [each["set_id"] for each in told["rotors"]] == [each.set_id for each in inch]
    rotor = told["rotors"][0]
    assert rotor["revision"] == 1
    assert rotor["same_specification"] is True
    key = {"key": "run.wind_limit", "words": "run, wind limit", "value": "8 kt", "source": "CLUB-2 s.7"}
    assert key in rotor["keys"]
    # The register's own copies are told, and those of editions with a touched card only.
    assert rotor["copies"] == ["pouch copy 1 at aircraft pouch", "wall copy 1 at hangar, north wall"]


def test_the_impact_of_a_document_says_every_key_in_words_beside_it(tmp_path: Path) -> None:
    altered(tmp_path)
    home = {"XDG_DATA_HOME": str(tmp_path), "COLUMNS": "5000"}
    ran = cardgen("fleet", "impact", "MAKER-1", tmp_path, *TODAY, environment=home)
    said = " ".join(ran.out.split())
    assert "fasteners 1 (strap bolt), torque max [fasteners[1].torque_max]; " in said
    assert "hub, joint play max [hub.joint_play_max]; " in said


def test_what_a_document_does_not_give_is_touched_by_its_new_revision(tmp_path: Path) -> None:
    """The metric sample lists the pin's head and the split that is good enough."""
    (tmp_path / "ft.toml").write_bytes(METRIC.read_bytes())
    home = {"XDG_DATA_HOME": str(tmp_path), "COLUMNS": "9000"}
    said = " ".join(cardgen("fleet", "impact", "MAKER-4", tmp_path, *TODAY, environment=home).out.split())
    assert "fasteners 2 (Schlagbolzen), pin head [fasteners[2].pin_head]; " in said
    assert "track, good enough [track.good_enough]; " in said
    assert "not given" not in said


def test_a_document_that_no_specification_lists_is_never_told_as_nothing_touched(tmp_path: Path) -> None:
    generate(tmp_path, 3)
    home = {"XDG_DATA_HOME": str(tmp_path)}
    ran = cardgen("fleet", "impact", "MAKER-44", tmp_path, *TODAY, environment=home)
    assert (ran.code, ran.out) == (2, "")
    assert 'No specification lists a document "MAKER-44"' in ran.err
    listed = [line.split(",")[0].strip() for line in ran.err.splitlines()[1:]]
    # One letter too many makes it; all the other documents of both samples follow.
    assert listed[0] == "MAKER-4"
    assert {"MAKER-1", "CLUB-2", "GROUP-1"} < set(listed)
    assert len(listed) == len(set(listed))
    told = cardgen("fleet", "impact", "MAKER-44", tmp_path, "--json", *TODAY, environment=home)
    assert (told.code, json.loads(told.out)["listed"]) == (2, False)
    assert json.loads(cardgen("fleet", "impact", "MAKER-4", tmp_path, "--json", *TODAY, environment=home).out)[
        "listed"
    ]
    for nothing in ("", "  "):
        assert cardgen("fleet", "impact", nothing, tmp_path, *TODAY, environment=home).code == 2


def test_beside_a_refused_rotor_an_unlisted_document_is_said_not_to_be_known_there(tmp_path: Path) -> None:
    altered(tmp_path, ('"335 rpm"', '"335"'))
    (tmp_path / "other.toml").write_bytes(METRIC.read_bytes())
    ran = cardgen("fleet", "impact", "MAKER-1", tmp_path, *TODAY, environment={"XDG_DATA_HOME": str(tmp_path)})
    assert ran.code == 2
    assert f"What these refused specifications list is not known: {tmp_path / 'rotor.toml'}." in ran.err


def test_what_a_refused_rotor_takes_from_a_document_is_said_not_to_be_known(tmp_path: Path) -> None:
    altered(tmp_path, ('"335 rpm"', '"335"'))
    ran = cardgen("fleet", "impact", "MAKER-1", tmp_path, *TODAY, environment={"XDG_DATA_HOME": str(tmp_path)})
    assert ran.code == 1
    assert "not known, because it is refused" in " ".join(ran.out.split())


def test_no_worker_is_started_for_a_fleet_that_has_not_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = generate(tmp_path / "specs", 3, pouch_only=True)
    out = tmp_path / "out"
    issue_small(made, out, made_with())
    start, started = pool._started, list[object]()

    def counted() -> pool._Worker:
        worker = start()
        started.append(worker)
        return worker

    monkeypatch.setattr(pool, "_started", counted)
    for workers in (1, 1):
        arguments = ("--out", out, "--register", out / "register.sqlite", "--jobs", "1", *ISSUE)
        assert cardgen("fleet", "issue", tmp_path / "specs", *arguments).code == 0
        assert len(started) == workers
    assert (out / "index.txt").read_text().count("  current") == 3


def test_every_way_of_spoiling_a_specification_is_refused(tmp_path: Path) -> None:
    made = generate(tmp_path, 3 * len(SPOILT), bad=3 * len(SPOILT))
    ran = cardgen("fleet", "check", tmp_path, *TODAY, "--json")
    told = json.loads(ran.out)["rotors"]
    assert len(told) == len(made)
    assert {each["state"] for each in told} == {"refused"}
    assert all(each["problems"] for each in told)


def test_an_index_that_cannot_be_printed_is_told_and_no_older_print_passes_for_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    altered(tmp_path, ('"335 rpm"', '"335"'))
    out = tmp_path / "out"
    out.mkdir()
    (out / "index.pdf").write_bytes(b"an older one")
    refused = Against("proof", ('card index, page 1, text: "7" expected, "8" found',))
    monkeypatch.setattr("cardgen.issuing.fleet.index_sheet.print_index", lambda *_: refused)
    code = errors.run(["fleet", "draft", str(tmp_path), "--out", str(out), *TODAY])
    said = capsys.readouterr().err
    assert code == 3
    assert "What was made stands, but the index could not be printed" in said
    assert refused.lines[0] in said
    assert "rotor.toml" in (out / "index.txt").read_text("utf-8")
    assert not (out / "index.pdf").exists()


def test_killed_again_and_again_and_on_a_full_disk_every_good_rotor_has_one_current_deck() -> None:
    result = soak(rotors=3, every=2.0, jobs=1, most_kills=1)
    assert result.faults == []
    assert (result.decks, result.bad, result.full) == (2, 1, 1)


def test_interrupted_it_finishes_what_it_is_making_and_says_how_to_go_on(tmp_path: Path) -> None:
    generate(tmp_path / "specs", 6, pouch_only=True)
    command = [sys.executable, "-m", "cardgen", "fleet", "draft", str(tmp_path / "specs"), "--jobs", "1"]
    command += ["--out", str(tmp_path / "out"), *TODAY]
    with subprocess.Popen(
        command,
        cwd=TREE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        bufsize=1,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
        start_new_session=True,
    ) as running:
        assert running.stdout is not None
        assert "drafted" in running.stdout.readline()
        # As a terminal does it: every process of the group is interrupted.
        os.killpg(running.pid, signal.SIGINT)
        out, err = running.communicate(timeout=60)
    assert running.returncode == 130
    assert err.strip() == "Interrupted. What is made is whole; the same command takes up the rest."
    made = len(list((tmp_path / "out").glob("*-draft")))
    assert 1 <= made < 6
    assert f"{6 - made:>6}  left" in out
    assert not list((tmp_path / "out").glob(".*.part"))


def test_a_bar_is_drawn_on_a_terminal_and_stays_on_its_line(tmp_path: Path) -> None:
    generate(tmp_path, 3)
    ours, theirs = pty.openpty()
    try:
        command = [sys.executable, "-m", "cardgen", "fleet", "check", str(tmp_path), *TODAY]
        environment = {**os.environ, "TERM": "xterm", "COLUMNS": "80", "NO_COLOR": "1"}
        running = subprocess.run(
            command, cwd=TREE, env=environment, stdout=subprocess.PIPE, stderr=theirs, text=True, check=False
        )
        time.sleep(0.1)
        shown = os.read(ours, 65536).decode()
    finally:
        os.close(ours)
        os.close(theirs)
    assert running.returncode == 0
    assert "3/3" in shown
    assert all(len(part.replace("\x1b[?25l", "").replace("\x1b[K", "")) <= 80 for part in shown.split("\r"))
    # With a bar to look at, standard output holds the sum alone.
    assert "nothing stands against cards (" not in running.stdout
    assert "     3  specifications" in running.stdout.splitlines()
