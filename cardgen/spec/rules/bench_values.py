"""Rules about what is set and measured on the bench: string, pitch, balance, tips and teeter."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import TypeAlias

from cardgen.spec.model.bench import Balance, Pitch, String, Tip
from cardgen.spec.model.identity import Rotor
from cardgen.spec.model.running import Shake
from cardgen.spec.problem import Path
from cardgen.spec.rules.families import missing, order, repeats, says, says_not, stray, twice
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import Quantity, magnitude
from cardgen.spec.unjudged import Unjudged

#: Lead hardened with antimony, the lightest sold as lead: the longest slug for its mass. In g/cm3;
#: lead itself is 11.34 (published handbook values; the lighter one from a secondary text).
_LIGHTEST_LEAD = Fraction(1090, 100)
#: A little below the circle's number, so that a slug is never reckoned too short.
_PI = Fraction(314159265, 100000000)

#: A corner of a pitch block: its side, then its height.
Corner: TypeAlias = tuple[str, str]
_CORNERS: Mapping[frozenset[str], Corner] = MappingProxyType(
    {
        frozenset({word, height}): (side, height)
        for side, words in (("front", ("front", "leading")), ("rear", ("rear", "trailing")))
        for word in words
        for height in ("upper", "lower")
    }
)

#: What each reading of the string needs.
_STRING_KEYS = {"hub face": ("sweep_min", "sweep_max", "difference", "measured_at"), "centre mark": ("limit",)}


@rule("string-missing", "rotor: alignment", "string?")
def string_missing(rotor: Rotor, string: String | None) -> Doubts:
    """The hub is set by string, but nothing is given for the string."""
    if rotor.alignment == "set by string" and string is None:
        why = "the blades of this hub are set to a string, and the card for it needs the maker's limits"
        write = 'the group [string] from the maker\'s document; or "self-centring" if the hub is'
        yield Doubt(("alignment",), why, write)


STRING_KEYS = tuple(
    made
    for method, keys in _STRING_KEYS.items()
    for key in keys
    for made in (
        missing(
            "string-key-missing",
            f"string.checks[].{key}",
            "A reading of the string lacks a limit that it is judged by.",
            {"method": says(method)},
            "the reading at the {method} is judged by this, and nothing may be supposed for it",
            f"{key} from the maker's document",
        ),
        stray(
            "string-key-stray",
            f"string.checks[].{key}",
            "A reading of the string has a limit that belongs to the other reading.",
            {"method": says_not(method)},
            "the reading at the {method} does not use this, so it would never reach the card",
            "a check of its own for it, or nothing",
        ),
    )
)

STRING_ORDER = order(
    "string-sweep-order",
    "string.checks[].sweep",
    "The least sweep is not below the most.",
    "no blade could satisfy both",
    "both ends as the maker prints them",
)

TWICE = twice(
    "string-check-twice",
    "string.checks",
    ("method",),
    "The same reading of the string is listed twice.",
    "the reading at the {method} is listed already, and two limits for one reading contradict each other",
    "each reading once",
)

TEETER = (
    missing(
        "teeter-play-missing",
        "teeter.play_max",
        "A bearing or washer takes the thrust, but the play allowed is not given.",
        {"thrust": says_not("adjustable")},
        "a thrust {thrust} needs a little play and wears to more, so its limit decides whether it may fly",
        "the most play along the teeter bolt in the maker's document",
    ),
    missing(
        "teeter-contact-missing",
        "teeter.contact",
        "The block is adjustable, but which sides must touch is not given.",
        {"thrust": says("adjustable")},
        "an adjustable block is judged by which of its sides touch, after every change of track",
        "which sides must touch, in the maker's words",
    ),
    stray(
        "teeter-contact-stray",
        "teeter.contact",
        "A bearing or washer takes the thrust, yet it is said what an adjustable block touches.",
        {"thrust": says_not("adjustable")},
        "a thrust {thrust} is judged by its play, and the card would never say what touches",
        'thrust = "adjustable" if the block is; if not, leave this key out',
    ),
    stray(
        "teeter-play-stray",
        "teeter.play_max",
        "The block is adjustable, which leaves no play, yet a play is allowed.",
        {"thrust": says("adjustable")},
        "an adjustable block is set to touch, so a play allowed beside it contradicts that",
        'thrust = "bearing" or "washer" if that is fitted; if not, leave this key out',
    ),
)


@rule("pitch-station", "pitch: station", "rotor: diameter")
def pitch_station(pitch: Pitch, rotor: Rotor) -> Doubts:
    """The protractor would sit beyond the tip."""
    if pitch.station is not None and pitch.station >= rotor.diameter / 2:
        why = f"the radius of this rotor is only {_inches(rotor.diameter / 2)}"
        yield Doubt(("station",), why, "the distance from the rotor centre to the place of the protractor")


def corner(words: str) -> Corner | None:
    """Tell which corner of a pitch block is named, whether by front or leading, or nothing."""
    named = frozenset(word for word in re.split("[ ,]+", words.lower()) if word)
    return _CORNERS.get(named)


@rule("pitch-corner", "pitch: swap.corners, shims[].corner")
def pitch_corner(pitch: Pitch) -> Doubts:
    """A corner of the pitch block is not named by its side and its height."""
    for path, words in _corners(pitch):
        if corner(words) is None:
            why = "a stack sits at one of four corners, and this names none of them"
            yield Doubt(
                path, why, '"front" or "leading", "rear" or "trailing", a comma, then "upper" or "lower"'
            )


@rule("pitch-shim-twice", "pitch: shims[].blade, shims[].corner")
def pitch_shim_twice(pitch: Pitch) -> Doubts:
    """Two stacks of shims are listed for one corner of one blade."""
    shims = pitch.shims or ()
    for place, (blade, _) in repeats((shim.blade, corner(shim.corner) or shim.corner) for shim in shims):
        why = f"blade {blade} has a stack at this corner already, so one of the two is another corner's"
        yield Doubt(("shims", place, "corner"), why, "each corner of each blade once, the whole stack together")


@rule("pitch-swap-diagonal", "pitch: swap.corners")
def pitch_swap_diagonal(pitch: Pitch) -> Doubts:
    """The two corners that change places do not lie diagonally to each other."""
    ends = [corner(words) for words in pitch.swap.corners] if pitch.swap is not None else []
    if None not in ends and any(len(set(sides)) == 1 for sides in zip(*filter(None, ends), strict=True)):
        why = "only two stacks that lie diagonally turn the blade when they change places"
        yield Doubt(("swap", "corners"), why, "the two corners named in the maker's document")


@rule("pitch-swap-unknown", "pitch: swap.corners, shims[].corner", kind="warning")
def pitch_swap_unknown(pitch: Pitch) -> Doubts:
    """A corner that changes places has no stack of shims listed."""
    known = {corner(shim.corner): shim.corner for shim in pitch.shims or ()}
    for place, words in enumerate(pitch.swap.corners if pitch.swap and known else ()):
        if corner(words) not in known:
            why = f"the stacks listed are at {'; '.join(sorted(known.values()))}"
            yield Doubt(
                ("swap", "corners", place), why, "nothing, if there is none; or its stack in the list too"
            )


@rule("lead-too-long", "balance: max_lead, cavity_diameter, cavity_depth, screw_hole", "draft", plausible=True)
def lead_too_long(balance: Balance, draft: Unjudged) -> Doubts:
    """The most lead allowed in a tip does not fit into its cavity."""
    bore = magnitude(balance.cavity_diameter, "mm") / 10
    hole = Fraction(0) if balance.screw_hole is None else magnitude(balance.screw_hole, "mm") / 10
    if hole >= bore:
        return  # That is said by its own rule.
    volume = magnitude(balance.max_lead, "g") / _LIGHTEST_LEAD
    length = volume / (_PI * (bore * bore - hole * hole) / 4)
    if length > magnitude(balance.cavity_depth, "mm") / 10:
        diameter, depth = (typed(draft, "balance", key) for key in ("cavity_diameter", "cavity_depth"))
        why = (
            f"a slug of that mass in a hole of {diameter} is up to {float(length * 10):.0f} mm long "
            f"({float(length) / 2.54:.2f} in), and the cavity is {depth} deep"
        )
        yield Doubt(("max_lead",), why, "the mass, diameter and depth that the maker's document states")


@rule("tip-radius", "balance: tip_radius", "rotor: diameter", plausible=True)
def tip_radius(balance: Balance, rotor: Rotor) -> Doubts:
    """The cavity for the lead is not in the tip."""
    radius = rotor.diameter / 2
    if not radius * Fraction(85, 100) <= balance.tip_radius <= radius:
        why = f"the radius of this rotor is {_inches(radius)}, and tip lead sits in the outer part of it"
        yield Doubt(("tip_radius",), why, "the distance from the rotor centre to the middle of the cavity")


@rule("balance-without-tip", "balance", "tip?")
def balance_without_tip(_balance: Balance, tip: Tip | None) -> Doubts:
    """Lead is put into the tips, but nothing is given for closing them."""
    if tip is None:
        why = (
            "balancing opens the tips, and without the group [tip] no card would say how they are closed, "
            "cured and proven to breathe"
        )
        write = "the group [tip] from the maker's document; or leave [balance] out and the tips stay closed"
        yield Doubt((), why, write)


@rule("shake-without-balance", "shake", "balance?")
def shake_without_balance(_shake: Shake, balance: Balance | None) -> Doubts:
    """Trial masses are used, but nothing limits the mass in a tip."""
    if balance is None:
        why = "a trial mass goes into the tip, and without [balance] nothing limits the mass there"
        yield Doubt((), why, "the group [balance] as well; or leave [shake] out")


@rule("trial-mass", "shake: trial_mass", "balance: max_lead", "draft")
def trial_mass(shake: Shake, balance: Balance, draft: Unjudged) -> Doubts:
    """The trial mass is more than the most lead allowed in a tip."""
    if shake.trial_mass > balance.max_lead:
        why = f"no tip may hold more than max_lead, {typed(draft, 'balance', 'max_lead')}, for a trial either"
        yield Doubt(("trial_mass",), why, "a trial mass within the maker's limit")


def _corners(pitch: Pitch) -> Iterator[tuple[Path, str]]:
    """Give every name of a corner, with its place."""
    for place, words in enumerate(pitch.swap.corners if pitch.swap else ()):
        yield ("swap", "corners", place), words
    for place, shim in enumerate(pitch.shims or ()):
        yield ("shims", place, "corner"), shim.corner


def _inches(length: Quantity) -> str:
    return f"{float(magnitude(length, 'in')):.2f} in ({float(magnitude(length, 'm')):.3f} m)"
