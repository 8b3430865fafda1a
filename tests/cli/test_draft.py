"""``cardgen draft``: the cards, proved before they are written, and never half of them."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.cli import errors
from cardgen.press import publish as press
from cardgen.press.marks import Side, TextMark
from tests.cli.running import INCH, METRIC, TODAY, TREE, altered, cardgen, cardgen_apart

PDFS = ("wall.pdf", "wall-halves.pdf", "pouch.pdf", "pouch-2up.pdf", "handout.pdf")
#: All that a blank back may say: it is no side of a card.
BLANK = {"no print on this side", "print on both sides at full size, flip on the long edge"}


@pytest.fixture(scope="module")
def drafted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A whole draft of the inch sample, as a keeper makes it."""
    folder = tmp_path_factory.mktemp("drafted") / "out"
    ran = cardgen_apart("draft", INCH, "--out", folder, *TODAY)
    assert ran.code == 0, ran.err
    assert ran.out.splitlines() == [str(folder / name) for name in names(folder, ran.out)]
    assert "NOT ISSUED" in ran.err
    return folder


def names(folder: Path, said: str) -> list[str]:
    """Give the files a draft says it wrote, which must be the files that are there."""
    told = [Path(line).name for line in said.splitlines()]
    assert sorted(told) == sorted(path.name for path in folder.iterdir())
    return told


def test_a_draft_is_every_edition_and_the_twins(drafted: Path) -> None:
    assert {path.name for path in drafted.iterdir()} >= {*PDFS, "cards.html", "cards.txt", "deck.json"}


@pytest.mark.parametrize("name", PDFS)
def test_each_pdf_is_sound_by_another_program_s_reading(name: str, drafted: Path) -> None:
    subprocess.run(["qpdf", "--check", drafted / name], check=True, capture_output=True, timeout=60)


@pytest.mark.parametrize("name", PDFS)
def test_every_page_says_draft_and_its_diameter(name: str, drafted: Path) -> None:
    for page in printed(drafted / name):
        assert "DRAFT" in page
        assert "25 ft 6 in" in page


