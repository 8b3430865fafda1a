"""The tables of the torque card: the window at the nut, and what each wrench shows for which bolts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from math import ceil, floor

from cardgen.proof.meaning.asked import Asked, Kind
from cardgen.proof.meaning.pages import Flow, flow_of
from cardgen.proof.meaning.phrases import Pattern, bare, figure, found, said, words
from cardgen.proof.meaning.tables import Table, table_against
from cardgen.proof.recheck_input import SI
from cardgen.proof.recomputed import TINY, Recomputed

_LABEL = r"\d+(?: ?(?:,|to|and) ?\d+)*"
_SHOWS = "What the wrench shows"


def torque_against(flow: Flow, asked: Asked, kind: Kind) -> Iterator[str]:
    """Name what the torque card says otherwise of windows and wrenches than it must, or not at all."""
    yield from _windows(flow, asked, kind)
    seen: set[tuple[int, str]] = set()
    ids = {wrench["id"]: at for at, wrench in enumerate(asked.value("wrenches") or (), 1)}
    starts = [match.start() for match in re.finditer(words(_SHOWS).expression, flow.text)]
    for place, start in enumerate(starts):
        before = flow.text[(starts[place - 1] if place else 0) : start]
        named = list(re.finditer("|".join(rf"(?<![\w-]){re.escape(name)}(?![\w-])" for name in ids), before))
        # The line right above names the wrench; steps further up may name others.
        lines = [
            match for match in named if re.match(r" ?(?:beam|dial|click|preset|\w+)", before[match.end() :])
        ]
        if not lines:
            yield f'table "{_SHOWS}": no wrench is named above it'
            continue
        name, line = lines[-1][0], before[lines[-1].start() :]
        yield from _wrench_line(ids[name], line, asked)
        blocks = _blocks(line, asked, name)
        seen |= {(block, name) for block in blocks}
        end = starts[place + 1] if place + 1 < len(starts) else len(flow.text)
        part = Flow(flow.between(start, end))
        for block in blocks:
            for table in _settings(block, name, asked):
                yield from (f"wrench {name}: {fault}" for fault in table_against(table, part, kind))
            yield from _between(block, name, part, asked)
    for block, name in _wanted(asked):
        if (block, name) not in seen:
            yield f"wrench {name}: no table shows its settings for the bolts of block {block}"


def _wanted(asked: Asked) -> Iterator[tuple[int, str]]:
    for at, bolt in enumerate(asked.spec["fasteners"], 1):
        for wrench in asked.value("wrenches") or ():
            if (
                bolt["where"] == "strap"
                and f"torque.fasteners[{at}].{wrench['id']}.drag.1.low" in asked.numbers
            ):
                yield at, wrench["id"]


def _orders(label: str) -> set[int]:
    """Read which bolts a label names: "1 to 3, 5"."""
    named: set[int] = set()
    for first, last in re.findall(r"(\d+)(?: ?to ?(\d+))?", label):
        named |= set(range(int(first), int(last or first) + 1))
    return named


def _block_of(order: int, asked: Asked) -> int | None:
    station = (asked.value("tightening.order") or [])[order - 1 : order]
    blocks = enumerate(asked.spec["fasteners"], 1)
    return next(
        (at for at, b in blocks if b["where"] == "strap" and station and station[0] in b.get("stations", ())),
        None,
    )


def _blocks(line: str, asked: Asked, wrench: str) -> list[int]:
    label = re.search(rf"; ?bolts ({_LABEL})", line)
    if label is None:
        return [block for block, name in _wanted(asked) if name == wrench]
    blocks = {_block_of(order, asked) for order in _orders(label[1])}
    return sorted(block for block in blocks if block is not None)


def _wrench_line(at: int, line: str, asked: Asked) -> Iterator[str]:
    key, wrench = f"wrenches[{at}]", asked.spec["wrenches"][at - 1]
    says = f"{{={key}.id}} {wrench['kind']}"
    if "extension" in wrench:
        says += f" {{{key}.length}}, extension {{{key}.extension}}"
        says += f" at {{{key}.angle}}" if "angle" in wrench else " in line"
    else:
        says += ", no extension"
    pattern = said(says, asked)
    if pattern is None or found(pattern, flow_of(line))[0] is None:
        yield f"wrench {wrench['id']}: its line does not say how it is fitted"


def _settings(block: int, wrench: str, asked: Asked) -> Iterator[Table]:
    name, numbers = f"torque.fasteners[{block}].{wrench}", asked.numbers
    drags = [f"{name}.drag.{at}" for at in range(1, 100) if f"{name}.drag.{at}.low" in numbers]
    stages = [stage for stage in asked.value("tightening.stages") or () if stage < 100]
    told, unit = f"{drags[0]}.drag" in numbers, numbers[f"{drags[0]}.low"].unit
    heads = [("Drag read", numbers[f"{drags[0]}.drag"].unit) if told else ("Bolts", "")]
    in_rows = len(stages) == 1 and f"{drags[0]}.stage.1.low" in numbers
    heads += [("First round", unit)] if in_rows else []
    heads += [("At least", unit), ("At most", unit)]
    rows = []
    for drag in drags:
        first = bare(numbers[f"{drag}.drag"]) if told else Pattern(_LABEL)
        stage = numbers.get(f"{drag}.stage.1.low")
        rounds = [bare(stage) if stage else words("row above")] if in_rows else []
        rows.append((first, *rounds, bare(numbers[f"{drag}.low"]), bare(numbers[f"{drag}.high"])))
    stop = numbers.get(f"{name}.drag_stop")
    end = None
    if stop:
        end = (
            words("More than").then(bare(stop)).then(words(": STOP. Ask the maker: at the nut it may be over"))
        )
        end = end.then(figure(numbers[f"fasteners[{block}].drag_max"]))
    yield Table(_SHOWS, tuple(heads), tuple(rows), end, ("Full",))
    if stages and not in_rows:
        yield _stages(drags, stages, unit, told, asked)


def _stages(drags: list[str], stages: list[int], unit: str, told: bool, asked: Asked) -> Table:
    numbers, rows = asked.numbers, []
    for drag in drags:
        for at, share in enumerate(stages, 1):
            cells = [words(f"{share} percent").then(Pattern(r"(?:[MKRCLG]\b)?"))]
            cells += [bare(numbers[f"{drag}.drag"])] if told else []
            ends = [numbers.get(f"{drag}.stage.{at}.{end}") for end in ("low", "high")]
            cells += [bare(end) for end in ends if end] or [Pattern(r"not with this wrench\D*?")]
            rows.append(tuple(cells))
    middle = [("Drag read", numbers[f"{drags[0]}.drag"].unit)] if told else []
    heads = (("Stage", ""), *middle, ("At least", unit), ("At most", unit))
    return Table("At each stage before", heads, tuple(rows))


def _between(block: int, wrench: str, flow: Flow, asked: Asked) -> Iterator[str]:
    """Ask how drag between two rows is set: by the row with more drag where each two rows share a setting."""
    name = f"torque.fasteners[{block}].{wrench}"
    if _rows_share(name, asked):
        says = "Between two rows: set the least of the row with more drag."
    elif f"{name}.aim" in asked.numbers:
        says = f"Any drag: {{{name}.aim}} and the drag read on top."
    elif f"{name}.drag.2.low" in asked.numbers:
        says = "Drag between two rows. This wrench has no setting for it."
    else:
        return
    pattern = said(says, asked)
    match, wrong = found(pattern, flow) if pattern else (None, "a number of it is not stated")
    if match is None:
        yield f"wrench {wrench}: what is set between two rows: {wrong}"


def _rows_share(name: str, asked: Asked) -> bool:
    """Whether each row begins, on the marks of its wrench, no higher than the row with less drag ends."""
    drags = [f"{name}.drag.{at}" for at in range(1, 100) if f"{name}.drag.{at}.low" in asked.numbers]
    return len(drags) > 1 and all(
        _mark(asked.numbers[f"{more}.low"]) <= _mark(asked.numbers[f"{less}.high"])
        for less, more in pairwise(drags)
    )


def _mark(number: Recomputed) -> int:
    """Count the marks of the scale up to a number, which is brought up or down to one."""
    marks = number.value / SI[number.unit] / number.step
    return ceil(marks - TINY) if number.side == "up" else floor(marks + TINY)


def _windows(flow: Flow, asked: Asked, kind: Kind) -> Iterator[str]:
    order = asked.value("tightening.order") or []
    wanted = {
        place: at
        for place, station in enumerate(order, 1)
        for at, bolt in enumerate(asked.spec["fasteners"], 1)
        if bolt["where"] == "strap" and station in bolt.get("stations", ()) and "torque_min" in bolt
    }
    if not wanted:
        return
    units = {number.unit for at in wanted.values() if (number := asked.number(f"fasteners[{at}].torque_min"))}
    unit = units.pop() if len(units) == 1 else ""
    caption = "At the nut, without drag, without extension"
    top = re.search(words(caption).expression, flow.text)
    rows = [] if top is None else _window_rows(flow.text[top.end() :], unit)
    cells: list[tuple[Pattern, ...]] = []
    for label in rows:
        named = _orders(label)
        blocks = {wanted.get(place) for place in named}
        if None in blocks:
            yield f'table "{caption}": "{label}" names a bolt that has no torque here'
            return
        ends = [_ends(at, asked) for at in blocks if at]
        cells.append((words(label), *(_end(end, unit) for end in ends[0])))
        if len({tuple(round(end.value, 9) for end in each) for each in ends}) > 1:
            yield f'table "{caption}": "{label}" puts bolts of different windows together'
        for place in named:
            wanted.pop(place, None)
    if wanted:
        yield f'table "{caption}": it leaves out bolt {", ".join(map(str, wanted))}'
    heads = (("Bolts", ""), ("At least", unit), ("At most", unit))
    yield from table_against(Table(caption, heads, tuple(cells)), flow, kind)


def _end(number: Recomputed, unit: str) -> Pattern:
    return bare(number) if unit else figure(number)


def _ends(at: int, asked: Asked) -> list[Recomputed]:
    keys = (f"fasteners[{at}].torque_{end}" for end in ("min", "max"))
    return [number for key in keys if (number := asked.number(key))]


def _window_rows(text: str, unit: str) -> list[str]:
    """Read the labels of a window's rows, as long as one follows another."""
    beside = r"(?: \([^()]*\))*(?: ?[MKRCLG]\b)?"
    tail = rf"\d[\d./-]*(?: ?[^\d\s()]+)?{beside}"
    row = re.compile(rf" ?({_LABEL}) {tail} {tail}(?= |$)")
    head = re.search(rf"At ?most ?{re.escape(unit)}(?: ?[MKRCLG]\b)?", text)
    labels, at = [], head.end() if head else 0
    while match := row.match(text, at):
        labels.append(match[1])
        at = match.end()
    return labels
