"""Screw threads by their usual names: Unified (3/8-24, #10-32, 3/8-24 UNF) and ISO metric (M8x1).

However a thread is written, it has one printed name. A thread without its pitch could be coarse or fine.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from cardgen.spec.grammar import LONGEST, Unread
from cardgen.spec.spellings import plain
from cardgen.spec.thread_series import METRIC, UNIFIED
from cardgen.spec.units import Quantity, quantity

_SIZE = r"(?:(?:#|No\.?|no\.?) ?)?(?P<size>\d{1,2}|\d{1,2}/\d{1,2})(?: ?\"| in\.?)?"
# The series and the class of fit change neither size nor pitch; UNJ is a Unified thread with a rounded root.
_SERIES = r"(?:(?: ?- ?| )?UNJ?(?P<series>C|F|EF|S)(?:[ -][123][AB])?)?"
_UNIFIED = re.compile(rf"{_SIZE} ?- ?(?P<per_inch>\d{{1,2}}){_SERIES}", re.ASCII)
_METRIC = re.compile(r"M ?(?P<size>\d{1,2}(?:\.\d)?) ?[xX] ?(?P<pitch>\d(?:\.\d{1,2})?|\.\d{1,2})", re.ASCII)
_NO_PITCH = re.compile(rf"M ?(?P<metric>\d{{1,2}}(?:\.\d)?)|{_SIZE}{_SERIES}", re.ASCII)

# Machine-screw numbers of ASME B1.1: the major diameter is 0.060 in + 0.013 in for each number.
_NUMBERED = range(13)
_LARGEST_INCH = 1

_FORMS = '"3/8-24", "10-32" or "M8x1", as marked on the bolt'


@dataclass(frozen=True)
class Thread:
    """A screw thread: its printed name, its series, its pitch and its nominal diameter, both exact."""

    name: str
    unified: bool
    pitch: Quantity
    diameter: Quantity


def read_thread(text: str) -> Thread | Unread:
    """Read a thread's name, or say why it names no thread that could exist and what would be read."""
    if len(text) > LONGEST:
        return Unread("thread-form", "the name of a thread is never so long", _FORMS)
    words = plain(text)
    if match := _UNIFIED.fullmatch(words):
        if match["series"] in {"C", "F"} and (refused := _another_series(match)):
            return refused
        return _unified(match["size"], int(match["per_inch"])) or _no_such(words)
    if match := _METRIC.fullmatch(words):
        return _metric(Fraction(match["size"]), Fraction(match["pitch"])) or _no_such(words)
    if match := _NO_PITCH.fullmatch(words):
        return _without_pitch(match)
    return _meant(words)


def _unified(size: str, per_inch: int) -> Thread | None:
    diameter = _unified_diameter(size)
    # Finer than 80 to the inch or coarser than a third of the diameter is no Unified thread.
    if diameter is None or not 8 <= per_inch <= 80 or Fraction(1, per_inch) > diameter / 3:
        return None
    pitch = quantity(Fraction(1, per_inch), "in")
    return Thread(f"{size}-{per_inch}", True, pitch, quantity(diameter, "in"))


def _unified_diameter(size: str) -> Fraction | None:
    if "/" in size:
        top, bottom = map(int, size.split("/"))
        if bottom == 0 or not 0 < Fraction(top, bottom) <= _LARGEST_INCH:
            return None
        return Fraction(top, bottom)
    if int(size) in _NUMBERED:
        return Fraction(60 + 13 * int(size), 1000)
    return None


def _metric(diameter: Fraction, pitch: Fraction) -> Thread | None:
    if not 2 <= diameter <= 30 or not Fraction(1, 5) <= pitch <= diameter / 3:
        return None
    name = f"M{float(diameter):g}x{float(pitch):g}"
    return Thread(name, False, quantity(pitch, "mm"), quantity(diameter, "mm"))


def _another_series(match: re.Match[str]) -> Unread | None:
    """Refuse letters that contradict the number before them; nobody can tell which of the two is wrong."""
    known = UNIFIED.get(match["size"])
    if known is None or int(match["per_inch"]) == known["CF".index(match["series"])]:
        return None
    letters = "UNC is the coarse series" if match["series"] == "C" else "UNF is the fine series"
    why = f"{letters}, and {match['size']} has another number of threads to the inch in it"
    return Unread("thread-form", why, f"{_either(match['size'])}; as marked on the bolt or measured")


def _no_such(text: str) -> Unread:
    return Unread("thread-form", f"there is no thread {text}: its pitch does not go with its size", _FORMS)


def _without_pitch(match: re.Match[str]) -> Unread:
    why = "a thread is named by size and pitch; without its pitch it could be a coarse one or a fine one"
    metric, size = match["metric"], match["size"]
    if metric in METRIC:
        coarse, *fine = (f'"M{metric}x{pitch}"' for pitch in METRIC[metric])
        write = f"{coarse} if it is the coarse one, {' or '.join(fine)} if it is a fine one"
        return Unread("thread-form", why, f"{write}; as marked on the bolt or measured")
    if size in UNIFIED and match["series"] in {"C", "F"}:
        return Unread("thread-form", why, f'"{size}-{UNIFIED[size]["CF".index(match["series"])]}"')
    if size in UNIFIED:
        return Unread("thread-form", why, f"{_either(size)}; as marked on the bolt or measured")
    return Unread("thread-form", why, _FORMS)


def _either(size: str) -> str:
    coarse, fine = UNIFIED[size]
    return f'"{size}-{coarse}" if it is the coarse one, "{size}-{fine}" if it is the fine one'


def _meant(text: str) -> Unread:
    """Answer a name that has all it needs in other letters, with a comma, or with a hyphen for the x."""
    why = "a thread is named by size and pitch; without the pitch nothing can be checked"
    point = text.upper().replace(",", ".")
    other = re.sub(r"^(M ?[\d.]+) ?- ?(?=[\d.]+$)", r"\1x", point)
    if not (_METRIC.fullmatch(other) or _UNIFIED.fullmatch(other)):
        return Unread("thread-form", why, _FORMS)
    thread = read_thread(other)
    if isinstance(thread, Unread):
        return thread
    return Unread(
        "thread-form", why, f'"{thread.name}"{", if the comma is a decimal point" if "," in text else ""}'
    )
