"""Problems on a terminal: wrapped to its width, coloured only where that is wanted."""

from __future__ import annotations

import io
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from cardgen.cli.report import colour_wanted, printable, problem_text
from cardgen.spec.problem import Problem
from tests.cli.running import TODAY, TREE, altered

PROBLEM = Problem(
    "rotor.toml", 41, 3, "fasteners[3].torque_max", "quantity-unit-missing", '"190"', "why " * 30, "write " * 20
)


@pytest.mark.parametrize("columns", [40, 72, 100])
def test_no_line_is_wider_than_the_terminal(columns: int) -> None:
    lines = problem_text(PROBLEM, columns).splitlines()
    assert max(map(len, lines[1:])) <= columns
    assert lines[0] == "rotor.toml:41:3  fasteners[3].torque_max  [quantity-unit-missing]"


def test_wrapped_lines_hang_below_their_first_word() -> None:
    why = [line for line in problem_text(PROBLEM, 40).splitlines() if "why " in line]
    assert why[0].startswith("  why:   why")
    assert all(line.startswith("         why") for line in why[1:])


@pytest.mark.parametrize("columns", range(40, 101))
def test_a_number_keeps_its_unit_on_its_line(columns: int) -> None:
    kept = ("190 in·lbf", "23 ft + 0 in", "5+1/16 in", "0.03 mm/mm", "20 °C", '"one red dot"')
    said = Problem("r", 1, 1, "k", "x", "", " or ".join(kept * 3), " and so ".join(kept * 3))
    lines = problem_text(said, columns).splitlines()
    assert max(map(len, lines[1:])) <= columns
    assert all(sum(line.count(each) for line in lines) == 6 for each in kept)
    assert " ".join(line.strip() for line in lines[1:]) == (f"why:   {said.why} write: {said.write}")


def test_a_long_quotation_is_wrapped_all_the_same() -> None:
    said = Problem("r", 1, 1, "k", "x", "", '"' + "word " * 40 + '"', "write")
    assert max(map(len, problem_text(said, 40).splitlines())) <= 40


def test_a_problem_with_the_whole_file_has_no_line_number() -> None:
    whole = Problem("rotor.toml", 0, 0, "", "toml-bom", "", "why", "write")
    assert problem_text(whole, 72).splitlines()[0] == "rotor.toml  [toml-bom]"


def test_characters_that_steer_a_terminal_are_shown_by_code() -> None:
    assert printable("a\x1b[31m\u202eb\n") == "a\\x1b[31m\\u202eb\\n"
    assert printable("190 in·lbf, 5°") == "190 in·lbf, 5°"


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("environment", "wanted"),
    [
        ({"TERM": "xterm"}, True),
        ({"TERM": "xterm", "NO_COLOR": "1"}, False),
        ({"TERM": "xterm", "NO_COLOR": ""}, True),  # no-color.org: only a non-empty value counts
        ({"TERM": "dumb"}, False),
    ],
)
def test_colour_is_asked_for_by_a_terminal_and_refused_by_its_owner(
    environment: dict[str, str], wanted: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert colour_wanted(Terminal()) is wanted
    assert colour_wanted(io.StringIO()) is False


@pytest.mark.parametrize(("environment", "coloured"), [({}, True), ({"NO_COLOR": "1"}, False)])
def test_a_real_terminal_sees_colour_only_without_no_color(
    environment: dict[str, str], coloured: bool, tmp_path: Path
) -> None:
    path = altered(tmp_path, ('"HB-306-14"', '""'))
    shown = on_a_terminal(["check", str(path), *TODAY], environment)
    assert ("\x1b[" in shown) is coloured
    assert "rotor.hub_serial" in shown


def on_a_terminal(arguments: list[str], environment: dict[str, str]) -> str:
    """Run the command with standard error at a pseudo-terminal, and give what it showed."""
    ours, theirs = pty.openpty()
    inherited = {name: value for name, value in os.environ.items() if name != "NO_COLOR"}
    subprocess.run(
        [sys.executable, "-m", "cardgen", *arguments],
        cwd=TREE,
        env={**inherited, "TERM": "xterm", **environment},
        stderr=theirs,
        stdout=subprocess.DEVNULL,
        stdin=subprocess.DEVNULL,
        timeout=60,
        check=False,
    )
    os.close(theirs)
    shown = b""
    try:
        while block := os.read(ours, 4096):
            shown += block
    except OSError:
        pass
    os.close(ours)
    return shown.decode("utf-8", "replace")
