"""``cardgen check``: every problem with its place, in one run, and nothing written."""

from __future__ import annotations

import json
from pathlib import Path

from cardgen.spec.rules import ALL_RULES
from tests.cli.running import INCH, METRIC, TODAY, altered, cardgen


def test_a_clean_file_passes_without_a_word_on_standard_error() -> None:
    ran = cardgen("check", INCH, *TODAY)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(str(INCH))


#: The metric sample with a wrench whose calibration ends before the cards do, which is a warning.
SHORT = ("calibrated_until = 2027-08-31", "calibrated_until = 2027-05-31")


def test_a_warning_is_told_and_stops_nothing(tmp_path: Path) -> None:
    ran = cardgen("check", altered(tmp_path, SHORT, source=METRIC), *TODAY)
    assert ran.code == 0
    assert "wrenches[1].calibrated_until" in ran.err
    assert "No card was made" not in ran.err
    assert "nothing stands against cards" in ran.out


def test_warnings_before_problems_do_not_say_that_nothing_stops(tmp_path: Path) -> None:
    # A set id of two words is refused.
    path = altered(tmp_path, SHORT, ('"FT-7400"', '"FT 7400"'), source=METRIC)
    ran = cardgen("check", path, *TODAY)
    assert ran.code == 1
    assert "nothing stops here" not in ran.err
    assert ran.err.index("this alone would stop nothing") < ran.err.index("rotor.set_id")
    assert ran.err.splitlines()[-1] == "No card was made: 1 problem."


def test_a_problem_names_place_reading_reason_and_remedy(tmp_path: Path) -> None:
    path = altered(tmp_path, ('normal_speed = "335 rpm"', 'normal_speed = "335"'))
    line = path.read_text("utf-8").splitlines().index('normal_speed = "335"') + 1
    ran = cardgen("check", path, *TODAY)
    assert ran.code == 1
    head, read, why, *rest = ran.err.splitlines()
    assert head.startswith(f"{path}:{line}:1  rotor.normal_speed  [")
    assert read == '  read:  "335"'
    assert why.startswith("  why:   ")
    assert '  write: "335 rpm"' in rest


def test_problems_of_all_groups_and_files_come_in_one_run(tmp_path: Path) -> None:
    path = altered(
        tmp_path,
        ('hub_serial   = "HB-306-14"', 'hub_serail = "HB-306-14"'),
        ('chord         = "8+1/2 in"', 'chord = "8,5 in"'),
        ('rule = "35 thou/in" }', 'rule = "35 mil/in" }'),
    )
    ran = cardgen("check", path, tmp_path / "missing.toml", METRIC, *TODAY)
    for key in ("rotor.hub_serail", "blades.chord", "track.points[1].rule", "missing.toml"):
        assert key in ran.err
    assert str(METRIC) in ran.out


def test_problems_stand_in_file_order_and_the_last_line_says_that_no_card_was_made(tmp_path: Path) -> None:
    path = altered(
        tmp_path,
        ('chord         = "8+1/2 in"', 'chord = "8,5 in"'),
        ('"HB-306-14"', '""'),
        ('"MAKER-1 p.28"', '""'),
    )
    ran = cardgen("check", path, *TODAY)
    heads = [line for line in ran.err.splitlines() if line.startswith(str(path))]
    lines = [int(head.split(":")[1]) for head in heads]
    assert lines == sorted(lines)
    assert ran.err.splitlines()[-1] == f"No card was made: {len(heads)} problems."


def test_a_slip_that_hides_the_rest_of_a_file_is_said_to_do_so(tmp_path: Path) -> None:
    path = altered(tmp_path, ('"HB-306-14"', "HB-306-14"), ('chord         = "8+1/2 in"', 'chord = "8,5 in"'))
    ran = cardgen("check", path, *TODAY)
    last = ran.err.splitlines()[-1]
    assert last.startswith("No card was made: 1 problem. The rest of the file could not be read yet;")


def test_a_file_that_cannot_be_read_is_trouble_and_not_a_refusal(tmp_path: Path) -> None:
    assert cardgen("check", tmp_path / "missing.toml").code == 3
    assert cardgen("check", tmp_path).code == 3
    assert cardgen("check", tmp_path / "missing.toml", INCH, *TODAY).code == 3


def test_json_has_the_promised_shape(tmp_path: Path) -> None:
    path = altered(tmp_path, ('"HB-306-14"', '"HB\\u202e306"'))
    ran = cardgen("check", path, INCH, "--json", *TODAY)
    assert (ran.code, ran.err) == (1, "")
    told = json.loads(ran.out)
    assert set(told) == {"ok", "problems", "warnings"}
    assert told["ok"] is False
    (problem,) = told["problems"]
    assert set(problem) == {"file", "line", "column", "key", "rule", "read", "why", "write"}
    assert problem["key"] == "rotor.hub_serial"
    assert problem["line"] > 0


def test_json_of_a_clean_file_says_so() -> None:
    told = json.loads(cardgen("check", METRIC, "--json", *TODAY).out)
    assert told["ok"] is True
    assert told["problems"] == []


def test_what_was_typed_cannot_steer_the_terminal(tmp_path: Path) -> None:
    path = altered(tmp_path, ('"HB-306-14"', '"\\u001b[2JHB"'))
    ran = cardgen("check", path, *TODAY)
    assert ran.code == 1
    assert "\x1b" not in ran.err + ran.out


def test_a_folder_is_answered_with_the_command_for_folders(tmp_path: Path) -> None:
    folder = tmp_path / "our rotors"
    folder.mkdir()
    ran = cardgen("check", folder, environment={"COLUMNS": "100"})
    assert ran.code == 3
    assert f"cardgen fleet check '{folder}'" in " ".join(ran.err.split())


def test_rules_are_listed_with_their_meaning() -> None:
    ran = cardgen("check", "--rules")
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert [line for line in lines if not line.startswith(" ")] == list(ALL_RULES)
    listed = json.loads(cardgen("check", "--rules", "--json").out)
    assert {each["id"]: each["meaning"] for each in listed} == dict(ALL_RULES)
