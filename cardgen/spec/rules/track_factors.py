"""Rules about what a track adjustment needs: every factor stated, none supposed.

Each factor left out would change the adjustment by two, or turn it round. The messages say what
it changes with this rotor's own numbers; which of the answers is true only the maker's document
can tell.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from cardgen.spec.model.identity import Rotor
from cardgen.spec.model.running import Track
from cardgen.spec.rules.rule import Doubt, Doubts, Rule, rule
from cardgen.spec.rules.rule import typed as as_typed
from cardgen.spec.units import magnitude
from cardgen.spec.unjudged import Unjudged

#: Keys that only a track which is adjusted has.
_ADJUSTER_KEYS = tuple(key for key in Track.model_fields if key not in {"method", "source", "sources"})


def _number(value: Fraction) -> str:
    return f"{float(value):.4g}"


def _rule_and_split(draft: Unjudged) -> tuple[str, str]:
    """Give the first rule and the largest split as they were typed."""
    return as_typed(draft, "track", "points", 0, "rule"), as_typed(draft, "track", "max_split")


def _why_split(draft: Unjudged, track: Track) -> str:
    why = "a split is counted from tip to tip or from the mean of both, and the one is twice the other"
    if track.points and track.max_split is not None:
        rule_text, split = _rule_and_split(draft)
        made = magnitude(track.points[0].rule, "thou/in") * magnitude(track.max_split, "in")
        return (
            f"{why}; for tips {split} apart the rule {rule_text} makes {_number(made)} thou if it "
            "counts from tip "
            f"to tip, and {_number(made / 2)} if it counts from the mean"
        )
    return why


def _why_basis(draft: Unjudged, track: Track) -> str:
    if track.points and track.max_split is not None:
        rule_text, split = _rule_and_split(draft)
        made = magnitude(track.points[0].rule, "thou/in") * magnitude(track.max_split, "in")
        whole, half, double = _number(made), _number(made / 2), _number(made * 2)
        return (
            f"with the rule {rule_text} and a split of {split} this is {whole} thou on one blade, or "
            f"{half} on each "
            f"if {whole} is the sum of both, or {whole} on each, {double} in all, or {whole} on a bar "
            "that tilts both; "
            "a wrong guess is wrong by two"
        )
    return "the same rule means one blade, both together or each of them, and a wrong guess is wrong by two"


def _why_rule_reads(_draft: Unjudged, track: Track) -> str:
    why = (
        "the dial seldom touches as far out as the adjuster, so its reading and the adjuster's movement differ"
    )
    if track.lever is not None and track.dial_lever is not None and track.lever != track.dial_lever:
        ratio = _number(magnitude(track.dial_lever, "in") / magnitude(track.lever, "in"))
        return f"{why}; on this rotor the dial moves {ratio} times what the adjuster does"
    return why


def _says(words: str) -> Callable[[Unjudged, Track], str]:
    return lambda _draft, _track: words


#: Key, why it cannot be left out, and what to write; for a track that is adjusted.
_NEEDED: tuple[tuple[str, Callable[[Unjudged, Track], str], str], ...] = (
    ("split", _why_split, '"total" or "half", as the maker\'s document measures a split'),
    (
        "basis",
        _why_basis,
        '"one blade", "total of both", "amount on each" or "whole bar", as the maker\'s document means '
        "its rule",
    ),
    ("rule_reads", _why_rule_reads, '"dial" or "adjuster", by where the maker\'s thousandths are measured'),
    (
        "dial_lever",
        _says("the further out the dial touches, the more it shows for the same turn of the blade"),
        "the distance from the pitch pivot line to where the dial touches, measured on this rotor",
    ),
    (
        "dial_offset",
        _says(
            "a dial beside the teeter-bolt axis also moves when the bar teeters, as much as a whole correction"
        ),
        "the distance of the dial's tip from the teeter-bolt axis; nought, with its unit, only if it is on it",
    ),
    (
        "dial_base",
        _says("a dial that stands on a part that moves with the blade shows no change at all"),
        "the part that the dial's stand sits on",
    ),
    (
        "sides",
        _says(
            "front and back change places from one blade to the other, so the adjusters go by marks on "
            "the metal"
        ),
        "the adjusters of a blade, one or two, by the marks on the metal",
    ),
    (
        "adjuster_thread",
        _says("the flats of the adjuster are counted by the pitch of its thread"),
        "the thread of the adjuster, by size and pitch",
    ),
    (
        "first_move",
        _says("the adjuster that is turned first decides whether the block is clamped or bent"),
        '"loosen" or "tighten", as the maker\'s document begins',
    ),
    (
        "to_lower_a",
        _says("a move the wrong way doubles the split instead of taking it out"),
        "what lowers blade A, by the marks on the metal, naming the blade",
    ),
    (
        "to_lower_b",
        _says("a move the wrong way doubles the split instead of taking it out"),
        "what lowers blade B, by the marks on the metal, naming the blade",
    ),
    (
        "points",
        _says("without the maker's rule there is nothing to make a table from, and none is ever supposed"),
        "the diameter, chord and rule of each rotor that the maker states one for",
    ),
    (
        "max_split",
        _says("beyond some split the cause is another than pitch, and adjusting on would hide it"),
        "the largest split that may be adjusted out, from the maker's or the club's document",
    ),
    (
        "max_total",
        _says("small corrections add up over the seasons, and without a limit nobody stops"),
        "the largest net adjustment from as delivered, from the maker's or the club's document",
    ),
)

_RAISING = {"total of both", "amount on each"}


def _needed(key: str, reason: Callable[[Unjudged, Track], str], write: str) -> Rule:
    def test(track: Track, draft: Unjudged) -> Doubts:
        if track.method == "adjuster" and getattr(track, key) is None:
            yield Doubt(("track", key), reason(draft, track), write)

    name = key.replace("_", "-")
    meaning = f"The track is adjusted, but {key} is not given."
    return Rule(f"track-{name}-missing", meaning, test, ("track", "draft"))


@rule("track-raise-missing", "track")
def track_raise_missing(track: Track) -> Doubts:
    """Both blades are moved, but the words for raising one are not given."""
    if track.method == "adjuster" and track.basis in _RAISING:
        for blade in ("a", "b"):
            if getattr(track, f"to_raise_{blade}") is None:
                why = (
                    f'the basis is "{track.basis}", so while one blade is lowered blade '
                    f"{blade.upper()} is raised"
                )
                write = f"what raises blade {blade.upper()}, by the marks on the metal, naming the blade"
                yield Doubt(("track", f"to_raise_{blade}"), why, write)


@rule("track-fixed-pitch", "track", "rotor")
def track_fixed_pitch(track: Track, rotor: Rotor) -> Doubts:
    """The hub has no pitch adjusters, but its track is to be adjusted."""
    if track.method == "adjuster" and rotor.pitch == "fixed":
        why = "the hub is said to have fixed pitch, so it has no adjuster that the table could be for"
        yield Doubt(("track", "method"), why, '"none" for a hub without adjusters; or correct rotor.pitch')


@rule("track-stray", "track")
def track_stray(track: Track) -> Doubts:
    """The track is only read, but something is given for adjusting it."""
    if track.method == "none":
        for key in _ADJUSTER_KEYS:
            if getattr(track, key) is not None:
                why = 'the method is "none", read and do not adjust, so this would never reach the card'
                yield Doubt(
                    ("track", key), why, 'nothing; or method = "adjuster" if the maker allows adjusting'
                )


@rule("track-torque-half-given", "track")
def track_torque_half_given(track: Track) -> Doubts:
    """The adjuster's lock has a least torque without a most, or the reverse."""
    if (track.adjuster_torque_min is None) != (track.adjuster_torque_max is None):
        missing = "adjuster_torque_min" if track.adjuster_torque_min is None else "adjuster_torque_max"
        why = f"a torque needs both ends, and {missing} is not given"
        yield Doubt(("track", missing), why, "the other end of the window in the maker's document")


