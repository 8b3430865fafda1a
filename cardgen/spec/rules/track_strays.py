"""Rules about what a track group says and no card of it could use: a key beside the work that is done.

What would be silently left out is a slip in this key, or in the one that leaves it without a meaning.
"""

from __future__ import annotations

from cardgen.spec.model.track import Track, TrackPoint
from cardgen.spec.rate import measures
from cardgen.spec.rules.families import absent, given, says, stray
from cardgen.spec.rules.track_factors import ADJUSTED


def _in_no_lengths(points: tuple[TrackPoint, ...] | None) -> bool:
    """Whether the maker's rules all state an angle or flats, which are read nowhere else."""
    return bool(points) and all(measures(point.rule) != "a length" for point in points or ())


#: Keys that only a track which is adjusted has.
_ADJUSTER_KEYS = tuple(
    key for key in Track.model_fields if key not in {"method", "source", "sources", "not_given"}
)


_FLATS = {**ADJUSTED, "set_by": says("flats")}
STRAY = (
    *(
        stray(
            "track-stray",
            f"track.{key}",
            "The track is only read, but something is given for adjusting it.",
            {"method": says("none")},
            'the method is "none", read and do not adjust, so this would never reach the card',
            'nothing; or method = "adjuster" if the maker allows adjusting',
        )
        for key in _ADJUSTER_KEYS
    ),
    *(
        stray(
            "track-dial-stray",
            f"track.{key}",
            "Flats are counted, but something is given for a dial.",
            _FLATS,
            "the hand goes by flats here, so no dial stands anywhere",
            'nothing; or set_by = "dial" if a dial is read',
        )
        for key in ("dial_lever", "dial_touches", "dial_base", "dial_offset")
    ),
    *(
        stray(
            "track-reads-no-dial",
            f"track.{key}",
            "Something is read on a dial, but the hand goes by flats.",
            {**_FLATS, key: says("dial")},
            "no dial is set up where flats are counted, and nothing leads from one to the adjuster",
            '"adjuster", if the document measures it there; or set_by = "dial"',
        )
        for key in ("rule_reads", "max_total_reads")
    ),
    stray(
        "track-reads-stray",
        "track.rule_reads",
        "It is said where a rule is read that states no length.",
        {**ADJUSTED, "points[].rule": _in_no_lengths},
        "the maker's rule is in degrees of the blade or flats of the adjuster, which are read nowhere else",
        "nothing: leave this key out",
    ),
    *(
        stray(
            "track-total-stray",
            f"track.{key}",
            "It is said how a largest total is read or counted that is not given, or that one blade has alone.",
            when,
            why,
            "nothing: leave this key out",
        )
        for key, when, why in (
            ("max_total_reads", {"max_total": absent}, "no largest total is given"),
            ("max_total_of", {"max_total": absent}, "no largest total is given"),
            (
                "max_total_of",
                {"max_total": given, "basis": says("one blade", "whole bar")},
                'the basis is "{basis}", so one adjuster moves and there is nothing to add',
            ),
        )
    ),
    stray(
        "track-first-move-stray",
        "track.first_move",
        "A blade has one adjuster, and yet one is turned first.",
        {**ADJUSTED, "sides": lambda sides: len(sides or ()) == 1},
        "one adjuster stands under sides, so none comes before another",
        "nothing; or both adjusters under sides",
    ),
)