def pages(pdf: Path) -> Iterator[str]:
    """Read each page's text with Poppler."""
    told = subprocess.run(
        ["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True, encoding="utf-8", timeout=60
    ).stdout
    read = told.split("\f")[:-1]
    assert read
    yield from read


def printed(pdf: Path) -> list[str]:
    """Leave away the pages that say no more than that they are blank backs."""
    sides = [page for page in pages(pdf) if not set(re.split(r"\s*\n\s*|\s{3,}", page.strip())) <= BLANK]
    assert sides
    return sides


@pytest.mark.usefixtures("few_cards")
def test_only_the_named_editions_are_made(tmp_path: Path) -> None:
    ran = cardgen("draft", METRIC, "--out", tmp_path, "--edition", "handout", "--edition", "wall", *TODAY)
    assert ran.code == 0, ran.err
    made = {path.name for path in tmp_path.iterdir() if path.suffix == ".pdf"}
    assert made == {"handout.pdf", "wall.pdf", "wall-halves.pdf", "copied.pdf"}


def test_only_the_named_card_is_made(tmp_path: Path) -> None:
    ran = cardgen("draft", METRIC, "--out", tmp_path, "--edition", "pouch", "--card", "track", *TODAY)
    assert ran.code == 0, ran.err
    assert all("Track" in page for page in printed(tmp_path / "pouch.pdf"))


def test_cards_made_by_themselves_are_the_same_pages_as_in_the_deck(drafted: Path, tmp_path: Path) -> None:
    some = ["--card", "track", "--card", "torque"]
    ran = cardgen("draft", INCH, "--out", tmp_path, "--edition", "pouch", *some, *TODAY)
    assert ran.code == 0, ran.err
    alone = [page.split() for page in printed(tmp_path / "pouch.pdf")]
    whole = [page.split() for page in printed(drafted / "pouch.pdf")]
    assert 4 <= len(alone) < len(whole)
    # In the order of work, each with its own number: "card 3 of 16".
    assert alone == [page for page in whole if page in alone]
    text = cardgen("draft", METRIC, "--text", *some, *TODAY).out
    assert text.index("CARD 5 of 14   TORQUE   Bench") < text.index("CARD 10 of 14   TRACK   Turning")


def test_an_unknown_card_is_answered_with_those_there_are(tmp_path: Path) -> None:
    ran = cardgen("draft", METRIC, "--out", tmp_path, "--card", "trakc", *TODAY)
    assert ran.code == 2
    assert "torque" in ran.err
    assert "track" in ran.err
    assert list(tmp_path.iterdir()) == []


def test_text_is_printed_and_nothing_is_written(tmp_path: Path) -> None:
    ran = cardgen("draft", INCH, "--text", *TODAY, cwd=tmp_path)
    assert ran.code == 0
    assert "25 ft 6 in" in ran.out
    assert "35.0" in ran.out
    assert list(tmp_path.iterdir()) == []


def test_the_same_specification_gives_the_same_bytes_anywhere(drafted: Path, tmp_path: Path) -> None:
    elsewhere = {"PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland", "LC_ALL": "C", "HOME": str(tmp_path)}
    # The handout has every card; the other editions are made by the same code.
    one = ("--edition", "handout", "--out", tmp_path / "out")
    ran = cardgen_apart("draft", INCH, *one, *TODAY, environment=elsewhere, cwd=tmp_path)
    assert ran.code == 0, ran.err
    made = names(tmp_path / "out", ran.out)
    assert {"handout.pdf", "copied.pdf", "cards.html", "cards.txt", "deck.json", "log-entry.html"} == {*made}
    for name in made:
        if name != "deck.json":
            assert (tmp_path / "out" / name).read_bytes() == (drafted / name).read_bytes(), name
    # The description names the files beside it; of these there are fewer.
    some, whole = (json.loads((each / "deck.json").read_bytes()) for each in (tmp_path / "out", drafted))
    assert some.pop("files").items() < whole.pop("files").items()
    assert some == whole


def test_a_refused_specification_writes_nothing(tmp_path: Path) -> None:
    path = altered(tmp_path, ('"335 rpm"', '"335"'))
    ran = cardgen("draft", path, "--out", tmp_path / "out", *TODAY)
    assert (ran.code, ran.out) == (1, "")
    assert not (tmp_path / "out").exists()


@pytest.mark.usefixtures("few_cards")
def test_numbers_that_do_not_fit_are_named_and_nothing_is_written(tmp_path: Path) -> None:
    """A scale with marks every sixty-fourth of an inch-pound gives numbers of six decimals."""
    path = altered(tmp_path, ('graduation = "2 in·lbf"', 'graduation = "0.015625 in·lbf"'))
    ran = cardgen("draft", path, "--out", tmp_path / "out", "--edition", "pouch", *TODAY)
    assert ran.code == 1
    assert "does not fit" in ran.err
    assert 'card torque, table "What the wrench shows"' in ran.err
    assert not (tmp_path / "out").exists()


@pytest.mark.usefixtures("few_cards")
def test_a_file_where_the_folder_should_be_is_trouble(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("in the way", "utf-8")
    ran = cardgen("draft", METRIC, "--out", tmp_path / "out", "--edition", "handout", *TODAY)
    assert ran.code == 3
    assert "cannot take the files: it is a file itself" in ran.err
    assert (tmp_path / "out").read_text("utf-8") == "in the way"


@pytest.mark.usefixtures("few_cards")
def test_a_folder_in_the_place_of_one_card_leaves_all_of_an_earlier_draft(tmp_path: Path) -> None:
    some = ("draft", METRIC, "--out", tmp_path, *TODAY)
    assert cardgen(*some, "--edition", "handout").code == 0
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    (tmp_path / "pouch.pdf").mkdir()
    ran = cardgen(*some, "--edition", "pouch")
    assert (ran.code, ran.out) == (3, "")
    assert "a folder has the name pouch.pdf. No card was made." in ran.err
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()} == before


@pytest.mark.usefixtures("few_cards")
def test_an_issued_deck_is_never_drafted_over(drafted: Path, tmp_path: Path) -> None:
    folder = tmp_path / "issued"
    shutil.copytree(drafted, folder)
    told = json.loads((folder / "deck.json").read_text("utf-8"))
    (folder / "deck.json").write_text(json.dumps(told | {"draft": False}), "utf-8")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    ran = cardgen("draft", METRIC, "--out", folder, "--edition", "handout", *TODAY)
    assert ran.code == 3
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


@pytest.mark.usefixtures("few_cards")
def test_a_draft_leaves_nothing_of_another_rotor_or_edition_beside_its_own(tmp_path: Path) -> None:
    assert cardgen("draft", METRIC, "--out", tmp_path, "--edition", "wall", *TODAY).code == 0
    (tmp_path / "notes.txt").write_text("mine", "utf-8")
    ran = cardgen("draft", INCH, "--out", tmp_path, "--edition", "handout", *TODAY)
    assert ran.code == 0, ran.err
    assert {path.name for path in tmp_path.iterdir()} == {
        *("handout.pdf", "copied.pdf", "cards.html", "cards.txt", "log-entry.html", "deck.json", "notes.txt")
    }
    assert "Removed what an earlier draft had left there: wall.pdf, wall-halves.pdf." in ran.err
    assert all("25 ft 6 in" in page for page in pages(tmp_path / "handout.pdf"))


@pytest.mark.usefixtures("few_cards")
@pytest.mark.parametrize("said", [None, "{}", '{"draft": "true"}', "not JSON"])
def test_a_file_that_nothing_says_to_be_a_draft_s_is_kept_and_no_draft_is_put_beside_it(
    said: str | None, tmp_path: Path
) -> None:
    (tmp_path / "wall.pdf").write_bytes(b"somebody's own")
    if said is not None:
        (tmp_path / "deck.json").write_text(said, "utf-8")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    ran = cardgen("draft", METRIC, "--out", tmp_path, "--edition", "handout", *TODAY)
    assert ran.code == 3
    assert "holds wall.pdf, which this draft does not write" in ran.err
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_card_that_an_edition_has_not_is_refused_with_those_that_have_it(tmp_path: Path) -> None:
    ran = cardgen("draft", METRIC, "--out", tmp_path / "out", "--edition", "pouch", "--card", "flow", *TODAY)
    assert ran.code == 2
    assert 'Card "flow" is not on pouch: name --edition handout or wall.' in ran.err
    both = ("--edition", "pouch", "--edition", "wall", "--card", "flow")
    ran = cardgen("draft", METRIC, "--out", tmp_path / "out", *both, *TODAY)
    assert ran.code == 2
    assert "None of these cards is on pouch. Leave out --edition pouch." in ran.err
    assert not (tmp_path / "out").exists()


def test_a_disk_that_fills_up_leaves_no_part_of_a_card(tmp_path: Path) -> None:
    # A limit on the size of a file stops a write in the middle, as a full disk does.
    command = ["-m", "cardgen", "draft", str(METRIC), "--out", str(tmp_path / "out"), "--card", "track", *TODAY]
    done = subprocess.run(
        ["bash", "-c", "trap '' XFSZ; ulimit -f 20; exec \"$@\"", "bash", sys.executable, *command],
        cwd=TREE,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 3
    assert "cannot take the files" in done.stderr
    assert list(tmp_path.iterdir()) == []


def spoiled(sides: tuple[Side, ...]) -> tuple[Side, ...]:
    """Record another number where the first figure of the first side that has one stands."""
    for at, side in enumerate(sides):
        for place, mark in enumerate(side.marks):
            if isinstance(mark, TextMark) and mark.figure.startswith("track.row.1"):
                other = mark._replace(text=mark.text[::-1] + "1")
                marks = (*side.marks[:place], other, *side.marks[place + 1 :])
                return (*sides[:at], replace(side, marks=marks), *sides[at + 1 :])
    raise LookupError("no dial reading on these sides")


@pytest.mark.usefixtures("few_cards")
def test_a_number_that_reads_back_differently_stops_everything(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    honest = press.print_edition

    def slipped(*arguments: object, **options: object) -> object:
        printed = honest(*arguments, **options)  # type: ignore[arg-type]
        assert isinstance(printed, press.Printed)
        return replace(printed, layouts={name: spoiled(sides) for name, sides in printed.layouts.items()})

    monkeypatch.setattr("cardgen.proof.prove.print_edition", slipped)
    code = errors.run(["draft", str(METRIC), "--out", str(tmp_path / "out"), "--edition", "pouch", *TODAY])
    said = capsys.readouterr()
    assert code == 1
    assert "No card was made" in said.err
    assert said.out == ""
    assert not (tmp_path / "out").exists()


@pytest.mark.usefixtures("few_cards")
def test_a_draft_is_exchanged_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between any two changes of a name the folder holds the old draft, the new one, or is not there."""
    out, seen = tmp_path / "out", list[frozenset[str]]()
    assert cardgen("draft", METRIC, "--out", out, "--edition", "pouch", *TODAY).code == 0
    old = frozenset(each.name for each in out.iterdir())
    rename = Path.rename

    def watched(self: Path, target: Path) -> Path:
        seen.append(frozenset(each.name for each in out.iterdir()) if out.exists() else frozenset())
        done = rename(self, target)
        seen.append(frozenset(each.name for each in out.iterdir()) if out.exists() else frozenset())
        return done

    monkeypatch.setattr(Path, "rename", watched)
    assert cardgen("draft", METRIC, "--out", out, "--edition", "wall", *TODAY).code == 0
    new = frozenset(each.name for each in out.iterdir())
    assert "pouch.pdf" in old - new
    assert set(seen) <= {old, new, frozenset()}
    assert {old, new} <= set(seen)
    assert [each.name for each in tmp_path.iterdir()] == ["out"]


@pytest.mark.usefixtures("few_cards")
def test_a_draft_beside_something_else_leaves_that_alone(tmp_path: Path) -> None:
    out = tmp_path / "out"
    for edition in ("pouch", "wall"):
        assert cardgen("draft", METRIC, "--out", out, "--edition", edition, *TODAY).code == 0
        (out / "notes.txt").write_text("mine")
    assert (out / "notes.txt").read_text() == "mine"
    assert not (out / "pouch.pdf").exists()
