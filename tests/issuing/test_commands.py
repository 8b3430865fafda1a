"""The commands around the register, run as a keeper runs them, on a real deck."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import pikepdf
import pytest

from tests.cli.running import INCH, METRIC, Ran, altered, cardgen
from tests.issuing.quick import few_cards

#: How a deck is printed and proved is asked elsewhere; here it is issued, kept, compared and taken down.
pytestmark = pytest.mark.usefixtures("few_cards")

LEAST = "fasteners[1].torque_min"
FIRST, SECOND = "2026-04-02", "2026-05-01"


@dataclass(frozen=True)
class Club:
    """A register with two revisions of one rotor, the second with a greater torque."""

    folder: Path
    old: str
    new: str

    def run(self, *arguments: str | Path, today: str = SECOND) -> Ran:
        return cardgen(*arguments, "--register", self.folder / "club.sqlite", "--today", today)

    @property
    def out(self) -> Path:
        return self.folder / "out"


def issue(folder: Path, spec: Path, reason: str, today: str) -> Ran:
    arguments = ("issue", spec, "--out", folder / "out", "--approved-by", "inspector", "--reason", reason)
    return cardgen(*arguments, "--register", folder / "club.sqlite", "--today", today)


def code_in(text: str) -> str:
    found = re.search(r"code (\S{4}-\S{4}-\S)", text)
    assert found, text
    return found[1]


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Club:
    folder = tmp_path_factory.mktemp("club")
    with few_cards():
        first = issue(folder, INCH, "first issue", FIRST)
        assert first.code == 0, first.err
        second = issue(folder, heavier(folder), "maker changed the torque", SECOND)
    assert second.code == 0, second.err
    assert "Take down and destroy" in second.out
    return Club(folder, code_in(first.out), code_in(second.out))


def heavier(folder: Path) -> Path:
    """The sample with the least torque of its strap bolts raised by one unit."""
    text = INCH.read_text("utf-8")
    number = re.search(r'torque_min\s*= "(\d+) in', text)
    assert number
    raised = number[0].replace(number[1], str(int(number[1]) + 1))
    path = folder / "rotor.toml"
    path.write_text(text.replace(number[0], raised), "utf-8")
    return path


def test_each_issue_has_its_own_folder_with_the_code_in_its_description(club: Club) -> None:
    folders = sorted(club.out.iterdir())
    assert [folder.name[-3:] for folder in folders] == ["-r1", "-r2"]
    for folder, code in zip(folders, (club.old, club.new), strict=True):
        assert json.loads((folder / "deck.json").read_text("utf-8"))["code"] == code
        assert (folder / "pouch.pdf").read_bytes().startswith(b"%PDF-")


def test_the_current_card_verifies_by_code_as_typed_and_by_file(club: Club) -> None:
    typed = club.new.lower().replace("-", " ").replace("0", "o")
    for asked in (club.new, typed, str(next(club.out.glob("*-r2")) / "wall.pdf")):
        ran = club.run("verify", asked)
        assert (ran.code, ran.err) == (0, ""), ran
        assert "current" in ran.out


def test_the_old_card_is_superseded_with_date_reason_and_what_changed(club: Club) -> None:
    for asked in (club.old, str(next(club.out.glob("*-r1")) / "pouch.pdf")):
        ran = club.run("verify", asked)
        assert ran.code == 4
        assert f"superseded on {SECOND}, because: maker changed the torque" in ran.out
        assert club.new in ran.out
        assert "percent more" in ran.out


def test_unknown_mistyped_and_altered_are_told_apart(club: Club, tmp_path: Path) -> None:
    unknown = club.run("verify", "0000-0000-0")
    assert (unknown.code, "unknown" in unknown.out) == (4, True)
    wrong = club.new[:-1] + ("0" if club.new[-1] != "0" else "1")
    mistyped = club.run("verify", wrong)
    assert (mistyped.code, "Mistyped" in mistyped.out) == (4, True)
    assert "Do not use the card" in mistyped.out
    issued = next(club.out.glob("*-r2")) / "pouch.pdf"
    copy = tmp_path / "pouch.pdf"
    copy.write_bytes(issued.read_bytes() + b"\n")
    altered_file = club.run("verify", copy)
    assert altered_file.code == 4
    assert "altered" in altered_file.out
    assert club.new in altered_file.out


def test_a_file_with_another_rotor_s_specification_inside_is_altered_and_compared_as_what_it_carries(
    club: Club, tmp_path: Path
) -> None:
    spec, copy = METRIC.read_bytes(), tmp_path / "pouch.pdf"
    with pikepdf.open(next(club.out.glob("*-r2")) / "pouch.pdf") as pdf:
        (name,) = pdf.attachments
        pdf.attachments[name] = spec
        pdf.save(copy)
    ran = club.run("verify", copy)
    assert (ran.code, "altered" in ran.out) == (4, True)
    compared = club.run("compare", copy, METRIC, today="2026-11-25")
    assert (compared.code, compared.out) == (0, "No number and no word differs.\n")
    assert "not in this register" in compared.err


def test_what_changed_is_marked_on_the_cards_and_can_be_explained_from_either_code(club: Club) -> None:
    cards = (next(club.out.glob("*-r2")) / "cards.txt").read_text("utf-8")
    old = json.loads(club.run("explain", club.old, LEAST, "--json").out)[0]
    new = json.loads(club.run("explain", club.new, LEAST, "--json").out)[0]
    assert new["value"] == old["value"] + 1
    assert f"(was {old['value']:.0f})" in cards
    told = json.loads((next(club.out.glob("*-r2")) / "deck.json").read_text("utf-8"))["changes"]
    assert (old["shown"].split()[0], new["shown"].split()[0]) in {
        (each["old"].split()[0], each["new"].split()[0]) for each in told if each["figure"] == LEAST
    }
    ran = club.run("explain", club.old, LEAST)
    line = next(at for at, text in enumerate(INCH.read_text("utf-8").splitlines(), 1) if "torque_min" in text)
    assert f"typed: line {line} of the specification kept with NR-0306 revision 1\n" in ran.out
    assert "attached to each PDF" in ran.out
    # The numbers are told, and the exit code says that nobody is to work by them.
    assert ran.code == club.run("explain", club.old, "--json").code == 4
    assert "superseded" in ran.err
    current = club.run("explain", club.new, LEAST)
    assert (current.code, current.err) == (0, "")


def test_a_mistyped_code_needs_no_register(tmp_path: Path) -> None:
    ran = cardgen("verify", "1234", "--register", tmp_path / "none.sqlite")
    assert (ran.code, "Mistyped" in ran.out) == (4, True)
    assert cardgen("verify", "0000-0000-0", "--register", tmp_path / "none.sqlite").code == 3


def test_json_says_the_same_as_the_words(club: Club) -> None:
    ran = club.run("verify", club.old, "--json")
    data = json.loads(ran.out)
    assert ran.code == 4
    assert (data["state"], data["since"], data["newest_code"]) == ("superseded", SECOND, club.new)
    assert data["changes"]


def test_a_withdrawn_deck_is_not_current_any_more(club: Club, tmp_path: Path) -> None:
    for name in ("club.sqlite", "club.sqlite.store"):
        copy = shutil.copytree if (club.folder / name).is_dir() else shutil.copy
        copy(club.folder / name, tmp_path / name)
    there = Club(tmp_path, club.old, club.new)
    done = there.run("withdraw", club.new, "--reason", "wrong page")
    assert done.code == 0
    assert "Take down and destroy" in done.out
    ran = there.run("verify", club.new)
    assert (ran.code, "withdrawn on" in ran.out) == (4, True)
    assert there.run("reprint", club.new, "--out", tmp_path / "out").code == 4
    sent_on = there.run("verify", club.old)
    assert sent_on.code == 4
    said = f"It is not current either: withdrawn on {SECOND}, because: wrong page."
    assert f"The newest deck is NR-0306 revision 2, code {club.new}. {said}" in sent_on.out
    told = json.loads(there.run("verify", club.old, "--json").out)
    assert (told["state"], told["newest_code"], told["newest_state"]) == ("superseded", club.new, "withdrawn")
    assert (told["newest_since"], told["newest_why"]) == (SECOND, "wrong page")


def test_a_newest_deck_past_its_date_is_not_offered_as_if_it_were_current(club: Club) -> None:
    ran = club.run("verify", club.old, today="2027-11-01")  # the sample is to be used until 2027-10-31
    assert "It is not current either: out of date" in ran.out
    assert (
        json.loads(club.run("verify", club.old, "--json", today="2027-11-01").out)["newest_state"] == "expired"
    )
    still = club.run("verify", club.old, today="2027-10-31")
    assert f"The newest deck is NR-0306 revision 2, code {club.new}. What changed:" in still.out
    assert json.loads(club.run("verify", club.old, "--json").out)["newest_state"] == "current"


def test_an_altered_file_of_an_old_deck_is_not_sent_to_a_reprint_that_would_be_refused(
    club: Club, tmp_path: Path
) -> None:
    copy = tmp_path / "pouch.pdf"
    for revision, offered in (("r1", False), ("r2", True)):
        copy.write_bytes((next(club.out.glob(f"*-{revision}")) / "pouch.pdf").read_bytes() + b"\n")
        ran = club.run("verify", copy)
        assert ran.code == 4
        assert ("reprint" in ran.out) is offered
        assert ("superseded" in ran.out) is not offered


def test_what_is_no_card_is_told_so_and_a_wrong_path_is_not_blamed_on_the_register(
    club: Club, tmp_path: Path
) -> None:
    specification = club.run("verify", INCH)
    assert specification.code == 2
    assert "is a specification and no card" in specification.err
    missing = club.run("verify", tmp_path / "gone.pdf")
    assert missing.code == 3
    assert "there is no such file" in missing.err
    assert "--register" not in missing.err
    other = cardgen("verify", club.new, "--register", INCH)
    assert other.code == 3
    assert "is not a register. What to do: check the path" in other.err


def test_an_issue_that_changes_nothing_is_done_and_says_so(tmp_path: Path) -> None:
    assert issue(tmp_path, METRIC, "first issue", "2026-11-24").err.count("Nothing changed") == 0
    again = issue(tmp_path, METRIC, "once more", "2026-11-25")
    assert again.code == 0
    assert "Nothing changed: no number and no word of these cards differs from revision 1." in again.err
    book = tmp_path / "club.sqlite"
    gone = (
        "withdraw",
        code_in(again.out),
        "--reason",
        "wrong page",
        "--register",
        book,
        "--today",
        "2026-11-25",
    )
    assert cardgen(*gone).code == 0
    third = issue(tmp_path, METRIC, "and again", "2026-11-26")
    assert third.code == 0
    assert "revision 2 was withdrawn on 2026-11-25, because: wrong page." in third.err
    early = issue(tmp_path, METRIC, "on a slow clock", "2026-11-25")
    assert early.code == 1
    assert "[issued-before]" in early.err
    assert not (tmp_path / "out" / "FT-7400-r4").exists()


def test_an_output_that_cannot_be_written_leaves_nothing_issued_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("in the way", "utf-8")
    ran = issue(tmp_path, METRIC, "first issue", "2026-11-25")
    assert ran.code == 3
    assert "this is a file, not a folder" in ran.err
    assert ran.err.rstrip().endswith("Nothing was issued.")
    assert cardgen("register", "list", "--register", tmp_path / "club.sqlite").out == ""


def test_a_reprint_brings_the_same_bytes_and_never_an_old_deck_by_accident(club: Club, tmp_path: Path) -> None:
    assert club.run("reprint", club.new, "--out", tmp_path).code == 0
    placed = next(tmp_path.glob("*-r2"))
    issued = club.out / placed.name
    assert {file.name for file in placed.iterdir()} == {file.name for file in issued.iterdir()}
    assert all(file.read_bytes() == (issued / file.name).read_bytes() for file in placed.iterdir())
    assert club.run("reprint", club.new, "--out", tmp_path).code == 3
    assert club.run("reprint", club.old, "--out", tmp_path).code == 4


def test_codes_files_and_specifications_can_be_compared(club: Club, tmp_path: Path) -> None:
    drafted = cardgen("draft", heavier(tmp_path), "--out", tmp_path / "draft", "--edition", "wall")
    assert drafted.code == 0, drafted.err
    news = (
        club.new,
        next(club.out.glob("*-r2")) / "wall.pdf",
        heavier(tmp_path),
        tmp_path / "draft" / "wall.pdf",
    )
    for new in news:
        ran = club.run("compare", club.old, new)
        assert ran.code == 0, ran.err
        assert "torque_min" in ran.out
        assert "Swap today" in ran.out
        assert "(row TW-4: 1 to 4, Drag read 0 in·lbf): " in ran.out
        said = [line.partition("  [")[0] for line in ran.out.splitlines() if " is now " in line]
        assert len(said) == len(set(said))
        assert "DIFFERENT" not in ran.out
    assert club.run("compare", INCH, INCH).out == "No number and no word differs.\n"


def test_two_rotors_are_said_to_be_two_before_anything_else() -> None:
    ran = cardgen("compare", METRIC, INCH, "--today", "2026-11-25")
    assert ran.code == 0
    first, second, *_ = ran.out.splitlines()
    assert first.startswith("DIFFERENT ROTORS: FT-7400 and NR-0306.")
    assert second == "DIFFERENT DIAMETERS: 7.40 m and 25 ft 6 in."
    told = json.loads(cardgen("compare", METRIC, INCH, "--json", "--today", "2026-11-25").out)
    assert told["rotors"]["old"] == {"set_id": "FT-7400", "diameter": "7.40 m"}
    hours = next(each for each in told["numbers"] if each["figure"] == "care.interval")
    # From 50 h to 25 h.
    assert (hours["percent"], hours["percent_change"]) == ("50.0 percent less", -50.0)


def test_list_sheet_check_and_export_look_at_the_register(club: Club) -> None:
    assert club.new in club.run("register", "list").out
    assert club.old in club.run("register", "list", "--all").out
    assert club.new in club.run("register", "sheet").out
    printed = club.folder / "sheet.pdf"
    assert club.run("register", "sheet", "--pdf", printed).code == 0
    assert printed.read_bytes().startswith(b"%PDF-")
    assert club.run("register", "sheet", "--pdf", printed).code == 3
    register = club.folder / "club.sqlite"
    checked = cardgen("register", "check", "--register", register)
    assert (checked.code, "sound" in checked.out) == (0, True)
    exported = cardgen("register", "export", "--register", register)
    assert [deck["code"] for deck in json.loads(exported.out)["decks"]] == [club.old, club.new]


def test_a_damaged_register_is_said_to_be_so_and_never_gives_a_traceback(tmp_path: Path) -> None:
    register = tmp_path / "club.sqlite"
    register.write_bytes(b"spoilt" * 1000)
    for arguments in (
        ["verify", "0000-0000-0"],
        ["register", "list"],
        ["register", "check"],
        ["register", "export"],
    ):
        ran = cardgen(*arguments, "--register", register)
        assert ran.code == 3
        assert "Traceback" not in ran.err
        assert "register" in ran.err


def test_a_refused_specification_or_reason_leaves_no_register_entry(tmp_path: Path) -> None:
    bad = altered(tmp_path, ("schema = 1", "schema = 2"))
    assert issue(tmp_path, bad, "first issue", FIRST).code == 1
    assert issue(tmp_path, INCH, "first\x1b[31m", FIRST).code == 1
    assert not (tmp_path / "out").exists()
    ran = cardgen("register", "list", "--register", tmp_path / "club.sqlite")
    assert ran.out == ""
