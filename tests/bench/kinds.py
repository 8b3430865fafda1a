"""Rotors of every kind by chance: ``python -m tests.bench.kinds [HOW_MANY] [SEED]``.

Each is built, laid out in every edition, printed and proved, and every word of every card is looked for
on its page. The suite does this for a fixed matrix and a few examples; here it goes on as long as asked.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator

from cardgen.deck.card import Deck
from cardgen.press.publish import Printed, publish
from cardgen.proof.prove import prove
from tests.press.test_properties import editions, lost, parted, read
from tests.press.variants import (
    INCH,
    METRIC,
    NAME,
    OPTIONAL,
    SELF_CENTRING,
    WORD,
    bolts,
    built,
    on,
    without,
    wrenches,
)

BASES = {"inch": INCH, "self-centring": SELF_CENTRING, "metric": METRIC}


def chosen(chance: random.Random) -> tuple[str, str]:
    """Make up a specification; give it with what was chosen."""
    base = chance.choice(sorted(BASES))
    count, pattern = chance.randint(1, 24), chance.choice(["row", "circle"])
    pairs = chance.randint(0, count // 2) if pattern == "row" else 0
    makers, tools = chance.randint(0, min(3, count - 1)), chance.randint(0, 3)
    name = chance.choice(["bolt", NAME, WORD[:40]])
    gone = chance.sample([group for group in OPTIONAL if group != "print"], chance.randint(0, 6))
    paper = chance.choice(["iso", "ansi"])
    text = wrenches(bolts(BASES[base], count, pattern, pairs, makers=makers, name=name), tools)
    said = f"{base}, {count} in a {pattern}, {pairs} pairs, {makers} of the maker, {tools} wrenches, {paper}"
    return on(without(text, *gone), paper), f"{said}, without {', '.join(sorted(gone)) or 'nothing'}"


def faults(deck: Deck) -> Iterator[str]:
    """Say what is wrong with a deck on paper; nothing where all is well."""
    made = publish(deck, editions(deck))
    if not isinstance(made, Printed):
        yield from map(str, made)
        return
    yield from prove(made, deck)
    for edition in editions(deck):
        sides = read(made, edition.name)
        for card in (each for each in deck.cards if each.id in sides):
            where = f"{edition.name}, {card.id}"
            yield from (f"{where}: {what}" for what in lost(card, edition, "".join(sides[card.id])))
            yield from (f"{where}: step {step} is parted" for step in parted(card, edition, sides[card.id]))


def main() -> None:
    """Try so many rotors and print those that are not well."""
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    bad = 0
    for number in range(seed, seed + many):
        text, said = chosen(random.Random(number))
        found = list(faults(built(text)))
        bad += bool(found)
        if found:
            print(f"{number}: {said}", *found[:5], sep="\n    ")
    print(f"{many} rotors, {bad} of them with faults")


if __name__ == "__main__":
    main()
