"""The command as a whole: help, version, mistyped words, exit codes, completion."""

from __future__ import annotations

import subprocess
import sys
from importlib import import_module
from pathlib import Path

import click
import pytest

import cardgen as package
from cardgen.cli.app import ENTRIES, WITHIN
from cardgen.cli.exits import MEANINGS, Exit
from tests.cli.running import METRIC, TODAY, TREE, cardgen


def test_help_comes_long_and_short() -> None:
    long, short = cardgen("--help"), cardgen("-h")
    assert long.code == short.code == 0
    assert long.out == short.out
    assert long.err == ""


def test_help_names_every_command() -> None:
    page = cardgen("--help").out
    assert all(f"\n  {name} " in page for name in ENTRIES)


def test_help_shows_a_first_deck_line_by_line() -> None:
    page = cardgen("--help").out
    assert "\n  A first deck:\n    cardgen init rotor.toml\n    cardgen check rotor.toml\n" in page
    assert "\\b" not in page


def test_the_version_is_the_one_of_the_package() -> None:
    assert cardgen("--version").out == f"cardgen {package.__version__}\n"


@pytest.mark.parametrize("name", ENTRIES)
def test_the_help_line_of_a_command_is_the_first_line_of_its_own_help(name: str) -> None:
    command = import_module(ENTRIES[name].module).command
    assert isinstance(command, click.Command)
    assert command.name == name
    assert command.help is not None
    assert command.help.splitlines()[0] == ENTRIES[name].help


@pytest.mark.parametrize("name", ENTRIES)
def test_every_command_has_a_help_page(name: str) -> None:
    ran = cardgen(name, "--help")
    assert ran.code == 0
    assert ran.out.startswith(f"Usage: cardgen {name}")


@pytest.mark.parametrize(("typed", "meant"), [("chek", "check"), ("tabel", "table"), ("explian", "explain")])
def test_a_mistyped_command_is_answered_with_the_one_meant(typed: str, meant: str) -> None:
    ran = cardgen(typed)
    assert ran.code == 2
    assert f'Did you mean "{meant}"?' in ran.err
    assert ran.out == ""


@pytest.mark.parametrize("group", WITHIN)
def test_a_command_of_a_group_is_named_where_it_is_asked_for_without_it(group: str) -> None:
    command = import_module(ENTRIES[group].module).command
    assert isinstance(command, click.Group)
    for name in WITHIN[group]:
        assert name in command.commands
        assert name not in ENTRIES
    name = WITHIN[group][-2]
    assert f'Did you mean "{group} {name}"?' in cardgen(name).err


def test_a_word_like_no_command_gets_no_guess() -> None:
    assert "Did you mean" not in cardgen("xyzzy").err


@pytest.mark.parametrize(
    "arguments",
    [
        ("check",),
        ("check", METRIC, "--nonsense"),
        ("draft", METRIC),
        ("draft", METRIC, "--text", "--out", "x"),
        ("draft", METRIC, "--text", "--edition", "wall"),
        ("draft", METRIC, "--out", "x", "--edition", "poster"),
        ("table", METRIC, "--json", "--csv"),
        ("table", METRIC, "--today", "25.11.2026"),
        ("table", METRIC, "--today", "20261125"),
        ("table", METRIC, "--today", "2026-W48-3"),
        ("init", "x.toml", "--hub", "hinged"),
        ("explain", METRIC, "track.rate", "more"),
    ],
)
def test_a_command_that_is_not_understood_ends_with_2(arguments: tuple[str, ...], tmp_path: Path) -> None:
    ran = cardgen(*arguments, cwd=tmp_path)
    assert ran.code == 2
    assert ran.out == ""
    assert "Error: " in ran.err
    assert list(tmp_path.iterdir()) == []


def test_the_command_alone_shows_its_help_and_is_no_success() -> None:
    ran = cardgen()
    assert ran.code == 2
    assert "\n  check " in ran.err + ran.out


def test_every_exit_code_has_a_meaning_of_its_own() -> None:
    assert set(MEANINGS) == set(Exit)
    assert len(set(MEANINGS.values())) == len(Exit)


def test_usage_and_interruption_have_the_codes_that_shells_expect() -> None:
    # 2 for usage is what Python's own argument reader and this one's use; 128 + SIGINT by POSIX shells.
    assert int(Exit.USAGE) == 2
    assert int(Exit.INTERRUPTED) == 128 + 2


def test_bash_completes_command_names() -> None:
    words = {"_CARDGEN_COMPLETE": "bash_complete", "COMP_WORDS": "cardgen ex", "COMP_CWORD": "1"}
    completed = cardgen_as_installed(words)
    assert completed.stdout.splitlines() == ["plain,explain"]


def test_bash_completes_options() -> None:
    words = {"_CARDGEN_COMPLETE": "bash_complete", "COMP_WORDS": "cardgen draft --e", "COMP_CWORD": "2"}
    assert "plain,--edition" in cardgen_as_installed(words).stdout.splitlines()


def cardgen_as_installed(environment: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """Run the console script's own function, which is what a shell's completion calls."""
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", "from cardgen.cli import main; main()"],
        cwd=TREE,
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def test_dates_are_reckoned_with_the_given_day() -> None:
    assert cardgen("check", METRIC, *TODAY).code == 0
    late = cardgen("check", METRIC, "--today", "2028-01-01")
    assert late.code == 1
    assert "authority.use_until" in late.err
