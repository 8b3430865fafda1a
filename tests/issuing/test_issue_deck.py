"""Issuing: numbers, races, folders, and what an issue that fails leaves behind."""

from __future__ import annotations

import errno
import os
import signal
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from cardgen.issuing import folder as folder_module
from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Built, Issued, IssueRefused, Turn, Unchanged
from cardgen.issuing.withdraw_deck import Withdrawn, withdraw
from cardgen.placing import StagedFolder
from cardgen.register.audit import check
from cardgen.register.code import Code, code_of
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.rows import DeckRow, PlaceRow
from cardgen.spec.problem import Problem
from tests.issuing.decks import HEAD, PLACES, READING, TODAY, Maker, issued, opened, request, with_reading


def names(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir()) if folder.exists() else []


def test_revisions_of_a_rotor_run_from_one_and_rotors_do_not_disturb_each_other(
    register: Register, tmp_path: Path
) -> None:
    rotors = ["RB-2041", "RB-7", "RB-2041"]
    decks = [issued(register, tmp_path, set_id=rotor).deck for rotor in rotors]
    assert [(deck.set_id, deck.revision) for deck in decks] == [("RB-2041", 1), ("RB-7", 1), ("RB-2041", 2)]
    assert names(tmp_path / "RB-2041-r2") == ["deck.json", "pouch.pdf", "wall.pdf"]


def test_the_folder_holds_exactly_the_bytes_that_were_kept(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path)
    built = Maker()(Turn(1, 0, None, READING, HEAD))
    assert made.folder == tmp_path / "RB-2041-r1"
    assert {file.name: file.read_bytes() for file in made.folder.iterdir()} == built.files
    for row in register.files(made.deck.id):
        assert register.store.read(row.sha256) == built.files[row.name]


def test_the_next_deck_is_built_with_what_the_last_one_said_and_recalls_its_copies(
    register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path)
    assert first.recall == ()
    maker = Maker(torque="165")
    second = issued(register, tmp_path, maker)
    (turn,) = maker.turns
    assert (turn.revision, turn.tie) == (2, 0)
    assert turn.previous == Maker()(Turn(1, 0, None, READING, HEAD)).files["deck.json"]
    assert turn.reading.read_by == READING.read_by
    assert [recall.copy for recall in second.recall] == list(PLACES)
    assert [recall.words() for recall in second.recall] == [
        "pouch copy 1 at aircraft pouch",
        "wall copy 1 at hangar, north wall",
    ]


def test_who_was_slower_builds_again_for_the_next_revision(register: Register, tmp_path: Path) -> None:
    class Overtaken(Maker):
        def __call__(self, turn: Turn) -> Built:
            if not self.turns:
                with opened(register.path) as other:
                    issued(other, tmp_path, reason="the faster one")
            return super().__call__(turn)

    maker = Overtaken(torque="165")
    made = issued(register, tmp_path, maker)
    assert [turn.revision for turn in maker.turns] == [1, 2]
    assert made.deck.revision == 2
    assert [deck.reason for deck in register.decks()] == ["the faster one", "first issue"]
    assert names(tmp_path) == ["RB-2041-r1", "RB-2041-r2", "club register.sqlite", "club register.sqlite.store"]


def test_a_run_over_many_leaves_a_deck_alone_that_another_run_has_just_issued(
    register: Register, tmp_path: Path
) -> None:
    class Overtaken(Maker):
        def __call__(self, turn: Turn) -> Built:
            with opened(register.path) as other:
                issued(other, tmp_path, reason="the faster run")
            return super().__call__(turn)

    asked = replace(request(), only_changed=True)
    made = issue(register, asked, Overtaken(), tmp_path)
    assert isinstance(made, Unchanged)
    assert [deck.reason for deck in register.decks()] == ["the faster run"]
    other = with_reading(replace(asked, spec=b"schema = 2\n"))
    assert isinstance(issue(register, other, Maker(), tmp_path), Issued)
    assert isinstance(issue(register, replace(asked, version="0.2.0"), Maker(), tmp_path), Issued)


