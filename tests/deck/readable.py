"""A card as text for a reviewer: what it says, in order, with the source of everything marked.

{160 in·lbf M}   a figure     ‹words›   quoted from the specification     [id: unit]   a box
"""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.card import Card, Inline, Runs, Said, Stop, Table, Value, Was, Words, WriteIn
from cardgen.deck.walk import Place, walk


def readable(card: Card) -> str:
    lines = [f"CARD {card.id}: {card.title} ({card.phase})"]
    for place in walk(card.sections):
        lines += _lines(place)
    return "\n".join(lines) + "\n"


def said(runs: Runs) -> str:
    return "".join(_run(run) for run in runs)


def _run(run: Inline) -> str:
    match run:
        case Words(text, strong):
            return f"*{text}*" if strong else text
        case Value(figure, show):
            parts = figure.parts
            return (
                "{"
                + (parts.number if show == "number" else f"{parts.number} {parts.unit} {figure.origin}")
                + "}"
            )
        case Said(text):
            return f"‹{text}›"
        case Was(_, text):
            return f" ({text})"
        case WriteIn():
            limits = f"; {said(run.limits)}" if run.limits else ""
            return f"[{run.id}: {run.unit or 'no unit'}{limits}]"


def _lines(place: Place) -> Iterator[str]:
    says = said(place.says)
    if place.what == "section":
        yield from ("", f"== {place.section.title}")
    elif place.caution:
        yield f"  {place.caution.signal}: {says}"
    elif place.step and place.what == "step":
        yield f"{place.step.number:3}. {says} {'( )' * place.step.ticks}".rstrip()
    elif place.what == "check":
        ticks = next(
            check.ticks for check in (place.step.checks if place.step else ()) if check.says == place.says
        )
        yield f"     - {says} {'( )' * ticks}".rstrip()
    elif place.what == "why":
        yield f"     why: {says}"
    elif place.row:
        # A box in a table is told in its cell.
        if place.what == "cell" and not place.at:
            cells = " | ".join(said(cell) for cell in place.row.cells)
            yield ("    STOP " if place.row.stop else "    | ") + cells
    elif place.table:
        yield from _head(place.table)
    elif place.box:
        yield f"{'     ' if place.step else '  '}{place.box.label} {_run(place.box)}"
    elif place.diagram:
        yield f"  DRAWING {place.diagram.name}: {place.diagram.title}"
        yield from (f"    {line}" for line in place.diagram.description.splitlines())
    elif place.code:
        yield f"  CODE {place.code.payload}: {says}"
    else:
        yield {"item": "  - ", "stop": f"  {_word(place)}: "}.get(place.what, "") + says


def _word(place: Place) -> str:
    """Which of its two words a halt begins with."""
    halts = (block for block in place.section.blocks if isinstance(block, Stop) and block.says == place.says)
    return next((block.word for block in halts), "")


def _head(table: Table) -> Iterator[str]:
    yield f"  TABLE {table.id}: {table.caption}"
    heads = (
        f"{'*' if column.strong else ''}{column.head} {column.unit} {column.origin}" for column in table.columns
    )
    yield "    | " + " | ".join(" ".join(head.split()) for head in heads)
