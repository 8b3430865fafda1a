"""Rules about one block of bolts: what fitting them asks for, torque or fit, running drag, locking."""

from __future__ import annotations

import re
from collections.abc import Iterator

from cardgen.spec.model.hardware import Fastener
from cardgen.spec.rules.families import (
    absent,
    given,
    half_given,
    missing,
    order,
    says,
    says_not,
    stray,
    two_units,
)
from cardgen.spec.rules.rule import Doubt, Doubts, rule
from cardgen.spec.spellings import names_of, plain
from cardgen.spec.units import units_for

Fasteners = tuple[Fastener, ...]

#: Units that a maker's words for a fit may hold; an inch by itself is also a common word.
_UNITS = re.compile(
    "|".join(
        rf"(?<![^\W\d])(?:{names_of(unit).pattern})(?![^\W\d])"
        for unit in (*units_for("torque"), "lbf", "thou", "mm", "deg")
    ),
    re.IGNORECASE,
)


def yours(fasteners: Fasteners) -> Iterator[tuple[int, Fastener]]:
    """Give the blocks that the reader of the card tightens, with their places in the file."""
    return ((place, bolt) for place, bolt in enumerate(fasteners) if bolt.fitted_by == "you")


@rule("strap-bolt-missing", "fasteners: where")
def strap_bolt_missing(fasteners: Fasteners) -> Doubts:
    """No strap bolt is listed, neither yours nor the maker's."""
    if not any(bolt.where == "strap" for bolt in fasteners):
        why = "without the strap bolts no card would say which of them are tightened and which never touched"
        yield Doubt((), why, 'every strap bolt, with fitted_by = "maker" for those that are never touched')


@rule("bolt-key-missing", "fasteners[]: fitted_by, stations")
def stations_missing(bolt: Fastener) -> Doubts:
    """A bolt that you fit lacks its station, thread, locking, the state of its threads or what is turned."""
    if bolt.fitted_by == "you" and not bolt.stations:
        why = "without its number along the joint neither map nor order of tightening shows which bolt is meant"
        write = "stations = [ … ]: their numbers along the joint; 1 is nearest the root"
        yield Doubt(("stations",), why, write)


#: What the hand needs to know of every bolt that it fits, why, and what to write.
_NEEDED = {
    "thread": (
        "without the thread neither the bolt nor its torque can be told from a wrong one",
        "size and pitch as marked on the bolt or printed in the parts list",
    ),
    "locking": (
        "a bolt that nothing locks works loose, and how this one is locked cannot be supposed",
        "how the maker's document locks it",
    ),
    "threads": (
        "a torque for dry threads pulls a bolt much harder when they are oiled or greased",
        '"dry", "oiled" or "greased", as the maker\'s document has it',
    ),
    "turned_at": (
        "torque, drag and the slot for a pin are reached by the end that is turned, the other is held",
        '"nut" or "head", as the maker\'s document has it',
    ),
}

NEEDED = tuple(
    missing(
        "bolt-key-missing",
        f"fasteners[].{key}",
        "A bolt that you fit lacks its station, thread, locking, the state of its threads or what is turned.",
        {"fitted_by": says("you")},
        why,
        write,
    )
    for key, (why, write) in _NEEDED.items()
)

MISSING = (
    missing(
        "torque-missing",
        "fasteners[].torque_min",
        "A bolt that you fit has neither a torque nor a fit in words.",
        {"fitted_by": says("you"), "torque_max": absent, "fit": absent},
        "nothing says how tight this bolt must be, and no general figure may stand in for the maker's",
        "torque_min and torque_max from the maker's document; or fit, in the maker's words",
    ),
    missing(
        "drag-missing",
        "fasteners[].drag",
        "A bolt with a torque does not say what its running drag does to it.",
        {"fitted_by": says("you"), "torque_max": given},
        "a nut that drags as it runs on takes part of the torque, so it matters whether the maker's "
        "figure leaves that part out or holds it already",
        '"add" if it is added to the figure, "included" if the figure holds it, "none" if there is none',
    ),
    missing(
        "drag-max-missing",
        "fasteners[].drag_max",
        "Running drag is to be added, but its limit is not given.",
        {"drag": says("add")},
        "the drag is added to the torque, and without its limit a seized nut would be tightened all the same",
        "the most running drag at which the nut may still be used",
    ),
    missing(
        "pin-head-missing",
        "fasteners[].pin_head",
        "A cotter pin is fitted, but not which way its head points.",
        {"fitted_by": says("you"), "locking": says("cotter pin")},
        "makers differ about which way the head of a pin points, so it cannot be supposed",
        "the direction of the pin's head in the maker's words",
    ),
    missing(
        "entered-from-missing",
        "fasteners[].entered_from",
        "A bolt that you fit does not say from which side it enters.",
        {"fitted_by": says("you"), "where": says_not("adjuster")},
        "a bolt put in from the wrong side can foul or lose its nut in flight",
        "the side that the maker's document shows the bolt entering from",
    ),
    *half_given(
        "torque-half-given",
        "fasteners[].torque",
        "A bolt has a least torque without a most, or the other way round.",
    ),
)

