"""Compares finished files with what they must mean: printed editions, and what is read on a screen."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from hashlib import sha256
from html.parser import HTMLParser
from types import MappingProxyType
from typing import Any

from cardgen.deck.card import Stamp
from cardgen.figures.figure import Figure
from cardgen.proof.finished import Finished, opened
from cardgen.proof.meaning import copied, drawings, frame, hygiene, landed
from cardgen.proof.meaning.asked import Asked, Kind, cautions, edition, listed_cards, musts, screen
from cardgen.proof.meaning.faces import faces_against
from cardgen.proof.meaning.pages import Flow, Page, flow_of, pages_of
from cardgen.proof.meaning.phrases import missing, words
from cardgen.proof.meaning.readings import readings_against
from cardgen.proof.meaning.seen import seen_against
from cardgen.proof.meaning.symbol import symbols_against
from cardgen.proof.meaning.tables import tables_against
from cardgen.proof.meaning.wrenches import torque_against
from cardgen.proof.recheck import expected_figures
from cardgen.proof.recheck_input import parsed

#: What a deck is described in for programs.
DATA = "deck.json"
#: What else is looked at on a card.
_LOOKS = MappingProxyType(
    {
        "assembly": (drawings.makers_against,),
        "torque": (drawings.bolts_against, drawings.makers_against),
        "track": (drawings.moves_against, drawings.locks_against),
        "sealing": (drawings.screws_against,),
    }
)
_TWO_UP, _HALVES = "-2up", "-halves"


def asked_of(spec: bytes, figures: Mapping[str, Figure], stamp: Stamp, only: Collection[str] = ()) -> Asked:
    """Work out what a deck must say; of the figures only the names are taken, to know numbers."""
    parsed_spec = parsed(spec)
    numbers = {each.figure: each for each in expected_figures(parsed_spec, figures)}
    return Asked(parsed_spec, numbers, stamp, tuple(only))


def prints_against(files: Mapping[str, bytes | Finished], asked: Asked, spec: bytes) -> Iterator[str]:
    """Read one edition's files and name whatever they do not say as they must."""
    with ExitStack() as held:
        finished = {name: held.enter_context(opened(content)) for name, content in files.items()}
        yield from _files(finished, asked)
        for name, file in finished.items():
            yield from (f"{name}: {fault}" for fault in hygiene.structure_against(file.content, asked, spec))


def copied_against(pdf: bytes | Finished, asked: Asked, spec: bytes, told: Mapping[str, Any]) -> Iterator[str]:
    """Read the sheet for the second reader and name what does not stand on it as it must.

    ``told`` is the deck's description for programs, by which values are followed to the cards they are on.
    Words of it that cannot be seen as they are read are named too.
    """
    with opened(pdf) as file:
        pages = pages_of(file)
        yield from drawn_on(pages)
    rows = copied.rows_of(pages, asked.spec)
    yield from copied.head_against(pages, asked.spec, spec)
    yield from copied.values_against(rows, asked.spec)
    yield from landed.landed_against(rows, landed.deck_of(told))


def drawn_against(pdf: bytes | Finished) -> Iterator[str]:
    """Name words of a sheet that cannot be seen as they are read; its content is another's to prove."""
    with opened(pdf) as file:
        yield from drawn_on(pages_of(file))


def drawn_on(pages: Iterable[Page]) -> Iterator[str]:
    """Name words of pages that cannot be seen as they are read."""
    yield from hygiene.hidden_against(pages)
    yield from seen_against(pages)
    yield from faces_against(pages)


def _files(files: Mapping[str, Finished], asked: Asked) -> Iterator[str]:
    read = {name: pages_of(file) for name, file in files.items()}
    for name, pages in read.items():
        yield from (f"{name}: {fault}" for fault in drawn_on(pages))
        base = name.removesuffix(".pdf")
        if base.endswith(_TWO_UP):
            single = read[f"{base.removesuffix(_TWO_UP)}.pdf"]
            yield from (f"{name}: {fault}" for fault in frame.same_sides(pages, single))
            continue
        kind = edition(base.removesuffix(_HALVES))
        whole = frame.paired(pages) if base.endswith(_HALVES) else pages
        yield from (f"{name}: {fault}" for fault in cards_of(files[name], whole, asked, kind))


def cards_of(file: Finished, pages: Sequence[Page], asked: Asked, kind: Kind) -> Iterator[str]:
    """Compare one edition's pages with what its cards must mean."""
    held, faults = frame.cards_read(pages, asked, kind)
    yield from faults
    yield from symbols_against(file, pages, held, asked, kind)
    yield from frame.serials_against(pages, held, asked, kind)
    yield from cards_against(held, asked, kind)


def cards_against(held: Mapping[str, Flow], asked: Asked, kind: Kind) -> Iterator[str]:
    """Name what the cards do not say as they must: guards, steps, halts, tables."""
    must, warn = musts(), cautions()
    known = _warnings(kind, warn)
    for card, flow in held.items():
        entries = must.get(card, {}).get("must", ())
        yield from (f"card {card}: {fault}" for fault in missing(entries, flow, asked, kind, warn))
        yield from (f"card {card}: {fault}" for fault in tables_against(card, flow, asked, kind))
        yield from (f"card {card}: {fault}" for fault in readings_against(card, flow, asked, kind))
        yield from (f"card {card}: {fault}" for look in _LOOKS.get(card, ()) for fault in look(flow, asked))
        if card == "torque":
            yield from (f"card {card}: {fault}" for fault in torque_against(flow, asked, kind))
        for each in re.finditer(r"\b(WARNING|CAUTION):? (?!a person|the rotor or)", flow.text):
            if not known[each[1]].match(flow.text, each.end()):
                shown = flow.text[each.start() : each.end() + 40]
                yield f'card {card}: "{shown}" is no caution as it is written'


