"""Rules about the run-up, the address of the form, and the copies that are printed."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from urllib.parse import SplitResult, urlsplit

from cardgen.spec.model.identity import Rotor
from cardgen.spec.model.running import Log, Print, Run
from cardgen.spec.rules.families import absent, given, missing, stray, twice
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import magnitude
from cardgen.spec.unjudged import Unjudged

#: The code and the card's name are added behind the address; more than this scans badly.
_LONGEST_URL = 90
_SPEEDS = "the maker's least, normal and most speed, which rise in this order"
#: On the ground a rotor is never taken far above the speed it flies at.
_OVERSPEED = Fraction(11, 10)


@rule("run-speed-high", "run: ground_speeds, track_speeds", "rotor: normal_speed", "draft")
def run_speed_high(run: Run, rotor: Rotor, draft: Unjudged) -> Doubts:
    """A ground speed is well above the speed the rotor flies at."""
    for key in ("ground_speeds", "track_speeds"):
        for place, speed in enumerate(getattr(run, key) or ()):
            if speed > rotor.normal_speed * _OVERSPEED:
                normal = typed(draft, "rotor", "normal_speed")
                why = (
                    f"the rotor flies at {normal}, and on the ground it is never taken more than a "
                    "tenth above that"
                )
                yield Doubt((key, place), why, "a speed from the document that this run-up comes from")


@rule("run-speed-order", "run: ground_speeds, track_speeds")
def run_speed_order(run: Run) -> Doubts:
    """The speeds of a run do not rise."""
    for key in ("ground_speeds", "track_speeds"):
        speeds = getattr(run, key) or ()
        for place, (before, after) in enumerate(pairwise(speeds), start=1):
            if after <= before:
                why = f"it is not above the speed before it, {magnitude(before, 'rpm')} rpm"
                yield Doubt((key, place), why, "the speeds from the slowest to the fastest, each once")


READ_IN = (
    missing(
        "track-read-in-missing",
        "run.track_read_in",
        "Speeds are given that the track is read at, but not whether they are reached in flight.",
        {"track_speeds": given},
        "a track read in flight is read by a camera while the pilot only flies, and one on the ground is not",
        '"flight" or "ground", by where these speeds are reached',
    ),
    stray(
        "track-read-in-stray",
        "run.track_read_in",
        "It is said where the track is read, but not at which speeds.",
        {"track_speeds": absent},
        "no speeds are given that the track is read at",
        "track_speeds from the document; or leave this key out",
    ),
)


@rule("rotor-speed-order", "rotor: least_speed, normal_speed, most_speed", "draft", plausible=True)
def rotor_speed_order(rotor: Rotor, draft: Unjudged) -> Doubts:
    """The least, the normal and the most speed of the rotor do not rise."""
    normal = typed(draft, "rotor", "normal_speed")
    if rotor.least_speed is not None and rotor.least_speed >= rotor.normal_speed:
        yield Doubt(("least_speed",), f"the rotor flies at {normal}, and this is not below it", _SPEEDS)
    if rotor.most_speed is not None and rotor.most_speed < rotor.normal_speed:
        yield Doubt(("most_speed",), f"the rotor flies at {normal}, and this is below it", _SPEEDS)


@rule("run-speed-past-most", "run: ground_speeds, track_speeds", "rotor: most_speed", "draft", plausible=True)
def run_speed_past_most(run: Run, rotor: Rotor, draft: Unjudged) -> Doubts:
    """A run goes beyond the speed that the maker never lets the rotor exceed."""
    for key in ("ground_speeds", "track_speeds"):
        for place, speed in enumerate(getattr(run, key) or ()):
            if rotor.most_speed is not None and speed > rotor.most_speed:
                why = f"the rotor never turns faster than {typed(draft, 'rotor', 'most_speed')}"
                yield Doubt((key, place), why, "a speed from the document that this run comes from")


@rule(
    "track-speed-below-least", "run: track_speeds, track_read_in", "rotor: least_speed", "draft", kind="warning"
)
def track_speed_below_least(run: Run, rotor: Rotor, draft: Unjudged) -> Doubts:
    """The track is to be read in flight at a speed below the maker's least."""
    for place, speed in enumerate(run.track_speeds or ()):
        if run.track_read_in == "flight" and rotor.least_speed is not None and speed < rotor.least_speed:
            why = (
                f"the maker's least in flight is {typed(draft, 'rotor', 'least_speed')}: the pilot goes no "
                "lower to read the track"
            )
            yield Doubt(
                ("track_speeds", place), why, "a speed that is flown; or the least speed again from its paper"
            )


