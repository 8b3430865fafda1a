"""Rules about the torque wrenches on the bench, and whether one of them can do the work."""

from __future__ import annotations

from fractions import Fraction

from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.rules.fasteners import Fasteners, yours
from cardgen.spec.rules.papers_and_marks import repeats
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.unjudged import Unjudged
from cardgen.spec.windows import CannotHold, Why, at_nut, setting

Wrenches = tuple[Wrench, ...]

#: A scale with fewer divisions than this over its whole range was typed wrongly.
_FEWEST_DIVISIONS = 15
#: What a hand can pull at the grip of a hand tool, least and most, in pounds-force.
_PULL = (Fraction(2), Fraction(150))


@rule("wrench-twice", "wrenches")
def wrench_twice(wrenches: Wrenches) -> Doubts:
    """Two wrenches have one number."""
    for place, name in repeats(wrench.id for wrench in wrenches):
        why = f"another wrench is already called {name}, so its settings could be used on the wrong tool"
        yield Doubt(("wrenches", place, "id"), why, "the number marked on the wrench")


@rule("wrench-two-units", "wrenches")
def wrench_two_units(wrenches: Wrenches) -> Doubts:
    """The range and the graduation of one wrench are in different units."""
    for place, wrench in enumerate(wrenches):
        for key in ("range_min", "range_max"):
            if unit_of(getattr(wrench, key)) != unit_of(wrench.graduation):
                why = "a wrench has one scale, and its graduation is given in another unit"
                yield Doubt(("wrenches", place, key), why, "range and graduation in the unit of the scale")


@rule("wrench-range", "wrenches")
def wrench_range(wrenches: Wrenches) -> Doubts:
    """The lowest setting of a wrench is not below its highest."""
    for place, wrench in enumerate(wrenches):
        if wrench.range_min >= wrench.range_max:
            why = "it is not below range_max, so the wrench would have no range at all"
            yield Doubt(("wrenches", place, "range_min"), why, "both ends of the range on the wrench's scale")


@rule("wrench-graduation", "wrenches", plausible=True)
def wrench_graduation(wrenches: Wrenches) -> Doubts:
    """One division of a wrench's scale is too large for its range, or does not lead to its end."""
    for place, wrench in enumerate(wrenches):
        span = wrench.range_max - wrench.range_min
        write = "the step from one mark of the scale to the next"
        if 0 < span < wrench.graduation * _FEWEST_DIVISIONS:
            why = f"fewer than {_FEWEST_DIVISIONS} such steps fit into the range of this wrench"
            yield Doubt(("wrenches", place, "graduation"), why, write)
        elif span > 0 and _one_unit(wrench) and (wrench.range_max / wrench.graduation).to("").magnitude % 1:
            why = "counted in such steps the scale does not reach its own highest mark"
            yield Doubt(("wrenches", place, "graduation"), why, write)


@rule("wrench-range-narrow", "wrenches", plausible=True)
def wrench_range_narrow(wrenches: Wrenches) -> Doubts:
    """The range of a wrench begins above two fifths of its highest mark."""
    for place, wrench in enumerate(wrenches):
        if wrench.range_max > wrench.range_min > wrench.range_max * 2 / 5:
            why = "wrenches may be used from about a fifth of their highest mark, and this begins above two"
            yield Doubt(("wrenches", place, "range_min"), why, "the lowest setting on its calibration sheet")


@rule("wrench-error", "wrenches")
def wrench_error(wrenches: Wrenches) -> Doubts:
    """The error of a wrench is zero, or more than ten percent."""
    for place, wrench in enumerate(wrenches):
        if not 0 < wrench.error <= 10:
            why = (
                "no wrench is without error, and an error of zero would leave nothing to spare"
                if wrench.error <= 0
                else "a wrench that is wrong by more than ten percent tightens nothing on a rotor"
            )
            yield Doubt(("wrenches", place, "error"), why, "the percentage on its calibration sheet")


@rule("wrench-angle", "wrenches")
def wrench_angle(wrenches: Wrenches) -> Doubts:
    """The extension of a wrench stands at less than 0 or more than 90 degrees."""
    right = quantity(90, "deg")
    for place, wrench in enumerate(wrenches):
        if wrench.angle is not None and not quantity(0, "deg") <= wrench.angle <= right:
            why = "an extension points somewhere between straight ahead and square to the handle"
            yield Doubt(
                ("wrenches", place, "angle"), why, "the angle between the extension and the handle's own line"
            )


@rule("wrench-angle-stray", "wrenches")
def wrench_angle_stray(wrenches: Wrenches) -> Doubts:
    """A wrench has an angle but no extension."""
    for place, wrench in enumerate(wrenches):
        if wrench.angle is not None and wrench.extension is None:
            why = "the angle is that of an extension, and this wrench is listed without one"
            yield Doubt(
                ("wrenches", place, "angle"), why, "the extension's length as well; or leave this key out"
            )


