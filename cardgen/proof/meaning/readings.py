"""What is read and written down: tables of runs and heights, limits of the line, limits of the place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from cardgen.proof.meaning.asked import Asked, Kind
from cardgen.proof.meaning.pages import Flow
from cardgen.proof.meaning.phrases import Pattern, figure, found, typed, words
from cardgen.proof.meaning.tables import Table, table_against

#: The edition that hangs: nobody writes on it, and it alone has the limits of the place in a table.
_WALL = "wall"
#: What stands between a box's name and its limits: the box and its unit.
_BOX = r"\D{0,40}?"


def readings_against(card: str, flow: Flow, asked: Asked, kind: Kind) -> Iterator[str]:
    """Name what a card does not say of what is read on it as it must."""
    tables = _TABLES.get(card)
    for table in tables(asked, kind) if tables else ():
        yield from table_against(table, flow, kind)
    lines = _LINES.get(card)
    for what, pattern in lines(asked) if lines else ():
        match, wrong = found(pattern, flow, every=True)
        if match is None:
            yield f"{what}: {wrong}"


def _split_unit(asked: Asked) -> str:
    rows = asked.numbers.get("track.row.1.split")
    if rows:
        return rows.unit
    diameter = asked.number("rotor.diameter")
    return "mm" if diameter and diameter.unit in {"m", "mm", "cm"} else "in"


def _speeds(asked: Asked) -> int:
    return len(asked.value("run.track_speeds") or ())


def _run(asked: Asked, kind: Kind) -> Iterator[Table]:
    if kind.name == _WALL:
        return
    unit = _split_unit(asked)
    splits = (("First speed", unit), ("Last speed", unit)) if _speeds(asked) > 1 else (("Split", unit),)
    groups = ("Split",) if len(splits) > 1 else ()
    yield Table("This run", (("Run", ""), *splits, ("High: A, B or level", "")), (), groups=groups)


def _runs(asked: Asked, _: Kind) -> Iterator[Table]:
    unit = _split_unit(asked)
    two = _speeds(asked) > 1
    splits = (("First", unit), ("Last", unit)) if two else (("Speed", "rpm"), ("Split", unit))
    by_dial = asked.numbers.get("track.row.1.dial") if "by_dial" in asked.facts else None
    done = ("Locked", by_dial.unit) if by_dial else ("Turned", "flats")
    if by_dial or "by_dial" not in asked.facts:
        heads = (("Run", ""), *splits, ("High", ""), ("By", ""), done)
        groups = ("Split, by speed",) if two else ()
        yield Table("One line a run", heads, ((words("first"),),), groups=groups)


def _place(asked: Asked, kind: Kind) -> Iterator[Table]:
    wind, clear = asked.number("run.wind_limit"), asked.number("run.clear_radius")
    if kind.name == _WALL and wind and clear and (speeds := _each(asked, "run.ground_speeds")):
        rows = (
            (words("Nobody nearer than"), figure(clear)),
            (words("Wind"), words("at most").then(figure(wind))),
            (words("Speeds on the ground"), speeds),
        )
        yield Table("Limits of the place", (("What", ""), ("Limit", "")), rows)
    elif kind.name != _WALL and wind:
        yield Table("First run", (("Speed", "rpm"), ("Wind", wind.unit), ("Remarks", "")), ())


def _heights(asked: Asked, _: Kind) -> Iterator[Table]:
    if limit := asked.number("balance.height_limit"):
        unit = limit.unit
        heads = (("Reading", ""), ("From one side", unit), ("Other side", unit), ("Middle", unit))
        yield Table("Heights, plus end low is plus", heads, ((words("first"),),))
        whose = (("Plus end, such as door", ""), ("Blade there first", ""))
        yield Table("Whose it is", (*whose, ("Rotor: first less turned, halved", unit)), ())


def _each(asked: Asked, key: str) -> Pattern | None:
    """Look for all numbers of a list; nothing where one is not stated."""
    whole: Pattern | None = None
    for at in range(1, len(asked.value(key) or ()) + 1):
        number = asked.number(f"{key}[{at}]")
        if number is None:
            return None
        whole = whole.then(words(",")).then(figure(number)) if whole else figure(number)
    return whole


def _line(asked: Asked) -> Iterator[tuple[str, Pattern]]:
    """Give what must stand of each reading of the line: its limits, at every box for it."""
    rounds = (", snug", ", torqued") if "by_string" in asked.facts else ("",)
    for at, check in enumerate(asked.value("string.checks") or (), 1):
        key = f"string.checks[{at}]"
        low, high = asked.number(f"{key}.sweep_min"), asked.number(f"{key}.sweep_max")
        if low and high:
            limits = words("from").then(figure(low)).then(words("to")).then(figure(high))
            for box in (f"Sweep {blade}{when}" for when in rounds for blade in "AB"):
                yield f"{key}: {box}", words(box).then(limits, _BOX)
        if apart := asked.number(f"{key}.difference"):
            yield f"{key}.difference", words("Between the blades: at most").then(figure(apart))
        if limit := asked.number(f"{key}.limit"):
            off = words("at most").then(figure(limit)).then(words("off, either side"))
            for box in (f"Middle{when}" for when in rounds):
                yield f"{key}: {box}", words(box).then(off, _BOX)
        if place := check.get("measured_at"):
            yield f"{key}.measured_at", words("from the hub face, at:").then(typed(place))


def _speed(asked: Asked) -> Iterator[tuple[str, Pattern]]:
    if most := asked.number("rotor.most_speed"):
        yield "rotor.most_speed", words("Rotor speed: never above").then(figure(most))
    if least := asked.number("rotor.least_speed"):
        yield "rotor.least_speed", words("in flight at least").then(figure(least))


_TABLES: Mapping[str, Callable[[Asked, Kind], Iterator[Table]]] = MappingProxyType(
    {"track": _run, "second-reading": _runs, "run-up": _place, "balance": _heights}
)
_LINES: Mapping[str, Callable[[Asked], Iterator[tuple[str, Pattern]]]] = MappingProxyType(
    {"string": _line, "run-up": _speed}
)
