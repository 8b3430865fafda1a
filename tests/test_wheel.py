"""The wheel carries everything the command needs, and works away from the source tree."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

TREE = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel with the build tool that is installed here; nothing is fetched."""
    folder = tmp_path_factory.mktemp("wheel")
    pip("wheel", "--no-deps", "--no-build-isolation", "--no-index", "--wheel-dir", str(folder), str(TREE))
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel into a folder of its own."""
    folder = tmp_path_factory.mktemp("installed")
    pip("install", "--no-deps", "--no-index", "--target", str(folder), str(wheel))
    return folder


def pip(*arguments: str) -> None:
    """Run pip without a network."""
    command = [sys.executable, "-m", "pip", "--disable-pip-version-check", *arguments]
    done = subprocess.run(command, capture_output=True, text=True, timeout=240, check=False)
    assert done.returncode == 0, done.stderr


def script(installed: Path, *arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run the installed console script from a folder that holds no source."""
    return subprocess.run(
        [sys.executable, str(installed / "bin" / "cardgen"), *arguments],
        cwd=cwd,
        env={"PYTHONPATH": str(installed), "PATH": ""},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def test_the_layouts_travel_in_the_wheel(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        inside = {
            name.removeprefix("cardgen/") for name in packed.namelist() if name.startswith("cardgen/layouts/")
        }
    beside = {
        path.relative_to(TREE).as_posix()
        for path in (TREE / "layouts").rglob("*")
        if path.is_file() and not path.name.startswith(".")
    }
    assert len(beside) > 5
    assert inside == beside


def test_the_wheel_holds_no_tests_and_no_samples(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        tops = {name.partition("/")[0] for name in packed.namelist()}
    assert {top for top in tops if not top.startswith("cardgen")} == set()


def test_the_console_script_makes_a_deck_from_another_folder(installed: Path, tmp_path: Path) -> None:
    spec = TREE / "sample_inputs" / "ft-7400.toml"
    one = ("--edition", "pouch", "--card", "track")
    ran = script(installed, "draft", str(spec), "--out", "out", *one, "--today", "2026-11-25", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    assert (tmp_path / "out" / "pouch.pdf").read_bytes().startswith(b"%PDF-")


def test_the_installed_code_is_the_one_that_ran(installed: Path, tmp_path: Path) -> None:
    where = subprocess.run(
        [
            sys.executable,
            "-c",
            "import cardgen, cardgen.layouts_root as l; print(cardgen.__file__, l.layouts_root())",
        ],
        cwd=tmp_path,
        env={"PYTHONPATH": str(installed)},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    ).stdout.split()
    assert all(Path(each).is_relative_to(installed) for each in where)


def test_the_script_can_start_a_specification(installed: Path, tmp_path: Path) -> None:
    assert script(installed, "init", "mine.toml", cwd=tmp_path).returncode == 0
    assert "schema = 2" in (tmp_path / "mine.toml").read_text("utf-8")
