"""Who has read a specification on paper: kept, asked for by every issue, and told afterwards."""

from __future__ import annotations

import tarfile
from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Issued, IssueRefused, Request
from cardgen.issuing.reading import keep_reading
from cardgen.register.audit import check
from cardgen.register.database import Register
from cardgen.register.migrations import VERSIONS
from cardgen.register.rows import ReadingRow
from cardgen.spec.read_check import read_check
from tests.cli.running import INCH, TODAY, altered, cardgen
from tests.issuing.decks import TODAY as DAY
from tests.issuing.decks import Maker, opened, request

KEPT = Path(__file__).resolve().parents[1] / "fixtures" / "register-1" / "register.tar.xz"


def unread() -> Request:
    return replace(request(), read_by="", typed_check="")


def rules(made: object) -> set[str]:
    assert isinstance(made, IssueRefused), made
    return {problem.rule for problem in made.problems}


def test_nothing_is_issued_that_nobody_has_read(register: Register, tmp_path: Path) -> None:
    made = issue(register, unread(), Maker(), tmp_path / "out")
    assert rules(made) == {"not-read"}
    assert isinstance(made, IssueRefused)
    assert "copied.pdf" in made.problems[0].write
    assert "cardgen read" in made.problems[0].write
    assert list(register.decks()) == []
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("name", ["inspector", "Inspector", " INSPEC TOR "])
def test_who_approves_cannot_be_who_has_read(register: Register, tmp_path: Path, name: str) -> None:
    asked = unread()
    register.add_reading("RB-2041", name, DAY, asked.check)
    assert rules(issue(register, asked, Maker(), tmp_path / "out")) == {"read-by-approver"}


def test_a_reading_of_this_very_specification_lets_it_be_issued(register: Register, tmp_path: Path) -> None:
    asked = unread()
    register.add_reading("RB-2041", "second reader", DAY, asked.check)
    made = issue(register, asked, Maker(), tmp_path / "out")
    assert isinstance(made, Issued)
    reading = register.reading_of(made.deck.id)
    assert reading is not None
    assert (reading.read_by, reading.day, reading.check) == ("second reader", DAY, asked.check)
    changed = replace(asked, spec=b"schema = 2\n")
    assert rules(issue(register, changed, Maker(), tmp_path / "out")) == {"not-read"}
    assert check(register).is_sound


def test_a_check_of_another_text_is_refused_and_the_right_one_is_not_told(register: Register) -> None:
    right, other = read_check(b"schema = 1\n"), read_check(b"schema = 2\n")
    found = keep_reading(register, "RB-2041", right, "second reader", other, DAY)
    assert rules(found) == {"check-differs"}
    assert right not in str(found)
    assert register.readings(right) == ()
    again = keep_reading(register, "RB-2041", right, "second reader", right.lower(), DAY)
    assert isinstance(again, ReadingRow)


def test_the_command_keeps_a_reading_and_refuses_a_wrong_check(tmp_path: Path) -> None:
    where = ("--register", tmp_path / "club.sqlite", *TODAY)
    other = altered(tmp_path, ('"96 lb"', '"97 lb"'))
    wrong = cardgen("read", INCH, "--by", "A. Reader", "--check", read_check(other.read_bytes()), *where)
    assert wrong.code == 1
    assert "[check-differs]" in wrong.err
    kept = cardgen("read", INCH, "--by", "A. Reader", "--check", read_check(INCH.read_bytes()), *where)
    assert kept.code == 0, kept.err
    assert "read by A. Reader on 2026-11-25" in kept.out


def test_a_register_of_the_first_version_is_brought_up_and_stays_sound(tmp_path: Path) -> None:
    with tarfile.open(KEPT) as packed:
        packed.extractall(tmp_path, filter="data")
    with opened(tmp_path / "register.sqlite", "read") as register:
        assert register.connection.execute("PRAGMA user_version").fetchone() == (1,)
        before = list(register.decks())
        assert check(register).is_sound
    with opened(tmp_path / "register.sqlite", "write") as register:
        assert register.connection.execute("PRAGMA user_version").fetchone() == (len(VERSIONS),)
        assert list(register.decks()) == before
        assert [register.reading_of(deck.id) for deck in before] == [None] * len(before)
        register.add_reading("NR-0306", "second reader", DAY, read_check(b"schema = 1\n"))
        assert check(register).is_sound
