"""The commands around the register, run as a keeper runs them, on a real deck."""

from __future__ import annotations

import json
import re
import shutil
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from tests.cli.running import INCH, METRIC, Ran, altered, cardgen
from tests.issuing.decks import read_answer
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
    where = ("--register", folder / "club.sqlite", "--today", today)
    return cardgen(*arguments, *read_answer(spec), *where)


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


def test_verify_says_who_read_and_who_approved(club: Club) -> None:
    ran = club.run("verify", club.new)
    assert f"Read by second reader on {SECOND}, approved by inspector." in ran.out
    assert club.run("verify", club.new, "--json").out.count('"read_by": "second reader"') == 1


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


def test_a_file_with_another_rotor_s_specification_inside_is_altered_and_never_compared(
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
    assert (compared.code, compared.out) == (1, "")
    assert "pouch.pdf is altered: it names NR-0306 revision 2" in compared.err


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
    ran = cardgen("verify", "0000-0000-1", "--register", tmp_path / "none.sqlite")
    assert (ran.code, "Mistyped" in ran.out) == (4, True)
    short = cardgen("verify", "1234", "--register", tmp_path / "none.sqlite")
    assert (short.code, "nine characters in groups of 4, 4 and 1" in short.out) == (4, True)
    nothing = cardgen("verify", "", "--register", tmp_path / "none.sqlite")
    assert (nothing.code, "No code was given." in nothing.err) == (2, True)
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


def test_a_folder_is_told_from_a_file_and_from_a_disk_that_fails(club: Club) -> None:
    folder = next(club.out.glob("*-r2"))
    ran = club.run("verify", folder)
    assert ran.code == 2
    assert f"{folder} is a folder. Name one file of a deck, such as {folder}/" in ran.err
    assert "the code from the foot of a card" in ran.err
    assert "disk" not in ran.err


def test_a_draft_is_told_so_whichever_of_its_files_is_given(club: Club, tmp_path: Path) -> None:
    assert cardgen("draft", INCH, "--out", tmp_path, "--today", "2026-11-25").code == 0
    for name in (
        "wall.pdf",
        "pouch.pdf",
        "handout.pdf",
        "pouch-2up.pdf",
        "cards.html",
        "cards.txt",
        "deck.json",
    ):
        ran = club.run("verify", tmp_path / name)
        assert ran.code == 4
        assert f"{tmp_path / name}: a draft, marked NOT ISSUED; no register knows a draft" in ran.out, name
        assert "Do not use this card." in ran.out
    told = json.loads(club.run("verify", tmp_path / "wall.pdf", "--json").out)
    assert told["state"] == "draft"
    before_any_issue = cardgen("verify", tmp_path / "wall.pdf", "--register", tmp_path / "none.sqlite")
    assert (before_any_issue.code, before_any_issue.err) == (4, "")
    assert "a draft, marked NOT ISSUED" in before_any_issue.out
    # An issued file that was changed later is altered, and no draft.
    changed = tmp_path / "changed.pdf"
    changed.write_bytes((next(club.out.glob("*-r2")) / "wall.pdf").read_bytes() + b"\n")
    assert "altered" in club.run("verify", changed).out


def test_the_name_of_a_rotor_is_answered_with_the_code_that_its_cards_must_have(club: Club) -> None:
    for asked in ("NR-0306", "nr-0306"):
        ran = club.run("verify", asked)
        assert ran.code == 4
        assert "NR-0306 is the name of a rotor, and not the code of a card." in ran.out
        assert f"Work only from cards that have {club.new} at their foot." in ran.out
    told = json.loads(club.run("verify", "NR-0306", "--json").out)
    assert (told["state"], told["newest_code"], told["newest_state"]) == ("no card", club.new, "current")
    late = club.run("verify", "NR-0306", today="2027-11-01")  # the sample is to be used until 2027-10-31
    assert "No card of this rotor is to be used until a new deck is issued." in late.out
    assert "NR-0307: no rotor of this name is known here" in club.run("verify", "NR-0307").out


def test_an_issued_file_is_known_whatever_it_is_called(club: Club, tmp_path: Path) -> None:
    renamed = tmp_path / "rotor.toml"
    renamed.write_bytes((next(club.out.glob("*-r2")) / "wall.pdf").read_bytes())
    ran = club.run("verify", renamed)
    assert (ran.code, "current" in ran.out) == (0, True)


def pages_of(pdf: Path) -> dict[str, tuple[int, str, bytes]]:
    """Each page by its label: its place, its text, and its picture at a pixel a point, as pdfium gives them."""
    with closing(pypdfium2.PdfDocument(pdf)) as read:
        return {
            read.get_page_label(place): (
                place,
                read[place].get_textpage().get_text_bounded(),
                read[place].render(scale=1).to_numpy().tobytes(),
            )
            for place in range(len(read))
        }


def pages_of_track(kept: dict[str, tuple[int, str, bytes]]) -> list[str]:
    """Of these two cards track is the later one; where cards run on, it begins with its first words."""
    labels, number = list(kept), list(kept)[-1].partition(" side ")[0]
    if number == labels[-1]:
        said = (" ".join(text.split()) for _, text, _ in kept.values())
        return labels[next(place for place, words in enumerate(said) if "A part that comes off" in words) :]
    return [label for label in labels if label.partition(" side ")[0] == number]


def test_a_part_has_the_pages_of_its_cards_and_nothing_on_them_is_changed(club: Club, tmp_path: Path) -> None:
    ran = club.run("reprint", club.new, "--out", tmp_path, "--card", "track")
    assert ran.code == 0, ran.err
    assert "Only a part of the deck: track." in ran.out
    (placed,) = tmp_path.iterdir()
    assert placed.name == "NR-0306-r2-part-track"
    names = ("wall.pdf", "wall-halves.pdf", "pouch.pdf", "handout.pdf")
    assert {file.name for file in placed.iterdir()} == {f"part-track-{name}" for name in names}
    for name in names:
        kept = pages_of(next(club.out.glob("*-r2")) / name)
        part = pages_of(placed / f"part-track-{name}")
        blank = part.pop("blank", None)
        assert blank is None or blank[1] == ""
        assert list(part) == pages_of_track(kept)
        assert 0 < len(part) < len(kept)
        for label, (place, text, picture) in part.items():
            assert (text, picture) == kept[label][1:], (name, label)
            assert club.new in text
            if not name.startswith("wall"):
                # Printed on both sides: a front stays a front.
                assert place % 2 == kept[label][0] % 2
        with pikepdf.open(placed / f"part-track-{name}") as pdf:
            assert "only a part of the deck: Track" in str(pdf.docinfo["/Title"])
            assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
            assert list(pdf.attachments) == ["NR-0306.toml"]


def test_a_part_is_known_again_and_a_changed_part_is_not(club: Club, tmp_path: Path) -> None:
    club.run("reprint", club.new, "--out", tmp_path, "--card", "track")
    part = tmp_path / "NR-0306-r2-part-track" / "part-track-pouch.pdf"
    ran = club.run("verify", part)
    assert (ran.code, club.new in ran.out) == (0, True), ran.out
    assert "This is a part of it: Track." in ran.out
    assert json.loads(club.run("verify", part, "--json").out)["part"] == ["Track"]
    renamed = tmp_path / "any name.pdf"
    renamed.write_bytes(part.read_bytes())
    assert club.run("verify", renamed).code == 0
    renamed.write_bytes(part.read_bytes() + b"\n")
    changed = club.run("verify", renamed)
    assert (changed.code, "altered" in changed.out) == (4, True)


def test_a_part_stamped_for_the_records_is_said_to_be_stamped(club: Club, tmp_path: Path) -> None:
    club.run("reprint", club.old, "--out", tmp_path, "--card", "track", "--for-records")
    part = tmp_path / "NR-0306-r1-part-track" / "part-track-pouch.pdf"
    ran = club.run("verify", part)
    assert ran.code == 4
    assert "stamped for the records, and out of use" in ran.out
    assert "This is a part of it: Track." in ran.out
    assert json.loads(club.run("verify", part, "--json").out)["for_records"] is True


def test_a_part_of_a_superseded_deck_is_not_to_be_used(club: Club, tmp_path: Path) -> None:
    club.run("reprint", club.old, "--out", tmp_path, "--card", "torque", "--for-records")
    ran = club.run("verify", tmp_path / "NR-0306-r1-part-torque" / "part-torque-wall.pdf")
    assert (ran.code, "superseded" in ran.out, "Do not use this card." in ran.out) == (4, True, True)


def test_a_file_that_is_neither_card_nor_specification_is_not_called_one(club: Club, tmp_path: Path) -> None:
    notes = tmp_path / "notes.toml"
    notes.write_text("bought = ['shims'", "utf-8")
    ran = club.run("verify", notes)
    assert (ran.code, "is no file of a deck and no card" in ran.err) == (2, True), ran.err
    assert f"{INCH} is a specification and no card" in club.run("verify", INCH).err
    assert "there is no such file" in club.run("verify", tmp_path / "gone.toml").err
    text = tmp_path / "notes.txt"
    text.write_text("bought shims", "utf-8")
    assert (club.run("verify", text).code, "unknown" in club.run("verify", text).out) == (4, True)


def test_a_card_is_found_by_the_title_that_is_printed_on_it(club: Club, tmp_path: Path) -> None:
    ran = club.run("reprint", club.new, "--out", tmp_path, "--card", "TORQUE")
    assert "Only a part of the deck: torque." in ran.out, ran.err
    none = club.run("reprint", club.new, "--out", tmp_path / "none", "--card", "tips")
    assert (none.code, 'This deck has no card "sealing".' in none.err) == (2, True)
    unnamed = club.run("reprint", club.new, "--out", tmp_path / "none", "--job", "")
    assert "--job needs the name of a job. Jobs and their cards:" in unnamed.err


def test_a_job_takes_its_cards_and_says_which_of_them_the_deck_has_not_got(club: Club, tmp_path: Path) -> None:
    ran = club.run("reprint", club.new, "--out", tmp_path, "--job", "Track day", "--card", "torque")
    assert ran.code == 0, ran.err
    assert "Only a part of the deck: torque, track." in ran.out
    assert "This deck has no run-up, second-reading, teeter." in ran.err
    (placed,) = tmp_path.iterdir()
    assert placed.name == "NR-0306-r2-part-track-day+torque"
    unknown = club.run("reprint", club.new, "--out", tmp_path / "none", "--job", "tracking")
    assert unknown.code == 2
    assert 'No job is called "tracking"' in unknown.err
    assert '"track day": run-up, track, second-reading, teeter' in unknown.err
    wrong = club.run("reprint", club.new, "--out", tmp_path / "none", "--card", "trak")
    assert wrong.code == 2
    assert 'This deck has no card "trak". Did you mean "track"? Its cards are torque, track.' in wrong.err
    nothing = club.run("reprint", club.new, "--out", tmp_path / "none", "--job", "balance day")
    assert nothing.code == 2
    assert 'This deck has no card "balance".' in nothing.err
    old = club.run("reprint", club.old, "--out", tmp_path / "none", "--card", "track")
    assert old.code == 4
    assert not (tmp_path / "none").exists()


def test_an_issue_that_changes_nothing_is_done_and_says_so(tmp_path: Path) -> None:
    assert issue(tmp_path, METRIC, "first issue", "2026-11-24").err.count("Nothing changed") == 0
    again = issue(tmp_path, METRIC, "once more", "2026-11-25")
    assert again.code == 0
    assert "Nothing changed since revision 1, code " in again.err
    assert "is out of use all the same: take its cards down." in again.err
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
    assert early.code == 3
    assert "the newest entry of this register is of 2026-11-26" in early.err
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
        ran = club.run("compare", club.old, new, "--all")
        assert ran.code == 0, ran.err
        assert "torque_min" in ran.out
        assert "take every printed copy" in ran.out
        assert "next print" not in ran.out
        wanted = "Full: At least (row Drag read 0 in·lbf), TW-4: "
        (row,) = [line for line in ran.out.splitlines() if wanted in line]
        assert " is now " in row
        said = [line.partition("  [")[0] for line in ran.out.splitlines() if " is now " in line]
        assert len(said) == len(set(said))
        assert "DIFFERENT" not in ran.out
    assert club.run("compare", INCH, INCH).out == "No number and no word differs.\n"


def test_a_comparison_agrees_with_the_recall_that_every_copy_of_the_old_deck_comes_down(club: Club) -> None:
    """The issue of revision 2 listed every copy of revision 1, and `verify` calls its code superseded."""
    assert "superseded" in club.run("verify", club.old).out
    down = "Revision 1 is out of use: take every printed copy down today, changed or not.\n"
    assert club.run("compare", club.old, club.new).out.startswith(down)
    # Asked the wrong way round, it is the same deck that comes down.
    assert club.run("compare", club.new, club.old).out.startswith(down)
    once = "Once the new deck is issued, take every printed copy of the old one down, changed or not.\n"
    assert club.run("compare", club.new, INCH).out.startswith(once)


def test_a_comparison_is_short_and_says_the_weightiest_first() -> None:
    short = cardgen("compare", METRIC, INCH, "--today", "2026-11-25").out.splitlines()
    whole = cardgen("compare", METRIC, INCH, "--all", "--today", "2026-11-25").out.splitlines()
    assert len(whole) > 40
    assert short == [*whole[:20], f"… and {len(whole) - 20} more, with --all"]
    figures = [line.rpartition("  [")[2].rstrip("]").replace("[", ".") for line in whole if " is now " in line]
    groups = list(dict.fromkeys(figure.split(".")[0] for figure in figures))
    places = [groups.index(group) for group in ("fasteners", "torque", "track", "balance", "run", "care")]
    assert places[:4] == sorted(places[:4])
    assert max(places[:4]) < min(places[4:])


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
    bad = altered(tmp_path, ("schema = 2", "schema = 1"))
    assert issue(tmp_path, bad, "first issue", FIRST).code == 1
    assert issue(tmp_path, INCH, "first\x1b[31m", FIRST).code == 1
    assert not (tmp_path / "out").exists()
    ran = cardgen("register", "list", "--register", tmp_path / "club.sqlite")
    assert ran.out == ""
