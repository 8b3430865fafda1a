"""A deck printed and proved with the record of what stands where, which a keeper never gets."""

from __future__ import annotations

from collections.abc import Sequence

from cardgen.deck.card import Deck
from cardgen.press.edition import Edition
from cardgen.press.layout import Overflow
from cardgen.press.publish import Printed, print_edition
from cardgen.proof.prove import files_against, sums_against


def publish(deck: Deck, editions: Sequence[Edition]) -> Printed | tuple[Overflow, ...]:
    """Print several editions and give their files and records together, or all that does not fit."""
    made = [print_edition(deck, edition) for edition in editions]
    if overflows := tuple(overflow for each in made if not isinstance(each, Printed) for overflow in each):
        return overflows
    papers = [each for each in made if isinstance(each, Printed)]
    return Printed(
        {name: content for paper in papers for name, content in paper.files.items()},
        {name: sides for paper in papers for name, sides in paper.layouts.items()},
    )


def prove(printed: Printed, deck: Deck) -> tuple[str, ...]:
    """Say in one line each what stands against a printed deck; nothing where the proof holds."""
    return (*sums_against(deck), *files_against(printed.files, printed.layouts, deck))
