"""Templates as they were last compiled, kept between runs in the user's cache folder.

Compiling every template takes as long as laying out a hundred sides, and they seldom change.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket, BytecodeCache

from cardgen import __version__
from cardgen.placing import place_file

_HASH = sha256().digest_size


def kept_templates(environment: Mapping[str, str] = os.environ) -> KeptTemplates | None:
    """Open the folder for what may be lost; nothing is kept where the user has none.

    It is ``XDG_CACHE_HOME``, or ``~/.cache`` where that is unset or relative (XDG Base Directory
    Specification 0.8).
    """
    folder = Path(environment.get("XDG_CACHE_HOME", ""))
    if not folder.is_absolute():
        folder = Path(environment.get("HOME", "")) / ".cache"
    return KeptTemplates(folder / "cardgen") if folder.is_absolute() else None


class KeptTemplates(BytecodeCache):
    """Keeps compiled templates, each behind a hash of itself and of the versions that made it.

    What is missing, damaged, of another version or compiled from other words is compiled again; a
    folder that cannot be read or written costs time and nothing else.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give Jinja what is kept of a template; it compares the template's own hash itself."""
        try:
            kept = self._file(bucket).read_bytes()
        except OSError:
            # Compiled again, then.
            return
        content = kept[_HASH:]
        if kept[:_HASH] == _seal(content):
            bucket.bytecode_from_string(content)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template, whole or not at all."""
        content = bucket.bytecode_to_string()
        file = self._file(bucket)
        # Not kept is compiled again the next time.
        with suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            place_file(file, _seal(content) + content, sync=False)

    def _file(self, bucket: Bucket) -> Path:
        return self._folder / f"{bucket.key}.template"


def _seal(content: bytes) -> bytes:
    return sha256(f"cardgen {__version__}, jinja {jinja2.__version__}\n".encode() + content).digest()
