"""Rules about a single bolt: its torque or fit, its running drag, and how it is locked."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.spec.model.hardware import Fastener
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.rules.thread_table import ROWS
from cardgen.spec.units import unit_of
from cardgen.spec.unjudged import Unjudged

Fasteners = tuple[Fastener, ...]


def yours(fasteners: Fasteners) -> Iterator[tuple[int, Fastener]]:
    """Give the bolts that the reader of the card tightens, with their places in the file."""
    return ((place, bolt) for place, bolt in enumerate(fasteners) if bolt.fitted_by == "you")


@rule("strap-bolt-missing", "fasteners")
def strap_bolt_missing(fasteners: Fasteners) -> Doubts:
    """No strap bolt is listed that the reader of the card fits."""
    if not any(bolt.where == "strap" for _, bolt in yours(fasteners)):
        why = "without a strap bolt that you tighten, the torque card would be empty"
        yield Doubt(("fasteners",), why, 'each strap bolt that you tighten, with fitted_by = "you"')


@rule("torque-missing", "fasteners")
def torque_missing(fasteners: Fasteners) -> Doubts:
    """A bolt that you fit has neither a torque nor a fit in words."""
    for place, bolt in yours(fasteners):
        if bolt.torque_min is None and bolt.torque_max is None and bolt.fit is None:
            why = "nothing says how tight this bolt must be, and no general figure may stand in for the maker's"
            write = "torque_min and torque_max from the maker's document; or fit, in the maker's words"
            yield Doubt(("fasteners", place, "torque_min"), why, write)


@rule("torque-and-fit", "fasteners")
def torque_and_fit(fasteners: Fasteners) -> Doubts:
    """A bolt has both a torque and a fit in words."""
    for place, bolt in enumerate(fasteners):
        if bolt.fit is not None and (bolt.torque_min is not None or bolt.torque_max is not None):
            why = "a torque is given as well, and the hand at the bench cannot obey both"
            yield Doubt(("fasteners", place, "fit"), why, "only the one that the maker's document states")


@rule("torque-half-given", "fasteners")
def torque_half_given(fasteners: Fasteners) -> Doubts:
    """A bolt has a least torque without a most, or the other way round."""
    for place, bolt in enumerate(fasteners):
        if (bolt.torque_min is None) != (bolt.torque_max is None):
            missing = "torque_min" if bolt.torque_min is None else "torque_max"
            why = f"a torque needs both ends, and {missing} is not given"
            yield Doubt(
                ("fasteners", place, missing), why, "the other end of the window in the maker's document"
            )


@rule("torque-order", "fasteners", "draft")
def torque_order(fasteners: Fasteners, draft: Unjudged) -> Doubts:
    """A bolt's least torque is not below its most."""
    for place, bolt in enumerate(fasteners):
        if bolt.torque_min is not None and bolt.torque_max is not None and bolt.torque_min >= bolt.torque_max:
            most = typed(draft, "fasteners", place, "torque_max")
            why = f"it is not below torque_max, {most}, so no torque could satisfy both"
            yield Doubt(
                ("fasteners", place, "torque_min"), why, "both ends of the window as the maker prints them"
            )


@rule("torque-two-units", "fasteners", "draft")
def torque_two_units(fasteners: Fasteners, draft: Unjudged) -> Doubts:
    """The torques of one bolt are written in different units."""
    for place, bolt in enumerate(fasteners):
        given = [key for key in ("torque_min", "torque_max", "drag_max") if getattr(bolt, key) is not None]
        for key in given[1:]:
            if unit_of(getattr(bolt, key)) != unit_of(getattr(bolt, given[0])):
                first = typed(draft, "fasteners", place, given[0])
                why = f"{given[0]} is {first}, and two units on one bolt are easily taken for each other"
                yield Doubt(("fasteners", place, key), why, "every torque of this bolt in one unit")


@rule("drag-missing", "fasteners")
def drag_missing(fasteners: Fasteners) -> Doubts:
    """A bolt with a torque does not say what its running drag does to it."""
    for place, bolt in yours(fasteners):
        if bolt.torque_max is not None and bolt.drag is None:
            why = (
                "a nut that drags as it runs on takes part of the torque, so it matters whether the maker's "
                "figure leaves that part out or holds it already"
            )
            write = (
                '"add" if it is added to the figure, "included" if the figure holds it, "none" if there is none'
            )
            yield Doubt(("fasteners", place, "drag"), why, write)


@rule("drag-max-missing", "fasteners")
def drag_max_missing(fasteners: Fasteners) -> Doubts:
    """Running drag is to be added, but its limit is not given."""
    for place, bolt in enumerate(fasteners):
        if bolt.drag == "add" and bolt.drag_max is None:
            why = (
                "the drag is added to the torque, and without its limit a seized nut would be "
                "tightened all the same"
            )
            yield Doubt(
                ("fasteners", place, "drag_max"),
                why,
                "the most running drag at which the nut may still be used",
            )