def _warnings(kind: Kind, warn: Mapping[str, Mapping[str, str]]) -> dict[str, re.Pattern[str]]:
    key = "brief" if kind.briefs else "text"
    return {
        signal: re.compile(
            "|".join(words(each[key]).expression for each in warn.values() if each["signal"] == signal)
        )
        for signal in ("WARNING", "CAUTION")
    }


def screens_against(files: Mapping[str, bytes], asked: Asked) -> Iterator[str]:
    """Read twin, text and form and name whatever they do not say as they must."""
    texts = {
        "cards.html": _twin(files["cards.html"].decode()),
        "cards.txt": _plain(files["cards.txt"].decode()),
    }
    for name, text in texts.items():
        kind = screen(name)
        yield from (f"{name}: {fault}" for fault in frame.text_identity(text, asked))
        held = dict(_parted(text, asked))
        yield from (f"{name}: card {card}: it is missing" for card in asked.built if card not in held)
        yield from (f"{name}: {fault}" for fault in cards_against(held, asked, kind))
    form = _twin(files["log-entry.html"].decode())
    yield from (f"log-entry.html: {fault}" for fault in frame.form_identity(form, asked))


def data_against(content: bytes, files: Mapping[str, bytes], asked: Asked, spec: bytes) -> Iterator[str]:
    """Compare the deck's description for programs with specification, numbers and the files beside it."""
    from cardgen.proof.recheck import lies_right

    data = json.loads(content)
    stamp = asked.stamp
    said = {
        "set_id": asked.value("rotor.set_id"),
        "draft": stamp.is_draft,
        "revision": stamp.revision,
        "code": stamp.code or None,
        "use_until": str(asked.value("authority.use_until")),
        "issued": stamp.issued.isoformat() if stamp.issued else None,
        "spec": {"sha256": sha256(spec).hexdigest(), "text": spec.decode("utf-8")},
        "files": {name: sha256(each).hexdigest() for name, each in files.items()},
    }
    yield from (f"deck.json: {key} is not as it must be" for key, right in said.items() if data[key] != right)
    shown = {each["id"]: each for each in data["figures"]}
    for name, number in asked.numbers.items():
        each = shown.get(name)
        if each is None or each["unit"] != number.unit or not lies_right(number, each["number"]):
            yield f"deck.json: figure {name} is missing or not as it must be"
        elif each["number"] not in each["shown"] or number.unit not in each["shown"]:
            yield f"deck.json: figure {name} is shown otherwise"
    if [each["id"] for each in data["cards"]] != list(asked.built):
        yield "deck.json: its cards are not those of this rotor"
    must, warn = musts(), cautions()
    for card in data["cards"]:
        for entry in must.get(card["id"], {}).get("must", ()):
            wanted = [f"{warn[each]['signal']}: {warn[each]['text']}" for each in entry.get("guard", ())]
            if all(asked.holds(each, screen("")) for each in entry.get("when", ())):
                lost = [each for each in wanted if not any(each.endswith(held) for held in card["cautions"])]
                yield from (f"deck.json: card {card['id']}: it lacks the caution {each}" for each in lost)


def _parted(text: str, asked: Asked) -> Iterator[tuple[str, Flow]]:
    """Part a screen or a text into its cards, by the line over each."""
    listed = listed_cards()
    places = []
    for card in asked.built:
        known, at = listed[card], asked.cards.index(card) + 1
        head = words(f"card {at} of {len(asked.cards)}").expression
        if match := re.search(rf"(?i){head}\b.{{0,80}}?{words(known['title']).expression}", text):
            places.append((match.start(), card))
    ends = [*(start for start, _ in places[1:]), len(text)]
    for at, (start, card) in enumerate(places):
        yield card, flow_of(text[start : ends[at]])


class _Words(HTMLParser):
    """Collects the words of a page that a person sees, blocks apart."""

    _SILENT = frozenset({"style", "script", "title", "template"})
    _INLINE = frozenset({"span", "strong", "abbr", "a", "em", "b", "small", "label", "input", "code"})

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: object) -> None:  # noqa: ARG002
        self._silent += tag in self._SILENT
        self.words.append("" if tag in self._INLINE else " ")

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in self._SILENT
        self.words.append("" if tag in self._INLINE else " ")

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.words.append(data)


def _twin(html: str) -> str:
    reader = _Words()
    reader.feed(html)
    return " ".join("".join(reader.words).split())


def _plain(text: str) -> str:
    """Take a text without the lines and signs that stand for boxes, ticks and rules."""
    lines = (re.sub(r"^[*|\s]+|^-+$|^=+$|^\*+$|\[_\]", "", line) for line in text.splitlines())
    return " ".join(" ".join(lines).split())
