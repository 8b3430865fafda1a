"""The words of a card by what they do there, for comparing one deck with another.

Numbers are left out, because they are compared as figures; so is what belongs to the issue
itself, such as its code and its list of changes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cardgen.deck.card import (
    Block,
    Card,
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
    WriteIns,
)

#: Stands where a figure stands.
_NUMBER = "(number)"
_OF_THE_ISSUE = ("stamp.", "changes[")


@dataclass(frozen=True)
class CardWords:
    """What a card warns of, what it asks for, and everything else that it says."""

    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    words: tuple[str, ...]


def words_of(card: Card) -> CardWords:
    """Collect the words of a card. A reason to stop counts as a caution, a table's words as steps."""
    found = [each for section in card.sections for block in section.blocks for each in _of_block(block)]
    titles = [("words", card.title), *(("words", section.title) for section in card.sections)]
    kinds = {kind: tuple(text for each, text in (*titles, *found) if each == kind and text) for kind in _KINDS}
    return CardWords(kinds["caution"], kinds["step"], kinds["words"])


_KINDS = ("caution", "step", "words")


def _of_block(block: Block) -> Iterator[tuple[str, str]]:
    match block:
        case Steps():
            for step in block.steps:
                yield from (("caution", f"{each.signal}: {_plain(each.says)}") for each in step.cautions)
                yield "step", _plain(step.says)
                yield from (("step", box.label) for box in step.write_ins)
                yield "words", _plain(step.why)
        case Stop():
            yield "caution", _plain(block.says)
        case Table():
            yield "step", f"{block.caption}: {', '.join(column.head for column in block.columns)}"
            yield from (("step", "; ".join(map(_plain, row.cells))) for row in block.rows)
        case Drawing():
            yield "step", f"{block.diagram.title}: {block.diagram.description}"
        case WriteIns():
            yield from (("step", box.label) for box in block.boxes)
        case Items():
            yield from (("words", _plain(item)) for item in block.items)
        case Paragraph() | Qr():
            yield "words", _plain(block.says)


def _plain(runs: Runs) -> str:
    return "".join(map(_word, runs)).strip()


def _word(run: Inline) -> str:
    match run:
        case Words():
            return run.text
        case Value():
            return _NUMBER
        case Was():
            return ""
        case Said():
            return "" if run.key.startswith(_OF_THE_ISSUE) else run.text
        case _:
            return f"[{run.label}]"
