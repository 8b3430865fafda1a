"""Rules about what is what: two blades, two marks, and documents that exist and are in date."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from cardgen.spec.dates import NO_REVISION
from cardgen.spec.lookalikes import first_lookalike, named
from cardgen.spec.model import names
from cardgen.spec.model.base import Sourced
from cardgen.spec.model.bench import Cure
from cardgen.spec.model.hardware import Fastener
from cardgen.spec.model.identity import Authority, Blades, Document, Rotor
from cardgen.spec.model.running import Reflectors
from cardgen.spec.problem import Path
from cardgen.spec.rules.families import missing, says, says_not, stray, twice
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, rule
from cardgen.spec.unjudged import Unjudged

#: Cards are looked through once a year; years ahead is a slip of the pen.
_FARTHEST = timedelta(days=5 * 366)


def alike(first: str, second: str) -> bool:
    """Whether two names cannot be told apart at a glance: letter case and spaces aside."""
    return "".join(first.split()).casefold() == "".join(second.split()).casefold()


@rule("same-serial", "blades: serial_a, serial_b")
def same_serial(blades: Blades) -> Doubts:
    """Both blades have the same serial number, so nobody can tell which is meant."""
    if alike(blades.serial_a, blades.serial_b):
        why = "blade A has the same serial number, so an entry in the log could mean either blade"
        yield Doubt(("serial_b",), why, "the serial number on blade B itself")


@rule("same-mark", "rotor: mark_a, mark_b")
def same_mark(rotor: Rotor) -> Doubts:
    """Both blades are marked alike on the metal, so a blade could go on the wrong end."""
    if alike(rotor.mark_a, rotor.mark_b):
        why = "blade A is marked the same, so a correction could be made on the wrong blade"
        yield Doubt(("mark_b",), why, "the mark on the metal of blade B, as it differs from that of A")


@rule("same-pattern", "reflectors: pattern_a, pattern_b")
def same_pattern(reflectors: Reflectors) -> Doubts:
    """Both reflectors look the same, so nobody can tell which blade is high."""
    if alike(reflectors.pattern_a, reflectors.pattern_b):
        why = "blade A carries the same pattern, so nobody could tell which blade flies high"
        yield Doubt(("pattern_b",), why, "a pattern that differs in shape from that of blade A")


TWICE = twice(
    "document-twice",
    "documents",
    ("id",),
    "Two documents have one id, so a source could mean either of them.",
    "another document is already called {id}, so a source could mean either",
    "an id that no other document has",
)


RECORD = (
    missing(
        "record-missing",
        "authority.record",
        "The jurisdiction is none of those listed, and the lines that its rules ask of a record are not given.",
        {"jurisdiction": says("other")},
        "what a record must hold is the local rule's to say, and a form that leaves a line out is no record",
        'record = ["line", "line"], in the words of the local rule',
    ),
    stray(
        "record-stray",
        "authority.record",
        "Lines of a record are given where the jurisdiction's own are known.",
        {"jurisdiction": says_not("other")},
        "the lines that {jurisdiction} asks for are printed, so these would never reach the form",
        'nothing; or jurisdiction = "other", if these lines are to be printed',
    ),
)


@rule("document-date-future", "documents[]: date", "today")
def document_date_future(document: Document, today: date) -> Doubts:
    """A document bears a date after today."""
    if document.date.first is not None and document.date.first > today:
        why = f"today is {today.isoformat()}, and no document can come from a later day"
        yield Doubt(("date",), why, "the date printed in the document")


@rule("document-undated", "documents[]: id, date, revision", kind="warning")
def document_undated(document: Document) -> Doubts:
    """A document bears no date, so nothing tells how old it is."""
    if document.date.first is None:
        same = document.revision == NO_REVISION
        bears = "neither date nor revision" if same else "no date"
        what = (
            "this copy cannot be told from an older or a newer one" if same else "nothing tells how old it is"
        )
        why = f"{document.id} bears {bears}, so {what}: ask who wrote it whether it still holds"
        yield Doubt(("date",), why, "the date, once whoever wrote the paper has given it")


@rule("use-until-past", "authority: use_until", "today")
def use_until_past(authority: Authority, today: date) -> Doubts:
    """The last day of use is over, so the cards would be out of date at once."""
    if authority.use_until < today:
        why = f"today is {today.isoformat()}, so these cards would be out of date when they are printed"
        yield Doubt(("use_until",), why, "a coming day on which the cards are to be looked through")


@rule("use-until-far", "authority: use_until", "today")
def use_until_far(authority: Authority, today: date) -> Doubts:
    """The last day of use is more than five years ahead."""
    if authority.use_until > today + _FARTHEST:
        why = "that is more than five years ahead, and a card must be compared with its documents before then"
        yield Doubt(("use_until",), why, "the day of the next review of these cards")


@rule("source-unknown", "*", "documents: id")
def source_unknown(draft: Unjudged, documents: tuple[Document, ...]) -> Doubts:
    """A source begins with no id of a listed document."""
    known = ", ".join(document.id for document in documents)
    by_letters = {_letters(document.id): document.id for document in documents}
    for path, source in sources(draft):
        if not any(names(source, document) for document in documents):
            yield _almost(path, source, by_letters) or Doubt(
                path,
                f"a source begins with the id of a listed document, and the list holds {known}",
                "the id of the document, a space, and the page; or list the document first",
            )


def _almost(path: Path, source: str, by_letters: Mapping[str, str]) -> Doubt | None:
    """Doubt a source that differs from a listed id in capitals, spaces or a sign that looks alike."""
    for end in range(len(source), 0, -1):
        listed = by_letters.get(_letters(source[:end]))
        if listed and not source[end : end + 1].isalnum():
            place = source[end:].strip()
            write = f'"{listed} {place}"' if place else f"{listed}, a space, and the page"
            return Doubt(path, _difference(source[:end], listed), f"{write}, if that is the document meant")
    return None


def _difference(typed: str, listed: str) -> str:
    own, other = first_lookalike(typed), first_lookalike(listed)
    if own and own not in listed:
        return f"{named(own)} stands in it, where the listed id {listed} has another character"
    if other and other not in typed:
        return f"{named(other)} stands in the listed id {listed}, and another character here"
    return f"a source begins with the id of a listed document, letter for letter as in {listed}"


def _letters(name: str) -> str:
    """Give the letters and digits of a name alone, small ones for capitals."""
    return "".join(filter(str.isalnum, name)).casefold()


@rule("source-place", "*", "documents: id")
def source_place(draft: Unjudged, documents: tuple[Document, ...]) -> Doubts:
    """A source names a document and no place in it, so nobody can look the value up."""
    for path, source in sources(draft):
        if any(source == document.id for document in documents):
            why = "a document is named and no place in it, so nobody can look the value up"
            yield Doubt(path, why, f"{source}, a space, and the page or section")


@rule("source-kind", "*", "documents: id, kind")
def source_kind(draft: Unjudged, documents: tuple[Document, ...]) -> Doubts:
    """A figure of the rotor is sourced from an adhesive's data sheet."""
    adhesives = [document for document in documents if document.kind == "adhesive"]
    for path, source in sources(draft):
        if path[0] != "tip" and any(names(source, document) for document in adhesives):
            why = "this document is the data sheet of an adhesive, which states nothing about a rotor"
            yield Doubt(path, why, "the document this figure was read from")


