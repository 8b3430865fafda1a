"""Reading a file that somebody names: an ordinary one, of a bounded size, and nothing that makes one wait.

A named pipe that nobody writes to would hold a program for ever, and a device need have no end.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path


class NotPlainError(OSError):
    """What was named is no ordinary file: a pipe, a device, a socket."""


def read_plain(path: Path, most: int = -1, *, follow: bool = True) -> bytes:
    """Read an ordinary file, at most one byte more than ``most``; all of it where that is negative.

    Raises `NotPlainError` where it is a pipe, a device or a socket, `IsADirectoryError` for a folder and
    `OSError` where the system refuses; without ``follow`` also where the name is a link.
    """
    with os.fdopen(_opened(path, follow), "rb") as file:
        return file.read(most + 1 if most >= 0 else -1)


def why_unread(error: OSError | ValueError) -> str:
    """Say in plain words why a file could not be read."""
    match error:
        case FileNotFoundError() | NotADirectoryError():
            return "there is no such file"
        case IsADirectoryError():
            return "this is a folder"
        case PermissionError():
            return "this file may not be read by you"
        case NotPlainError():
            return "this is no ordinary file"
        case OSError(errno=errno.ELOOP):
            return "this is a link that leads back to itself"
        case OSError():
            words = error.strerror or type(error).__name__
            return f"this file cannot be read: {words[:1].lower()}{words[1:]}"
    return "this is no path of a file"


def is_odd(path: Path) -> bool:
    """Whether something stands at a path that is neither an ordinary file nor a folder."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        # Whoever opens it tells why it cannot be opened.
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISDIR(mode))


def _opened(path: Path, follow: bool) -> int:
    # Looked at first: opening a device can do something already.
    _refuse_odd(path, (path.stat() if follow else path.lstat()).st_mode)
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags | (0 if follow else getattr(os, "O_NOFOLLOW", 0)))
    try:
        _refuse_odd(path, os.fstat(handle).st_mode)
    except BaseException:
        os.close(handle)
        raise
    return handle


def _refuse_odd(path: Path, mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if not stat.S_ISREG(mode):
        raise NotPlainError(errno.EINVAL, "this is no ordinary file", str(path))
