"""What stands around each side: whose cards these are, which card and side, and whether they are in force."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from cardgen.proof.meaning.asked import Asked, Kind, listed_cards
from cardgen.proof.meaning.pages import Flow, Page, flow_of, joined
from cardgen.proof.meaning.phrases import Pattern, figure, found, typed, words

_BLANK = re.compile(r"no print on this side|print on both sides at full size")
#: How to print and cut a sheet of two sides; it stands on none of the sides.
_CUT = re.compile(r" ?print on both sides at full size.*?cut at the marks")
#: Points in a millimetre and an inch.
_LENGTHS = {"mm": 72 / 25.4, "in": 72.0}
#: The outline of the words across a draft takes at least this part of a side's width and is light.
_ACROSS = 0.7


def cards_read(pages: Sequence[Page], asked: Asked, kind: Kind) -> tuple[dict[str, Flow], list[str]]:
    """Part a file into its cards by what stands on each side, and name what is wrong with the frames."""
    faults: list[str] = []
    sides = [page for page in pages if not _is_blank(page)]
    for page in sides:
        faults += [f"page {page.number}: {what}" for what in _framed(page, asked, kind)]
    wanted = [card for card in asked.built if card in kind.holds]
    held, more = _run_on(sides, asked, kind, wanted) if kind.runs_on else _by_sides(sides, asked, wanted)
    missing = [f"card {card}: it is missing" for card in wanted if card not in held]
    return held, [*faults, *more, *missing]


def _is_blank(page: Page) -> bool:
    return len(page.runs) < 12 and bool(_BLANK.search(joined((page,)).text))


def _framed(page: Page, asked: Asked, kind: Kind) -> Iterator[str]:
    flow = joined((page,))
    for what, pattern in _identity(asked):
        match, wrong = found(pattern, flow)
        if match is None:
            yield f"{what}: {wrong}"
    if asked.stamp.is_draft != bool(re.search("DRAFT ?, not ?issued", flow.text)):
        yield "it does not say whether it is a draft"
    crossed = any(
        s.light and s.box.x2 - s.box.x1 > _ACROSS * page.width * 0.8 for s in page.shapes if s.points > 100
    )
    if crossed != asked.stamp.is_draft:
        yield "NOT ISSUED stands across it" if crossed else "NOT ISSUED does not stand across it"
    length, unit = kind.bar.split()
    wanted = float(length) * _LENGTHS[unit]
    if not re.search(rf"is ?{round(wanted / _LENGTHS['mm'])} ?mm", flow.text):
        yield "its scale bar does not say how long it is"
    bars = [
        s.box.x2 - s.box.x1 - 2 * s.weight for s in page.shapes if s.box.y2 - s.box.y1 < 3 and s.box.y1 < 130
    ]
    if not any(abs(long - wanted) < 0.1 for long in bars):
        yield f"no scale bar of {kind.bar} stands on it"


def _identity(asked: Asked) -> Iterator[tuple[str, Pattern]]:
    stamp, until = asked.stamp, asked.value("authority.use_until")
    diameter = asked.number("rotor.diameter")
    if diameter is not None:
        yield "diameter", Pattern("^" + figure(diameter).expression, (diameter,))
    day = f"{until.day} {until:%b} {until.year}" if isinstance(until, date) else str(until)
    state = (
        words("DRAFT, not issued") if stamp.is_draft else words(f"revision {stamp.revision}, code {stamp.code}")
    )
    yield (
        "set, revision, code and last day",
        typed(str(asked.value("rotor.set_id"))).then(state).then(words(f"until {day}")),
    )


def _serials(asked: Asked, kind: Kind) -> Pattern:
    said = words("Blade A").then(typed(asked.value("blades.serial_a"))).then(typed(asked.value("rotor.mark_a")))
    said = said.then(words(", B")).then(typed(asked.value("blades.serial_b")))
    said = said.then(typed(asked.value("rotor.mark_b")))
    return said if kind.boxes else said.then(words("– hub")).then(typed(asked.value("rotor.hub_serial")))


def _by_sides(sides: Sequence[Page], asked: Asked, wanted: Sequence[str]) -> tuple[dict[str, Flow], list[str]]:
    """Read which card and which of its sides each side says it is."""
    listed, faults = listed_cards(), []
    parts: dict[str, list[Page]] = {}
    counts: dict[str, list[tuple[int, int]]] = {}
    for page in sides:
        text = joined((page,)).text
        for card in wanted:
            known = listed[card]
            at, total = asked.cards.index(card) + 1, len(asked.cards)
            head = words(known["title"]).then(words(known["phase"])).then(words(f"card {at} of {total}"))
            if match := re.search(rf"^.{{0,40}}?{head.expression}\b(?: ?, ?side (\d+) of (\d+))?", text):
                parts.setdefault(card, []).append(page)
                counts.setdefault(card, []).append((int(match[1] or 1), int(match[2] or 1)))
                break
        else:
            faults.append(f"page {page.number}: it does not say which of this rotor's cards it is")
    for card, pages in counts.items():
        if pages != [(at, len(pages)) for at in range(1, len(pages) + 1)]:
            said = ", ".join(f"{one} of {of}" for one, of in pages)
            faults.append(f"card {card}: its sides are numbered {said}")
    return {card: joined(pages) for card, pages in parts.items()}, faults


def _run_on(
    sides: Sequence[Page], asked: Asked, kind: Kind, wanted: Sequence[str]
) -> tuple[dict[str, Flow], list[str]]:
    """Read pages in order, and where each card begins among them."""
    faults, listed = [], listed_cards()
    for at, page in enumerate(sides, 1):
        if not re.search(words(f"{kind.title}, page {at} of {len(sides)}").expression, joined((page,)).text):
            faults.append(f"page {page.number}: it is not numbered {at} of {len(sides)}")
    whole, starts = joined(sides), {}
    for card in wanted:
        known = listed[card]
        place = words(f"card {asked.cards.index(card) + 1} of {len(asked.cards)}")
        head = words(known["title"]).then(words(known["phase"])).then(place)
        if match := re.search(head.expression + r"\b", whole.text):
            starts[card] = match.start()
    ordered = sorted(starts.items(), key=lambda item: item[1])
    ends = [*(start for _, start in ordered[1:]), len(whole.text)]
    held = {}
    for (card, start), end in zip(ordered, ends, strict=True):
        held[card] = Flow(whole.between(start, end - 1))
    return held, faults


def serials_against(pages: Sequence[Page], held: dict[str, Flow], asked: Asked, kind: Kind) -> Iterator[str]:
    """Say where marks and serials do not stand: on a card's first side, or on every page where cards run on."""
    pattern = _serials(asked, kind)
    if kind.runs_on:
        places = [(f"page {page.number}", joined((page,))) for page in pages if not _is_blank(page)]
    else:
        places = [(f"card {card}", flow) for card, flow in held.items()]
    for name, flow in places:
        match, wrong = found(pattern, flow)
        if match is None:
            yield f"{name}: marks and serials: {wrong}"


