"""The rotors below the desk's folder: found as a fleet finds them, each with a short id for addresses."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path

from cardgen.issuing.fleet.run import find
from cardgen.issuing.fleet.tasks import Survey, Surveyed
from cardgen.spec.safe_text import plain


@dataclass(frozen=True)
class Rotor:
    """One specification: its id in addresses, its file, and the file's name as it may be shown."""

    id: str
    path: Path
    name: str


class Hangar:
    """A folder of specifications. What lies outside it, also behind a link, is not of this hangar."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._known: dict[str, Rotor] = {}
        self._surveys: dict[str, tuple[str, date, Surveyed]] = {}

    def rotors(self) -> tuple[Rotor, ...]:
        """Look for every specification, in the order of their paths. Raises `OSError`."""
        found = [_rotor(each.path, each.short) for each in find(self.folder) if self.holds(each.path)]
        self._known = {each.id: each for each in found}
        return tuple(found)

    def rotor(self, rotor_id: str) -> Rotor | None:
        """Find one by its id; nothing where there is none, or none any more. Raises `OSError`."""
        if rotor_id not in self._known:
            self.rotors()
        known = self._known.get(rotor_id)
        return known if known and known.path.is_file() and self.holds(known.path) else None

    def surveyed(self, rotor: Rotor, text: bytes, today: date) -> Surveyed:
        """Judge a rotor's text alone, as a fleet does; the very same text is judged once a day."""
        asked = (sha256(text).hexdigest(), today)
        *before, found = self._surveys.get(rotor.id, ("", today, None))
        if found is None or tuple(before) != asked:
            found = Survey(rotor.name, text, today)()
            self._surveys[rotor.id] = (*asked, found)
        return found

    def holds(self, path: Path) -> bool:
        """Whether a path leads to something inside the folder, after every link on it."""
        try:
            return path.resolve().is_relative_to(self.folder)
        except (OSError, RuntimeError):
            # Links that lead round in a circle lead nowhere.
            return False


def _rotor(path: Path, short: str) -> Rotor:
    return Rotor(sha256(os.fsencode(short)).hexdigest()[:12], path, plain(short))
