"""Reprinting from the kept bytes, and taking decks out of use."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pypdfium2
import pytest

from cardgen.issuing.card_answer import Found, answer_lines, found_in_file
from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Built, IssueRefused, Turn
from cardgen.issuing.reprint_deck import NotCurrent, Reprinted, Wanted, reprint
from cardgen.issuing.withdraw_deck import Withdrawn, withdraw
from cardgen.register.code import code_of
from cardgen.register.currency import Altered, ForRecords, UnknownCode, verify_code, verify_file
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from tests.issuing.decks import PLACES, TODAY, USE_UNTIL, Maker, issued, request


def content(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_a_lost_folder_comes_back_byte_for_byte(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path / "out")
    assert made.folder is not None
    before = content(made.folder)
    shutil.rmtree(made.folder)
    again = reprint(register, made.deck.code, tmp_path / "out", TODAY)
    assert isinstance(again, Reprinted)
    assert content(again.folder) == before


def test_a_folder_that_is_there_is_left_alone(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path)
    assert made.folder is not None
    (made.folder / "wall.pdf").write_bytes(b"scribbled on")
    again = reprint(register, made.deck.code, tmp_path, TODAY)
    assert isinstance(again, RegisterTrouble)
    assert again.kind == "exists"
    assert (made.folder / "wall.pdf").read_bytes() == b"scribbled on"


def test_an_old_deck_does_not_go_back_to_the_bench_but_can_be_copied_for_the_records(
    register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path / "out")
    issued(register, tmp_path / "out", Maker(torque="165"))
    refused = reprint(register, first.deck.code, tmp_path / "again", TODAY)
    assert isinstance(refused, NotCurrent)
    assert refused.standing.state == "superseded"
    assert not (tmp_path / "again").exists()
    copied = reprint(register, first.deck.code, tmp_path / "records", TODAY, for_records=True)
    assert isinstance(copied, Reprinted)
    assert first.folder is not None
    assert set(content(copied.folder)) == set(content(first.folder))
    assert (copied.folder / "deck.json").read_bytes() == (first.folder / "deck.json").read_bytes()
    for name in ("pouch.pdf", "wall.pdf"):
        stamped = copied.folder / name
        assert stamped.read_bytes() != (first.folder / name).read_bytes()
        found = verify_file(register, stamped, TODAY)
        assert isinstance(found, ForRecords)
        assert (found.standing.deck, found.standing.state) == (first.deck, "superseded")
        page = pypdfium2.PdfDocument(stamped)[0].get_textpage().get_text_bounded()
        for said in ("FOR RECORDS", "OUT OF USE", f"superseded since\r\n{TODAY.isoformat()}"):
            assert said in page
    # It stays known when the deck is withdrawn later, and not when a byte of it is changed.
    withdraw(register, first.deck.code, "wrong page", TODAY)
    assert isinstance(verify_file(register, stamped, TODAY), ForRecords)
    stamped.write_bytes(stamped.read_bytes().replace(b"0 0 420 595", b"0 0 430 595"))
    assert isinstance(verify_file(register, stamped, TODAY), Altered)


def test_a_deck_past_its_date_is_not_current_either(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path / "out")
    after = date(USE_UNTIL.year, 12, 1)
    refused = reprint(register, made.deck.code, tmp_path / "again", after)
    assert isinstance(refused, NotCurrent)
    assert refused.standing.state == "expired"


def test_a_damaged_or_missing_kept_file_is_never_placed(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path / "out")
    place = register.store.place(register.files(made.deck.id)[1].sha256)
    place.chmod(0o644)
    place.write_bytes(place.read_bytes()[:-1])
    damaged = reprint(register, made.deck.code, tmp_path / "again", TODAY)
    assert isinstance(damaged, RegisterTrouble)
    assert (damaged.kind, damaged.file) == ("damaged", str(place))
    place.unlink()
    missing = reprint(register, made.deck.code, tmp_path / "again", TODAY)
    assert isinstance(missing, RegisterTrouble)
    assert (missing.kind, missing.file) == ("missing", str(place))
    assert not (tmp_path / "again").exists()


def test_a_code_that_nobody_issued_is_unknown(register: Register, tmp_path: Path) -> None:
    code = code_of(12345)
    assert reprint(register, code, tmp_path / "again", TODAY) == UnknownCode(code)
    assert withdraw(register, code, "no longer flown", TODAY) == UnknownCode(code)


def test_a_withdrawal_lists_what_to_take_down_and_the_first_reason_stands(
    register: Register, tmp_path: Path
) -> None:
    made = issued(register, tmp_path)
    first = withdraw(register, made.deck.code, "blade A damaged", TODAY)
    second = withdraw(register, made.deck.code, "another story", date(2026, 5, 1))
    assert isinstance(first, Withdrawn)
    assert isinstance(second, Withdrawn)
    assert [recall.copy for recall in first.recall] == list(PLACES)
    assert (first.before, second.before) == (False, True)
    assert second.withdrawal == first.withdrawal
    assert first.withdrawal.reason == "blade A damaged"


def test_a_reason_with_control_characters_withdraws_nothing(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path)
    refused = withdraw(register, made.deck.code, "blade\x1b[2J", TODAY)
    assert isinstance(refused, IssueRefused)
    assert register.withdrawal(made.deck.id) is None


def test_after_a_withdrawal_the_next_issue_takes_the_next_revision(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path)
    withdraw(register, made.deck.code, "blade A damaged", TODAY)
    assert issued(register, tmp_path, Maker(torque="165")).deck.revision == 2


@dataclass
class Odd(Maker):
    """Builds a deck of which some files are other than any version made them."""

    instead: Mapping[str, bytes] = field(default_factory=dict)

    def __call__(self, turn: Turn) -> Built:
        made = super().__call__(turn)
        return Built(made.code, {**made.files, **self.instead})


@pytest.mark.parametrize(
    "kept", [b"no pdf", b"", b"%PDF-1.4\nstartxref\n9\n%%EOF", b"%PDF-1.4\ntrailer\n<<>>\n"]
)
def test_a_kept_file_without_pages_gets_an_answer_and_no_part_of_it_is_known(
    kept: bytes, register: Register, tmp_path: Path
) -> None:
    made = issued(register, tmp_path / "out", Odd(instead={"wall.pdf": kept}))
    assert made.folder is not None
    other = tmp_path / "card.pdf"
    other.write_bytes((made.folder / "pouch.pdf").read_bytes().replace(b"0 0 420 595", b"0 0 430 595"))
    found = found_in_file(register, other, TODAY)
    assert isinstance(found, Found)
    assert isinstance(found.what, Altered)
    assert "Do not use it." in " ".join(answer_lines(found, register))
    part = reprint(register, made.deck.code, tmp_path / "part", TODAY, wanted=Wanted("torque", ("torque",)))
    assert isinstance(part, RegisterTrouble)
    assert "cannot be parted into cards" in part.why
    assert isinstance(reprint(register, made.deck.code, tmp_path / "again", TODAY), Reprinted)
    withdraw(register, made.deck.code, "wrong page", TODAY)
    stamped = reprint(register, made.deck.code, tmp_path / "records", TODAY, for_records=True)
    assert isinstance(stamped, RegisterTrouble)
    assert (stamped.file, "cannot be stamped" in stamped.why) == ("wall.pdf", True)


@pytest.mark.parametrize(
    "told", [b"no json", b"", b"[]", b"[" * 100_000, b"\xff", b'{"cards": [1]}', b'{"figures": 3}']
)
def test_a_description_that_no_version_wrote_gets_an_answer(
    told: bytes, register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path)
    odd = issued(register, tmp_path, Odd(torque="165", instead={"deck.json": told}))
    where = verify_code(register, first.deck.code, TODAY)
    assert "not known; the kept description cannot be read" in " ".join(answer_lines(Found(where), register))  # type: ignore[arg-type]
    part = reprint(register, odd.deck.code, tmp_path / "part", TODAY, wanted=Wanted("torque", ("torque",)))
    after = issue(register, request(), Maker(torque="170"), tmp_path)
    for answer in (part, after):
        assert isinstance(answer, RegisterTrouble)
        assert answer.why == "the description of RB-2041-r2 cannot be read"
