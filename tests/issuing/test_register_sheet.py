"""The register's sheet as a PDF, read by another program."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from cardgen.issuing.register_sheet import print_register_sheet
from cardgen.issuing.withdraw_deck import withdraw
from cardgen.press.edition import PaperKind
from cardgen.register.database import Register
from cardgen.register.listing import Sheet, SheetRow, sheet_of
from cardgen.register.rows import PlaceRow
from tests.issuing.decks import HEAD, TODAY, Maker, issued


def rows_of(register: Register, today: date = TODAY) -> tuple[SheetRow, ...]:
    sheet = sheet_of(register, today)
    assert isinstance(sheet, Sheet), sheet
    return sheet.rows


def printed(rows: tuple[SheetRow, ...], paper: PaperKind = "iso", today: date = TODAY) -> bytes:
    made = print_register_sheet(Sheet(rows, today, HEAD), paper)
    assert isinstance(made, bytes), made
    return made


def read(pdf: bytes, folder: Path, program: str = "pdftotext") -> str:
    """Read with poppler's tools, which share nothing with the writer."""
    file = folder / "sheet.pdf"
    file.write_bytes(pdf)
    options = ["-layout", str(file), "-"] if program == "pdftotext" else [str(file)]
    return subprocess.run([program, *options], capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize(("paper", "size"), [("iso", "A4"), ("ansi", "letter")])
def test_it_lists_current_codes_and_what_happened_to_other_rotors(
    paper: PaperKind, size: str, register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path, set_id="RB-1").deck
    second = issued(register, tmp_path, Maker("RB-2"), set_id="RB-2").deck
    withdraw(register, second.code, "blade damaged", after := date(2026, 5, 1))
    pdf = printed(rows_of(register, after), paper, after)
    text = " ".join(read(pdf, tmp_path).split())
    assert first.code in text
    assert second.code not in text
    assert "1 May 2026" in text
    assert "November" in text and "2027" in text
    assert size in read(pdf, tmp_path, "pdfinfo")


def test_many_rotors_and_long_places_take_more_sheets_each_with_the_day(
    register: Register, tmp_path: Path
) -> None:
    issued(register, tmp_path)
    (row,) = rows_of(register)
    places = tuple(PlaceRow("wall", number, "behind the bench " * 8) for number in range(1, 4))
    many = tuple(replace(row, places=places, diameter=f"{number} m") for number in range(40))
    text = read(printed(many), tmp_path)
    sheets = text.strip("\f").split("\f")
    assert len(sheets) > 2
    assert all("Current bench cards" in each and "2 April 2026" in each for each in sheets)
    assert f"sheet 1 of {len(sheets)}" in text


def test_an_empty_register_makes_a_sheet_that_says_so(tmp_path: Path) -> None:
    assert "No deck has been issued." in read(printed(()), tmp_path)
