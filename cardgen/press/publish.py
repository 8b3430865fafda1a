"""Everything a deck is printed and shown as, in memory, with the record of what stands where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from cardgen.deck.card import Deck
from cardgen.press.canvas import paint
from cardgen.press.edition import Edition
from cardgen.press.layout import Overflow, chosen, lay_out
from cardgen.press.marks import Side
from cardgen.press.sheets import two_up


@dataclass(frozen=True)
class Printed:
    """Finished files by name, and for each PDF its sides."""

    files: Mapping[str, bytes]
    layouts: Mapping[str, tuple[Side, ...]]


def publish(deck: Deck, editions: Sequence[Edition]) -> Printed | tuple[Overflow, ...]:
    """Lay out and paint every edition that has a card of this deck, and make the files for screens.

    Nothing is made where anything does not fit: every such place in every edition is returned.
    """
    layouts: dict[str, tuple[Side, ...]] = {}
    makers: dict[str, Edition] = {}
    overflows: list[Overflow] = []
    for edition in editions:
        if not chosen(deck, edition):
            continue
        laid = lay_out(deck, edition)
        sides = tuple(side for side in laid if isinstance(side, Side))
        overflows += [item for item in laid if isinstance(item, Overflow)]
        layouts[f"{edition.name}.pdf"], makers[f"{edition.name}.pdf"] = sides, edition
        if edition.two_up and sides:
            name = f"{edition.name}-2up.pdf"
            layouts[name], makers[name] = two_up(sides, edition), edition
    if overflows:
        return tuple(overflows)
    files = {name: paint(sides, deck, makers[name]) for name, sides in layouts.items()}
    return Printed(_with_screens(files, deck), layouts)


def _with_screens(printed: Mapping[str, bytes], deck: Deck) -> dict[str, bytes]:
    # Imported here, because a table or a check never needs them.
    from cardgen.press.data import to_json
    from cardgen.press.form import to_form
    from cardgen.press.plain import to_text
    from cardgen.press.twin import to_html

    files = dict(printed)
    files["cards.html"] = to_html(deck).encode()
    files["cards.txt"] = to_text(deck).encode()
    files["log-entry.html"] = to_form(deck).encode()
    hashes = {name: sha256(content).hexdigest() for name, content in sorted(files.items())}
    files["deck.json"] = to_json(deck, hashes).encode()
    return files
