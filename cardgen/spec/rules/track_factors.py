"""Rules about what a track adjustment needs: every factor stated, none supposed.

Each factor left out would change the adjustment by two, or turn it round. The messages say what
it changes with this rotor's own numbers; which of the answers is true only the maker's document
can tell.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from cardgen.spec.model.identity import Rotor
from cardgen.spec.model.track import Track, TrackPoint
from cardgen.spec.rate import measures
from cardgen.spec.rules.families import (
    Condition,
    Example,
    given,
    half_given,
    missing,
    order,
    says,
    two_units,
)
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import magnitude, unit_of
from cardgen.spec.unjudged import Unjudged


def _number(value: Fraction) -> str:
    return f"{float(value):.4g}"


def _example(track: Track | None, draft: Unjudged) -> tuple[str, str, Fraction, str] | None:
    """Give the first rule and the largest split as typed, and what they make in which unit."""
    if track is None or not track.points or track.max_split is None:
        return None
    unit = unit_of(track.points[0].rule).shown
    per_inch = unit if unit in {"deg/in", "flats/in"} else "thou/in"
    made = magnitude(track.points[0].rule, per_inch) * magnitude(track.max_split, "in")
    asked, most = typed(draft, "track", "points", 0, "rule"), typed(draft, "track", "max_split")
    return asked, most, made, per_inch.partition("/")[0]


def _why_split(track: Track | None, draft: Unjudged) -> str:
    why = "a split is counted from tip to tip or from the mean of both, and the one is twice the other"
    if example := _example(track, draft):
        rule_text, split, made, unit = example
        return (
            f"{why}; for tips {split} apart the rule {rule_text} makes {_number(made)} {unit} if it "
            f"counts from tip to tip, and {_number(made / 2)} if it counts from the mean"
        )
    return why


def _why_basis(track: Track | None, draft: Unjudged) -> str:
    if example := _example(track, draft):
        rule_text, split, made, unit = example
        whole, half, double = _number(made), _number(made / 2), _number(made * 2)
        return (
            f"with the rule {rule_text} and a split of {split} this is {whole} {unit} on one blade, or "
            f"{half} on each if {whole} is the sum of both, or {whole} on each, {double} in all, or {whole} "
            "on a bar that tilts both; a wrong guess is wrong by two"
        )
    return "the same rule means one blade, both together or each of them, and a wrong guess is wrong by two"


def _why_rule_reads(track: Track | None, _draft: Unjudged) -> str:
    why = (
        "the dial seldom touches as far out as the adjuster, so its reading and the adjuster's movement differ"
    )
    if track and track.lever is not None and track.dial_lever is not None and track.lever != track.dial_lever:
        ratio = _number(magnitude(track.dial_lever, "in") / magnitude(track.lever, "in"))
        return f"{why}; on this rotor the dial moves {ratio} times what the adjuster does"
    return why


def in_lengths(points: tuple[TrackPoint, ...] | None) -> bool:
    """Whether the maker's rules state a length, which is read somewhere."""
    return bool(points) and all(measures(point.rule) == "a length" for point in points or ())


ADJUSTED: Mapping[str, Condition] = {"method": says("adjuster")}
_BY_DIAL: Mapping[str, Condition] = {**ADJUSTED, "set_by": says("dial")}
BOTH_MOVE = says("total of both", "amount on each")

