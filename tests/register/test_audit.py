"""The check of the whole register, and saving what can be read of a damaged one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cardgen.issuing.withdraw_deck import withdraw
from cardgen.register.audit import Checked, check
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.export import export_file
from cardgen.register.open_register import open_register
from tests.issuing.decks import TODAY, Maker, issued


@pytest.fixture
def full(register: Register, tmp_path: Path) -> Register:
    for number, set_id in enumerate(("RB-1", "RB-2", "RB-1", "RB-3")):
        made = issued(register, tmp_path / "out", Maker(set_id, torque=str(160 + number)), set_id=set_id)
    withdraw(register, made.deck.code, "blade damaged", TODAY)
    register.add_entry(made.deck, "track", TODAY, '{"split": "0.5 in"}')
    return register


def faults(checked: Checked) -> str:
    return "\n".join(each.what for each in checked.found if each.level == "fault")


def changed(register: Register, *statements: str) -> Checked:
    register.connection.execute("PRAGMA foreign_keys = OFF")
    for statement in statements:
        register.connection.execute(statement)
    checked = check(register)
    assert not checked.is_sound
    return checked


def test_a_sound_register_has_no_fault(full: Register) -> None:
    checked = check(full)
    assert (checked.decks, checked.files, checked.found) == (4, 12, ())


@pytest.mark.parametrize(
    ("statements", "what"),
    [
        (["UPDATE decks SET approved_by = 'me' WHERE id = 2"], "deck 2 (RB-2) is not what link 4"),
        (["UPDATE places SET place = 'attic' WHERE deck = 3"], "deck 3 (RB-1) is not what link 5"),
        (["UPDATE files SET size = 1 WHERE deck = 1"], "deck 1 (RB-1) is not what link 3"),
        (["DELETE FROM files WHERE deck = 1 AND name = 'wall.pdf'"], "deck 1 (RB-1) is not what link 3"),
        (["DELETE FROM decks WHERE id = 2"], "deck 2 (RB-2), entered by link 4, is gone"),
        (["DELETE FROM withdrawals"], "withdrawal 4 (RB-3), entered by link 7, is gone"),
        (["UPDATE entries SET content = '{}'"], "entry 1 (RB-3) is not what link 8"),
        (["UPDATE readings SET read_by = 'me'"], "reading 1 (RB-1) is not what link 2"),
        (["DELETE FROM issued_on WHERE deck = 2"], "deck 2 (RB-2) is not what link 4"),
        (["DELETE FROM events WHERE id = 3"], "links 3 to 3 are gone"),
        (["DELETE FROM events WHERE id = 8", "DELETE FROM entries"], "the last links are gone"),
        (["UPDATE seal SET length = 5"], "the seal was changed"),
        (["DELETE FROM seal"], "the seal was changed"),
        (
            [
                "UPDATE decks SET id = 99 WHERE id = 1",
                "UPDATE decks SET id = 1 WHERE id = 2",
                "UPDATE decks SET id = 2 WHERE id = 99",
            ],
            "deck 1 (RB-1) is not what link 3",
        ),
        (
            [
                "UPDATE events SET id = 99 WHERE id = 1",
                "UPDATE events SET id = 1 WHERE id = 2",
                "UPDATE events SET id = 2 WHERE id = 99",
            ],
            "does not follow the one before it",
        ),
        (
            ["INSERT INTO withdrawals VALUES (1, '2026-04-02', 'forged')"],
            "withdrawal 1 was put in without a link",
        ),
        (["DROP INDEX files_by_sha256"], "'files_by_sha256' is not as this program makes it"),
        (["UPDATE decks SET issued = 'never' WHERE id = 2"], "cannot be read to its end"),
    ],
)
def test_a_changed_removed_or_exchanged_row_is_found_and_named(
    full: Register, statements: list[str], what: str
) -> None:
    assert what in faults(changed(full, *statements))


def test_changed_and_missing_kept_files_are_found_and_named(full: Register) -> None:
    names = list(full.store.names())
    first, second = full.store.place(names[0]), full.store.place(names[1])
    first.chmod(0o644)
    first.write_bytes(b"changed")
    second.unlink()
    found = faults(check(full))
    assert f"no longer what was issued ({first})" in found
    assert f"is gone ({second})" in found
    assert check(full, read_files=False).is_sound


def test_kept_files_of_no_deck_are_a_note_and_no_fault(full: Register) -> None:
    full.store.keep(b"left over")
    checked = check(full)
    assert checked.is_sound
    assert "1 kept files belong to no deck" in checked.found[0].what


def test_an_export_holds_every_row_and_is_json(full: Register) -> None:
    content = export_file(full.path)
    assert not isinstance(content, RegisterTrouble)
    assert [deck["set_id"] for deck in content["decks"]] == ["RB-1", "RB-2", "RB-1", "RB-3"]
    assert len(content["files"]) == 12
    assert content["withdrawals"][0]["reason"] == "blade damaged"
    assert content["unread"] == []
    json.dumps(content)


def test_a_damaged_page_costs_only_what_stands_on_it(register: Register, tmp_path: Path) -> None:
    for number in range(80):
        issued(register, tmp_path / "out", Maker(torque=str(100 + number)))
    content = bytearray(register.path.read_bytes())
    # SQLite file format, 1.3.2: the page size stands at offset 16, two bytes.
    size = int.from_bytes(content[16:18], "big")
    # A row's columns stand one after the other: set id, revision (here one byte), code.
    forty = next(deck for deck in register.decks() if deck.revision == 40)
    place = content.index(b"RB-2041\x28" + forty.code.encode()) // size * size
    content[place : place + size] = b"\xff" * size
    register.close()
    register.path.write_bytes(content)
    saved = export_file(register.path)
    assert not isinstance(saved, RegisterTrouble)
    assert saved["unread"]
    assert 40 not in {deck["revision"] for deck in saved["decks"]}
    assert 20 < len(saved["decks"]) < 80
    assert {1, 80} <= {deck["id"] for deck in saved["decks"]}


def test_a_file_without_a_head_cannot_be_exported(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    path.write_bytes(b"x" * 4096)
    assert isinstance(export_file(path), RegisterTrouble)


@pytest.mark.parametrize("part", [0.0, 0.3, 0.6, 0.9])
def test_of_a_register_that_was_cut_off_the_rest_is_saved_and_so_is_what_was_kept(
    part: float, full: Register
) -> None:
    told = {"set_id": "RB-1", "revision": 3, "code": "X", "issued": "2026-04-02", "use_until": "2027-11-30"}
    full.store.keep(json.dumps({**told, "cards": []}).encode())
    full.close()
    content = full.path.read_bytes()
    full.path.write_bytes(content[: int(part * len(content))])
    saved = export_file(full.path)
    assert isinstance(saved, dict)
    assert saved["unread"]
    assert [{key: each[key] for key in told} for each in saved["kept"]] == [told]
    if part > 0.5:
        assert len(saved["decks"]) == 4
    problem = open_register(full.path, "read")
    assert isinstance(problem, RegisterTrouble)
    wanted = f"{int(part * len(content))} of {len(content)} bytes" if part else "gone or empty"
    assert wanted in problem.why


def test_a_kept_file_that_is_damaged_is_told_by_an_export(full: Register) -> None:
    """Its deck may be one that only this file still knows of."""
    name = next(full.store.names())
    place = full.store.place(name)
    place.chmod(0o644)
    place.write_bytes(b"{}")
    saved = export_file(full.path)
    assert isinstance(saved, dict)
    assert saved["unread"] == [f"kept file {name}: a kept file is no longer what was issued"]


def test_a_register_that_is_gone_is_told_from_the_files_it_kept(full: Register) -> None:
    told = {"set_id": "RB-1", "revision": 3, "code": "X", "issued": "2026-04-02", "use_until": "2027-11-30"}
    full.store.keep(json.dumps(told).encode())
    full.close()
    full.path.unlink()
    saved = export_file(full.path)
    assert isinstance(saved, dict)
    assert (saved["decks"], len(saved["kept"])) == ([], 1)


def test_a_change_that_was_cut_off_beside_the_register_is_told(full: Register) -> None:
    full.path.with_name(full.path.name + "-journal").write_bytes(b"left by a program that was cut off")
    saved = export_file(full.path)
    assert isinstance(saved, dict)
    assert len(saved["decks"]) == 4
    assert any("unfinished change" in each for each in saved["unread"])
