"""One register has one store, by whatever name it is reached; what is no plain file is no register."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cardgen.register.currency import verify_code
from cardgen.register.errors import RegisterTrouble
from cardgen.register.export import export_file
from cardgen.register.listing import listing
from cardgen.register.open_register import Mode, open_register
from tests.issuing.decks import TODAY, Maker, issued, opened


def test_a_register_reached_through_a_link_has_the_store_of_the_register(tmp_path: Path) -> None:
    shared = tmp_path / "shared" / "club.sqlite"
    with opened(shared) as register:
        first = issued(register, tmp_path / "out").deck
    link = tmp_path / "club.sqlite"
    link.symlink_to(shared)
    with opened(link) as register:
        issued(register, tmp_path / "out", Maker(torque="165"))
        assert not isinstance(verify_code(register, first.code, TODAY), RegisterTrouble)
    assert not (tmp_path / "club.sqlite.store").exists()
    with opened(shared, "read") as register:
        assert not isinstance(listing(register, TODAY), RegisterTrouble)


def test_a_register_with_a_second_name_of_its_own_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    opened(path).close()
    (tmp_path / "other.sqlite").hardlink_to(path)
    for name in (path, tmp_path / "other.sqlite"):
        found = open_register(name, "write")
        assert isinstance(found, RegisterTrouble)
        assert "a hard link" in found.why


@pytest.mark.parametrize("mode", ["read", "write", "create"])
def test_a_pipe_or_a_device_is_no_register_and_is_not_waited_for(tmp_path: Path, mode: Mode) -> None:
    os.mkfifo(tmp_path / "pipe")
    for odd in (tmp_path / "pipe", Path("/dev/zero")):
        assert isinstance(open_register(odd, mode), RegisterTrouble)
        assert isinstance(export_file(odd), RegisterTrouble)


@pytest.mark.parametrize("mode", ["read", "write"])
@pytest.mark.parametrize("end", ["-journal", "-wal"])
def test_a_pipe_in_the_place_of_unfinished_work_is_not_waited_for(tmp_path: Path, end: str, mode: Mode) -> None:
    path = tmp_path / "club.sqlite"
    opened(path).close()
    (tmp_path / "link.sqlite").symlink_to(path)
    os.mkfifo(f"{path}{end}")
    for name in (path, tmp_path / "link.sqlite"):
        found = open_register(name, mode)
        assert isinstance(found, RegisterTrouble)
        assert found.file == f"{path}{end}"
    Path(f"{path}{end}").unlink()
    opened(path, mode).close()


def test_a_pipe_in_the_place_of_a_kept_file_is_not_waited_for(tmp_path: Path) -> None:
    with opened(tmp_path / "club.sqlite") as register:
        deck = issued(register, tmp_path / "out").deck
        place = register.store.place(register.files(deck.id)[0].sha256)
        place.unlink()
        os.mkfifo(place)
        assert isinstance(verify_code(register, deck.code, TODAY), RegisterTrouble)
