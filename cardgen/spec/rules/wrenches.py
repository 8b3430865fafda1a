"""Rules about the torque wrenches on the bench, and whether one of them can do the work."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.model.identity import Authority
from cardgen.spec.problem import Path
from cardgen.spec.rules.families import absent, given, missing, order, says, says_not, stray, twice, two_units
from cardgen.spec.rules.fasteners import Fasteners, yours
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.unjudged import Unjudged
from cardgen.spec.windows import CannotHold, Why, Window, at_nut, setting

Wrenches = tuple[Wrench, ...]

#: A scale with fewer divisions than this over its whole range was typed wrongly.
_FEWEST_DIVISIONS = 15
#: What a hand can pull at the grip of a hand tool, least and most, in pounds-force.
_PULL = (Fraction(2), Fraction(150))
#: What decides which settings a wrench has.
_WRENCH = "wrenches: id, kind, length, extension, angle, error, range_min, range_max, graduation, preset"
#: The longest that a calibration is believed to hold.
_LONGEST = timedelta(days=5 * 366)

TWICE = twice(
    "wrench-twice",
    "wrenches",
    ("id",),
    "Two wrenches have one number.",
    "another wrench is already called {id}, so its settings could be used on the wrong tool",
    "the number marked on the wrench",
)

PAIRS = (
    two_units(
        "wrench-two-units",
        "wrenches[]",
        ("graduation", "range_min", "range_max"),
        "The range and the graduation of one wrench are in different units.",
        "a wrench has one scale, and its graduation is given in another unit",
        "range and graduation in the unit of the scale",
    ),
    order(
        "wrench-range",
        "wrenches[].range",
        "The lowest setting of a wrench is not below its highest.",
        "the wrench would have no range at all",
        "both ends of the range on the wrench's scale",
    ),
)

#: What a wrench with a scale has, and one with a single setting has not.
_SCALE = ("range_min", "range_max", "graduation")

SCALE = tuple(
    made
    for key in _SCALE
    for made in (
        missing(
            "wrench-scale-missing",
            f"wrenches[].{key}",
            "A wrench with a scale lacks its range or its graduation.",
            {"kind": says_not("preset")},
            "which settings this wrench has follows from its range and its graduation",
            f"{key} as the scale or the calibration sheet has it",
        ),
        stray(
            "wrench-scale-stray",
            f"wrenches[].{key}",
            "A preset wrench has a range or a graduation.",
            {"kind": says("preset")},
            "a preset wrench has one setting and no scale to find another on",
            'leave this key out; or "click", "dial" or "beam", if the wrench has a scale',
        ),
    )
)

PRESET = (
    missing(
        "wrench-preset-missing",
        "wrenches[].preset",
        "A preset wrench does not say at what it is set.",
        {"kind": says("preset")},
        "its one setting is all that this wrench can do",
        "the setting on its calibration sheet",
    ),
    stray(
        "wrench-preset-stray",
        "wrenches[].preset",
        "A wrench with a scale is said to have one setting.",
        {"kind": says_not("preset")},
        "a {kind} wrench is set or read on its scale",
        'kind = "preset" if it has one setting alone; if not, leave this key out',
    ),
)

LEVER = missing(
    "wrench-length-missing",
    "wrenches[].length",
    "A wrench has an extension but no length.",
    {"extension": given},
    "what an extension adds to the torque depends on the length of the wrench",
    "the length from the square drive to the middle of the grip",
)

STRAY = stray(
    "wrench-angle-stray",
    "wrenches[].angle",
    "A wrench has an angle but no extension.",
    {"extension": absent},
    "the angle is that of an extension, and this wrench is listed without one",
    "the extension's length as well; or leave this key out",
)


@rule("wrench-calibration-past", "wrenches[]: calibrated_until", "today")
def wrench_calibration_past(wrench: Wrench, today: date) -> Doubts:
    """The calibration of a wrench has ended."""
    if wrench.calibrated_until is not None and wrench.calibrated_until < today:
        why = f"today is {today.isoformat()}, and what this wrench shows is not known any more"
        yield Doubt(("calibrated_until",), why, "the day on its new sheet; or take the wrench off the list")


@rule("wrench-calibration-far", "wrenches[]: calibrated_until", "today")
def wrench_calibration_far(wrench: Wrench, today: date) -> Doubts:
    """The calibration of a wrench would hold for more than five years."""
    if wrench.calibrated_until is not None and wrench.calibrated_until > today + _LONGEST:
        why = "a wrench is calibrated for a year or a little more, and this is more than five years away"
        yield Doubt(("calibrated_until",), why, "the last day on its calibration sheet")


@rule(
    "wrench-calibration-short",
    "wrenches[]: calibrated_until",
    "authority: use_until",
    "today",
    kind="warning",
)
def wrench_calibration_short(wrench: Wrench, authority: Authority, today: date) -> Doubts:
    """The calibration of a wrench ends before the cards do."""
    ends = wrench.calibrated_until
    if ends is not None and today <= ends < authority.use_until:
        why = f"the cards may be used until {authority.use_until.isoformat()}, and this wrench not so long"
        yield Doubt(("calibrated_until",), why, "nothing; the card says until when the wrench may be used")


@rule("wrench-graduation", "wrenches[]: range_min, range_max, graduation", plausible=True)
def wrench_graduation(wrench: Wrench) -> Doubts:
    """One division of a wrench's scale is too large for its range, or does not lead to its end."""
    if wrench.range_max is None or wrench.range_min is None or wrench.graduation is None:
        return
    span = wrench.range_max - wrench.range_min
    one_unit = unit_of(wrench.range_max) == unit_of(wrench.graduation)
    write = "the step from one mark of the scale to the next"
    if 0 < span < wrench.graduation * _FEWEST_DIVISIONS:
        why = f"fewer than {_FEWEST_DIVISIONS} such steps fit into the range of this wrench"
        yield Doubt(("graduation",), why, write)
    elif span > 0 and one_unit and (wrench.range_max / wrench.graduation).to("").magnitude % 1:
        why = "counted in such steps the scale does not reach its own highest mark"
        yield Doubt(("graduation",), why, write)