STRAY = (
    *(
        stray(
            "torque-and-fit",
            "fasteners[].fit",
            "A bolt has both a torque and a fit in words.",
            {end: given},
            "a torque is given as well, and the hand at the bench cannot obey both",
            "only the one that the maker's document states",
        )
        for end in ("torque_min", "torque_max")
    ),
    stray(
        "drag-max-stray",
        "fasteners[].drag_max",
        "A limit of running drag is given where no drag is added.",
        {"drag": says_not("add")},
        "a limit of drag has a meaning only where the drag is added to the torque",
        'drag = "add" if that is meant; if not, leave this key out',
    ),
    stray(
        "drag-without-torque",
        "fasteners[].drag",
        "Running drag is described for a bolt that has no torque.",
        {"torque_min": absent, "torque_max": absent},
        "this bolt has no torque that a drag could belong to",
        "the torque of this bolt; or leave this key out",
    ),
    stray(
        "pin-head-stray",
        "fasteners[].pin_head",
        "The direction of a pin is given for a bolt without a pin.",
        {"locking": says_not("cotter pin")},
        "this bolt is locked by {locking}, so there is no pin to point anywhere",
        'locking = "cotter pin" if it has one; if not, leave this key out',
    ),
)

PAIRS = (
    order(
        "torque-order",
        "fasteners[].torque",
        "A bolt's least torque is not below its most.",
        "no torque could satisfy both",
        "both ends of the window as the maker prints them",
    ),
    two_units(
        "torque-two-units",
        "fasteners[]",
        ("torque_min", "torque_max", "drag_max"),
        "The torques of one bolt are written in different units.",
        "{first} is {typed}, and two units on one bolt are easily taken for each other",
        "every torque of this bolt in one unit",
    ),
)


@rule("fit-number", "fasteners[]: fit")
def fit_number(bolt: Fastener) -> Doubts:
    """The words for a fit hold a number or a unit."""
    words = "" if bolt.fit is None else plain(bolt.fit)
    if found := next((sign for sign in words if sign.isnumeric()), None) or _unit_in(words):
        why = f'"{found}" stands in it, and an amount that stands in words is checked by nothing here'
        yield Doubt(
            ("fit",), why, "torque_min and torque_max, if it is a torque; if not, the fit in words alone"
        )


@rule("drag-none-self-locking", "fasteners[]: fitted_by, locking, drag")
def drag_none_self_locking(bolt: Fastener) -> Doubts:
    """A self-locking nut is said to have no running drag."""
    if bolt.fitted_by == "you" and bolt.locking == "self-locking nut" and bolt.drag == "none":
        why = "such a nut locks by the very drag it runs on with, and without drag it is worn out"
        yield Doubt(
            ("drag",), why, '"add" or "included", as the maker\'s torque leaves the drag out or holds it'
        )


@rule("threadlocker-dry", "fasteners[]: fitted_by, locking, threads, torque_max")
def threadlocker_dry(bolt: Fastener) -> Doubts:
    """Threadlocker is used on threads whose torque is stated dry."""
    torqued = bolt.fitted_by == "you" and bolt.torque_max is not None
    if torqued and bolt.locking == "threadlocker" and bolt.threads == "dry":
        why = "wet threadlocker makes threads slippery, so the same torque pulls the bolt harder than a dry one"
        yield Doubt(("threads",), why, "the condition of the threads that the maker's torque is stated for")


@rule("self-locking-teeter", "fasteners[]: where, locking", kind="flag")
def self_locking_teeter(bolt: Fastener) -> Doubts:
    """A self-locking nut alone holds the teeter bolt, a joint that turns all the time."""
    # AC 43.13-1B, par. 7-64a: not on parts subject to rotation.
    if bolt.where == "teeter" and bolt.locking == "self-locking nut":
        why = (
            "the teeter joint moves with every turn, and handbooks allow no self-locking nut alone "
            "on such a joint"
        )
        yield Doubt(("locking",), why, "how the maker's document locks this bolt")


@rule("pin-turned-at-head", "fasteners[]: fitted_by, locking, turned_at", kind="flag")
def pin_turned_at_head(bolt: Fastener) -> Doubts:
    """A bolt with a cotter pin is turned at its head, which brings no slot to the hole."""
    if bolt.fitted_by == "you" and bolt.locking == "cotter pin" and bolt.turned_at == "head":
        why = "hole and head turn together, so the nut's slots are brought to the hole by turning the nut alone"
        yield Doubt(("turned_at",), why, '"nut"; an override needs a document that has the head turned')


@rule("entered-from-unlike", "fasteners[]: fitted_by, where, entered_from")
def entered_from_unlike(bolt: Fastener) -> Doubts:
    """A bolt of each blade enters from a side of blade A, or the teeter bolt from below or above."""
    level = bolt.entered_from in {"leading side of blade A", "trailing side of blade A"}
    if bolt.fitted_by == "you" and level and bolt.where in {"strap", "adjuster"}:
        why = "each blade has this bolt, and a side of blade A says nothing about the one of blade B"
        yield Doubt(("entered_from",), why, '"below" or "above", the same on both blades')
    if bolt.fitted_by == "you" and bolt.where == "teeter" and bolt.entered_from and not level:
        why = "the teeter bolt lies level across the rotor, so it enters from one side of the blades"
        write = '"leading side of blade A" or "trailing side of blade A", as the maker\'s document shows it'
        yield Doubt(("entered_from",), why, write)


def _unit_in(words: str) -> str | None:
    found = _UNITS.search(words)
    return found[0] if found else None