def test_a_code_that_another_deck_has_is_never_given_twice(register: Register, tmp_path: Path) -> None:
    taken = issued(register, tmp_path).deck.code

    class Tied(Maker):
        def __call__(self, turn: Turn) -> Built:
            built = super().__call__(turn)
            return built if turn.tie else replace(built, code=taken)

    maker = Tied("RB-7")
    made = issued(register, tmp_path, maker, set_id="RB-7")
    assert [turn.tie for turn in maker.turns] == [0, 1]
    assert made.deck.code != taken


def test_nothing_is_left_where_the_build_refuses(register: Register, tmp_path: Path) -> None:
    problem = Problem("rotor.toml", 3, 1, "track", "fit", "text", "it does not fit", "fewer words")
    assert issue(register, request(), lambda turn: IssueRefused((problem,)), tmp_path / "out") == IssueRefused(
        (problem,)
    )
    assert list(register.decks()) == []
    assert not (tmp_path / "out").exists()


def test_a_build_that_breaks_leaves_the_register_as_it_was(register: Register, tmp_path: Path) -> None:
    def broken(turn: Turn) -> Built:
        raise RuntimeError("out of ink")

    with pytest.raises(RuntimeError):
        issue(register, request(), broken, tmp_path / "out")
    assert issued(register, tmp_path / "out").deck.revision == 1


def test_an_existing_folder_is_never_touched_and_stops_the_issue(register: Register, tmp_path: Path) -> None:
    for stands in ("folder", "file", "link to nowhere"):
        out = tmp_path / stands
        out.mkdir()
        there = out / "RB-2041-r1"
        if stands == "folder":
            there.mkdir()
        elif stands == "file":
            there.write_text("mine")
        else:
            there.symlink_to(tmp_path / "nowhere")
        made = issue(register, request(), Maker(), out)
        assert isinstance(made, RegisterTrouble)
        assert made.kind == "exists"
        assert names(out) == ["RB-2041-r1"]
    assert list(register.decks()) == []


def test_a_folder_that_appears_at_the_last_moment_does_not_undo_the_issue(
    register: Register, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish = folder_module.Staged.publish

    def late(self: folder_module.Staged) -> Path | RegisterTrouble:
        self.files.final.write_text("somebody else's")
        return publish(self)

    monkeypatch.setattr(folder_module.Staged, "publish", late)
    made = issued(register, tmp_path / "out")
    assert made.folder is None
    assert made.trouble is not None
    assert made.trouble.kind == "exists"
    assert register.by_code(made.deck.code) == made.deck
    assert (tmp_path / "out" / "RB-2041-r1").read_text() == "somebody else's"
    assert names(tmp_path / "out") == ["RB-2041-r1"]


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"set_id": "../etc"}, "set-id"),
        ({"set_id": "RB-2041'; DROP TABLE decks;--"}, "set-id"),
        ({"set_id": "RB-2041\n"}, "set-id"),
        ({"set_id": ""}, "set-id"),
        ({"reason": "ok\x1b]0;owned\x07"}, "text-control"),
        ({"reason": "torque\u202eegnahc"}, "text-direction"),
        ({"reason": ""}, "text-empty"),
        ({"approved_by": "inspector\r\nsecond line"}, "text-control"),
        ({"approved_by": "x" * 201}, "text-length"),
        ({"places": (PlaceRow("wall", 1, "hangar\x00"),)}, "text-control"),
        ({"use_until": date(2026, 4, 1)}, "use-until-past"),
    ],
)
def test_text_that_could_escape_is_refused_before_anything_is_built(
    register: Register, tmp_path: Path, changes: dict[str, object], rule: str
) -> None:
    maker = Maker()
    made = issue(register, replace(request(), **changes), maker, tmp_path / "out")  # type: ignore[arg-type]
    assert isinstance(made, IssueRefused)
    assert [problem.rule for problem in made.problems] == [rule]
    assert all(problem.read.isprintable() and problem.key.isprintable() for problem in made.problems)
    assert maker.turns == []
    assert not (tmp_path / "out").exists()


def test_words_that_mean_something_to_sql_or_markup_are_kept_as_they_are(
    register: Register, tmp_path: Path
) -> None:
    reason = "'); DROP TABLE decks; -- <script>&amp; ${x}"
    made = issued(register, tmp_path, reason=reason)
    found = register.by_code(made.deck.code)
    assert found is not None
    assert found.reason == reason
    assert check(register).is_sound