@rule("source-general", "*", "documents: id, kind", kind="warning")
def source_general(draft: Unjudged, documents: tuple[Document, ...]) -> Doubts:
    """A figure that only the maker can give is sourced from a general handbook."""
    general = [document for document in documents if document.kind == "general"]
    for path, source in sources(draft):
        if path[0] in {"fasteners", "tightening", "track", "pitch"} and any(names(source, d) for d in general):
            why = "this comes from a general handbook, which does not know this rotor"
            yield Doubt(path, why, "the maker's document, if the maker states the figure")


@rule(
    "torque-from-club", "fasteners[]: where, torque_max, source, sources", "documents: id, kind", kind="warning"
)
def torque_from_club(bolt: Fastener, documents: tuple[Document, ...]) -> Doubts:
    """The torque of a strap bolt comes from a club's paper and not from the maker's."""
    clubs = [document for document in documents if document.kind == "club"]
    for key in ("torque_min", "torque_max"):
        given = bolt.where == "strap" and bolt.torque_max is not None
        if given and any(names(bolt.source_of(key), club) for club in clubs):
            why = (
                "only the maker knows what its strap and blade bear, and a club's figure may be another rotor's"
            )
            yield Doubt((key,), why, "the maker's document, if the maker states the torque")


def sources(draft: Unjudged) -> Iterator[tuple[Path, str]]:
    """Walk every source that was read, with the place it stands at."""
    for path, group in _groups(draft):
        if isinstance(group, Sourced) and (*path, "sources") not in draft.unread:
            yield from (((*path, "sources", key), source) for key, source in group.sources.items())
        if isinstance(group, Sourced | Cure) and (*path, "source") not in draft.unread:
            yield (*path, "source"), group.source


def _groups(draft: Unjudged) -> Iterator[tuple[Path, object]]:
    """Walk the groups that may have a source of their own, row by row where they are lists."""
    cure = Reads.of("tip.cure[]")
    for name, group in draft.groups.items():
        yield from (((name, place), row) for place, row in enumerate(group if isinstance(group, tuple) else ()))
        yield (name,), group
    yield from cure.places(draft)