#: Key, when it is needed, why it cannot be left out, and what to write.
_NEEDED: tuple[tuple[str, Mapping[str, Condition], str | Example, str], ...] = (
    (
        "split",
        ADJUSTED,
        Example("points[].rule, max_split", _why_split),
        '"total" or "half", as the maker\'s document measures a split',
    ),
    (
        "basis",
        ADJUSTED,
        Example("points[].rule, max_split", _why_basis),
        '"one blade", "total of both", "amount on each" or "whole bar", as the maker\'s document means '
        "its rule",
    ),
    (
        "set_by",
        ADJUSTED,
        "the card counts flats or reads a dial, and the two are different work with different tools",
        '"dial" or "flats", by what the hand goes by while it turns the adjuster',
    ),
    (
        "dial_lever",
        _BY_DIAL,
        "the further out the dial touches, the more it shows for the same turn of the blade",
        "the distance from the pitch pivot line to where the dial touches, measured on this rotor",
    ),
    (
        "dial_offset",
        _BY_DIAL,
        "a dial beside the teeter-bolt axis also moves when the bar teeters, as much as a whole correction",
        "the distance of the dial's tip from the teeter-bolt axis; nought, with its unit, only if it is on it",
    ),
    (
        "dial_touches",
        _BY_DIAL,
        "a dial that touches a part which stays still shows no change at all",
        "the part that moves under the dial",
    ),
    (
        "dial_base",
        _BY_DIAL,
        "a dial that stands on a part that moves with the blade shows no change at all",
        "the part that the dial's stand sits on",
    ),
    (
        "adjuster_thread",
        ADJUSTED,
        "the flats of the adjuster are counted by the pitch of its thread",
        "the thread of the adjuster, by size and pitch",
    ),
    (
        "counter_hold",
        ADJUSTED,
        "an adjuster that is turned while nothing holds its other end turns that as well, or bends it",
        "what is held while the adjuster is turned, and with what",
    ),
    (
        "to_lower",
        ADJUSTED,
        "a move the wrong way doubles the split instead of taking it out",
        "[track.to_lower] with a and b: what brings each blade down, by the marks on the metal",
    ),
    (
        "points",
        ADJUSTED,
        "without the maker's rule there is nothing to make a table from, and none is ever supposed",
        "the diameter, chord and rule of each rotor that the maker states one for",
    ),
    (
        "max_split",
        ADJUSTED,
        "beyond some split the cause is another than pitch, and adjusting on would hide it",
        "the largest split that may be adjusted out, from the maker's or the club's document",
    ),
    (
        "max_total",
        ADJUSTED,
        "small corrections add up over the seasons, and without a limit nobody stops",
        "the largest net adjustment from as delivered, from the maker's or the club's document",
    ),
    (
        "good_enough",
        ADJUSTED,
        "without the split at which the work is done nobody can say that it is",
        "the split at which the maker's or the club's document lets the work end",
    ),
    (
        "max_total_reads",
        {**ADJUSTED, "max_total": given},
        "the same limit is another amount at the dial than at the adjuster",
        '"dial" or "adjuster", by where the document reads its largest total',
    ),
    (
        "max_total_of",
        {**ADJUSTED, "max_total": given, "basis": BOTH_MOVE},
        'the basis is "{basis}", so both blades move, and a total of one is half of a total of both',
        '"one blade" or "both, added", as the document counts its largest total',
    ),
    (
        "rule_reads",
        {**ADJUSTED, "points[].rule": in_lengths},
        Example("lever, dial_lever", _why_rule_reads),
        '"dial" or "adjuster", by where the maker\'s rule is measured',
    ),
)

MISSING = (
    *(
        missing(
            f"track-{key.replace('_', '-')}-missing",
            f"track.{key}",
            f"The track is adjusted, but {key} is not given where it is needed.",
            when,
            why,
            write,
        )
        for key, when, why, write in _NEEDED
    ),
    *(
        missing(
            "track-first-move-missing",
            "track.first_move",
            "A blade has two adjusters, but which of them is turned first is not given.",
            {**ADJUSTED, sides: lambda marks: len(marks or ()) == 2},
            "the adjuster that is turned first decides whether the block is clamped or bent",
            '"loosen" or "tighten", as the maker\'s document begins',
        )
        for sides in ("sides", "sides_a")
    ),
    missing(
        "track-raise-missing",
        "track.to_raise",
        "Both blades are moved, but what raises one is not given.",
        {**ADJUSTED, "basis": BOTH_MOVE},
        'the basis is "{basis}", so while one blade is lowered the other is raised',
        "[track.to_raise] with a and b: what brings each blade up, by the marks on the metal",
    ),
    *half_given(
        "track-torque-half-given",
        "track.adjuster_torque",
        "The adjuster's lock has a least torque without a most, or the reverse.",
    ),
)

_LOCK = "The adjuster's least torque is not below its most, or is in another unit."
PAIRS = (
    order(
        "track-torque-order",
        "track.adjuster_torque",
        _LOCK,
        "no torque could satisfy both",
        "both ends of the window as the maker prints them",
    ),
    two_units(
        "track-torque-order",
        "track",
        ("adjuster_torque_max", "adjuster_torque_min"),
        _LOCK,
        "{first} is {typed}, and two units on one lock are easily taken for each other",
        "both ends of the window as the maker prints them",
    ),
)


@rule("track-fixed-pitch", "track: method", "rotor: pitch")
def track_fixed_pitch(track: Track, rotor: Rotor) -> Doubts:
    """The hub has no pitch adjusters, but its track is to be adjusted."""
    if track.method == "adjuster" and rotor.pitch == "fixed":
        why = "the hub is said to have fixed pitch, so it has no adjuster that the table could be for"
        yield Doubt(("method",), why, '"none" for a hub without adjusters; or correct rotor.pitch')