def text_identity(text: str, asked: Asked) -> Iterator[str]:
    """Name what a screen or a text does not say of whose cards it has and whether they are in force."""
    flow, stamp = flow_of(text), asked.stamp
    for key in (
        "rotor.set_id",
        "blades.serial_a",
        "blades.serial_b",
        "rotor.mark_a",
        "rotor.mark_b",
        "rotor.hub_serial",
        "authority.use_until",
    ):
        if found(typed(str(asked.value(key))), flow)[0] is None:
            yield f"{key} is not there"
    if (diameter := asked.number("rotor.diameter")) and found(figure(diameter), flow)[0] is None:
        yield "the diameter is not there"
    if stamp.is_draft != bool(re.search("DRAFT, NOT ISSUED", flow.text)):
        yield "it does not say whether it is a draft"
    if not stamp.is_draft and str(stamp.code) not in flow.text:
        yield "its code is not there"


def same_sides(two_up: Sequence[Page], single: Sequence[Page]) -> Iterator[str]:
    """Name a side that a sheet with two sides does not show just as the single card does."""
    halves = [page.half(right) for page in two_up for right in (False, True)]
    seen = Counter(_CUT.sub("", joined((page,)).text) for page in halves if page.runs and not _is_blank(page))
    wanted = Counter(joined((page,)).text for page in single if not _is_blank(page))
    yield from (f"a side is missing or other: {text[:60]}" for text in (wanted - seen))
    yield from (f"a side is no card's: {text[:60]}" for text in (seen - wanted))


def paired(pages: Sequence[Page]) -> list[Page]:
    """Put the two halves of each wall sheet together."""
    return [
        replace(upper, runs=(*upper.runs, *lower.runs), shapes=(*upper.shapes, *lower.shapes))
        for upper, lower in zip(pages[::2], pages[1::2], strict=False)
    ]


def form_identity(text: str, asked: Asked) -> Iterator[str]:
    """Name what the form does not say of whose entry it makes."""
    flow = flow_of(text)
    for key in ("rotor.set_id", "authority.use_until"):
        if found(typed(str(asked.value(key))), flow)[0] is None:
            yield f"{key} is not there"
    if not asked.stamp.is_draft and str(asked.stamp.code) not in flow.text:
        yield "its code is not there"
