"""Copies that are named when a deck is issued: printed, kept, called back; and a deck without any."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pypdfium2
import pytest

from tests.cli.running import METRIC, Ran, cardgen
from tests.editing import without_group
from tests.issuing.decks import read_answer

pytestmark = pytest.mark.usefixtures("few_cards")


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    """The metric sample without a list of copies."""
    path = tmp_path / "rotor.toml"
    path.write_text(without_group(METRIC.read_text("utf-8"), "print"), "utf-8")
    return path


def issue(spec: Path, *copies: str, day: str = "2026-07-01") -> Ran:
    asked = [word for copy in copies for word in ("--copy", copy)]
    where = ("--out", spec.parent / "out", "--register", spec.parent / "club.sqlite", "--today", day)
    who = ("--approved-by", "inspector", "--reason", "first issue")
    return cardgen("issue", spec, *where, *who, *read_answer(spec), *asked)


def text_of(pdf: Path) -> str:
    file = pypdfium2.PdfDocument(pdf)
    text = " ".join(" ".join(page.get_textpage().get_text_range() for page in file).split())
    file.close()
    return text


def test_copies_are_printed_kept_and_called_back_by_the_next_deck(spec: Path) -> None:
    ran = issue(spec, "wall: hangar, north wall", "pouch: seat pocket")
    assert (ran.code, ran.err) == (0, ran.err)
    assert "none can be called back" not in ran.err
    folder = spec.parent / "out" / "FT-7400-r1"
    # A wall sheet says where it hangs; of the others the register alone knows.
    assert "This card hangs: hangar, north wall" in text_of(folder / "wall.pdf")
    # The second reader's sheet holds what stands in the file, and no more.
    assert "seat pocket" not in text_of(folder / "copied.pdf")
    assert "print" not in tomllib.loads(spec.read_text("utf-8"))
    second = issue(spec, "pouch: seat pocket", day="2026-07-02")
    assert second.code == 0, second.err
    assert "wall copy 1 at hangar, north wall" in second.out
    assert "pouch copy 1 at seat pocket" in second.out


def test_a_deck_without_copies_says_that_none_can_be_called_back(spec: Path) -> None:
    ran = issue(spec)
    assert ran.code == 0, ran.err
    assert "No copy is listed, so none can be called back" in ran.err


@pytest.mark.parametrize("copy", ["hangar wall", "roof: hangar", "wall:", "wall: a\x1bb"])
def test_what_is_no_copy_is_no_command(copy: str, spec: Path) -> None:
    ran = issue(spec, copy)
    assert (ran.code, "--copy takes an edition and a place" in ran.err) == (2, True)
    assert not (spec.parent / "out").exists()


def test_a_copy_that_is_listed_already_is_no_command(spec: Path) -> None:
    assert "is listed twice" in issue(spec, "wall: hangar", "wall: hangar").err
