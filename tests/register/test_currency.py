"""Verifying: what is current, what is not and why, and files that are not what they say."""

from __future__ import annotations

import os
import zlib
from datetime import date
from pathlib import Path

import pytest

from cardgen.issuing.withdraw_deck import withdraw
from cardgen.register import currency
from cardgen.register.code import code_of
from cardgen.register.currency import (
    Altered,
    UnknownCode,
    verify_code,
    verify_file,
)
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.foreign_file import attached_specification, claimed_codes
from cardgen.register.rows import DeckRow
from cardgen.register.state import Standing
from tests.issuing.decks import TODAY, USE_UNTIL, Maker, issued

LATER = date(2026, 9, 1)
LATEST = date(2026, 10, 1)


def state(register: Register, deck: DeckRow, today: date = TODAY) -> tuple[str, date, str]:
    found = verify_code(register, deck.code, today)
    assert isinstance(found, Standing), found
    return found.state, found.since, found.why


def test_the_newest_deck_is_current_and_the_one_before_says_since_when_and_why(
    register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path).deck
    assert state(register, first) == ("current", TODAY, "first issue")
    second = issued(register, tmp_path, on=LATER, reason="maker raised the torque").deck
    third = issued(register, tmp_path, on=LATEST, reason="new wrench").deck
    assert state(register, first, LATEST) == ("superseded", LATER, "maker raised the torque")
    assert state(register, second, LATEST) == ("superseded", LATEST, "new wrench")
    assert state(register, third, LATEST)[0] == "current"
    found = verify_code(register, first.code, LATEST)
    assert isinstance(found, Standing)
    assert found.newest == third


def test_a_deck_of_another_rotor_supersedes_nothing(register: Register, tmp_path: Path) -> None:
    first = issued(register, tmp_path).deck
    issued(register, tmp_path, set_id="RB-2042")
    assert state(register, first)[0] == "current"


def test_a_withdrawn_deck_stays_so_and_brings_no_older_one_back(register: Register, tmp_path: Path) -> None:
    first = issued(register, tmp_path).deck
    second = issued(register, tmp_path, on=LATER, reason="maker raised the torque").deck
    withdraw(register, second.code, "wrong page of the manual", date(2026, 9, 5))
    assert state(register, second, LATEST) == ("withdrawn", date(2026, 9, 5), "wrong page of the manual")
    assert state(register, first, LATEST)[0] == "superseded"


def test_whoever_asks_with_an_older_code_hears_that_the_newest_deck_is_withdrawn(
    register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path).deck
    second = issued(register, tmp_path, on=LATER, reason="maker raised the torque").deck
    found = verify_code(register, first.code, LATER)
    assert isinstance(found, Standing)
    assert found.ahead is not None
    assert (found.ahead.deck, found.ahead.state) == (second, "current")
    withdraw(register, second.code, "wrong page of the manual", date(2026, 9, 5))
    found = verify_code(register, first.code, LATEST)
    assert isinstance(found, Standing)
    assert found.ahead is not None
    assert (found.ahead.state, found.ahead.why) == ("withdrawn", "wrong page of the manual")
    register.connection.execute("DELETE FROM withdrawals")
    found = verify_code(register, first.code, LATEST)
    assert isinstance(found, RegisterTrouble)
    assert found.kind == "damaged"


def test_the_last_day_of_use_is_still_a_day_of_use(register: Register, tmp_path: Path) -> None:
    deck = issued(register, tmp_path).deck
    assert state(register, deck, USE_UNTIL)[0] == "current"
    assert state(register, deck, date(2027, 12, 1))[0] == "expired"


def test_a_well_formed_code_that_nobody_issued_is_unknown(register: Register) -> None:
    assert verify_code(register, code_of(99), TODAY) == UnknownCode(code_of(99))


def test_each_issued_file_leads_to_its_deck(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path)
    assert made.folder is not None
    for file in made.folder.iterdir():
        found = verify_file(register, file, TODAY)
        assert isinstance(found, Standing)
        assert found.deck == made.deck


def test_one_changed_byte_makes_a_printed_file_altered_whatever_it_says(
    register: Register, tmp_path: Path
) -> None:
    made = issued(register, tmp_path)
    assert made.folder is not None
    content = (made.folder / "wall.pdf").read_bytes()
    copy = tmp_path / "copy.pdf"
    copy.write_bytes(content + b"\n")
    found = verify_file(register, copy, TODAY)
    assert isinstance(found, Altered)
    assert found.claims.deck == made.deck


def test_the_code_on_a_page_is_found_although_the_page_is_compressed(
    register: Register, tmp_path: Path
) -> None:
    """A page as a general PDF library draws it, its text packed and in an embedded font's own numbering."""
    from io import BytesIO

    from reportlab.pdfgen.canvas import Canvas

    made = issued(register, tmp_path)
    drawn = BytesIO()
    canvas = Canvas(drawn, pageCompression=1)
    canvas.drawString(72, 72, f"set RB-2041, code {made.deck.code}")
    canvas.save()
    assert made.deck.code.encode() not in drawn.getvalue()
    copy = tmp_path / "drawn.pdf"
    copy.write_bytes(drawn.getvalue())
    assert isinstance(verify_file(register, copy, TODAY), Altered)


