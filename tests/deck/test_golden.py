"""The words of every card as last reviewed; a change of them is seen in a diff, never in silence."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.deck.golden import FOLDER, texts, write


def test_every_card_has_a_reviewed_text_and_no_text_is_left_over() -> None:
    assert {path.stem for path in FOLDER.glob("*.txt")} == set(texts())


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.txt")), ids=lambda path: path.stem)
def test_a_card_reads_as_reviewed(path: Path) -> None:
    assert texts()[path.stem].splitlines() == path.read_text(encoding="utf-8").splitlines()


def test_the_texts_are_not_rewritten_where_ci_is_set(tmp_path: Path) -> None:
    assert write({"CI": "true"}, tmp_path / "golden") == 1
    assert not (tmp_path / "golden").exists()


def test_the_command_writes_what_is_compared(tmp_path: Path) -> None:
    assert write({}, tmp_path / "golden") == 0
    assert {path.stem: path.read_text(encoding="utf-8") for path in (tmp_path / "golden").iterdir()} == texts()
