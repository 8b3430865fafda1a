"""How a rotor stands, in words: what the commands would say of it, on one page."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Hangar
from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Issued
from cardgen.issuing.withdraw_deck import withdraw
from tests.cli.running import INCH, cardgen
from tests.desk.browsing import Visitor
from tests.issuing.decks import TODAY, Maker, opened, request, with_reading
from tests.logbook.logs import issue_rotor, run

SET_ID = "NR-0306"


@pytest.fixture
def rotor(folder: Path) -> Path:
    """The one rotor of the folder, as it is in the samples."""
    path = folder / "rotor.toml"
    path.write_bytes(INCH.read_bytes())
    return path


def address(rotor: Path) -> str:
    (only,) = Hangar(rotor.parent).rotors()
    return f"/rotor/{only.id}/"


def issued(desk: Desk, rotor: Path, reason: str = "first issue", torque: str = "160") -> Issued:
    """Issue a small deck that says that it was made from this file."""
    with opened(desk.register) as book:
        asked = with_reading(replace(request(SET_ID, TODAY, reason), spec=rotor.read_bytes()))
        made = issue(book, asked, Maker(SET_ID, torque, TODAY), desk.register.parent / "out")
    assert isinstance(made, Issued), made
    return made


def test_a_rotor_without_a_deck_was_never_issued(visitor: Visitor, rotor: Path) -> None:
    state = visitor.text(f"{address(rotor)}state")
    assert "Never issued." in state
    assert SET_ID in state
    assert "25 ft 6 in" in state
    assert "Nothing stands against cards." in state


def test_a_current_deck_is_told_with_its_code_and_its_day(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    deck = issued(desk, rotor).deck
    state = visitor.text(f"{address(rotor)}state")
    assert f"Revision 1, code {deck.code}: current: issued 2026-04-02, use until 2027-11-30." in state
    assert "Changed since" not in state
    assert "Take down" not in state


def test_a_file_changed_since_its_deck_is_told(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    issued(desk, rotor)
    rotor.write_bytes(rotor.read_bytes() + b"# looked at again\n")
    assert "Changed since" in visitor.text(f"{address(rotor)}state")


def test_a_refused_rotor_says_why_and_its_page_says_it_line_by_line(visitor: Visitor, rotor: Path) -> None:
    text = rotor.read_text("utf-8").replace('torque_min   = "175 in·lbf"', 'torque_min   = "175"', 1)
    rotor.write_text(text, "utf-8")
    checked = cardgen("check", rotor, "--today", "2026-11-25")
    line = text[: text.index('torque_min   = "175"')].count("\n") + 1
    assert f"rotor.toml:{line}:" in checked.err
    why = "a torque needs a unit: 175 in·lbf and 175 ft·lbf differ by 12 times"
    assert f"Refused: line {line}: {why}." in visitor.text(f"{address(rotor)}state")
    page = visitor.text(address(rotor))
    told = re.search(
        r'<h3><a href="(\S+)#(\S+)">Fasteners 1, torque min</a> <span class="soft">line (\d+)<', page
    )
    assert told
    assert told[3] == str(line)
    # It leads to its box.
    assert f'id="{told[2]}"' in visitor.text(told[1])
    assert why in page
    assert "whichever the document states" in page


def test_a_mended_file_is_judged_anew_and_so_is_every_file_on_the_next_day(
    visitor: Visitor, desk: Desk, rotor: Path
) -> None:
    clean = rotor.read_bytes()
    rotor.write_bytes(clean.replace("175 in·lbf".encode(), b"175"))
    assert "Refused: " in visitor.text(f"{address(rotor)}state")
    rotor.write_bytes(clean)
    assert "Nothing stands against cards." in visitor.text(f"{address(rotor)}state")
    object.__setattr__(desk, "today", lambda: TODAY.replace(year=2040))
    assert "Refused: " in visitor.text(f"{address(rotor)}state")


def test_a_replaced_deck_s_copies_are_to_be_taken_down(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    first = issued(desk, rotor).deck
    issued(desk, rotor, "the maker's letter", "170")
    page = visitor.text(address(rotor))
    assert f"revision 1, code {first.code}: " in page
    assert "hangar, north wall" in page
    assert "superseded on 2026-04-02, because: the maker&#39;s letter" in page


def test_a_withdrawn_deck_is_in_use_no_more(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    deck = issued(desk, rotor).deck
    with opened(desk.register) as book:
        withdraw(book, deck.code, "a wrong page was copied", TODAY)
    state = visitor.text(f"{address(rotor)}state")
    assert "withdrawn on 2026-04-02, because: a wrong page was copied" in state
    assert "hangar, north wall" in state
    assert "unused" in state


def test_papers_that_have_run_out_are_told(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    issued(desk, rotor)
    object.__setattr__(desk, "today", lambda: TODAY.replace(year=2028))
    assert "out of date: it was to be used until 2027-11-30" in visitor.text(f"{address(rotor)}state")


def test_the_last_run_says_what_the_log_says(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    with opened(desk.register) as book:
        issue_rotor(book, desk.register.parent / "out").runs(run(1, "1.25", "B"))
    told = cardgen("log", "fit", rotor, "--register", desk.register, "--today", "2026-11-25")
    first = told.out.splitlines()[0]
    assert first
    assert f"Last run 2026-11-21. {first}" in visitor.text(address(rotor))


def test_a_damaged_register_calls_nothing_current(visitor: Visitor, desk: Desk, rotor: Path) -> None:
    issued(desk, rotor)
    desk.register.write_bytes(b"not a register" * 100)
    state = visitor.text(f"{address(rotor)}state")
    assert "Nothing is called current." in state
    assert "the file is not a register" in state


def test_a_register_that_is_gone_while_its_files_are_there_is_no_new_beginning(
    visitor: Visitor, desk: Desk, rotor: Path
) -> None:
    issued(desk, rotor)
    desk.register.unlink()
    assert "Nothing is called current." in visitor.text(f"{address(rotor)}state")


def test_hostile_words_in_a_specification_are_shown_as_text(visitor: Visitor, rotor: Path) -> None:
    hostile = "<script>alert(1)</script>{{ post_token }}"
    text = rotor.read_text("utf-8").replace(f'"{SET_ID}"', f'"{hostile}"')
    rotor.write_text(text, "utf-8")
    for page in (visitor.text(f"{address(rotor)}state"), visitor.text(address(rotor))):
        assert "<script>alert" not in page
        assert "&lt;script&gt;alert(1)&lt;/script&gt;{{ post_token }}" in page


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"[" * 5000, b"x" * (1 << 20) + b"x"])
def test_a_file_of_something_else_is_refused_in_words(visitor: Visitor, rotor: Path, content: bytes) -> None:
    rotor.write_bytes(content)
    state = visitor.text(f"{address(rotor)}state")
    assert "Refused: " in state
    # Whose deck it would be, nobody can tell.
    assert "Not known: " in state
    assert "Never issued" not in state
    visitor.text(address(rotor))
