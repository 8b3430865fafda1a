"""Which cards a rotor has, in the order of its work, and which it has not and why."""

from __future__ import annotations

from collections.abc import Container, Sequence

from cardgen.deck.card import LeftOut
from cardgen.deck.listed_cards import ListedCard, listed_cards
from cardgen.spec.model import RotorSpec


def work_order(alignment: str, held: Container[str], first: Sequence[str] = ()) -> tuple[str, ...]:
    """Order those cards that are ``held`` as the work goes for one way of aligning blades.

    Those that are named ``first`` come before all others.
    """
    cards = listed_cards()
    order = sorted(
        (name for name, card in cards.items() if card.order), key=lambda name: cards[name].place(alignment)
    )
    return tuple(name for name in dict.fromkeys((*first, *order)) if name in held)


def cards_of(spec: RotorSpec) -> tuple[str, ...]:
    """Name the cards this rotor has, in the order of work."""
    without = {gone.id for gone in left_out(spec)}
    held = [name for name in listed_cards() if name not in without]
    return work_order(spec.rotor.alignment, held)


def left_out(spec: RotorSpec) -> tuple[LeftOut, ...]:
    """Name the cards this rotor has not got, each with the reason and what stays untouched."""
    cards = listed_cards()
    return tuple(
        LeftOut(name, cards[name].title, why)
        for name in work_order(spec.rotor.alignment, cards)
        if (why := _why_left_out(spec, cards[name]))
    )


def also_left_out(spec: RotorSpec) -> tuple[LeftOut, ...]:
    """Name what is no card of its own and is left out of others."""
    if spec.hub is not None or spec.rotor.alignment != "self-centring":
        return ()
    why = "left out, because the specification has no hub group; look at them as the maker says"
    return (LeftOut("hub", "Damper and joint", why),)


def _why_left_out(spec: RotorSpec, card: ListedCard) -> str:
    if card.needs and spec.value((card.needs,)) is None:
        return f"left out, because the specification has no {card.needs} group; {card.stays}"
    if card.left_out and spec.value(card.left_out.path) == card.left_out.word:
        return f"left out, because {card.left_out.because}"
    return ""