def test_a_foreign_file_is_unknown(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    foreign = tmp_path / "foreign.pdf"
    for content in (b"", b"%PDF-1.7 nothing of ours", f"code {code_of(5)}".encode()):
        foreign.write_bytes(content)
        found = verify_file(register, foreign, TODAY)
        assert isinstance(found, UnknownCode)
        assert found.asked == str(foreign)
        assert found.cut_short.startswith("it cannot be read as a PDF")


def test_what_is_no_plain_file_is_a_trouble_and_nobody_waits_for_it(register: Register, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "none.pdf", tmp_path, tmp_path / "pipe", Path("/dev/zero")):
        assert isinstance(verify_file(register, path, TODAY), RegisterTrouble)


def test_a_file_larger_than_any_deck_is_not_read(
    register: Register, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(currency, "LARGEST_FILE", 1000)
    large = tmp_path / "large.pdf"
    large.write_bytes(b"a" * 1000)
    assert isinstance(verify_file(register, large, TODAY), UnknownCode)
    large.write_bytes(b"a" * 1001)
    found = verify_file(register, large, TODAY)
    assert isinstance(found, RegisterTrouble)
    assert "larger" in found.why


def test_a_file_made_to_burst_is_given_up_without_harm() -> None:
    """A page that unpacks to endless drawing, and a page tree that goes round in a circle."""
    packed = zlib.compress(b"0 0 m 9 9 l S\n" * (1 << 21), 9)
    burst = pdf(b"<</Type/Pages/Kids[3 0 R]/Count 1>>", b"<</Type/Page/Parent 2 0 R/Contents 4 0 R>>", packed)
    circle = pdf(b"<</Type/Pages/Kids[2 0 R]/Count 999999>>", b"<<>>", b"")
    for content in (burst, circle, burst[: len(burst) // 2]):
        assert claimed_codes(content).codes == ()


def pdf(pages: bytes, page: bytes, stream: bytes) -> bytes:
    head = b"%%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj%bendobj\n3 0 obj%bendobj\n"
    body = b"4 0 obj<</Filter/FlateDecode/Length %d>>stream\n%b\nendstream endobj\ntrailer<</Root 1 0 R>>"
    return head % (pages, page) + body % (len(stream), stream)


CHANGES = {
    "words of an entry": "UPDATE decks SET reason = 'x' WHERE revision = 2",
    "a place": "UPDATE places SET place = 'x' WHERE deck = 2",
    "a file's hash": "UPDATE files SET sha256 = upper(sha256) WHERE deck = 2",
    "a withdrawal gone": "DELETE FROM withdrawals",
    "a withdrawal moved": "UPDATE withdrawals SET deck = 1",
    "a date moved": "UPDATE decks SET use_until = '2099-01-01' WHERE revision = 2",
    "a date spoilt": "UPDATE decks SET issued = 'soon' WHERE revision = 2",
    "the newest deck gone": "DELETE FROM withdrawals; DELETE FROM places WHERE deck = 3;"
    "DELETE FROM files WHERE deck = 3; DELETE FROM decks WHERE revision = 3",
    "the newest deck given to another rotor": "UPDATE decks SET set_id = 'RB-1' WHERE revision = 3",
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_a_register_changed_by_hand_never_calls_a_deck_current(
    register: Register, tmp_path: Path, change: str
) -> None:
    issued(register, tmp_path)
    second = issued(register, tmp_path, Maker(torque="165")).deck
    withdraw(register, second.code, "blade damaged", TODAY)
    issued(register, tmp_path, Maker(torque="170"))
    register.connection.execute("PRAGMA foreign_keys = OFF")
    for statement in change.split(";"):
        register.connection.execute(statement)
    found = verify_code(register, second.code, TODAY)
    assert isinstance(found, RegisterTrouble), found
    assert found.kind == "damaged"


_TREE = b"%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R"
HOSTILE = {
    "nested without end": _TREE + b"/X " + b"[" * 300_000 + b"]" * 300_000 + b">>\nendobj\n",
    "pages that hold themselves": _TREE
    + b">>\nendobj\n2 0 obj\n<</Type/Pages/Kids[2 0 R 2 0 R]/Count 99999999>>\nendobj\n",
    "attachments that hold themselves": _TREE
    + b"/Names<</EmbeddedFiles 3 0 R>>>>\nendobj\n3 0 obj\n<</Kids[3 0 R 3 0 R]>>\nendobj\n",
    "nothing at all": b"",
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_file_is_unknown_soon_and_carries_nothing(
    content: bytes, register: Register, tmp_path: Path
) -> None:
    issued(register, tmp_path)
    path = tmp_path / "hostile.pdf"
    path.write_bytes(content + b"trailer\n<</Root 1 0 R>>\n")
    found = verify_file(register, path, TODAY)
    assert isinstance(found, UnknownCode)
    assert found.asked == str(path)
    assert attached_specification(path.read_bytes()).found == b""


def test_a_file_that_names_very_many_decks_is_read_for_the_first_few(register: Register) -> None:
    many = b" ".join(code_of(number).encode() for number in range(5000))
    assert claimed_codes(many).codes == tuple(code_of(number) for number in range(20))
