"""Read by a second person, issued, its sheets opened, printed again and withdrawn, in the browser alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cardgen.desk.app import make_app
from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Hangar
from tests.cli.running import INCH
from tests.desk.browsing import OWN, PORT, Visitor, let_in
from tests.desk.tasks import until
from tests.issuing.quick import workers_in_threads

SET_ID = "NR-0306"
ASKED = re.compile(r'name="(v\d+)" value="right"')


@pytest.fixture
def rotor(folder: Path) -> Path:
    path = folder / "rotor.toml"
    path.write_bytes(INCH.read_bytes())
    return path


def address(rotor: Path, place: str) -> str:
    (only,) = Hangar(rotor.parent).rotors()
    return f"/rotor/{only.id}/{place}/"


def read(
    visitor: Visitor, rotor: Path, by: str = "R. Reader", wrong: str = "", **said: str
) -> tuple[str, tuple[str, ...]]:
    where = address(rotor, "read")
    page = visitor.text(where)
    asked = tuple(ASKED.findall(page))
    check = re.search(r'name="check" value="(\S+)"', page)
    assert check
    answers = {each: "wrong" if each == wrong else "right" for each in asked}
    data = {**answers, "check": check[1], "by": by, "desk_token": visitor.keys.post, **said}
    answer = visitor.send("POST", where, OWN, data=data)
    return answer.text, asked


def test_nothing_is_kept_before_every_value_is_read(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    text, asked = read(visitor, rotor, v3="")
    # The sample has well over a hundred values and words of its papers: counted in the file by hand.
    assert len(asked) > 100
    assert "Nothing was kept: 1 not read yet." in text
    assert not desk.register.exists()


def test_a_value_that_is_not_right_ends_without_a_reading_and_is_listed(
    visitor: Visitor, desk: Desk, rotor: Path
) -> None:
    page = visitor.text(address(rotor, "read"))
    at = page.index('class="typed">175 in·lbf')
    name = ASKED.findall(page[at:])[0]
    text, _ = read(visitor, rotor, wrong=name)
    assert "No reading was kept" in text
    assert "175 in·lbf" in text
    assert not desk.register.exists()


def test_a_file_that_was_changed_while_it_was_read_keeps_nothing(
    visitor: Visitor, desk: Desk, rotor: Path
) -> None:
    text, _ = read(visitor, rotor, check="000-000-000")
    assert "the file was changed while it was read" in text
    assert not desk.register.exists()


@pytest.mark.parametrize("by", ["", " ", "a\u202eb", "x" * 5000])
def test_a_reading_needs_a_name_that_can_be_printed(visitor: Visitor, rotor: Path, by: str) -> None:
    text, _ = read(visitor, rotor, by=by)
    assert "The reading is kept" not in text
    assert "Nothing was kept" in text


def test_hostile_words_are_read_as_text(visitor: Visitor, rotor: Path) -> None:
    text = rotor.read_text("utf-8").replace(f'"{SET_ID}"', '"<b>X</b>"')
    rotor.write_text(text, "utf-8")
    page = visitor.text(address(rotor, "read"))
    assert "<b>X" not in page


def test_only_what_changed_since_is_read_again_also_before_anything_is_issued(
    visitor: Visitor, rotor: Path
) -> None:
    assert "read by R. Reader" in read(visitor, rotor)[0]
    text = rotor.read_text("utf-8")

    def asked(now: str) -> int:
        rotor.write_text(now, "utf-8")
        return len(ASKED.findall(visitor.text(address(rotor, "read"))))

    assert asked(text) == 0
    # Of how it is printed, that one line; no value of the maker's with it.
    assert asked(text.replace('paper  = "ansi"', 'paper  = "iso" ')) == 1
    assert asked(text.replace("175 in·lbf", "178 in·lbf")) == 1
    # What is typed alike means nothing for it: also another spelling of a number is read again.
    assert asked(text.replace("175 in·lbf", "175.0 in·lbf")) == 1
    # The same words at another page of the paper, and what was taken out.
    assert asked(text.replace("MAKER-1 p.28", "MAKER-1 p.29")) >= 1
    assert asked(text.replace('paper  = "ansi"', "")) == 1
    assert "Taken out since" in visitor.text(address(rotor, "read"))


def test_a_text_beside_the_file_that_nobody_has_read_counts_for_nothing(visitor: Visitor, rotor: Path) -> None:
    assert "read by R. Reader" in read(visitor, rotor)[0]
    rotor.write_text(rotor.read_text("utf-8").replace("175 in·lbf", "178 in·lbf"), "utf-8")
    rotor.with_name(".rotor.toml.read").write_bytes(rotor.read_bytes())
    assert len(ASKED.findall(visitor.text(address(rotor, "read")))) > 100


def issued(visitor: Visitor, rotor: Path, desk: Desk, reason: str, approved_by: str = "A. Approver") -> str:
    data = {"approved_by": approved_by, "reason": reason, "desk_token": visitor.keys.post}
    answer = visitor.send("POST", f"{address(rotor, 'issue')}start", OWN, data=data)
    if answer.status_code != 303:
        return answer.text
    job = desk.jobs.job(answer.location.partition("?job=")[2])
    assert job is not None
    until(lambda: job.is_over, 120)
    # The page that is shown next may come after the work has ended, and follows it all the same.
    assert f"/work/{job.id}" in visitor.text(answer.location)
    return visitor.text(job.then)


def test_a_deck_is_read_issued_changed_and_withdrawn_without_a_terminal(
    visitor: Visitor, desk: Desk, keys: object, rotor: Path
) -> None:
    where = address(rotor, "issue")
    assert "Not read yet" in visitor.text(where)
    with workers_in_threads():
        refused = issued(visitor, rotor, desk, "first issue")
        assert "it is not read yet" in refused
        # Nobody types twice what was right.
        assert re.findall(r'name="(?:approved_by|reason)".* value="(.*)"', refused) == [
            "A. Approver",
            "first issue",
        ]
        assert "read by R. Reader" in read(visitor, rotor)[0]
        # Two people: who has read it does not answer for it.
        assert "Nothing was issued" in issued(visitor, rotor, desk, "first issue", "r.reader")
        page = issued(visitor, rotor, desk, "first <b>issue</b>")
        assert "Issued: revision 1" in page
        # Another desk on the same folder, asked for the same: nothing is doubled.
        other = Desk(Hangar(desk.hangar.folder), desk.register, desk.today)
        second = let_in(
            Visitor(make_app(other, PORT, visitor.keys).test_client(use_cookies=False), visitor.keys)
        )
        assert "Nothing was issued: revision 1" in issued(second, rotor, other, "again")
    sheets = re.findall(r'href="(\S+\.pdf)"', page)
    assert sheets
    for each in sheets:
        sheet = visitor.get(each)
        assert (sheet.mimetype, sheet.data[:5]) == ("application/pdf", b"%PDF-")
    placed = {each.name: each.read_bytes() for each in (desk.hangar.folder / "issued").rglob("*.pdf")}
    assert placed == {each.rpartition("/")[2]: visitor.get(each).data for each in sheets}
    assert "No number and no word differs." in page, page[page.index("What would change") :][:1500]
    assert "<b>issue" not in visitor.text(address(rotor, "issue")[:-6])

    code = sheets[0].split("/")[-2]
    again = visitor.text(f"{where}again/{code}?cards=track")
    (part, *_) = re.findall(r'href="(\S+\.pdf\?cards=track)"', again)
    assert visitor.get(part).data[:5] == b"%PDF-"
    assert visitor.get(f"{where}again/{code}?cards=nothing").status_code == 404
    assert visitor.get(f"{where}sheet/{code}/..%2Fregister.sqlite").status_code == 404

    # One torque is changed: it alone is to be read again, and the change is told first.
    rotor.write_text(rotor.read_text("utf-8").replace("175 in·lbf", "178 in·lbf"), "utf-8")
    changed = visitor.text(where)
    assert "178" in changed[changed.index("What would change") :]
    asked = ASKED.findall(visitor.text(address(rotor, "read")))
    assert 1 <= len(asked) <= 3
    assert "R. Reader read the rest" in visitor.text(address(rotor, "read"))

    data = {"code": code, "reason": "a <i>wrong</i> page", "desk_token": visitor.keys.post}
    gone = visitor.send("POST", f"{where}withdraw", OWN, data=data)
    assert gone.status_code == 303
    recall = visitor.text(gone.headers["Location"])
    assert "Take down and destroy" in recall
    assert "withdrawn on 2026-11-25, because: a &lt;i&gt;wrong&lt;/i&gt; page" in recall
    # Out of use, a sheet says so itself: it is no longer what was issued.
    assert visitor.get(sheets[0]).data != placed[sheets[0].rpartition("/")[2]]
