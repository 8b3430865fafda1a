"""The tables of numbers that a deck must have: heads with units, keys, values and how each ends."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

from cardgen.proof.meaning.asked import Asked, Kind
from cardgen.proof.meaning.pages import Box, Flow, around
from cardgen.proof.meaning.phrases import Pattern, bare, figure, found, said, typed, words
from cardgen.proof.recomputed import Recomputed


@dataclass(frozen=True)
class Table:
    """A table as it must be read: ``heads`` are words with a unit, ``rows`` a pattern for each cell.

    ``groups`` are the words that may stand over several heads.
    """

    caption: str
    heads: tuple[tuple[str, str], ...]
    rows: tuple[tuple[Pattern, ...], ...]
    stop: Pattern | None = None
    groups: tuple[str, ...] = ()


def tables_against(card: str, flow: Flow, asked: Asked, kind: Kind) -> Iterator[str]:
    """Name every table of a card that is missing, or says something else than it must."""
    tables = _CARDS.get(card)
    for table in tables(asked, kind) if tables else ():
        yield from table_against(table, flow, kind)


def table_against(table: Table, flow: Flow, kind: Kind) -> Iterator[str]:
    """Look for a table, its words and numbers first and then their places."""
    match, wrong = found(_whole(table, kind.loose_heads), flow)
    if match is None:
        yield f'table "{table.caption}": {wrong}'
    elif kind.loose_heads:
        said = Counter(match["heads"].replace(":", " ").split())
        wanted = " ".join(f"{head} {unit}" for head, unit in table.heads)
        lost = Counter(wanted.replace(":", " ").split()) - said
        if lost:
            yield f'table "{table.caption}": its heads do not say {" ".join(lost)}'
    elif flow.between(*match.span())[0].page:
        yield from (f'table "{table.caption}": {what}' for what in _misplaced(table, match, flow))


def _whole(table: Table, loose_heads: bool) -> Pattern:
    loose = r"(?P<heads>\D{0,400}?)" if table.rows else r"(?P<heads>\D{0,120})"
    heads = loose if loose_heads else _heads(table, 0)
    whole = Pattern(rf"{words(table.caption).expression} {heads}")
    for row, cells in enumerate(table.rows):
        for column, cell in enumerate(cells):
            held = Pattern(rf"(?P<c{row}x{column}>{cell.expression})", cell.numbers)
            whole = whole.then(held, _again(table, row) if not column and row else " ")
    if table.stop:
        stop = Pattern(rf"(?P<stop>{table.stop.expression})", table.stop.numbers)
        return whole.then(stop, _again(table, len(table.rows)))
    columns = len(table.heads)
    more = r"(?! \d[\d./-]*" + r"(?: \([^()]*\))? \d[\d./-]*" * (columns - 1) + r"\b)" if columns > 1 else ""
    return Pattern(whole.expression + more, whole.numbers)


def _heads(table: Table, row: int) -> str:
    group = "".join(f"(?:{words(each).expression} )*" for each in table.groups)
    named = "".join(f"(?:{words(each).expression} ?: ?)?" for each in table.groups)
    return group + " ".join(
        rf"{named}(?P<h{at}r{row}>{words(head).expression})"
        + (rf" ?{re.escape(unit)}" if unit else "")
        + r"(?: ?[MKRCLG]\b)?"
        for at, (head, unit) in enumerate(table.heads)
    )


def _again(table: Table, row: int) -> str:
    """Let a table go on in another column or on another side, where its head stands once more."""
    return rf" (?:(?:\S+ ){{0,60}}?{_heads(table, row)} )??"


def _misplaced(table: Table, match: re.Match[str], flow: Flow) -> Iterator[str]:
    """Find numbers that do not stand under their head, or in a row of their own below the last."""
    heads: list[Box] = []
    low = 0.0
    for row, cells in enumerate(table.rows):
        if f"h0r{row}" in match.re.groupindex and match[f"h0r{row}"]:
            heads = [around(flow.between(*match.span(f"h{at}r{row}"))) for at in range(len(table.heads))]
            low = min(head.y1 for head in heads)
        places = [around(flow.between(*match.span(f"c{row}x{column}"))) for column in range(len(cells))]
        for column, place in enumerate(places):
            nearest = min(range(len(heads)), key=partial(_apart, heads, place))
            if nearest != column and column and len(cells) == len(heads):
                yield f'row {row + 1}: "{table.heads[column][0]}" stands under "{table.heads[nearest][0]}"'
        if max(place.y1 for place in places) >= min(place.y2 for place in places):
            yield f"row {row + 1}: its cells do not stand beside each other"
        if max(place.y1 + place.y2 for place in places) / 2 >= low:
            yield f"row {row + 1}: it does not stand below what comes before it"
        low = min((place.y1 + place.y2) / 2 for place in places)
    if (
        table.stop
        and not match[f"h0r{len(table.rows)}"]
        and around(flow.between(*match.span("stop"))).y2 >= low
    ):
        yield "its STOP does not stand at its end"


def _apart(heads: Sequence[Box], place: Box, at: int) -> float:
    return abs(heads[at].middle - place.middle)


def _track(asked: Asked, kind: Kind) -> Iterator[Table]:
    captions = {"one_blade": "On one blade only", "whole_bar": "At the one adjuster"}
    moved = next((captions[name] for name in captions if name in asked.facts), "On each blade, opposite ways")
    first = "track.first.1.split" in asked.numbers
    if first and not ("by_dial" in asked.facts and "track.row.1.flats" in asked.numbers):
        yield _beside(moved, asked)
        return
    if first:
        yield _track_table(f"{moved}: the first change", "track.first", asked, kind)
    if "track.row.1.split" in asked.numbers:
        yield _track_table(f"{moved}: every change after it" if first else moved, "track.row", asked, kind)


def _track_table(caption: str, name: str, asked: Asked, kind: Kind) -> Table:
    turned = "First move" if "by_dial" in asked.facts else "Turn"
    columns = [("split", "Split"), ("dial", "Dial must read"), ("flats", turned)]
    if kind.whys:
        columns.append(("adjust", "Adjuster moves"))
    columns = [each for each in columns if f"{name}.1.{each[0]}" in asked.numbers]
    rows = _rows(asked, name, [key for key, _ in columns])
    heads = tuple((head, asked.numbers[f"{name}.1.{key}"].unit) for key, head in columns)
    return Table(caption, heads, _cells(rows), _no_more(rows, asked))


def _beside(caption: str, asked: Asked) -> Table:
    """Two rules in one table: what the first change needs, and what every one after it."""
    key, group = ("dial", "Dial must read") if "by_dial" in asked.facts else ("flats", "Turn")
    rows = [
        [split, first, after]
        for (split, after), (_, first) in zip(
            _rows(asked, "track.row", ("split", key)), _rows(asked, "track.first", ("split", key)), strict=True
        )
    ]
    heads = tuple(
        (head, number.unit) for head, number in zip(("Split", "First change", "After it"), rows[0], strict=True)
    )
    return Table(caption, heads, _cells(rows), _no_more(rows, asked), (group,))


def _no_more(rows: Sequence[Sequence[Recomputed]], asked: Asked) -> Pattern:
    last, most = rows[-1][0], asked.numbers["track.max_split"]
    stop = words("More than").then(bare(last)).then(words(": STOP. No adjusting, no flying."))
    ends_there = last.value >= most.value * (1 - 1e-6)
    return stop.then(words("Most:")).then(figure(most)) if ends_there else stop


def _rows(asked: Asked, name: str, keys: Sequence[str]) -> list[list[Recomputed]]:
    rows, at = [], 1
    while f"{name}.{at}.{keys[0]}" in asked.numbers:
        rows.append([asked.numbers[f"{name}.{at}.{key}"] for key in keys])
        at += 1
    return rows


def _cells(rows: Iterable[Iterable[Recomputed]]) -> tuple[tuple[Pattern, ...], ...]:
    return tuple(tuple(map(bare, row)) for row in rows)


def _lead(asked: Asked, _: Kind) -> Iterator[Table]:
    rows = _rows(asked, "balance.lead", ("mass", "ounces", "length"))
    if rows:
        heads = zip(("Mass", "Mass", "Length"), (number.unit for number in rows[0]), strict=True)
        # Of many rows every other is printed, and always the last.
        rows = rows[-1::-2][::-1] if len(rows) > 5 else rows
        most = asked.number("balance.max_lead")
        full = most is not None and rows[-1][0].value >= most.value * (1 - 1e-6)
        ends = (
            "Over {balance.max_lead} in one tip, old lead counted: STOP."
            if full
            else "More does not fit the cavity: STOP."
        )
        yield Table("Slug for this cavity", tuple(heads), _cells(rows), said(ends, asked))
    if cure := asked.value("tip.cure"):
        keys = [[f"tip.cure[{at}].{key}" for key in ("temperature", "time")] for at in range(1, len(cure) + 1)]
        cells = tuple(tuple(figure(number) for key in row if (number := asked.number(key))) for row in keys)
        yield Table(
            "Time to cure", (("Blade at", ""), ("Time", "")), cells, words("Colder than every row: STOP.")
        )


def _pitch(asked: Asked, _: Kind) -> Iterator[Table]:
    heads = (("Angle", ""), ("In degrees", ""), ("In minutes", ""))
    both = (("At least", "pitch.low", "pitch.low_minutes"), ("At most", "pitch.high", "pitch.high_minutes"))
    rows = [*(both if "pitch.low" in asked.numbers else ())]
    rows.append(("Between the blades, at most", "pitch.max_difference", "pitch.difference_minutes"))
    cells = [(words(key), *(figure(n) for name in names if (n := asked.number(name)))) for key, *names in rows]
    if "pitch.low" in asked.numbers:
        yield Table("What it must be", heads, tuple(cells))
    if shims := asked.value("pitch.shims"):
        stacks = tuple(
            (typed(shim["blade"]), typed(shim["corner"]), figure(thick))
            for at, shim in enumerate(shims, 1)
            if (thick := asked.number(f"pitch.shims[{at}].thickness"))
        )
        yield Table("Stacks as fitted", (("Blade", ""), ("Corner", ""), ("Stack", "")), stacks)


_CARDS: Mapping[str, Callable[[Asked, Kind], Iterable[Table]]] = MappingProxyType(
    {"track": _track, "sealing": _lead, "pitch": _pitch}
)
