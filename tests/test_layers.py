"""Imports point down only, and asking for help loads nothing heavy."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from importlinter.application.use_cases import read_user_options
from importlinter.cli import lint_imports

TREE = Path(__file__).resolve().parents[1]
HEAVY = {
    "flask",
    "waitress",
    "tomlkit",
    "pydantic",
    "pint",
    "reportlab",
    "jinja2",
    "pypdfium2",
    "pypdf",
    "qrcode",
    "tree_sitter",
    "sqlite3",
}


def test_imports_go_down_only(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(TREE)
    assert lint_imports(config_filename="pyproject.toml", no_cache=True) == 0


def test_both_layer_contracts_are_there_to_be_kept() -> None:
    contracts = read_user_options(str(TREE / "pyproject.toml")).contracts_options
    assert {contract["type"] for contract in contracts} >= {"layers", "forbidden"}


@pytest.mark.parametrize(
    "arguments",
    [["--help"], ["--version"], ["chekc"], ["check", "--help"], ["draft", "--help"], ["desk", "--help"]],
)
def test_help_version_and_a_mistyped_word_load_nothing_heavy(arguments: list[str]) -> None:
    script = (
        "import sys; from cardgen.cli.errors import run; run(sys.argv[1:]);"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}), file=sys.stderr)"
    )
    told = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=TREE,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    ).stderr
    loaded = set(told.splitlines()[-1].split())
    assert "click" in loaded
    assert loaded & HEAVY == set()


def test_a_clean_check_reads_no_syntax_tree_and_prints_nothing() -> None:
    script = (
        "import sys; from cardgen.cli.errors import run; run(sys.argv[1:]);"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}), file=sys.stderr)"
    )
    told = subprocess.run(
        [sys.executable, "-c", script, "check", "sample_inputs/nr-0306.toml", "--today", "2026-11-25"],
        cwd=TREE,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    ).stderr
    loaded = set(told.splitlines()[-1].split())
    assert "pydantic" in loaded
    assert loaded & (HEAVY - {"pydantic", "pint"}) == set()
