"""Compiled templates that are kept between runs: quicker where they can be, never wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from jinja2 import DictLoader, Environment

from cardgen.template_cache import KeptTemplates, kept_templates
from tests.full_disk import full_disk

_WORDS = {"card": "Torque the straps, {{ who }}."}
_SAID = "Torque the straps, root first."


def _compiles(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note the name of every template that is compiled from now on."""
    noted: list[str] = []
    generate = Environment._generate

    def note(
        self: Environment, source: object, name: str, filename: str, *more: object, **named: object
    ) -> str:
        noted.append(name)
        return generate(self, source, name, filename, *more, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Environment, "_generate", note)
    return noted


def _said(folder: Path, words: dict[str, str]) -> str:
    environment = Environment(loader=DictLoader(words), bytecode_cache=KeptTemplates(folder), autoescape=True)
    return environment.get_template("card").render(who="root first")


def _kept(folder: Path) -> Path:
    (file,) = folder.iterdir()
    return file


def test_a_template_is_compiled_once_for_many_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    noted = _compiles(monkeypatch)
    assert [_said(tmp_path / "kept", _WORDS) for _ in range(3)] == [_SAID] * 3
    assert noted == ["card"]


def test_changed_words_are_compiled_again(tmp_path: Path) -> None:
    _said(tmp_path, _WORDS)
    assert _said(tmp_path, {"card": "Loosen nothing, {{ who }}."}) == "Loosen nothing, root first."
    assert _said(tmp_path, _WORDS) == _SAID


@pytest.mark.parametrize("at", [0, 31, 32, 60, 200, -1])
def test_a_flipped_bit_is_noticed_and_the_template_compiled_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    _said(tmp_path, _WORDS)
    content = bytearray(_kept(tmp_path).read_bytes())
    content[at] ^= 1
    _kept(tmp_path).write_bytes(content)
    noted = _compiles(monkeypatch)
    assert _said(tmp_path, _WORDS) == _SAID
    assert noted == ["card"]


@pytest.mark.parametrize("length", [0, 10, 32, 100])
def test_a_file_cut_short_is_noticed(tmp_path: Path, length: int) -> None:
    _said(tmp_path, _WORDS)
    _kept(tmp_path).write_bytes(_kept(tmp_path).read_bytes()[:length])
    assert _said(tmp_path, _WORDS) == _SAID


def test_another_version_of_the_program_takes_nothing_from_this_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _said(tmp_path, _WORDS)
    monkeypatch.setattr("cardgen.template_cache.__version__", "another")
    noted = _compiles(monkeypatch)
    assert _said(tmp_path, _WORDS) == _SAID
    assert noted == ["card"]


def test_a_folder_that_cannot_be_made_costs_only_time(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file, where the folder would be")
    assert _said(tmp_path / "taken", _WORDS) == _SAID
    assert [each.name for each in tmp_path.iterdir()] == ["taken"]


def test_a_disk_that_fills_up_leaves_no_half_of_a_template(tmp_path: Path) -> None:
    with full_disk(40):
        assert _said(tmp_path, _WORDS) == _SAID
    assert not list(tmp_path.iterdir())


def test_the_folder_is_the_users_own_and_only_theirs(tmp_path: Path) -> None:
    kept = kept_templates({"XDG_CACHE_HOME": str(tmp_path / "named"), "HOME": str(tmp_path)})
    assert kept is not None
    Environment(loader=DictLoader(_WORDS), bytecode_cache=kept).get_template("card")
    assert (tmp_path / "named" / "cardgen").stat().st_mode & 0o077 == 0


def test_a_relative_cache_folder_counts_as_unset(tmp_path: Path) -> None:
    kept = kept_templates({"XDG_CACHE_HOME": "here", "HOME": str(tmp_path)})
    assert kept is not None
    Environment(loader=DictLoader(_WORDS), bytecode_cache=kept).get_template("card")
    assert (tmp_path / ".cache" / "cardgen").is_dir()


@pytest.mark.parametrize("environment", [{}, {"HOME": ""}, {"HOME": "somewhere"}])
def test_who_has_no_folder_keeps_nothing(environment: dict[str, str]) -> None:
    assert kept_templates(environment) is None
