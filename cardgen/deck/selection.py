"""Which cards a rotor has, in the order of its work, and which it has not and why."""

from __future__ import annotations

from cardgen.deck.card import LeftOut
from cardgen.deck.library import library
from cardgen.spec.model import RotorSpec

_FIRST = ("cover", "flow", "assembly")
_LATER = (
    "pitch",
    "balance",
    "sealing",
    "teeter",
    "head",
    "install",
    "reflectors",
    "run-up",
    "track",
    "second-reading",
    "shake",
    "care",
    "log-slip",
    "newcomer",
)
#: Cards that print the values of one group of the specification.
_NEEDS = {
    "string": "string",
    "pitch": "pitch",
    "balance": "balance",
    "sealing": "tip",
    "teeter": "teeter",
    "head": "head",
    "reflectors": "reflectors",
    "shake": "shake",
}
#: What stays as it is on a rotor without such a card.
_STAYS = {
    "string": "the blades' line is not checked by string",
    "pitch": "the blade angles stay as they are",
    "balance": "the tips stay closed",
    "sealing": "the tips stay closed; the blow test of the breathers remains",
    "teeter": "the play along the teeter bolt is for the maker's instructions",
    "head": "the play of the mast bearing is for the maker's instructions",
    "reflectors": "the track card tells the blades apart by the marks on the metal",
    "shake": "shake that remains is a matter for the maker",
}


def work_order(spec: RotorSpec) -> tuple[str, ...]:
    """Order every card that any rotor can have as the work on this hub goes.

    Blades that are set by string are strung before the final torque; on a hub that finds its own
    line the string is a check afterwards.
    """
    middle = ("string", "torque") if spec.rotor.alignment == "set by string" else ("torque", "string")
    return (*_FIRST, *middle, *_LATER)


def cards_of(spec: RotorSpec) -> tuple[str, ...]:
    """Name the cards this rotor has, in the order of work."""
    without = {gone.id for gone in left_out(spec)}
    return tuple(card for card in work_order(spec) if card not in without)


def left_out(spec: RotorSpec) -> tuple[LeftOut, ...]:
    """Name the cards this rotor has not got, each with the reason and what stays untouched."""
    return tuple(
        LeftOut(card, title_of(card), why) for card in work_order(spec) if (why := _why_left_out(spec, card))
    )


def _why_left_out(spec: RotorSpec, card: str) -> str:
    group = _NEEDS.get(card)
    if group is not None and getattr(spec, group) is None:
        return f"left out, because the specification has no [{group}]; {_STAYS[card]}"
    if card == "second-reading" and spec.track.method == "none":
        return "left out, because this rotor's track is read and not adjusted"
    return ""


def title_of(card: str) -> str:
    """Give a card's title. Raises `KeyError` for a card that has none."""
    return library().terms[f"title-{card}"]
