"""Rules about the adjusters as a list of marks, the dial that is read, and the levers that numbers need."""

from __future__ import annotations

from cardgen.spec.model.track import Track
from cardgen.spec.rate import RateAt, is_turnbuckle, measures, rate_at
from cardgen.spec.rules.rule import Doubt, Doubts, rule
from cardgen.spec.rules.told_apart import look_alike

_SIDES = "sides, sides_a, sides_b"
#: Where a part that may have two threads shows.
TURNBUCKLE = ", ".join(
    f"{way}.{blade}.{part}"
    for way in ("to_lower", "to_raise")
    for blade in "ab"
    for part in ("shorten", "lengthen")
)
_LEVERS = (
    "method, set_by, rule_reads, max_total, max_total_reads, lever, dial_lever, adjuster_thread, "
    f"points[].rule, {TURNBUCKLE}"
)
_LEVER = "the distance from the pitch pivot line to the adjuster, measured on this rotor"


@rule("track-sides-missing", f"track: method, {_SIDES}")
def track_sides_missing(track: Track) -> Doubts:
    """The track is adjusted, but the adjusters of a blade are not given."""
    each = track.sides_a is not None and track.sides_b is not None
    if track.method == "adjuster" and track.sides is None and not each:
        key = "sides_b" if track.sides_a else "sides_a" if track.sides_b else "sides"
        why = "front and back change places from blade to blade, so the adjusters go by marks on the metal"
        write = (
            "the adjusters of a blade, one or two, by their marks; sides_a and sides_b where the blades differ"
        )
        yield Doubt((key,), why, write)


@rule("track-sides-twice", f"track: {_SIDES}, basis")
def track_sides_twice(track: Track) -> Doubts:
    """The adjusters are listed for both blades and for one of them as well, or for a blade of a shared bar."""
    shared = track.basis == "whole bar"
    for key in ("sides_a", "sides_b"):
        if getattr(track, key) is None:
            continue
        if track.sides is not None:
            why = "sides lists the adjusters of both blades already, and one of the two lists would be left out"
            yield Doubt((key,), why, "sides, where the blades are marked alike; else sides_a and sides_b alone")
        elif shared:
            why = (
                "the bar's adjusters belong to both blades, and a list for each blade would give them two names"
            )
            yield Doubt((key,), why, "sides: the adjusters of the bar, by their marks")


@rule("track-sides-drawn", "track: sides, sides_drawn")
def track_sides_drawn(track: Track) -> Doubts:
    """The drawings of the adjusters' marks are not one for each mark under sides, each another."""
    drawn = track.sides_drawn or ()
    if drawn and len(drawn) != len(track.sides or ()):
        has = len(track.sides or ())
        why = f"{len(drawn)} are drawn and sides has {has}, so a mark would be drawn as another"
        yield Doubt(
            ("sides_drawn",), why, "one for each mark of sides, in the same order; or leave this key out"
        )
    elif len(drawn) == 2 and drawn[0] == drawn[1]:
        why = "the other adjuster is drawn the same, so the card would not tell them apart"
        yield Doubt(("sides_drawn", 1), why, "how the mark of this adjuster looks on the metal")


@rule("track-dial-same", "track: dial_touches, dial_base")
def track_dial_same(track: Track) -> Doubts:
    """The dial stands on the part that it touches."""
    touched, base = track.dial_touches, track.dial_base
    if touched is not None and base is not None and look_alike(touched, base):
        why = "the dial's stand is on the part that the dial touches, so it reads the same whatever is turned"
        yield Doubt(("dial_base",), why, "a part that stays where it is while the adjuster is turned")


@rule("track-lever-missing", f"track: {_LEVERS}")
def track_lever_missing(track: Track) -> Doubts:
    """A number on the track card needs the lever of the adjuster, and it is not given."""
    at = _rate_at(track)
    if at is None or track.lever is not None:
        return
    unknown = [place for place in dict.fromkeys(_needed(track)) if getattr(at, place) is None]
    if unknown:
        where = {"dial": "what the dial must read", "adjuster": "what the adjuster must move"}[unknown[0]]
        why = f"without this distance {where} cannot be told from the maker's rule, and nothing is supposed"
        other = '; or set_by = "flats", where no dial is needed' if unknown[0] == "dial" else ""
        yield Doubt(("lever",), why, _LEVER + other)


@rule("track-flats-missing", f"track: {_LEVERS.replace('max_total, ', '')}", kind="warning")
def track_flats_missing(track: Track) -> Doubts:
    """The lever of the adjuster is not given, so its flats are left off the card."""
    at = _rate_at(track)
    if at is not None and track.lever is None and track.set_by == "dial" and at.adjuster is None and at.dial:
        why = (
            "without this distance the flats of the adjuster cannot be computed and are left off the track card"
        )
        yield Doubt(("lever",), why, "the distance from the pitch pivot line to the adjuster, if it is known")


@rule(
    "track-turnbuckle-flats",
    f"track: set_by, max_total, points[].rule, {TURNBUCKLE}",
)
def track_turnbuckle_flats(track: Track) -> Doubts:
    """Flats are to follow from a length, or a length from flats, of a part that may have two threads."""
    if not is_turnbuckle(track) or not track.points or track.set_by is None:
        return
    in_flats = {measures(point.rule) == "flats" for point in track.points}
    two = "a part with a left-hand thread at one end moves two pitches a turn"
    if track.set_by == "flats" and False in in_flats:
        yield Doubt(
            ("set_by",), f"{two}: flats could be twice too many", '"dial"; or the maker\'s rule in flats/in'
        )
    elif track.set_by == "dial" and True in in_flats:
        why = f"{two}: from a rule in flats, the dial could show half of what is right"
        yield Doubt(("set_by",), why, '"flats"; or the maker\'s rule in thousandths or degrees')
    elif track.set_by == "flats" and track.max_total is not None:
        why = f"{two}: flats that reach this length could be twice too many"
        yield Doubt(
            ("max_total",), why, 'a rule that the dial shows, with set_by = "dial"; ask the maker for it'
        )


def _rate_at(track: Track) -> RateAt | None:
    """Give what the first rule makes where; nothing where a key it follows from has a rule of its own."""
    if track.method != "adjuster" or not track.points or track.set_by is None:
        return None
    if track.set_by == "dial" and track.dial_lever is None:
        return None
    if track.set_by == "flats" and "dial" in {track.rule_reads, track.max_total_reads}:
        return None
    rule_ = track.points[0].rule
    if measures(rule_) == "a length" and track.rule_reads is None:
        return None
    if measures(rule_) == "flats" and (track.adjuster_thread is None or is_turnbuckle(track)):
        return None
    return rate_at(track, rule_)


def _needed(track: Track) -> list[str]:
    """Name the places that the card needs a number for."""
    hand = "dial" if track.set_by == "dial" else "adjuster"
    total = [track.max_total_reads] if track.max_total is not None and track.max_total_reads else []
    return [hand, *total]
