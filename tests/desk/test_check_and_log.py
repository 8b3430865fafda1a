"""A code, a printed file or a photograph is checked, and entries are kept, asked about and drawn."""

from __future__ import annotations

import json
import re
from io import BytesIO
from pathlib import Path
from unittest.mock import Mock, patch

import pytest
from PIL import Image

from cardgen.desk import log_pages
from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Hangar
from cardgen.issuing.withdraw_deck import withdraw
from cardgen.press.qr import matrix
from cardgen.register.code import code_of
from tests.cli.running import INCH
from tests.desk.browsing import HOST, OWN, Visitor
from tests.desk.photographing import photographed, printed
from tests.full_disk import full_disk
from tests.issuing.decks import opened
from tests.logbook.logs import Log, issue_rotor, run


@pytest.fixture
def rotor(folder: Path) -> Path:
    path = folder / "rotor.toml"
    path.write_bytes(INCH.read_bytes())
    return path


def sent(visitor: Visitor, address: str, **fields: object) -> str:
    """Send a form with a file in it, as a browser does."""
    answer = visitor.client.post(
        address,
        base_url=f"http://{HOST}",
        headers={"Cookie": visitor.cookie, **OWN},
        data={"desk_token": visitor.keys.post, **fields},
        content_type="multipart/form-data",
    )
    assert answer.status_code == 200, answer.text
    return answer.text


def photograph(text: str, turn: int = 0) -> bytes:
    """A picture of a card's mark, dark on grey, as large as a telephone sees it, and turned."""
    rows = matrix(text)
    small = Image.new("L", (len(rows), len(rows)), 200)
    small.putdata([20 if dark else 200 for row in rows for dark in row])
    large = small.resize((len(rows) * 9, len(rows) * 9), Image.Resampling.BICUBIC)
    out = BytesIO()
    large.rotate(turn, expand=True, fillcolor=200).convert("RGB").save(out, "JPEG", quality=60)
    return out.getvalue()


def verdict(page: str) -> str:
    found = re.search(r'class="afar"><span aria-hidden="true">.</span> (.*?)</p>', page)
    return found[1] if found else "nothing"


def test_a_card_is_judged_from_its_code_its_file_and_its_photograph(
    visitor: Visitor, desk: Desk, rotor: Path
) -> None:
    out = desk.register.parent / "out"
    with opened(desk.register) as book:
        row = issue_rotor(book, out).deck().row
    name, printed = next((each.name, each.read_bytes()) for each in sorted(out.rglob("*")) if each.is_file())
    mark = photograph(f"https://example.org/form#c={row.code}&k=track", turn=17)

    def answers() -> list[str]:
        return [
            verdict(sent(visitor, "/check/", code=row.code.lower())),
            verdict(sent(visitor, "/check/", file=(BytesIO(printed), name))),
            verdict(sent(visitor, "/check/", file=(BytesIO(mark), "photo.jpg"))),
        ]

    assert answers() == ["Current"] * 3
    with opened(desk.register) as book:
        withdraw(book, row.code, "a wrong page", desk.today())
    assert answers() == ["Do not use"] * 3
    assert "because: a wrong page" in sent(visitor, "/check/", code=row.code)


@pytest.mark.parametrize("code", ["0000-0000-0", "<script>alert(1)</script>", "nr-0306", "\u202e", "x" * 60])
def test_what_is_no_current_code_is_not_to_be_used(visitor: Visitor, desk: Desk, code: str) -> None:
    with opened(desk.register):
        pass
    page = sent(visitor, "/check/", code=code)
    assert verdict(page) == "Do not use"
    assert "<script>alert" not in page
    assert "\u202e" not in page[page.index("verdict") : page.index("<form")]


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("photo.jpg", b"\xff\xd8\xff nothing", "this picture cannot be read"),
        ("empty.pdf", b"%PDF-1.7", "unknown"),
        ("../../<b>.pdf", b"nothing", "unknown"),
        ("x.exe\x00.pdf", b"MZ", "unknown"),
    ],
)
def test_a_hostile_file_is_no_card(visitor: Visitor, desk: Desk, name: str, content: bytes, why: str) -> None:
    with opened(desk.register):
        pass
    page = sent(visitor, "/check/", file=(BytesIO(content), name))
    assert verdict(page) == "Do not use"
    assert why in page
    assert "<b>" not in page
    assert not list(desk.hangar.folder.parent.glob("*.pdf"))


def test_two_cards_in_one_picture_are_not_told_apart_by_luck(visitor: Visitor, desk: Desk) -> None:
    with opened(desk.register) as book:
        pass
    pictures = [Image.open(BytesIO(photograph(f"NR r1 {code_of(at)} track"))) for at in (1, 2)]
    both = Image.new("RGB", (pictures[0].width * 2 + 40, pictures[0].height), (200, 200, 200))
    both.paste(pictures[0], (0, 0))
    both.paste(pictures[1], (pictures[0].width + 40, 0))
    out = BytesIO()
    both.save(out, "PNG")
    assert "more than one card" in sent(visitor, "/check/", file=(BytesIO(out.getvalue()), "two.png"))
    assert book is not None