@rule("wrench-range-narrow", "wrenches[]: range_min, range_max", plausible=True)
def wrench_range_narrow(wrench: Wrench) -> Doubts:
    """The range of a wrench begins above two fifths of its highest mark."""
    least, most = wrench.range_min, wrench.range_max
    if least is not None and most is not None and most > least > most * 2 / 5:
        why = "wrenches may be used from about a fifth of their highest mark, and this begins above two"
        yield Doubt(("range_min",), why, "the lowest setting on its calibration sheet")


@rule("wrench-error", "wrenches[]: error")
def wrench_error(wrench: Wrench) -> Doubts:
    """The error of a wrench is zero, or more than ten percent."""
    if not 0 < wrench.error <= 10:
        why = (
            "no wrench is without error, and an error of zero would leave nothing to spare"
            if wrench.error <= 0
            else "a wrench that is wrong by more than ten percent tightens nothing on a rotor"
        )
        yield Doubt(("error",), why, "the percentage on its calibration sheet")


@rule("wrench-angle", "wrenches[]: angle")
def wrench_angle(wrench: Wrench) -> Doubts:
    """The extension of a wrench stands at less than 0 or more than 90 degrees."""
    if wrench.angle is not None and not quantity(0, "deg") <= wrench.angle <= quantity(90, "deg"):
        why = "an extension points somewhere between straight ahead and square to the handle"
        yield Doubt(("angle",), why, "the angle between the extension and the handle's own line")


@rule("wrench-extension", "wrenches[]: extension, length", plausible=True)
def wrench_extension(wrench: Wrench) -> Doubts:
    """An extension is longer than the wrench it is fitted to."""
    if wrench.extension is not None and wrench.length is not None and wrench.extension > wrench.length:
        why = "it is longer than the wrench itself, so one of the two lengths is probably another dimension"
        write = "length from the square drive to the middle of the grip; extension from the drive to the nut"
        yield Doubt(("extension",), why, write)


@rule("wrench-pull", "wrenches[]: range_max, length", plausible=True)
def wrench_pull(wrench: Wrench) -> Doubts:
    """The top of a wrench's range asks for a pull at the grip that no hand tool is made for."""
    if wrench.range_max is None or wrench.length is None:
        return
    pull = magnitude(wrench.range_max, "in·lbf") / magnitude(wrench.length, "in")
    if not _PULL[0] <= pull <= _PULL[1]:
        why = f"at this length the highest setting is a pull of about {float(pull):.1f} lbf at the grip"
        write = "the scale's highest mark, and the length from the drive to the middle of the grip"
        yield Doubt(("range_max",), why, write)


