"""Spoil good specifications in the ways that people do, and count what is noticed.

    python -m tests.bench.mutants --count 20000

A mutant is a sample with one mistake: a key left out, a figure twelve times too large, blades
swapped. Each is read as a keeper's file would be. Nothing may end in a traceback; the rest is
counted: refused, printed with a new warning, or not noticed at all.
"""

from __future__ import annotations

import argparse
import random
import re
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from cardgen.spec.load import load_bytes
from cardgen.spec.toml import parse
from tests.bench.safety import SAFETY, Place, at

SAMPLES = Path(__file__).parents[2] / "sample_inputs"
TODAY = date(2026, 6, 1)

_NUMBER = re.compile(r"^(-?)((\d+)\+)?(\d+(?:\.\d+)?)(?:/(\d+))? (\S+)$")
_FEET = re.compile(r"^(\d+) ft \+ (\d+(?:\.\d+)?) in$")
_UNITS = (
    ("in", "mm", "ft", "m", "thou"),
    ("in·lbf", "ft·lbf", "N·m"),
    ("lb", "kg", "g", "oz"),
    ("thou/in", "in/in", "mm/mm", "mm/m"),
    ("deg", "arcmin"),
)
_JUNK = ("\u202e", "\u0000", "\ufffe", "\U0001f681", "\u200b", "ﾊ", "\u0301", "‮", "\t", "א")
_OTHER_TYPES: tuple[Any, ...] = (7, True, "seven", [], {}, [[]], date(2026, 1, 1), Decimal("1.5"), -1, "")


@dataclass
class Mutant:
    """A spoilt table: what was done to which key."""

    kind: str
    place: Place
    table: dict[str, Any]

    @property
    def key(self) -> str:
        """The key without positions in lists: what kind of figure was spoilt."""
        return ".".join(part for part in self.place if isinstance(part, str))


@dataclass
class Tally:
    """What became of the mutants, kind by kind."""

    refused: Counter[str] = field(default_factory=Counter)
    warned: Counter[str] = field(default_factory=Counter)
    unnoticed: Counter[str] = field(default_factory=Counter)
    crashed: list[str] = field(default_factory=list)
    missed: Counter[tuple[str, str]] = field(default_factory=Counter)

    def total(self, kind: str) -> int:
        """How many mutants of a kind were read."""
        return self.refused[kind] + self.warned[kind] + self.unnoticed[kind]


def samples() -> list[dict[str, Any]]:
    """Every good sample, parsed as the program parses it."""
    tables = [parse(path.read_bytes()).table for path in sorted(SAMPLES.glob("*.toml"))]
    return [deepcopy(dict(table)) for table in tables if table is not None]


def run(tables: list[dict[str, Any]], count: int, seed: int) -> Tally:
    """Make mutants, read each, and count what was noticed."""
    rng, tally = random.Random(seed), Tally()
    known = [_rules(table)[1] for table in tables]
    made = 0
    while made < count:
        which = rng.randrange(len(tables))
        mutant = spoil(rng, tables[which], rng.choice(KINDS))
        if mutant is None:
            continue
        made += 1
        try:
            refused, warned = _rules(mutant.table)
        except Exception:
            tally.crashed.append(f"{mutant.kind} {mutant.key}\n{traceback.format_exc()}")
            continue
        if refused:
            tally.refused[mutant.kind] += 1
        elif warned - known[which]:
            tally.warned[mutant.kind] += 1
        else:
            tally.unnoticed[mutant.kind] += 1
            tally.missed[mutant.kind, mutant.key] += 1
    return tally


def spoil(rng: random.Random, table: dict[str, Any], kind: str) -> Mutant | None:
    """Make one mutant of a kind, or nothing where the place drawn cannot be spoilt so."""
    spoilt = deepcopy(table)
    places = [place for place in _places(spoilt) if _WAYS[kind](rng, spoilt, place, dry=True)]
    if not places:
        return None
    place = rng.choice(places)
    _WAYS[kind](rng, spoilt, place, dry=False)
    return Mutant(kind, place, spoilt)


def rules_of(table: dict[str, Any]) -> set[str]:
    """The rules that refuse a table."""
    return _rules(table)[0]


def write(table: dict[str, Any]) -> bytes:
    """Write a table as TOML, inline below the top level."""
    return "".join(f"{_quoted(key)} = {_value(value)}\n" for key, value in table.items()).encode(
        "utf-8", "surrogatepass"
    )


