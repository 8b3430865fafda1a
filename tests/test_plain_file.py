"""Only ordinary files are read, and nothing makes a command wait."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest

from cardgen.plain_file import NotPlainError, is_odd, read_plain, why_unread


def test_an_ordinary_file_is_read_up_to_a_byte_more_than_was_asked_for(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_bytes(b"0123456789")
    assert read_plain(file) == b"0123456789"
    assert read_plain(file, 4) == b"01234"


def test_a_pipe_a_device_a_socket_and_a_folder_are_refused_at_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "pipe")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(tmp_path / "socket"))
        for odd in (tmp_path / "pipe", tmp_path / "link", tmp_path / "socket", Path("/dev/zero")):
            assert is_odd(odd)
            with pytest.raises(NotPlainError):
                read_plain(odd)
    with pytest.raises(IsADirectoryError):
        read_plain(tmp_path)


def test_a_link_is_followed_only_where_it_may_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"x")
    (tmp_path / "link").symlink_to(tmp_path / "file")
    assert read_plain(tmp_path / "link") == b"x"
    with pytest.raises(OSError):
        read_plain(tmp_path / "link", follow=False)


def test_why_a_file_cannot_be_read_is_said_in_plain_words(tmp_path: Path) -> None:
    (tmp_path / "one").symlink_to(tmp_path / "two")
    (tmp_path / "two").symlink_to(tmp_path / "one")
    said = {}
    for name in ("one", "none", "."):
        with pytest.raises(OSError) as told:
            read_plain(tmp_path / name)
        said[name] = why_unread(told.value)
    assert said == {
        "one": "this is a link that leads back to itself",
        "none": "there is no such file",
        ".": "this is a folder",
    }
    assert why_unread(PermissionError(13, "Permission denied")) == "this file may not be read by you"
    assert why_unread(OSError(5, "Input/output error")) == "this file cannot be read: input/output error"
