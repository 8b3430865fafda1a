"""What the README and the contributor's guide say is what the program does."""

from __future__ import annotations

import os
import re
import subprocess
from importlib import import_module
from pathlib import Path

import click
import pytest

from cardgen.cli.app import ENTRIES
from cardgen.cli.exits import MEANINGS
from cardgen.desk.app import PLACES
from tests.cli.running import INCH, TODAY, cardgen
from tests.issuing.quick import few_cards

TREE = Path(__file__).resolve().parents[1]
README = (TREE / "README.md").read_text("utf-8")
GUIDE = (TREE / "DEVELOPERS.md").read_text("utf-8")


def shell_commands(text: str) -> list[str]:
    """Give the lines of every block of shell commands."""
    blocks = re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
    return [line for block in blocks for line in block.splitlines()]


def test_the_readme_has_three_commands_a_deck_the_tests_and_the_desk() -> None:
    deck, tests, desk = shell_commands(README)
    assert deck.endswith("cardgen draft sample_inputs/nr-0306.toml --out out/")
    assert tests == ".ci/tests"
    # Each of them is enough on a machine that has nothing yet but Python and this tree.
    installs = "python3 -m venv .venv && .venv/bin/pip install . && "
    assert deck.startswith(installs) and desk.startswith(installs)
    assert desk.removeprefix(installs) == "mkdir -p ~/hangar && .venv/bin/cardgen desk ~/hangar"


def test_the_readme_shows_the_desk_before_the_file_and_the_commands() -> None:
    titles = re.findall(r"^## (.+)$", README, re.MULTILINE)
    assert titles.index("The desk") < titles.index("The specification") < titles.index("Commands")
    (desk,) = re.findall(r"^## The desk\n(.*?)^## ", README, re.MULTILINE | re.DOTALL)
    named = re.findall(r"^- \*\*(.+?)\*\*", desk, re.MULTILINE)
    assert set(named) <= {place.title for place in PLACES}
    assert {place.title for place in PLACES} - set(named) == {"New rotor", "This rotor"}


def test_the_readme_s_test_command_is_the_one_that_ci_runs() -> None:
    tests = shell_commands(README)[1]
    run = (TREE / ".ci" / "run").read_text("utf-8").splitlines()
    assert any(line.startswith("step ") and line.split()[-1] == tests for line in run)
    assert "pytest -n auto" in (TREE / ".ci" / "tests").read_text("utf-8")


@pytest.mark.parametrize("name", ["run", "tests", "prepare"])
def test_the_scripts_can_be_run_and_read(name: str) -> None:
    path = TREE / ".ci" / name
    assert os.access(path, os.X_OK)
    subprocess.run(["bash", "-n", path], check=True, timeout=30)


def test_the_readme_s_deck_command_makes_a_deck(tmp_path: Path) -> None:
    words = shell_commands(README)[0].rpartition("/cardgen ")[2].split()
    with few_cards():
        ran = cardgen(
            *[str(TREE / word) if "sample_inputs" in word else word for word in words], *TODAY, cwd=tmp_path
        )
    assert ran.code == 0, ran.err
    listed = set(re.findall(r"^\| `([a-z0-9-]+\.[a-z]+)` \|", README, re.MULTILINE))
    assert {path.name for path in (tmp_path / "out").iterdir()} == listed


def test_every_command_is_in_the_readme_and_nothing_else_is() -> None:
    told = set(re.findall(r"^\| `cardgen ([a-z]+)", README, re.MULTILINE))
    assert told == set(ENTRIES)


def test_every_exit_code_is_in_the_readme_with_its_meaning() -> None:
    told = {int(code): meaning for code, meaning in re.findall(r"^\| (\d+) \| (.+) \|$", README, re.MULTILINE)}
    assert told == {code.value: meaning for code, meaning in MEANINGS.items()}


def help_pages(name: str) -> str:
    """Give the help of a command, and of those that stand below it."""
    command = import_module(ENTRIES[name].module).command
    below = command.commands if isinstance(command, click.Group) else ()
    return "".join(cardgen(name, *each, "--help").out for each in [(), *((sub,) for sub in below)])


def test_every_option_named_in_the_readme_exists() -> None:
    for name, does in re.findall(r"^\| `cardgen ([a-z]+)[^|]*\|(.*)\|$", README, re.MULTILINE):
        page = help_pages(name)
        for option in re.findall(r"--[a-z-]+", does):
            assert option in page, f"{name} has no {option}"


def test_the_excerpt_of_a_specification_is_the_sample_s_own() -> None:
    (excerpt,) = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    sample = [re.sub(r"\s+#.*", "", line) for line in INCH.read_text("utf-8").splitlines()]
    assert "\n".join(sample).count(excerpt.strip()) == 1


def test_the_refusal_shown_is_the_refusal_given(tmp_path: Path) -> None:
    # Only the first of the four strap bolts loses its unit.
    text = INCH.read_text("utf-8").replace('torque_min   = "175 in·lbf"', 'torque_min   = "175"', 1)
    (tmp_path / "rotor.toml").write_text(text, "utf-8")
    ran = cardgen("check", "rotor.toml", *TODAY, cwd=tmp_path, environment={"COLUMNS": "100"})
    (shown,) = re.findall(r"```text\n(.*?)```", README, re.DOTALL)
    assert ran.err == shown


@pytest.mark.parametrize("text", [README, GUIDE], ids=["README", "DEVELOPERS"])
def test_every_file_it_names_is_there(text: str) -> None:
    named = re.findall(r"`((?:cardgen|layouts|sample_inputs|tests|\.ci)/[\w./-]+)`", text)
    named += re.findall(r"\]\(([\w./-]+)\)", text)
    assert named
    assert [path for path in named if not (TREE / path).exists()] == []


def test_the_top_level_holds_only_what_the_guide_draws() -> None:
    kept = {"README.md", "DEVELOPERS.md", "pyproject.toml", "cardgen", "layouts", "tests", "sample_inputs"}
    made = {"out", "build", "dist"}  # left out of version control
    assert {path.name for path in TREE.iterdir() if not path.name.startswith(".")} - made == kept