def test_a_card_is_known_from_a_poor_photograph_of_its_sheet(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    with opened(desk.register) as book:
        row = issue_rotor(book, desk.register.parent / "out").row
    sheet, other = printed(row.code, row.issued), printed(code_of(1), row.issued)
    blank = sheet.crop((0, 0, sheet.width, sheet.height // 2))

    def answer(*sheets: Image.Image) -> str:
        return sent(visitor, "/check/", file=(BytesIO(photographed(sheets)), "photo.jpg"))

    assert verdict(answer(sheet)) == "Current"
    assert row.code in answer(sheet)
    for told, why in (
        (answer(sheet, other), "more than one card is in this picture"),
        (answer(blank), "no code of a card was found in this picture"),
    ):
        assert verdict(told) == "Do not use"
        assert why in told


@pytest.fixture
def log(desk: Desk, rotor: Path) -> str:
    with opened(desk.register) as book:
        issue_rotor(book, desk.register.parent / "out")
    (only,) = Hangar(rotor.parent).rotors()
    return f"/rotor/{only.id}/log/"


def entry(desk: Desk, *runs: dict[str, object], **parts: object) -> bytes:
    with opened(desk.register) as book:
        row = book.newest("NR-0306")
        assert row is not None
        return json.dumps(Log(book, desk.register.parent, row).entry(runs=list(runs), **parts)).encode()


def test_an_entry_is_kept_once_and_its_runs_are_drawn(visitor: Visitor, desk: Desk, log: str) -> None:
    content = entry(desk, run(1, "1.25", "B"))
    assert "Entry 1: kept" in sent(visitor, log, file=(BytesIO(content), "entry.json"))
    again = sent(visitor, log, text=content.decode())
    assert "Entry 1: was there already" in again
    assert "What the runs say" in again
    assert "Runs in the row: 1" in again
    assert "style=" not in again


def test_an_odd_number_is_asked_about_before_anything_is_kept(visitor: Visitor, desk: Desk, log: str) -> None:
    # More than the largest split of the sample's card is no reading of this rotor: a slip of the pen.
    content = entry(desk, run(1, "12.5", "B"))
    asked = sent(visitor, log, text=content.decode())
    assert "Is this right?" in asked
    assert "There is no entry." in asked
    kept = sent(visitor, log, text=content.decode(), as_read="yes")
    assert "Entry 1: kept" in kept


@pytest.mark.parametrize("text", ["", "nothing", "{", "[" * 3000, '{"set_id": "<b>x</b>"}'])
def test_what_is_no_entry_is_refused_in_words(visitor: Visitor, log: str, text: str) -> None:
    page = sent(visitor, log, text=text)
    assert "Nothing was kept" in page
    assert "<b>x" not in page
    assert "There is no entry." in page


def test_an_entry_that_no_disk_has_room_for_is_not_kept_and_can_be_added_again(
    visitor: Visitor, desk: Desk, log: str
) -> None:
    content = entry(desk, run(1, "1.25", "B")).decode()
    with full_disk(8_000):
        data = {"desk_token": visitor.keys.post, "text": content}
        answer = visitor.send("POST", log, OWN, data=data)
    assert answer.status_code == 409
    assert "What to do:" in answer.text
    assert "There is no entry." in visitor.text(log)
    assert "Entry 1: kept" in sent(visitor, log, text=content)


def test_the_form_is_opened_from_the_log_and_shut_off_from_the_desk(visitor: Visitor, log: str) -> None:
    assert f'href="{log}form"' in visitor.text(log)
    # The deck of these tests has no form among its files.
    assert visitor.get(f"{log}form").status_code == 404
    with patch.object(log_pages, "sheets_of", return_value=Mock(files={"log-entry.html": b"<p>The form"})):
        form = visitor.get(f"{log}form")
    assert (form.status_code, form.data) == (200, b"<p>The form")
    policy = form.headers["Content-Security-Policy"].split("; ")
    # A page of no origin sends no cookie of ours and reads nothing of ours (HTML standard, sandboxing).
    assert policy[0] == "sandbox allow-scripts allow-downloads allow-modals"
    assert {"default-src 'none'", "form-action 'none'", "frame-ancestors 'none'"} <= set(policy)


def test_without_a_deck_there_is_no_log(visitor: Visitor, rotor: Path) -> None:
    (only,) = Hangar(rotor.parent).rotors()
    assert "No deck of this rotor is issued" in visitor.text(f"/rotor/{only.id}/log/")
    assert visitor.get(f"/rotor/{only.id}/log/form").status_code in (404, 409)