@rule("drag-unreadable", "wrenches: kind", "fasteners: fitted_by, drag, name", kind="warning")
def drag_unreadable(wrenches: Wrenches, fasteners: Fasteners) -> Doubts:
    """Running drag must be added, but no wrench listed can read it."""
    adds = [bolt for _, bolt in yours(fasteners) if bolt.drag == "add"]
    if wrenches and adds and all(wrench.kind in {"click", "preset"} for wrench in wrenches):
        why = (
            f"the drag of the {adds[0].name} must be read before it can be added, and a click or preset wrench "
            "reads nothing"
        )
        yield Doubt((), why, "nothing, and the card asks for a dial or beam wrench; or the one on this bench")


@rule(
    "wrench-cannot",
    _WRENCH,
    "fasteners: fitted_by, name, torque_min, torque_max, drag, drag_max",
    "draft",
    plausible=True,
)
def wrench_cannot(wrenches: Wrenches, fasteners: Fasteners, draft: Unjudged) -> Doubts:
    """No wrench on the bench can keep a bolt inside its torque window."""
    if not all(map(_sound, wrenches)):
        return  # What is wrong with a wrench is said first; then it is asked what it can do.
    for place, bolt in yours(fasteners):
        reasons = _reasons(bolt, wrenches)
        if wrenches and len(reasons) == len(wrenches):
            window = " to ".join(typed(draft, "fasteners", place, f"torque_{end}") for end in ("min", "max"))
            said = "; ".join(f"{wrench.id}: {reason}" for wrench, reason in zip(wrenches, reasons, strict=True))
            why = f"none of them can hold the {bolt.name} at {window} ({said})"
            yield Doubt((), why, "a wrench that can hold this window; never a wider window")


@rule(
    "wrench-cannot-dragging",
    "fasteners[]: fitted_by, name, torque_min, torque_max, drag, drag_max",
    _WRENCH,
    "draft",
    "here",
    kind="warning",
)
def wrench_cannot_dragging(bolt: Fastener, wrenches: Wrenches, draft: Unjudged, here: Path) -> Doubts:
    """A wrench can hold a bolt's window, but none can once the most running drag is added."""
    asked = bolt.fitted_by == "you" and bolt.drag_max is not None and wrenches and all(map(_sound, wrenches))
    if not asked or len(_reasons(bolt, wrenches)) == len(wrenches):
        return
    reasons = _reasons(bolt, wrenches, bolt.drag_max)
    if len(reasons) == len(wrenches):
        most = typed(draft, *here, "drag_max")
        why = f"with a drag of {most} no wrench can hold the {bolt.name} ({wrenches[0].id}: {reasons[0]})"
        yield Doubt(("drag_max",), why, "nothing; or a wrench that holds this window too")


def _sound(wrench: Wrench) -> bool:
    in_line = wrench.angle is None or wrench.angle <= quantity(90, "deg")
    levered = wrench.extension is None or wrench.length is not None
    return _scaled(wrench) and 0 < wrench.error <= 10 and in_line and levered


def _scaled(wrench: Wrench) -> bool:
    """Whether a wrench has what its kind has, a scale or one setting, and nothing of the other."""
    least, most, mark = wrench.range_min, wrench.range_max, wrench.graduation
    if wrench.kind == "preset":
        return wrench.preset is not None and least is most is mark is None
    rises = least is not None and most is not None and least < most
    return wrench.preset is None and mark is not None and rises


def _reasons(bolt: Fastener, wrenches: Wrenches, drag: Quantity | None = None) -> list[Why]:
    """Say for each wrench that cannot hold a bolt why it cannot; without drag, the easiest case, or with it."""
    window = at_nut(bolt, quantity(0, "in·lbf") if drag is None else drag)
    if window is None or window.low >= window.high:
        return []
    held = [setting(_eased(window, bolt, wrench, drag), wrench) for wrench in wrenches]
    return [found.reason for found in held if isinstance(found, CannotHold)]


def _eased(window: Window, bolt: Fastener, wrench: Wrench, drag: Quantity | None) -> Window:
    """Widen a window by the drag it may come with, where a preset wrench may be meant for a nut that drags."""
    if drag is not None or wrench.preset is None or bolt.drag != "add" or bolt.drag_max is None:
        return window
    return Window(window.low, window.high + bolt.drag_max)