@rule("track-speed-low", "run: track_speeds", "rotor: normal_speed", "draft", kind="warning")
def track_speed_low(run: Run, rotor: Rotor, draft: Unjudged) -> Doubts:
    """The track is read well below the speed the rotor flies at."""
    for place, speed in enumerate(run.track_speeds or ()):
        if speed * 5 < rotor.normal_speed * 3:
            normal = typed(draft, "rotor", "normal_speed")
            why = f"the rotor flies at {normal}, and a track read so far below it may change on the way up"
            yield Doubt(
                ("track_speeds", place), why, "nothing, if no higher speed can be reached on the ground"
            )


@rule("clear-radius", "run: clear_radius", "rotor: diameter", plausible=True)
def clear_radius(run: Run, rotor: Rotor) -> Doubts:
    """People may stand where the blades can reach."""
    if run.clear_radius is not None and run.clear_radius < rotor.diameter:
        diameter = float(magnitude(rotor.diameter, "m"))
        why = (
            f"this rotor is {diameter:.1f} m across, and nobody stands closer than one diameter to a "
            "turning blade"
        )
        yield Doubt(("clear_radius",), why, "the clear radius from the document that this run-up comes from")


@rule("form-url-https", "log: form_url")
def form_url_https(log: Log) -> Doubts:
    """The address of the form is not an https address."""
    if not log.form_url.startswith("https://"):
        why = "a form without https can be changed on its way to the phone, and so could the limits on it"
        yield Doubt(("form_url",), why, "the full address of the form, beginning with https://")


@rule("form-url-user", "log: form_url")
def form_url_user(log: Log) -> Doubts:
    """The address of the form holds a user name or password."""
    if "@" in _parts(log).netloc:
        why = "what stands before the @ is printed for everyone to read, and hides which host is called"
        yield Doubt(("form_url",), why, "the address without a name or password")


@rule("form-url-extra", "log: form_url")
def form_url_extra(log: Log) -> Doubts:
    """The address of the form has a query or a fragment."""
    if "?" in log.form_url or "#" in log.form_url:
        why = "the card's own code is put behind a # of its own, and anything there already would spoil it"
        yield Doubt(("form_url",), why, "the address up to its last / and nothing behind it")


@rule("form-url-host", "log: form_url")
def form_url_host(log: Log) -> Doubts:
    """The host of the form is a number, has no dot, or names a port."""
    host = _parts(log).netloc.rpartition("@")[2]
    label = r"[a-z0-9](?:[a-z0-9-]*[a-z0-9])?"
    if log.form_url.startswith("https://") and not re.fullmatch(rf"(?:{label}\.)+[a-z][a-z0-9-]*[a-z]", host):
        why = (
            "a reader must recognise the host before calling it, so it is a plain name in small "
            "letters with a dot in it"
        )
        yield Doubt(
            ("form_url",), why, "an address whose host is a name of your club or service, without a port"
        )


@rule("form-url-path", "log: form_url")
def form_url_path(log: Log) -> Doubts:
    """The address of the form does not end with a /, or has odd characters."""
    path = _parts(log).path
    if log.form_url.startswith("https://") and not re.fullmatch(r"/(?:[A-Za-z0-9._~-]+/)*", path):
        why = (
            "the address is that of a folder, typed by hand where a code does not scan, and short "
            "links hide where they lead"
        )
        yield Doubt(
            ("form_url",), why, "an address that ends with / and has only letters, digits, - . _ ~ between"
        )


@rule("form-url-long", "log: form_url")
def form_url_long(log: Log) -> Doubts:
    """The address of the form is too long for a code that scans well."""
    if len(log.form_url) > _LONGEST_URL:
        why = (
            f"it has {len(log.form_url)} characters, and beyond {_LONGEST_URL} the code's squares "
            "become too small for a card"
        )
        yield Doubt(("form_url",), why, "a shorter address on the same host")


TWICE = (
    twice(
        "edition-twice",
        "print.editions",
        (),
        "An edition is listed twice.",
        "the {it} edition is listed already",
        "each edition once",
    ),
    twice(
        "copy-twice",
        "print.copies",
        ("edition", "place"),
        "Two copies of one edition hang at one place.",
        "a copy of this edition at this place is listed already, and a recall could not tell them apart",
        "each copy once, each with a place of its own",
    ),
)


@rule("copy-edition", "print: editions, copies[].edition")
def copy_edition(printing: Print) -> Doubts:
    """A copy is listed of an edition that is not made."""
    for place, copy in enumerate(printing.copies):
        if copy.edition not in printing.editions:
            why = (
                f"the {copy.edition} edition is not among the editions to be made, so this copy would not exist"
            )
            yield Doubt(
                ("copies", place, "edition"), why, "an edition from the list; or add this edition to it"
            )


def _parts(log: Log) -> SplitResult:
    try:
        return urlsplit(log.form_url)
    except ValueError:
        # Without any part it is refused, as what cannot be an address.
        return SplitResult("", "", "", "", "")
