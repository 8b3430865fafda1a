"""A fork, a copy and a chain that was written anew are found by what was told before."""

from __future__ import annotations

import shutil
from pathlib import Path

from cardgen.issuing.register_sheet import print_register_sheet
from cardgen.register import chain
from cardgen.register.against import against
from cardgen.register.audit import check
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.head import Head, heads_in, told_from
from cardgen.register.linked import content_of
from cardgen.register.listing import Sheet, sheet_of, to_text
from cardgen.register.rows import EventRow
from tests.issuing.decks import TODAY, Maker, issued, opened


def faults(register: Register, told: Path) -> str:
    found = against(register, told)
    assert not isinstance(found, RegisterTrouble), found
    return "\n".join(each.what for each in found)


def sheet_in(folder: Path, register: Register, *, pdf: bool = False) -> Path:
    sheet = sheet_of(register, TODAY)
    assert isinstance(sheet, Sheet), sheet
    file = folder / ("sheet.pdf" if pdf else "sheet.txt")
    made = print_register_sheet(sheet, "iso") if pdf else to_text(sheet).encode()
    assert isinstance(made, bytes)
    file.write_bytes(made)
    return file


def forked(register: Register, folder: Path) -> Register:
    """Copy a register with its store, as a laptop that is taken along."""
    folder.mkdir()
    shutil.copy(register.path, folder / register.path.name)
    shutil.copytree(register.store.path, folder / register.store.path.name)
    return opened(folder / register.path.name)


def test_a_head_is_read_back_from_a_line_that_a_sheet_has_broken() -> None:
    head = Head("0123-4567-89AB-CDEF", 12, "0123456789abcdef")
    assert heads_in(told_from(head).replace(" ", "\n")) == (head,)
    assert heads_in(f"{head.words()} and {head.words()}") == (head,)
    assert heads_in("register 0123-4567, entry 1, chain 00") == ()


def test_a_sheet_agrees_with_its_register_then_and_later(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    for pdf in (False, True):
        told = sheet_in(tmp_path, register, pdf=pdf)
        assert faults(register, told) == ""
    issued(register, tmp_path, Maker(torque="165"))
    assert faults(register, told) == ""


def test_a_fork_is_found_by_the_sheet_of_either(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    with forked(register, tmp_path / "fork") as other:
        issued(register, tmp_path, Maker(torque="165"))
        issued(other, tmp_path / "fork", Maker(torque="170"))
        assert check(register).is_sound and check(other).is_sound
        assert "a fork" in faults(register, sheet_in(tmp_path, other))
        assert "a fork" in faults(other, sheet_in(tmp_path, register, pdf=True))


def test_a_deck_of_a_fork_is_found_although_it_was_told_from_what_both_have(
    register: Register, tmp_path: Path
) -> None:
    issued(register, tmp_path)
    with forked(register, tmp_path / "fork") as other:
        made = issued(other, tmp_path / "fork", Maker(torque="170"))
        assert made.folder is not None
        assert f"names code {made.deck.code}" in faults(register, made.folder)
        assert f"names code {made.deck.code}" in faults(register, made.folder / "wall.pdf")
        assert faults(other, made.folder) == ""


def test_an_old_copy_and_another_register_are_told_apart(register: Register, tmp_path: Path) -> None:
    with (
        forked(register, tmp_path / "copy")
        if register.store.path.exists()
        else opened(tmp_path / "copy.sqlite") as other
    ):
        issued(register, tmp_path)
        told = sheet_in(tmp_path, register)
        assert "another register" in faults(other, told)
    older = tmp_path / "older.sqlite"
    register.close()
    shutil.copy(register.path, older)
    with opened(register.path) as newer:
        issued(newer, tmp_path, Maker(torque="165"))
        told = sheet_in(tmp_path, newer)
    with opened(older) as copy:
        assert "an older copy" in faults(copy, told)


def test_a_chain_written_anew_is_sound_in_itself_and_found_by_a_sheet(
    register: Register, tmp_path: Path
) -> None:
    """Whoever may write the file may write the whole chain anew: it has no key."""
    issued(register, tmp_path)
    told = sheet_in(tmp_path, register)
    register.connection.execute("UPDATE decks SET approved_by = 'somebody else'")
    previous = "0" * 64
    for row in register.connection.execute(
        "SELECT id, kind, subject, set_id, previous, hash FROM events ORDER BY id"
    ).fetchall():
        event = EventRow(*row)
        content = content_of(register, event)
        assert content is not None
        digest = chain.link_hash(event.id, event.kind, event.set_id, content, previous)
        register.connection.execute(
            "UPDATE events SET previous = ?, hash = ? WHERE id = ?", (previous, digest, event.id)
        )
        previous = digest
    register.connection.execute("UPDATE seal SET hash = ?", (previous,))
    (register.store.path / "head").unlink()
    assert check(register).is_sound
    assert "written anew" in faults(register, told)


def test_what_tells_nothing_is_not_taken_for_an_agreement(register: Register, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("Dear keeper")
    assert "cannot be compared" in faults(register, tmp_path / "letter.txt")
    assert isinstance(against(register, tmp_path / "none.txt"), RegisterTrouble)
