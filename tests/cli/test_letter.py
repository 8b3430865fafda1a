"""``cardgen letter``: what papers leave open, written to whoever looks after them."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pypdfium2

from tests.cli.running import INCH, METRIC, TODAY, altered, cardgen


def test_it_prints_the_questions_here() -> None:
    """The metric sample lists the pin's head (Blatt 9) and the split that is good enough (Blatt 8)."""
    ran = cardgen("letter", METRIC, *TODAY)
    assert ran.code == 0
    text = " ".join(ran.out.split())
    assert text.index("Blatt 8") < text.index("Blatt 9 Schlagbolzen")
    for said in ("QUESTIONS ABOUT MAKER-4", "FT-7400", "74-1187", "Einstellblätter", "Thank you."):
        assert said in text


def test_it_writes_each_letter_as_text_and_as_pdf(tmp_path: Path) -> None:
    ran = cardgen("letter", METRIC, "--out", tmp_path / "letters", *TODAY)
    assert ran.code == 0
    assert [Path(line).name for line in ran.out.splitlines()] == ["letter-1.txt", "letter-1.pdf"]
    text, pdf = ((tmp_path / "letters" / f"letter-1.{kind}").read_bytes() for kind in ("txt", "pdf"))
    assert text.decode() == cardgen("letter", METRIC, *TODAY).out
    file = pypdfium2.PdfDocument(pdf)
    page = " ".join(file[0].get_textpage().get_text_range().split())
    file.close()
    assert "Written on 2026-11-25" in page
    checked = subprocess.run(["qpdf", "--check", tmp_path / "letters" / "letter-1.pdf"], check=False)
    assert checked.returncode == 0


def test_it_says_so_where_nothing_is_open(tmp_path: Path) -> None:
    ran = cardgen("letter", INCH, "--out", tmp_path / "letters", *TODAY)
    assert (ran.code, ran.out.count("\n")) == (0, 1)
    assert "there is nothing to ask" in ran.out
    assert not (tmp_path / "letters").exists()


def test_a_specification_that_is_refused_asks_all_the_same_and_says_nothing_that_is_wrong(
    tmp_path: Path,
) -> None:
    wrong = altered(tmp_path, ('diameter     = "7.40 m"', 'diameter     = "7,40 m"'), source=METRIC)
    ran = cardgen("letter", wrong, *TODAY)
    assert ran.code == 0
    text = " ".join(ran.out.split())
    assert "Schlagbolzen" in text
    assert "Rotor FT-7400, hub T-031, blades 74-1187 and 74-1188." in text
    assert "1 problem still stands against cards" in " ".join(ran.err.split())


def test_a_file_that_is_no_toml_writes_no_letter(tmp_path: Path) -> None:
    wrong = altered(tmp_path, ('diameter     = "7.40 m"', 'diameter     = "7.40 m'), source=METRIC)
    ran = cardgen("letter", wrong, "--out", tmp_path / "letters", *TODAY)
    assert ran.code == 1
    assert "No letter was written: " in ran.err
    assert not (tmp_path / "letters").exists()
