"""A card as text for a reviewer: what it says, in order, with the source of everything marked.

{160 in·lbf M}   a figure     ‹words›   quoted from the specification     [id: unit]   a box
"""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.card import (
    Block,
    Card,
    Caution,
    Drawing,
    Inline,
    Items,
    Paragraph,
    Qr,
    Runs,
    Said,
    Steps,
    Stop,
    Table,
    Value,
    Was,
    Words,
    WriteIn,
    WriteIns,
)


def readable(card: Card) -> str:
    lines = [f"CARD {card.id}: {card.title} ({card.phase})"]
    for section in card.sections:
        lines += ["", f"== {section.title}"]
        for block in section.blocks:
            lines += _block(block)
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
            return f"({text})"
        case Was(text=text):
            return f" ({text})"
        case WriteIn():
            limits = f"; {said(run.limits)}" if run.limits else ""
            return f"[{run.id}: {run.unit or 'no unit'}{limits}]"


def _block(block: Block) -> Iterator[str]:
    match block:
        case Steps(steps):
            for step in steps:
                for caution in step.cautions:
                    yield _caution(caution)
                yield f"{step.number:3}. {said(step.says)} {'( )' * step.ticks}".rstrip()
                if step.why:
                    yield f"     why: {said(step.why)}"
                for box in step.write_ins:
                    yield f"     {box.label} {_run(box)}"
        case Paragraph(says):
            yield said(says)
        case Items(items):
            yield from (f"  - {said(item)}" for item in items)
        case Table():
            yield from _table(block)
        case Drawing(diagram):
            yield f"  DRAWING {diagram.name}: {diagram.title}"
            yield from (f"    {line}" for line in diagram.description.splitlines())
        case WriteIns(boxes):
            yield from (f"  {box.label} {_run(box)}" for box in boxes)
        case Stop(says):
            yield f"  STOP: {said(says)}"
        case Qr(payload, says):
            yield f"  CODE {payload}: {said(says)}"


def _caution(caution: Caution) -> str:
    return f"  {caution.signal}: {said(caution.says)}"


def _table(table: Table) -> Iterator[str]:
    yield f"  TABLE {table.id}: {table.caption}"
    heads = (
        f"{'*' if column.strong else ''}{column.head} {column.unit} {column.origin}" for column in table.columns
    )
    yield "    | " + " | ".join(" ".join(head.split()) for head in heads)
    for row in table.rows:
        yield ("    STOP " if row.stop else "    | ") + " | ".join(said(cell) for cell in row.cells)
