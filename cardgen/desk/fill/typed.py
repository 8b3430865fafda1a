"""Between what stands in a box of the page and what stands in the file: numbers and units, lists, days."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import Any, get_args, get_origin

from cardgen.spec.dates import PaperDate
from cardgen.spec.fields import KeyMeaning, expected
from cardgen.spec.grammar import Kind, Reading, read
from cardgen.spec.problem import Path

_ENDS_IN_UNIT = re.compile(r"(?P<number>.*[\d¼-¾⅐-⅞])\s*(?P<unit>[^\d¼-¾⅐-⅞]*)")
_WHOLE = re.compile(r"[0-9]{1,9}")


def split(held: Any, kind: Kind) -> tuple[str, str]:
    """Take a measurement apart into what stands in its number box and its unit.

    Where it cannot be taken apart it stands in the box as it was typed, with no unit.
    """
    if not isinstance(held, str):
        return shown_in_box(held), ""
    reading = read(held, kind)
    found = _ENDS_IN_UNIT.fullmatch(held.strip())
    if isinstance(reading, Reading) and found:
        again = read(f"{found['number']} {reading.unit}", kind)
        if isinstance(again, Reading) and again.shown == reading.shown:
            return found["number"], reading.unit
    # Half typed: a number whose unit is still to come, or nothing that can be read.
    return held, ""


def joined(number: str, unit: str, kind: Kind) -> str:
    """Put number and unit together; a unit that was typed with the number counts."""
    number = number.strip()
    if not number or not unit or isinstance(read(number, kind), Reading):
        return number
    together = f"{number} {unit}"
    if isinstance(read(together, kind), Reading):
        return together
    return number if re.search(r"[^\W\d_]|[\"'°]", number) else together


def value_from(path: Path, meaning: KeyMeaning, text: str, unit: str = "") -> Any:
    """Make the value that a file takes from what stands in a box; nothing from an empty one.

    What cannot be read goes into the file as it was typed: what stands against it is then told.
    """
    if meaning.many:
        return _listed(path, text)
    text = text.strip()
    if not text:
        return None
    if meaning.kind:
        return joined(text, unit, meaning.kind)
    if meaning.type is bool:
        return {"true": True, "false": False}.get(text, text)
    if meaning.type is int:
        return int(text) if _WHOLE.fullmatch(text) else text
    if meaning.type is Fraction:
        return _number(text)
    if meaning.type in (date, PaperDate):
        return _day(text)
    return text


def shown_in_box(held: Any) -> str:
    """Write a value of the file as it stands in its box: numbers in one line, else a line each."""
    if held is None:
        return ""
    if isinstance(held, list) and held and all(isinstance(each, int) for each in held):
        return ", ".join(map(str, held))
    if isinstance(held, list):
        return "\n".join(
            ", ".join(map(shown_in_box, each)) if isinstance(each, list) else shown_in_box(each)
            for each in held
        )
    if isinstance(held, bool):
        return "true" if held else "false"
    return held.isoformat() if isinstance(held, date) else str(held)


def _listed(path: Path, text: str) -> list[Any] | None:
    item = expected((*path, 0))
    assert item is not None
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if get_origin(item.type) is tuple:
        pairs = [[_whole(each) for each in _parts(line)] for line in lines]
        return pairs or None
    if item.type is int:
        return [_whole(each) for line in lines for each in _parts(line)] or None
    if get_args(item.type) or item.kind:
        return [each.strip() for line in lines for each in line.split(",") if each.strip()] or None
    return list(lines) or None


def _parts(line: str) -> Sequence[str]:
    return [each for each in re.split(r"[\s,;]+", line) if each]


def _whole(text: str) -> int | str:
    return int(text) if _WHOLE.fullmatch(text) else text


def _number(text: str) -> Any:
    if _WHOLE.fullmatch(text):
        return int(text)
    # What is no number goes into the file as typed, and the check tells it.
    with suppress(InvalidOperation):
        if re.fullmatch(r"[0-9]{1,9}\.[0-9]{1,9}", text):
            return Decimal(text)
    return text


def _day(text: str) -> Any:
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text, re.ASCII):
        # The same for a day that is in no calendar.
        with suppress(ValueError):
            return date.fromisoformat(text)
    return text
