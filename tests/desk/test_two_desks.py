"""Issuing from two desks at once, stopped, cut off, and on a full disk: one deck or none, and it is said which.

Each issue works in a process of its own, as at a real desk; it waits for the test at the moments that count.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from http.cookiejar import CookieJar
from pathlib import Path
from unittest import mock
from urllib.parse import urlencode

import pytest

from cardgen.desk import issue_pages
from cardgen.desk.app import make_app
from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Hangar
from cardgen.desk.work import Job
from cardgen.issuing.reading import keep_reading
from cardgen.register.audit import check
from cardgen.register.rows import DeckRow, ReadingRow
from cardgen.spec.read_check import read_check
from tests.cli.running import INCH, TREE
from tests.desk.browsing import OWN, PORT, Visitor, let_in
from tests.desk.every_page import one_edition
from tests.desk.tasks import HeldIssue, until
from tests.issuing.decks import opened

#: Nothing here waits so long unless it fails.
LONG = 300.0


class AtDesk:
    """One desk of several on the same folder and register, and who sits at it."""

    def __init__(self, desk: Desk, visitor: Visitor) -> None:
        self.desk, self.visitor = desk, visitor
        (only,) = desk.hangar.rotors()
        self.id, self.address = only.id, f"/rotor/{only.id}/issue/"

    def begins(self) -> Job:
        data = {"approved_by": "A. Approver", "reason": "first issue", "desk_token": self.visitor.keys.post}
        answer = self.visitor.send("POST", f"{self.address}start", OWN, data=data)
        assert answer.status_code == 303, answer.text
        job = self.desk.jobs.of_rotor(self.id)
        assert job is not None
        return job

    def ends(self, job: Job) -> str:
        until(lambda: job.is_over, LONG)
        return self.visitor.text(job.then if job.state == "done" else self.address)

    def stops(self, job: Job) -> str:
        assert self.visitor.post(f"/work/{job.id}/stop").status_code == 200
        until(lambda: job.is_over, LONG)
        assert job.state == "stopped"
        return self.visitor.text(self.address)


@pytest.fixture
def holds(desk: Desk) -> Path:
    """Where tests and issues wait for each other; the rotor is read already."""
    rotor = desk.hangar.folder / INCH.name
    rotor.write_text(one_edition(INCH.read_text("utf-8")), "utf-8")
    read = read_check(rotor.read_bytes())
    with opened(desk.register) as book:
        assert isinstance(keep_reading(book, "NR-0306", read, "R. Reader", read, desk.today()), ReadingRow)
    made = desk.register.parent / "holds"
    made.mkdir()
    return made


@pytest.fixture
def here(desk: Desk, visitor: Visitor, holds: Path) -> AtDesk:
    return AtDesk(desk, visitor)


def another(here: AtDesk) -> AtDesk:
    """A second desk, which knows nothing of the first."""
    desk = Desk(Hangar(here.desk.hangar.folder), here.desk.register, here.desk.today)
    keys = here.visitor.keys
    return AtDesk(desk, let_in(Visitor(make_app(desk, PORT, keys).test_client(use_cookies=False), keys)))


def came(holds: Path, place: str, many: int = 1) -> None:
    until(lambda: len(list(holds.glob(f"{place}-*"))) >= many, LONG)


def decks(here: AtDesk) -> tuple[DeckRow, ...]:
    """Every deck, of a register that is whole; no file of an unfinished one lies about."""
    with opened(here.desk.register, "read") as book:
        assert [each.what for each in check(book).found if each.level == "fault"] == []
        found = tuple(book.decks())
    folders = here.desk.hangar.folder / "issued"
    left = {each.name for each in folders.iterdir()} if folders.is_dir() else set()
    assert left <= {each.folder for each in found}
    return found


pytestmark = pytest.mark.usefixtures("held")


@pytest.fixture
def held() -> Iterator[None]:
    with mock.patch.object(issue_pages, "Issue", HeldIssue):
        yield


def test_of_two_desks_that_issue_at_the_same_instant_one_does_and_the_other_says_so(
    here: AtDesk, holds: Path
) -> None:
    there = another(here)
    (holds / "hold-before").touch()
    jobs = [(each, each.begins()) for each in (here, there)]
    came(holds, "before", many=2)
    (holds / "hold-before").unlink()
    told = [each.ends(job) for each, job in jobs]
    (deck,) = decks(here)
    done = [f"Issued: revision 1, code {deck.code}" in page for page in told]
    other = f"Nothing was issued: revision 1, code {deck.code}, is from this very file"
    assert sorted(done) == [False, True]
    assert other in told[done.index(False)]


def test_an_issue_that_is_stopped_before_it_is_entered_leaves_nothing(here: AtDesk, holds: Path) -> None:
    (holds / "hold-before").touch()
    job = here.begins()
    came(holds, "before")
    assert "Never issued." in here.stops(job)
    assert decks(here) == ()
    # And one that is stopped too late is issued, and the page says so.
    (holds / "hold-before").unlink()
    (holds / "hold-after").touch()
    job = here.begins()
    came(holds, "after")
    assert here.visitor.post(f"/work/{job.id}/stop").status_code == 200
    (holds / "hold-after").unlink()
    until(lambda: job.is_over, LONG)
    page = here.visitor.text(here.address)
    (deck,) = decks(here)
    assert f"Revision 1, code {deck.code}: current" in page
    told = here.ends(here.begins())
    assert "Nothing was issued: revision 1" in told
    # Where no folder was placed, none is named.
    assert "The files lie in" not in told
    assert decks(here) == (deck,)


SERVE = """
import sys
from cardgen.desk import issue_pages
from tests.desk.tasks import HeldIssue
issue_pages.Issue = HeldIssue
from cardgen.cli import errors
sys.exit(errors.run(sys.argv[1:]))
"""


def test_a_server_killed_while_it_issues_doubles_nothing(here: AtDesk, holds: Path) -> None:
    (holds / "hold-before").touch()
    folder, register = here.desk.hangar.folder, here.desk.register
    words = ["desk", folder, "--no-browser", "--today", "2026-11-25", "--register", register]
    process = subprocess.Popen(
        [sys.executable, "-c", SERVE, *map(str, words)],
        env={**os.environ, "PYTHONPATH": str(TREE)},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    address = process.stdout.readline().strip()
    _ask_to_issue(address, here.id)
    came(holds, "before")
    process.kill()
    process.wait()
    # Whoever waits for the end of what it says waits for its worker too.
    process.stdout.close()
    # Its worker goes on alone, while a new desk is asked for the same.
    job = here.begins()
    came(holds, "before", many=2)
    (holds / "hold-before").unlink()
    told = here.ends(job)
    came(holds, "ended", many=2)
    (deck,) = decks(here)
    assert f"revision 1, code {deck.code}" in told


def _ask_to_issue(address: str, rotor: str) -> None:
    browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
    browser.open(address, timeout=60).close()
    site = address.partition("/enter")[0]
    with browser.open(f"{site}/rotor/{rotor}/issue/", timeout=60) as page:
        token = re.search(r'name="desk_token" value="(\S+?)"', page.read().decode())
    assert token
    data = {"approved_by": "A. Approver", "reason": "first issue", "desk_token": token[1]}
    asked = urllib.request.Request(
        f"{site}/rotor/{rotor}/issue/start",
        urlencode(data).encode(),
        {"Origin": site, "Sec-Fetch-Site": "same-origin"},
    )
    browser.open(asked, timeout=60).close()


def test_a_full_disk_while_issuing_is_told_and_the_next_issue_is_the_first(here: AtDesk, holds: Path) -> None:
    (holds / "full").touch()
    told = here.ends(here.begins())
    assert "Nothing was issued" in told
    assert "Never issued." in told
    assert decks(here) == ()
    (holds / "full").unlink()
    assert "Issued: revision 1" in here.ends(here.begins())
    assert len(decks(here)) == 1