@rule("wrench-extension", "wrenches", plausible=True)
def wrench_extension(wrenches: Wrenches) -> Doubts:
    """An extension is longer than the wrench it is fitted to."""
    for place, wrench in enumerate(wrenches):
        if wrench.extension is not None and wrench.extension > wrench.length:
            why = "it is longer than the wrench itself, so one of the two lengths is probably another dimension"
            write = (
                "length from the square drive to the middle of the grip; extension from the drive to the nut"
            )
            yield Doubt(("wrenches", place, "extension"), why, write)


@rule("wrench-pull", "wrenches", plausible=True)
def wrench_pull(wrenches: Wrenches) -> Doubts:
    """The top of a wrench's range asks for a pull at the grip that no hand tool is made for."""
    for place, wrench in enumerate(wrenches):
        pull = magnitude(wrench.range_max, "in·lbf") / magnitude(wrench.length, "in")
        if not _PULL[0] <= pull <= _PULL[1]:
            why = f"at this length the highest setting is a pull of about {float(pull):.1f} lbf at the grip"
            write = "the scale's highest mark, and the length from the drive to the middle of the grip"
            yield Doubt(("wrenches", place, "range_max"), why, write)


@rule("drag-unreadable", "fasteners", "wrenches")
def drag_unreadable(fasteners: Fasteners, wrenches: Wrenches) -> Doubts:
    """Running drag must be added, but every wrench listed is of the click kind."""
    adds = [bolt for _, bolt in yours(fasteners) if bolt.drag == "add"]
    if wrenches and adds and all(wrench.kind == "click" for wrench in wrenches):
        why = (
            f"the drag of the {adds[0].name} must be read before it can be added, and a click wrench "
            "reads nothing"
        )
        yield Doubt(("wrenches",), why, "the dial or beam wrench on this bench that the drag is read with")


@rule("wrench-cannot", "fasteners", "wrenches", "draft", plausible=True)
def wrench_cannot(fasteners: Fasteners, wrenches: Wrenches, draft: Unjudged) -> Doubts:
    """No wrench on the bench can keep a bolt inside its torque window."""
    if not all(_sound(wrench) for wrench in wrenches):
        return  # What is wrong with a wrench is said first; then it is asked what it can do.
    for place, bolt in yours(fasteners):
        reasons = _reasons(bolt, wrenches)
        if wrenches and len(reasons) == len(wrenches):
            window = " to ".join(typed(draft, "fasteners", place, f"torque_{end}") for end in ("min", "max"))
            said = "; ".join(f"{wrench.id}: {reason}" for wrench, reason in zip(wrenches, reasons, strict=True))
            why = f"none of them can hold the {bolt.name} at {window} ({said})"
            yield Doubt(("wrenches",), why, "a wrench that can hold this window; never a wider window")


@rule("wrench-cannot-dragging", "fasteners", "wrenches", "draft", kind="warning")
def wrench_cannot_dragging(fasteners: Fasteners, wrenches: Wrenches, draft: Unjudged) -> Doubts:
    """A wrench can hold a bolt's window, but none can once the most running drag is added."""
    if not all(_sound(wrench) for wrench in wrenches):
        return
    for place, bolt in yours(fasteners):
        if bolt.drag_max is None or not wrenches or len(_reasons(bolt, wrenches)) == len(wrenches):
            continue
        reasons = _reasons(bolt, wrenches, bolt.drag_max)
        if len(reasons) == len(wrenches):
            most = typed(draft, "fasteners", place, "drag_max")
            why = f"with a drag of {most} no wrench can hold the {bolt.name} ({wrenches[0].id}: {reasons[0]})"
            yield Doubt(
                ("fasteners", place, "drag_max"), why, "nothing; or a wrench that holds this window too"
            )


def _one_unit(wrench: Wrench) -> bool:
    return unit_of(wrench.range_max) == unit_of(wrench.graduation)


def _sound(wrench: Wrench) -> bool:
    in_line = wrench.angle is None or wrench.angle <= quantity(90, "deg")
    return wrench.range_min < wrench.range_max and 0 < wrench.error <= 10 and in_line


def _reasons(bolt: Fastener, wrenches: Wrenches, drag: Quantity | None = None) -> list[Why]:
    """Say for each wrench that cannot hold a bolt why it cannot; without drag, the easiest case, or with it."""
    window = at_nut(bolt, quantity(0, "in·lbf") if drag is None else drag)
    if window is None or window.low >= window.high:
        return []
    held = [setting(window, wrench) for wrench in wrenches]
    return [found.reason for found in held if isinstance(found, CannotHold)]


RULES = (
    wrench_twice,
    wrench_two_units,
    wrench_range,
    wrench_range_narrow,
    wrench_graduation,
    wrench_error,
    wrench_angle,
    wrench_angle_stray,
    wrench_extension,
    wrench_pull,
    drag_unreadable,
    wrench_cannot,
    wrench_cannot_dragging,
)
