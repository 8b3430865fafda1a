"""What pyproject.toml asks for: lower bounds that are tried, upper ones where nothing is promised to stay."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

TREE = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((TREE / "pyproject.toml").read_text("utf-8"))["project"]


def asked() -> dict[str, str]:
    """What the program itself needs, by name, with its bounds."""
    found = (re.fullmatch(r"([\w-]+)(.*)", each) for each in PROJECT["dependencies"])
    return {match[1]: match[2] for match in found if match}


def test_the_lowest_versions_are_those_that_pyproject_allows() -> None:
    script = [sys.executable, str(TREE / ".ci" / "lower-bounds")]
    printed = subprocess.run(script, capture_output=True, text=True, check=True).stdout.splitlines()
    lowest = {name: f">={version}" for name, _, version in (line.partition("==") for line in printed)}
    assert asked().keys() <= lowest.keys()
    assert all(bounds.split(",")[0] == lowest[name] for name, bounds in asked().items())
    # Exact fractions come out of it as floating point in 0.24.0 to 0.24.3.
    assert lowest["pint"] == ">=0.24.4"


@pytest.mark.parametrize(
    ("library", "private"),
    [("reportlab", r"canvas\._(?:doc|code|escape)\b"), ("pypdfium2", r"import pypdfium2\.raw\b")],
)
def test_what_is_used_through_private_members_has_an_upper_bound(library: str, private: str) -> None:
    sources = "\n".join(path.read_text("utf-8") for path in (TREE / "cardgen").rglob("*.py"))
    assert re.search(private, sources)
    assert re.search(r",<\d+$", asked()[library])