def _rules(table: dict[str, Any]) -> tuple[set[str], set[str]]:
    loaded = load_bytes(write(table), "mutant.toml", TODAY)
    return {problem.rule for problem in loaded.problems}, {
        f"{warning.rule} {warning.key}" for warning in loaded.warnings
    }


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_quoted(key)} = {_value(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        # One entry a line: a line too long to be honest is refused for that alone.
        return "[\n" + ",\n".join(map(_value, value)) + "\n]"
    if isinstance(value, bool):
        return str(value).lower()
    return _quoted(value) if isinstance(value, str) else str(value)


def _quoted(text: str) -> str:
    return '"' + re.sub(r'[\\"\x00-\x1f\x7f]', lambda found: f"\\u{ord(found[0]):04x}", text) + '"'


def _places(value: Any, path: Place = ()) -> Iterator[Place]:
    items: Any = enumerate(value) if isinstance(value, list) else ()
    for key, item in value.items() if isinstance(value, dict) else items:
        yield (*path, key)
        yield from _places(item, (*path, key))


Way = Callable[..., bool]


def _delete(rng: random.Random, table: Any, place: Place, dry: bool) -> bool:
    if not dry:
        del at(table, place[:-1])[place[-1]]
    return True


def _duplicate(rng: random.Random, table: Any, place: Place, dry: bool) -> bool:
    parent = at(table, place[:-1])
    if isinstance(parent, list) and not dry:
        parent.insert(int(place[-1]), deepcopy(parent[int(place[-1])]))
    return isinstance(parent, list)


def _retype(rng: random.Random, table: Any, place: Place, dry: bool) -> bool:
    if not dry:
        old = at(table, place)
        # A whole number and one with a point are both numbers to a keeper.
        kind = (int, Decimal) if type(old) in {int, Decimal} else type(old)
        others = [new for new in _OTHER_TYPES if isinstance(new, bool) or not isinstance(new, kind)]
        at(table, place[:-1])[place[-1]] = rng.choice(others)
    return True


def _scaled(text: str, factor: Fraction) -> str | None:
    """Multiply the number of a quantity, where it still can be written in six decimals."""
    if feet := _FEET.match(text):
        value, unit = (Fraction(feet[1]) * 12 + Fraction(feet[2])) / 12 * factor, "ft"
    elif plain := _NUMBER.match(text):
        value = (Fraction(plain[3] or 0) + Fraction(plain[4]) / int(plain[5] or 1)) * factor
        unit, value = plain[6], -value if plain[1] else value
    else:
        return None
    digits = Decimal(value.numerator * 10**4 // value.denominator).scaleb(-4).normalize()
    return f"{digits:f} {unit}"


def _rescale(factor: Fraction) -> Way:
    def way(rng: random.Random, table: Any, place: Place, dry: bool) -> bool:
        old = at(table, place)
        new = _scaled(old, factor) if isinstance(old, str) else None
        if new is not None and not dry:
            at(table, place[:-1])[place[-1]] = new
        return new is not None and _nonzero(old)

    return way


def _nonzero(text: str) -> bool:
    return re.search("[1-9]", text) is not None


def _swap(first: str, second: str) -> Way:
    def way(rng: random.Random, table: Any, place: Place, dry: bool) -> bool:
        parent, key = at(table, place[:-1]), place[-1]
        other = re.sub(f"{first}$", second, key) if isinstance(key, str) and key.endswith(first) else None
        if other is None or other not in parent:
            return False
        if not dry:
            parent[key], parent[other] = parent[other], parent[key]
        return True

    return way


def _unit(rng: random.Random, table: Any, place: Place, dry: bool) -> bool:
    old = at(table, place)
    plain = _NUMBER.match(old) if isinstance(old, str) else None
    kin = [units for units in _UNITS if plain and plain[6] in units and _nonzero(old)]
    if kin and plain and not dry:
        unit = rng.choice([unit for unit in kin[0] if unit != plain[6]])
        at(table, place[:-1])[place[-1]] = f"{old.rpartition(' ')[0]} {unit}"
    return bool(kin)


def _junk(rng: random.Random, table: Any, place: Place, dry: bool) -> bool:
    old = at(table, place)
    if isinstance(old, str) and not dry:
        cut = rng.randrange(len(old) + 1)
        at(table, place[:-1])[place[-1]] = old[:cut] + rng.choice(_JUNK) + old[cut:]
    return isinstance(old, str)


_WAYS: dict[str, Way] = {
    "delete": _delete,
    "duplicate": _duplicate,
    "retype": _retype,
    "times 12": _rescale(Fraction(12)),
    "times 25.4": _rescale(Fraction("25.4")),
    "twice": _rescale(Fraction(2)),
    "half": _rescale(Fraction(1, 2)),
    "negate": _rescale(Fraction(-1)),
    "swap A and B": _swap("_a", "_b"),
    "swap min and max": _swap("_min", "_max"),
    "other unit": _unit,
    "junk": _junk,
}
KINDS = tuple(_WAYS)


def main() -> None:
    """Run and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--missed", type=int, default=12, help="keys to name for each kind")
    given = parser.parse_args()
    tally = run(samples(), given.count, given.seed)
    print(f"{'kind':<18}{'read':>7}{'refused':>9}{'warned':>9}{'unnoticed':>11}")
    for kind in KINDS:
        total = max(tally.total(kind), 1)
        shares = [100 * counter[kind] / total for counter in (tally.refused, tally.warned, tally.unnoticed)]
        refused, warned, unnoticed = shares
        print(f"{kind:<18}{total:>7}{refused:>8.1f}%{warned:>8.1f}%{unnoticed:>10.1f}%")
    for kind in KINDS:
        missed = sorted(((n, key) for (k, key), n in tally.missed.items() if k == kind), reverse=True)
        print(f"\n{kind}, not noticed: " + ", ".join(f"{key} {n}" for n, key in missed[: given.missed]))
    caught = [safety for safety in SAFETY if safety.rule in rules_of(safety.table())]
    print(f"\nmistakes that can hurt somebody, caught by their own rule: {len(caught)} of {len(SAFETY)}")
    print(f"tracebacks: {len(tally.crashed)}")
    for crash in tally.crashed[:5]:
        print(crash)


if __name__ == "__main__":
    main()
