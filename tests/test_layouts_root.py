"""Where the layouts are found."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from cardgen.layouts_root import layouts_root


def test_a_source_tree_has_the_layouts_beside_the_package() -> None:
    root = layouts_root()
    assert root.is_dir()
    assert {folder.name for folder in root.iterdir()} >= {"cards", "words", "editions", "screen"}


def test_an_installed_package_has_the_layouts_inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "layouts").mkdir()
    monkeypatch.setattr("cardgen.layouts_root.files", lambda _: tmp_path)
    assert layouts_root() == tmp_path / "layouts"
    assert Path(str(files("cardgen"))).name == "cardgen"