@rule("track-torque-order", "track")
def track_torque_order(track: Track) -> Doubts:
    """The adjuster's least torque is not below its most, or is in another unit."""
    low, high = track.adjuster_torque_min, track.adjuster_torque_max
    if low is not None and high is not None and (low >= high or low.units != high.units):
        why = (
            "it is not below adjuster_torque_max, so no torque could satisfy both"
            if low >= high
            else (
                "adjuster_torque_max is in another unit, and two units on one lock are easily taken "
                "for each other"
            )
        )
        yield Doubt(("track", "adjuster_torque_min"), why, "both ends of the window as the maker prints them")


@rule("track-lever-missing", "track", kind="warning")
def track_lever_missing(track: Track) -> Doubts:
    """The distance from the pivot line to the adjuster is not given, so flats and dial cannot both be shown."""
    if track.method == "adjuster" and track.lever is None:
        other = (
            "what the dial must read cannot be computed and is"
            if track.rule_reads == "adjuster"
            else "the flats of the adjuster cannot be computed and are"
        )
        why = f"without this distance {other} left off the track card"
        yield Doubt(
            ("track", "lever"), why, "the distance from the pitch pivot line to the adjuster, if it is known"
        )


RULES = (
    *(_needed(*needed) for needed in _NEEDED),
    track_raise_missing,
    track_fixed_pitch,
    track_stray,
    track_torque_half_given,
    track_torque_order,
    track_lever_missing,
)
