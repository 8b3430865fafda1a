"""Small invented decks, issued without printing anything: for tests and for the harnesses."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Build, Built, Issued, Request, Turn
from cardgen.issuing.reading import keep_reading
from cardgen.register.code import CodeIdentity, set_code
from cardgen.register.database import Register
from cardgen.register.head import Head
from cardgen.register.open_register import Mode, open_register
from cardgen.register.rows import PlaceRow, ReadingRow
from cardgen.spec.read_check import read_check

READER = "second reader"
TODAY = date(2026, 4, 2)
HEAD = Head("", 0, "")
READING = ReadingRow(1, "RB-2041", READER, TODAY, "00000000T")
USE_UNTIL = date(2027, 11, 30)
PLACES = (PlaceRow("pouch", 1, "aircraft pouch"), PlaceRow("wall", 1, "hangar, north wall"))


def request(set_id: str = "RB-2041", issued: date = TODAY, reason: str = "first issue") -> Request:
    return with_reading(
        Request(set_id, issued, USE_UNTIL, "inspector", reason, b"schema = 1\n", "0.1.0", PLACES)
    )


def with_reading(asked: Request, by: str = READER) -> Request:
    """Let a request bring the reading of its very specification."""
    return replace(asked, read_by=by, typed_check=asked.check)


def read_answer(spec: Path, by: str = READER) -> tuple[str, ...]:
    """Say on the command line of an issue who has read a specification."""
    return ("--read-by", by, "--read-check", read_check(spec.read_bytes()))


def read_all(folder: Path, register: Path, by: str = READER) -> None:
    """Keep a reading of every specification of a fleet that is TOML at all."""
    with opened(register) as book:
        for path in sorted(folder.rglob("*.toml")):
            try:
                check = read_check(path.read_bytes())
            except ValueError:
                continue
            assert isinstance(keep_reading(book, "FLEET", check, by, check, TODAY), ReadingRow)


@dataclass
class Maker:
    """Builds a deck of one number; remembers every turn it was given."""

    set_id: str = "RB-2041"
    torque: str = "160"
    issued: date = TODAY
    size: int = 2_000
    turns: list[Turn] = field(default_factory=list)

    def __call__(self, turn: Turn) -> Built:
        self.turns.append(turn)
        figures = {"fasteners[1].torque_min": f"{self.torque} in·lbf M"}
        identity = CodeIdentity(
            self.set_id, turn.revision, self.issued, {"schema": 1}, figures, "0.1.0", "00", "", ""
        )
        code = set_code(identity, turn.tie)
        mark = f"{self.set_id} {turn.revision} {code} {self.torque} ".encode()
        description = json.dumps(self.description(code)).encode()
        return Built(
            code, {"deck.json": description, "pouch.pdf": padded(mark, self.size), "wall.pdf": padded(mark, 0)}
        )

    def description(self, code: str) -> Mapping[str, object]:
        figure = {
            "id": "fasteners[1].torque_min",
            "number": self.torque,
            "unit": "in·lbf",
            "exact": self.torque,
            "origin": "M",
            "reference": "MAKER-1 p.7",
        }
        facts = [{"figure": "fasteners[1].torque_min", "label": "4"}]
        return {
            "code": code,
            "figures": [figure],
            "cards": [{"id": "torque", "title": "Torque", "facts": facts}],
        }


def padded(mark: bytes, size: int) -> bytes:
    """A file of one empty page (ISO 32000-1, 7.5), of about this size by remarks that say the mark."""
    content = b"%PDF-1.4\n" + b"".join(b"%% %s\n" % mark for _ in range(size // len(mark) + 1))
    parts = (b"/Type /Catalog /Pages 2 0 R", b"/Type /Pages /Kids [3 0 R] /Count 1")
    page = b"/Type /Page /Parent 2 0 R /MediaBox [0 0 420 595]"
    starts = []
    for number, part in enumerate((*parts, page), 1):
        starts.append(len(content))
        content += b"%d 0 obj\n<< %s >>\nendobj\n" % (number, part)
    table = b"".join(b"%010d 00000 n \n" % start for start in starts)
    end = b"trailer\n<< /Size 4 /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % len(content)
    return content + b"xref\n0 4\n0000000000 65535 f \n" + table + end


def opened(path: Path, mode: Mode = "create") -> Register:
    register = open_register(path, mode)
    assert isinstance(register, Register), register
    return register


def issued(
    register: Register,
    out: Path,
    build: Build | None = None,
    *,
    set_id: str = "RB-2041",
    on: date = TODAY,
    reason: str = "first issue",
) -> Issued:
    made = issue(register, request(set_id, on, reason), build or Maker(set_id, issued=on), out)
    assert isinstance(made, Issued), made
    return made
