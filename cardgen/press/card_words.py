"""The words of a card by what they do there, for comparing one deck with another.

Numbers are left out, because they are compared as figures; so is what belongs to the issue
itself, such as its code and its list of changes.
"""

from __future__ import annotations

from dataclasses import dataclass

from cardgen.deck.card import Card, Inline, Runs, Said, Value, Was, Words
from cardgen.deck.walk import Place, walk

#: Stands where a figure stands.
_NUMBER = "(number)"
_OF_THE_ISSUE = ("stamp.", "changes[")
#: What counts as what; every other place of a card is words.
_CAUTIONS = ("caution", "stop")
_STEPS = ("step", "check", "box", "table", "cell", "drawing")


@dataclass(frozen=True)
class CardWords:
    """What a card warns of, what it asks for, and everything else that it says."""

    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    words: tuple[str, ...]


def words_of(card: Card) -> CardWords:
    """Collect the words of a card. A reason to stop counts as a caution, a table's words as steps."""
    told = [(place.what, text) for place in walk(card.sections) if (text := _text(place))]
    titles = (card.title, *(section.title for section in card.sections))
    return CardWords(
        cautions=tuple(text for what, text in told if what in _CAUTIONS),
        steps=tuple(text for what, text in told if what in _STEPS),
        words=(*filter(None, titles), *(text for what, text in told if what not in _CAUTIONS + _STEPS)),
    )


def _text(place: Place) -> str:
    """Say a place in words; nothing for what is said elsewhere, as a row is with its first cell."""
    if place.row:
        first = place.what == "cell" and not place.at
        return "; ".join(map(_plain, place.row.cells)) if first else ""
    if place.table:
        return f"{place.table.caption}: {', '.join(column.name for column in place.table.columns)}"
    if place.diagram:
        return f"{place.diagram.title}: {place.diagram.description}"
    if place.box:
        return place.box.label
    return f"{place.caution.signal}: {_plain(place.says)}" if place.caution else _plain(place.says)


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
