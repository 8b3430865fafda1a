"""The kept files: each under the hash of its bytes, whole or not there."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from cardgen.placing import STALE_SECONDS
from cardgen.register.errors import RegisterTrouble
from cardgen.register.store import Store

# SHA-256 of "abc": FIPS 180-4 example, as published with the standard (NIST, "SHA256.pdf").
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "register.sqlite.store")


def test_bytes_are_kept_under_their_sha256_in_folders_of_two_digits(store: Store) -> None:
    assert store.keep(b"abc") == ABC
    assert (store.folder / "ba" / ABC[2:]).read_bytes() == b"abc"
    assert store.read(ABC) == b"abc"
    assert list(store.names()) == [ABC]


def test_bytes_that_are_kept_already_are_not_written_again(store: Store) -> None:
    store.keep(b"abc")
    before = store.place(ABC).stat()
    store.keep(b"abc")
    after = store.place(ABC).stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)


def test_a_changed_file_is_told_from_a_missing_one(store: Store) -> None:
    store.keep(b"abc")
    place = store.place(ABC)
    place.chmod(0o644)
    place.write_bytes(b"abd")
    damaged = store.read(ABC)
    assert isinstance(damaged, RegisterTrouble)
    assert (damaged.kind, damaged.file) == ("damaged", str(place))
    place.unlink()
    missing = store.read(ABC)
    assert isinstance(missing, RegisterTrouble)
    assert missing.kind == "missing"


def test_a_damaged_file_is_made_whole_when_its_bytes_are_kept_again(store: Store) -> None:
    store.keep(b"abc")
    store.place(ABC).chmod(0o644)
    store.place(ABC).write_bytes(b"abd")
    assert store.keep(b"abc") == ABC
    assert store.read(ABC) == b"abc"


@pytest.mark.parametrize("name", ["../../etc/passwd", "", ABC.upper(), ABC[:-1], ABC + "\n", "/" + ABC[1:]])
def test_a_name_that_is_no_hash_opens_nothing(store: Store, name: str) -> None:
    read = store.read(name)
    assert isinstance(read, RegisterTrouble)
    assert read.kind == "damaged"


def test_a_folder_that_cannot_be_written_is_a_trouble_and_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    kept = Store(tmp_path / "file" / "store").keep(b"abc")
    assert isinstance(kept, RegisterTrouble)
    assert kept.write


def test_only_old_unfinished_files_are_swept_away(store: Store) -> None:
    store.keep(b"abc")
    old, new = store.unfinished / "old", store.unfinished / "new"
    old.write_bytes(b"a")
    new.write_bytes(b"a")
    long_ago = time.time() - STALE_SECONDS - 10
    os.utime(old, (long_ago, long_ago))
    store.sweep()
    assert list(store.unfinished.iterdir()) == [new]
    assert store.read(ABC) == b"abc"