@rule("drag-max-stray", "fasteners")
def drag_max_stray(fasteners: Fasteners) -> Doubts:
    """A limit of running drag is given where no drag is added."""
    for place, bolt in enumerate(fasteners):
        if bolt.drag_max is not None and bolt.drag != "add":
            why = "a limit of drag has a meaning only where the drag is added to the torque"
            yield Doubt(
                ("fasteners", place, "drag_max"),
                why,
                'drag = "add" if that is meant; if not, leave this key out',
            )


@rule("drag-without-torque", "fasteners")
def drag_without_torque(fasteners: Fasteners) -> Doubts:
    """Running drag is described for a bolt that has no torque."""
    for place, bolt in enumerate(fasteners):
        if bolt.drag is not None and bolt.torque_min is None and bolt.torque_max is None:
            why = "this bolt has no torque that a drag could belong to"
            yield Doubt(("fasteners", place, "drag"), why, "the torque of this bolt; or leave this key out")


@rule("pin-head-missing", "fasteners")
def pin_head_missing(fasteners: Fasteners) -> Doubts:
    """A cotter pin is fitted, but not which way its head points."""
    for place, bolt in yours(fasteners):
        if bolt.locking == "cotter pin" and bolt.pin_head is None:
            why = "makers differ about which way the head of a pin points, so it cannot be supposed"
            yield Doubt(
                ("fasteners", place, "pin_head"), why, "the direction of the pin's head in the maker's words"
            )


@rule("pin-head-stray", "fasteners")
def pin_head_stray(fasteners: Fasteners) -> Doubts:
    """The direction of a pin is given for a bolt without a pin."""
    for place, bolt in enumerate(fasteners):
        if bolt.locking != "cotter pin" and bolt.pin_head is not None:
            why = f"this bolt is locked by {bolt.locking}, so there is no pin to point anywhere"
            yield Doubt(
                ("fasteners", place, "pin_head"),
                why,
                'locking = "cotter pin" if it has one; if not, leave this key out',
            )


@rule("nut-missing", "fasteners")
def nut_missing(fasteners: Fasteners) -> Doubts:
    """A Unified fine thread has a torque but no kind of nut, so it cannot be compared."""
    for place, bolt in yours(fasteners):
        if bolt.nut is None and bolt.torque_max is not None and bolt.thread.name in ROWS:
            why = (
                "a thin shear nut bears much less torque than a full tension nut, and nothing says "
                "which this is"
            )
            yield Doubt(
                ("fasteners", place, "nut"), why, '"tension" or "shear", by the nut in the maker\'s parts list'
            )


@rule("entered-from-missing", "fasteners")
def entered_from_missing(fasteners: Fasteners) -> Doubts:
    """A bolt that you fit does not say from which side it enters."""
    for place, bolt in yours(fasteners):
        if bolt.entered_from is None and bolt.where != "adjuster":
            why = "a bolt put in from the wrong side can foul or lose its nut in flight"
            yield Doubt(
                ("fasteners", place, "entered_from"),
                why,
                "the side that the maker's document shows the bolt entering from",
            )


@rule("threadlocker-dry", "fasteners")
def threadlocker_dry(fasteners: Fasteners) -> Doubts:
    """Threadlocker is used on threads whose torque is stated dry."""
    for place, bolt in yours(fasteners):
        if bolt.locking == "threadlocker" and bolt.threads == "dry" and bolt.torque_max is not None:
            why = (
                "wet threadlocker makes threads slippery, so the same torque pulls the bolt harder "
                "than a dry one"
            )
            yield Doubt(
                ("fasteners", place, "threads"),
                why,
                "the condition of the threads that the maker's torque is stated for",
            )


@rule("self-locking-teeter", "fasteners", kind="flag")
def self_locking_teeter(fasteners: Fasteners) -> Doubts:
    """A self-locking nut alone holds the teeter bolt, a joint that turns all the time."""
    # AC 43.13-1B, par. 7-64a: not on parts subject to rotation.
    for place, bolt in enumerate(fasteners):
        if bolt.where == "teeter" and bolt.locking == "self-locking nut":
            why = (
                "the teeter joint moves with every turn, and handbooks allow no self-locking nut alone "
                "on such a joint"
            )
            yield Doubt(("fasteners", place, "locking"), why, "how the maker's document locks this bolt")


RULES = (
    strap_bolt_missing,
    torque_missing,
    torque_and_fit,
    torque_half_given,
    torque_order,
    torque_two_units,
    drag_missing,
    drag_max_missing,
    drag_max_stray,
    drag_without_torque,
    pin_head_missing,
    pin_head_stray,
    nut_missing,
    entered_from_missing,
    threadlocker_dry,
    self_locking_teeter,
)
