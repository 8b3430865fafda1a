"""A rotor issued without printing anything, and entries for it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Built, Issued, Turn
from cardgen.issuing.pipeline import Pipeline, request_of
from cardgen.logbook.adding import Asked, Kept, add
from cardgen.logbook.history import History, history_of
from cardgen.logbook.keeping import IssuedDeck, LogEntry, entries_of, issued_deck
from cardgen.logbook.partial_entry import read_partly
from cardgen.press.deck_json import to_json
from cardgen.register.database import Register
from cardgen.register.kept import KeptDeck
from cardgen.register.rows import DeckRow
from cardgen.spec.load import Loaded, load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Problem
from tests.issuing.decks import with_reading

SAMPLES = Path(__file__).resolve().parents[2] / "sample_inputs"
ISSUED = date(2026, 11, 20)
TODAY = date(2026, 11, 25)
#: The sample set by counting flats: its rule and its largest total are read at the adjuster.
BY_FLATS = (
    ('set_by              = "dial"', 'set_by = "flats"'),
    ('rule_reads          = "dial"', 'rule_reads = "adjuster"'),
    ('max_total_reads     = "dial"', 'max_total_reads = "adjuster"'),
    ('dial_lever          = "3 in"             # pitch pivot line to where the dial touches\n', ""),
    ('dial_touches        = "pitch block"\n', ""),
    ('dial_base           = "hub bar"\n', ""),
    ('dial_offset         = "1/2 in"           # dial tip from the teeter-bolt axis\n', ""),
)


@cache
def sample(name: str = "nr-0306", changes: tuple[tuple[str, str], ...] = ()) -> RotorSpec:
    """Load a sample, some of its text replaced; each text must stand there."""
    text = (SAMPLES / f"{name}.toml").read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    loaded = load_bytes(text.encode(), name, ISSUED)
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None, loaded.problems
    return loaded.spec


def kept(spec: RotorSpec) -> KeptDeck:
    """A deck of a specification as a register keeps it, of which only one card was built."""
    return KeptDeck(json.loads(to_json(build_deck(spec, compute(spec), (), Stamp(), only=("cover",)))))


def issued(register: Register, out: Path, spec: RotorSpec, on: date = ISSUED) -> DeckRow:
    """Issue a rotor's deck with its own description and an empty page."""
    coder = Pipeline(spec, compute(spec), (), on, "rotor.toml", "keeper")

    def build(turn: Turn) -> Built:
        code = coder.code(turn, "")
        deck = build_deck(spec, compute(spec), (), Stamp(turn.revision, code, on))
        return Built(code, {"deck.json": to_json(deck).encode(), "pouch.pdf": b"%PDF-1.4\n"})

    made = issue(register, with_reading(request_of(spec, on, "keeper", "for a test")), build, out)
    assert isinstance(made, Issued), made
    return made.deck


@dataclass
class Log:
    """A register with one issued rotor."""

    register: Register
    out: Path
    row: DeckRow

    def entry(self, **parts: Any) -> dict[str, Any]:
        """Make an entry of the newest deck; ``record`` is added to the lines it always has."""
        record = {"date": "2026-11-21", "work": "Read the track.", **parts.pop("record", {})}
        return {
            "kind": "cardgen log entry",
            "schema": 1,
            "set_id": self.row.set_id,
            "revision": self.row.revision,
            "code": self.row.code,
            "scanned": {"code": self.row.code, "card": "track", "agrees": True},
            "record": record,
            "values": {},
            **parts,
        }

    def add(self, entry: dict[str, Any], today: date = TODAY, corrects: int | None = None) -> Kept:
        """Add an entry that must be kept, its numbers read so."""
        kept = self.try_to_add(entry, today, corrects)
        assert isinstance(kept, Kept), kept
        return kept

    def try_to_add(
        self, entry: dict[str, Any], today: date = TODAY, corrects: int | None = None, as_read: bool = True
    ) -> Kept | Asked | tuple[Problem, ...]:
        """Add an entry that may be refused or asked about."""
        read = read_partly(as_bytes(entry), "entry.json", today)
        if isinstance(read, tuple):
            return read
        kept = add(
            self.register,
            read,
            "entry.json",
            today,
            set_id=self.row.set_id,
            corrects=corrects,
            as_read=as_read,
        )
        assert isinstance(kept, Kept | Asked | tuple), kept
        return kept

    def runs(self, *runs: dict[str, Any], **parts: Any) -> Kept:
        """Add one entry with these runs."""
        return self.add(self.entry(runs=list(runs), **parts))

    def deck(self) -> IssuedDeck:
        """The rotor's deck as the log reads it."""
        deck = issued_deck(self.register, self.row)
        assert isinstance(deck, IssuedDeck), deck
        return deck

    def entries(self) -> tuple[LogEntry, ...]:
        """All entries kept."""
        found = entries_of(self.register, self.row.set_id)
        assert isinstance(found, tuple), found
        return found

    def history(self) -> History:
        """The rotor's history."""
        return history_of(self.entries(), self.deck())


def issue_rotor(register: Register, out: Path, spec: RotorSpec | None = None) -> Log:
    """Issue a rotor, the first sample where none is given."""
    return Log(register, out, issued(register, out, spec or sample()))


def as_bytes(value: object) -> bytes:
    """Write JSON."""
    return json.dumps(value).encode()


def run(number: int, split: str, high: str | None = "A", **parts: Any) -> dict[str, Any]:
    """Make one run of the list, read from video."""
    blade = {} if high is None else {"high_blade": high}
    dial = {"dial_unit": "thou"} if {"dial_before", "dial_after", "total"} & parts.keys() else {}
    return {"run": number, "split": split, "unit": "in", "method": "video", **blade, **dial, **parts}


def box(value: str, unit: str = "", outside: bool = False) -> dict[str, Any]:
    """Make one filled box."""
    return {"value": value, "unit": unit, "outside": outside}


def rules_of(problems: object) -> list[str]:
    """Name the rules that problems broke."""
    assert isinstance(problems, tuple), problems
    return [problem.rule for problem in problems if isinstance(problem, Problem)]