@pytest.mark.parametrize("name", ["../escape.pdf", "/etc/passwd", "a/b.pdf", "", ".hidden", "con\x00", "A.pdf"])
def test_a_build_cannot_name_a_file_outside_its_folder(register: Register, tmp_path: Path, name: str) -> None:
    build = Built(code_of(1), {name: b"x"})
    with pytest.raises(ValueError, match="no name for an issued file"):
        issue(register, request(), lambda turn: build, tmp_path / "out")
    assert list(register.decks()) == []


def test_an_output_folder_that_cannot_be_made_stops_the_issue_before_the_register(
    register: Register, tmp_path: Path
) -> None:
    (tmp_path / "out").write_text("a file")
    made = issue(register, request(), Maker(), tmp_path / "out")
    assert isinstance(made, RegisterTrouble)
    assert list(register.decks()) == []


def test_a_damaged_predecessor_stops_the_issue_because_changes_could_not_be_listed(
    register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path)
    row = next(row for row in register.files(first.deck.id) if row.name == "deck.json")
    place = register.store.place(row.sha256)
    place.chmod(0o644)
    place.write_bytes(b"{}")
    made = issue(register, request(), Maker(torque="165"), tmp_path)
    assert isinstance(made, RegisterTrouble)
    assert made.kind == "damaged"
    assert str(place) in made.file


def test_an_issue_is_whole_only_with_a_well_formed_code(register: Register, tmp_path: Path) -> None:
    made = issue(register, request(), lambda turn: Built(Code("WRONG"), {"deck.json": b"{}"}), tmp_path)
    assert isinstance(made, RegisterTrouble)
    assert list(register.decks()) == []


def test_a_deck_is_never_dated_before_the_newest_entry(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path, on=date(2026, 5, 1))
    maker = Maker(torque="165", issued=date(2026, 4, 30))
    made = issue(register, request(issued=date(2026, 4, 30)), maker, tmp_path)
    assert isinstance(made, RegisterTrouble)
    assert (made.kind, maker.turns) == ("clock", [])
    assert len(list(register.decks())) == 1
    # The same day is none before it.
    assert issued(register, tmp_path, on=date(2026, 5, 1)).deck.revision == 2


def test_an_issue_that_changes_nothing_says_so_and_how_the_deck_before_went_out_of_use(
    register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path)
    assert (first.same_as, first.withdrawn) == (None, None)
    second = issued(register, tmp_path)
    assert (second.same_as, second.withdrawn) == (first.deck, None)
    gone = withdraw(register, second.deck.code, "wrong page", TODAY)
    assert isinstance(gone, Withdrawn)
    third = issued(register, tmp_path)
    assert (third.same_as, third.withdrawn) == (second.deck, gone.withdrawal)
    changed = issued(register, tmp_path, Maker(torque="165"))
    assert (changed.same_as, changed.withdrawn) == (None, None)


def test_issued_is_a_value_that_can_be_compared(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path)
    assert made == Issued(made.deck, (), tmp_path / "RB-2041-r1")


def test_a_code_is_told_at_the_commit_and_a_folder_that_fails_afterwards_denies_nothing(
    register: Register, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[DeckRow] = []

    def full(_: object) -> None:
        assert told, "the folder was placed before anybody was told"
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(StagedFolder, "publish", full)
    made = issue(register, request(), Maker(), tmp_path, told.append)
    assert isinstance(made, Issued)
    assert told == [made.deck] == list(register.decks())
    assert made.trouble is not None
    assert "nothing was entered" not in f"{made.trouble.why} {made.trouble.write}".lower()


def test_ctrl_c_waits_until_the_deck_that_was_entered_has_been_told(register: Register, tmp_path: Path) -> None:
    told: list[DeckRow] = []

    def entered(deck: DeckRow) -> None:
        os.kill(os.getpid(), signal.SIGINT)
        told.append(deck)

    with pytest.raises(KeyboardInterrupt):
        issue(register, request(), Maker(), tmp_path, entered)
    assert told == list(register.decks())
