"""Rules about what the papers leave open: a key that may be not given is given or listed, and nothing else is.

Where a listed key would stand, the card frames NOT GIVEN: STOP, ASK THE MAKER.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cardgen.spec.fields import expected, group_types
from cardgen.spec.model.base import Sourced
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.rules.families import Condition, given, missing, says
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, Rule

_YOURS: Mapping[str, Condition] = {"fitted_by": says("you")}
_ADJUSTED: Mapping[str, Condition] = {"method": says("adjuster")}
#: When a key is looked for at all, where that is not always.
_NEEDED: Mapping[tuple[str, str], Mapping[str, Condition]] = {
    ("fasteners", "pin_head"): {**_YOURS, "locking": says("cotter pin")},
    ("fasteners", "drag_max"): {**_YOURS, "drag": says("add")},
    ("fasteners", "entered_from"): _YOURS,
    ("fasteners", "washer"): _YOURS,
    ("track", "counter_hold"): _ADJUSTED,
    ("track", "dial_offset"): {**_ADJUSTED, "set_by": says("dial")},
    ("track", "max_total"): _ADJUSTED,
    ("track", "good_enough"): _ADJUSTED,
}
#: Keys that are asked for in fewer places than they may be listed in: beside a fit in words no washers are.
_ASKED: Mapping[tuple[str, str], Mapping[str, Condition]] = {
    ("fasteners", "washer"): {**_YOURS, "torque_max": given},
}
#: Keys whose absence is told by a rule of their own, with its own reason.
_TOLD_ELSEWHERE = {"pin_head", "drag_max", "entered_from", *MAY_BE_NOT_GIVEN["track"]}
#: Stations are not asked for where the bolts are the maker's own, so nothing need be said of them.
_UNNUMBERED = 'nothing, beside fitted_by = "maker": leave stations out, and the card names the bolts in words'
_WHY = "a card has a place for it, and what is left empty on a card is filled in by guessing"


def _owner(group: str) -> str:
    place = expected((group,))
    return f"{group}[]" if place is not None and place.many else group


def _about(group: str, key: str) -> str:
    place = expected((group, 0, key)) if _owner(group).endswith("[]") else expected((group, key))
    return place.about if place is not None else key


MISSING = tuple(
    missing(
        "open-key-missing",
        f"{_owner(group)}.{key}",
        "A key that papers may leave open is neither given nor listed under not_given.",
        _ASKED.get((group, key), _NEEDED.get((group, key), {})),
        _WHY,
        _about(group, key),
    )
    for group, keys in MAY_BE_NOT_GIVEN.items()
    for key in keys
    if key not in _TOLD_ELSEWHERE
)


def _sourced() -> tuple[str, ...]:
    """Name every group that has a source, and so may say what its source does not give."""
    found = []
    for name in group_types():
        place = expected((name, 0)) if _owner(name).endswith("[]") else expected((name,))
        if place is not None and place.group and issubclass(place.type, Sourced):
            found.append(name)
    return tuple(found)


def _unknown(group: str) -> Rule:
    may = MAY_BE_NOT_GIVEN.get(group, ())

    def test(holder: Sourced) -> Doubts:
        for place, key in enumerate(holder.not_given):
            if key not in may:
                known = key in type(holder).model_fields
                why = (
                    f"{key} must be known before there are cards"
                    if known
                    else f"{key} is not a key of this group"
                )
                open_ones = f"of this group only {', '.join(may)}" if may else "nothing: take this entry out"
                if (group, key) == ("fasteners", "stations"):
                    open_ones = f"{_UNNUMBERED}; {open_ones}"
                yield Doubt(("not_given", place), why, f"{open_ones}; what must be known, ask its maker")

    meaning = "A key is listed under not_given that must be known, or that its group does not have."
    return Rule("not-given-unknown", meaning, test, (Reads.of(f"{_owner(group)}: not_given"),))


def _contradicted(group: str) -> Rule:
    may = MAY_BE_NOT_GIVEN[group]

    def test(holder: Any) -> Doubts:
        values = {key: getattr(holder, key) for key in may}
        for place, key in enumerate(holder.not_given):
            if given(values.get(key)):
                why = f"{key} is given in the same group, and the card cannot print it and ask for it"
                yield Doubt(
                    ("not_given", place), why, "the value or this entry, whichever is true of the papers"
                )

    meaning = "A key is listed under not_given and is given as well."
    return Rule("not-given-given", meaning, test, (Reads.of(f"{_owner(group)}: not_given, {', '.join(may)}"),))


def _needless(group: str, key: str, needed: Mapping[str, Condition]) -> Rule:
    def test(holder: Any) -> Doubts:
        values = {name: getattr(holder, name) for name in needed}
        if key in holder.not_given and not all(holds(values[name]) for name, holds in needed.items()):
            said = ", ".join(f"{name} is {values[name] or 'left out'}" for name in needed)
            why = f"{said}, so no card has a place for {key} and nobody needs to ask for it"
            yield Doubt(("not_given", holder.not_given.index(key)), why, "nothing: take this entry out")

    meaning = "A key is listed under not_given that no card of this rotor has a place for."
    reads = (Reads.of(f"{_owner(group)}: not_given, {', '.join(needed)}"),)
    return Rule("not-given-needless", meaning, test, reads)


UNKNOWN = tuple(_unknown(group) for group in _sourced())
CONTRADICTED = tuple(_contradicted(group) for group in MAY_BE_NOT_GIVEN)
NEEDLESS = tuple(_needless(group, key, needed) for (group, key), needed in _NEEDED.items())
