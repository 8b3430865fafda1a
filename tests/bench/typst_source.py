"""A deck's content as source for Typst, for comparison: the same words, tables, drawings and codes.

Run as a module with a specification, a day and a folder to write into. The pages are the handout's
size with its margins and sizes of type; drawings and codes are files beside the source.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from cardgen.deck.build import build_deck
from cardgen.deck.card import (
    Block,
    Caution,
    Deck,
    Drawing,
    Items,
    Paragraph,
    Qr,
    Runs,
    Stamp,
    Step,
    Steps,
    Stop,
    Table,
    Value,
    WriteIns,
)
from cardgen.figures import compute
from cardgen.press.edition import Edition, load_edition
from cardgen.press.plain import plainly
from cardgen.press.qr import matrix
from cardgen.press.svg import qr_to_svg, to_svg
from cardgen.press.type import font_file
from cardgen.spec.load import Loaded, load

_BOX = "#box(width: 60pt, height: 14pt, stroke: 0.8pt)"


class Source:
    """Writes the source and the files it needs."""

    def __init__(self, folder: Path) -> None:
        self._folder, self._files = folder, 0

    def deck(self, deck: Deck, edition: Edition) -> str:
        """Write the whole deck, each card on pages of its own."""
        paper, margins, scale = edition.paper, edition.margins, edition.type
        diameter = _said(deck.spec.typed(("rotor", "diameter")))
        title = _said(f"{deck.spec.rotor.set_id} handout")
        head = (
            f"#set page(width: {paper.width}pt, height: {paper.height}pt, margin: (top: {margins.top + 50}pt, "
            f"right: {margins.right}pt, bottom: {margins.bottom + 20}pt, left: {margins.left}pt), "
            f'header: text(size: {scale.diameter}pt, weight: "bold", {diameter}), '
            f"footer: context {{ {_said(deck.spec.rotor.set_id)}; h(1fr); counter(page).display() }})\n"
            f"#set document(title: {title})\n"
            f'#set text(font: "Atkinson Hyperlegible", size: {scale.ladder[0]}pt, lang: "en")\n'
        )
        return head + "#pagebreak()\n".join("".join(self._card(deck, at)) for at in range(len(deck.cards)))

    def _card(self, deck: Deck, at: int) -> Iterator[str]:
        card = deck.cards[at]
        yield f"#heading(level: 1, {_said(card.title)})\n"
        for section in card.sections:
            if section.title:
                yield f"#heading(level: 2, {_said(section.title)})\n"
            for block in section.blocks:
                yield from self._block(block)

    def _block(self, block: Block) -> Iterator[str]:
        match block:
            case Steps():
                for step in block.steps:
                    yield from self._step(step)
            case Paragraph():
                yield f"#par({_runs(block.says)})\n"
            case Stop():
                yield f"#block(stroke: 1.5pt, inset: 5pt, width: 100%, {_runs(block.says)})\n"
            case Items():
                yield f"#list({', '.join(map(_runs, block.items))})\n"
            case Table():
                yield self._table(block)
            case Drawing():
                svg = to_svg(block.diagram, f"d{self._files}")
                yield f"#align(center, {self._image(svg, 'width: 80%')})\n"
            case Qr():
                yield f"#{self._image(qr_to_svg(matrix(block.payload), 'code'), 'width: 30mm')}\n"
                yield f"#par({_runs(block.says)})\n"
            case WriteIns():
                boxes = (f"[#{_said(box.label)} {_BOX}]" for box in block.boxes)
                yield f"#grid(columns: 2, gutter: 6pt, {', '.join(boxes)})\n"

    def _step(self, step: Step) -> Iterator[str]:
        for caution in step.cautions:
            yield _caution(caution)
        yield f"#grid(columns: (24pt, 1fr), strong({_said(str(step.number))}), {_runs(step.says)})\n"
        if step.why:
            yield f"#pad(left: 24pt, emph({_runs(step.why)}))\n"
        for box in step.write_ins:
            yield f"#par[#{_said(box.label)} {_BOX}]\n"

    def _table(self, table: Table) -> str:
        heads = ", ".join(
            f"strong({_said(f'{column.head} {column.unit}'.strip())})" for column in table.columns
        )
        cells = []
        for row in table.rows:
            if row.stop:
                cells.append(f"table.cell(colspan: {len(table.columns)}, {_runs(sum(row.cells, ()))})")
            else:
                cells += map(_runs, row.cells)
        grid = f"table(columns: {len(table.columns)}, table.header({heads}), {', '.join(cells)})"
        return f"#figure(caption: {_said(table.caption)}, {grid})\n"

    def _image(self, svg: str, size: str) -> str:
        self._files += 1
        name = f"{self._files}.svg"
        (self._folder / name).write_text(svg, "utf-8")
        return f'image("{name}", {size})'


def _caution(caution: Caution) -> str:
    return f"#block(stroke: 1pt, inset: 4pt, width: 100%)[*#{_said(caution.signal)}* #{_runs(caution.says)}]\n"


def _runs(runs: Runs) -> str:
    words = [(_said(plainly((run,))), isinstance(run, Value)) for run in runs]
    parts = [f"strong({said})" if strong else said for said, strong in words]
    return "{" + "; ".join(parts or ['""']) + "}"


def _said(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def main() -> None:
    """Write the source into a folder."""
    loaded = load(Path(sys.argv[1]), date.fromisoformat(sys.argv[2]))
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None
    spec, folder = loaded.spec, Path(sys.argv[3])
    deck = build_deck(spec, compute(spec), loaded.warnings, Stamp())
    edition = load_edition("handout", spec.print.paper if spec.print else "iso")
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "deck.typ").write_text(Source(folder).deck(deck, edition), "utf-8")
    print(font_file("regular").parent)


if __name__ == "__main__":
    main()
