"""Rules about what a track adjustment needs: every factor stated, none supposed.

Each factor left out would change the adjustment by two, or turn it round. The messages say what
it changes with this rotor's own numbers; which of the answers is true only the maker's document
can tell.
"""

from __future__ import annotations

from fractions import Fraction

from cardgen.spec.model.identity import Rotor
from cardgen.spec.model.track import Track
from cardgen.spec.rules.families import Example, half_given, missing, order, says, says_not, stray, two_units
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import magnitude
from cardgen.spec.unjudged import Unjudged

#: Keys that only a track which is adjusted has.
_ADJUSTER_KEYS = tuple(
    key for key in Track.model_fields if key not in {"method", "source", "sources", "not_given"}
)


def _number(value: Fraction) -> str:
    return f"{float(value):.4g}"


def _example(track: Track | None, draft: Unjudged) -> tuple[str, str, Fraction] | None:
    """Give the first rule and the largest split as typed, and the thousandths they make."""
    if track is None or not track.points or track.max_split is None:
        return None
    made = magnitude(track.points[0].rule, "thou/in") * magnitude(track.max_split, "in")
    return typed(draft, "track", "points", 0, "rule"), typed(draft, "track", "max_split"), made


def _why_split(track: Track | None, draft: Unjudged) -> str:
    why = "a split is counted from tip to tip or from the mean of both, and the one is twice the other"
    if example := _example(track, draft):
        rule_text, split, made = example
        return (
            f"{why}; for tips {split} apart the rule {rule_text} makes {_number(made)} thou if it "
            f"counts from tip to tip, and {_number(made / 2)} if it counts from the mean"
        )
    return why


def _why_basis(track: Track | None, draft: Unjudged) -> str:
    if example := _example(track, draft):
        rule_text, split, made = example
        whole, half, double = _number(made), _number(made / 2), _number(made * 2)
        return (
            f"with the rule {rule_text} and a split of {split} this is {whole} thou on one blade, or "
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


_WRONG_WAY = "a move the wrong way doubles the split instead of taking it out"

#: Key, why it cannot be left out, and what to write; for a track that is adjusted.
_NEEDED = (
    (
        "split",
        Example("points[].rule, max_split", _why_split),
        '"total" or "half", as the maker\'s document measures a split',
    ),
    (
        "basis",
        Example("points[].rule, max_split", _why_basis),
        '"one blade", "total of both", "amount on each" or "whole bar", as the maker\'s document means '
        "its rule",
    ),
    (
        "rule_reads",
        Example("lever, dial_lever", _why_rule_reads),
        '"dial" or "adjuster", by where the maker\'s thousandths are measured',
    ),
    (
        "dial_lever",
        "the further out the dial touches, the more it shows for the same turn of the blade",
        "the distance from the pitch pivot line to where the dial touches, measured on this rotor",
    ),
    (
        "dial_offset",
        "a dial beside the teeter-bolt axis also moves when the bar teeters, as much as a whole correction",
        "the distance of the dial's tip from the teeter-bolt axis; nought, with its unit, only if it is on it",
    ),
    (
        "dial_base",
        "a dial that stands on a part that moves with the blade shows no change at all",
        "the part that the dial's stand sits on",
    ),
    (
        "sides",
        "front and back change places from one blade to the other, so the adjusters go by marks on the metal",
        "the adjusters of a blade, one or two, by the marks on the metal",
    ),
    (
        "adjuster_thread",
        "the flats of the adjuster are counted by the pitch of its thread",
        "the thread of the adjuster, by size and pitch",
    ),
    (
        "to_lower",
        _WRONG_WAY,
        "[track.to_lower] with a and b: what brings each blade down, by the marks on the metal",
    ),
    (
        "points",
        "without the maker's rule there is nothing to make a table from, and none is ever supposed",
        "the diameter, chord and rule of each rotor that the maker states one for",
    ),
    (
        "max_split",
        "beyond some split the cause is another than pitch, and adjusting on would hide it",
        "the largest split that may be adjusted out, from the maker's or the club's document",
    ),
    (
        "max_total",
        "small corrections add up over the seasons, and without a limit nobody stops",
        "the largest net adjustment from as delivered, from the maker's or the club's document",
    ),
)

MISSING = (
    *(
        missing(
            f"track-{key.replace('_', '-')}-missing",
            f"track.{key}",
            f"The track is adjusted, but {key} is not given.",
            {"method": says("adjuster")},
            why,
            write,
        )
        for key, why, write in _NEEDED
    ),
    missing(
        "track-first-move-missing",
        "track.first_move",
        "A blade has two adjusters, but which of them is turned first is not given.",
        {"method": says("adjuster"), "sides": lambda sides: len(sides or ()) == 2},
        "the adjuster that is turned first decides whether the block is clamped or bent",
        '"loosen" or "tighten", as the maker\'s document begins',
    ),
    missing(
        "track-raise-missing",
        "track.to_raise",
        "Both blades are moved, but what raises one is not given.",
        {"method": says("adjuster"), "basis": says("total of both", "amount on each")},
        'the basis is "{basis}", so while one blade is lowered the other is raised',
        "[track.to_raise] with a and b: what brings each blade up, by the marks on the metal",
    ),
    *(
        missing(
            "track-lever-missing",
            "track.lever",
            "The distance from the pivot line to the adjuster is not given, so flats and dial cannot both be "
            "shown.",
            {"method": says("adjuster"), "rule_reads": reads},
            f"without this distance {other} left off the track card",
            "the distance from the pitch pivot line to the adjuster, if it is known",
            kind="warning",
        )
        for reads, other in (
            (says("adjuster"), "what the dial must read cannot be computed and is"),
            (says_not("adjuster"), "the flats of the adjuster cannot be computed and are"),
        )
    ),
    *half_given(
        "track-torque-half-given",
        "track.adjuster_torque",
        "The adjuster's lock has a least torque without a most, or the reverse.",
    ),
)

STRAY = tuple(
    stray(
        "track-stray",
        f"track.{key}",
        "The track is only read, but something is given for adjusting it.",
        {"method": says("none")},
        'the method is "none", read and do not adjust, so this would never reach the card',
        'nothing; or method = "adjuster" if the maker allows adjusting',
    )
    for key in _ADJUSTER_KEYS
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
