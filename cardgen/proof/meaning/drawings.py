"""What drawings say in words and places: which bolt is where, and what is done to which blade."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from cardgen.proof.meaning.asked import Asked, is_unmapped
from cardgen.proof.meaning.pages import Flow
from cardgen.proof.meaning.phrases import found, said, typed, words

#: How a sentence says a move that a drawing says in one word.
_VERBS = {"shorten": "make shorter:", "lengthen": "make longer:"}


def bolts_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Name a bolt whose number in the order of tightening does not stand with its place on the strap."""
    order = asked.value("tightening.order") or []
    for bolt in asked.spec["fasteners"]:
        if bolt["where"] != "strap" or bolt["fitted_by"] != "you":
            continue
        for station, place in zip(bolt["stations"], bolt.get("places", ()), strict=False):
            if station not in order:
                continue
            number = order.index(station) + 1
            name = rf"(?:{typed(bolt['name']).expression} ?, ?)?"
            if not re.search(rf"\b{number}\.? ?{name}{typed(place).expression}", flow.text):
                yield f'bolt {number} does not stand at "{place}"'


def makers_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Say that the maker's own bolts that are on no map are not all named where no hand may go."""
    names = [bolt["name"] for bolt in asked.spec["fasteners"] if is_unmapped(bolt)]
    together = words("Leave these alone:")
    for place, name in enumerate(names):
        together = together.then(typed(name), " ?; ?" if place else " ?")
    if names and not re.search(rf"{together.expression} ?\.", flow.text):
        yield f"the maker's own bolts are not named as such: {'; '.join(names)}"


def moves_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Name a blade to which something else is done than lowers it."""
    if "adjusts" not in asked.facts or not any(run.page for run in flow.runs):
        return  # a screen says a drawing in sentences
    for blade in ("A", "B"):
        # A drawing says "A high" over what is done; words say "On A:".
        drawn = re.search(rf"\b{blade} high\b.*?(?=\b[AB] high\b|STOP|All of it|Which blade|$)", flow.text)
        part = drawn or re.search(rf"(?i)\bon {blade} ?: .*?(?=\bon [AB] ?:|\. |$)", flow.text)
        if drawn and not _drawn_high(flow, drawn.span(), blade):
            yield f"{blade} high: it is not drawn high"
        moves = asked.value(f"track.to_lower.{blade.lower()}")
        own = asked.value(f"track.said.lower_{blade.lower()}")
        for verb, mark in moves.items() if isinstance(moves, dict) else ():
            ways = [words(_VERBS.get(str(verb), str(verb))).then(typed(mark)), words(verb).then(typed(mark))]
            ways += [typed(own)] if own else []
            if part is None or not any(re.search(way.expression, part[0]) for way in ways):
                yield f"{blade} high: what lowers blade {blade} does not stand there"


def _drawn_high(flow: Flow, part: tuple[int, int], blade: str) -> bool:
    """Whether the letter of the high blade stands above the other one in a drawing."""
    heights = {run.text: run.box.y1 for run in reversed(flow.between(*part)) if run.text in {"A", "B"}}
    other = "B" if blade == "A" else "A"
    return len(heights) < 2 or heights[blade] > heights[other]


def locks_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Name a wrench whose setting for the adjuster's lock or the tip screw is missing or another."""
    for wrench in asked.value("wrenches") or ():
        name = wrench["id"]
        low, high = (f"lock.adjuster.{name}.{end}" for end in ("low", "high"))
        # A preset wrench has one setting, and is said in other words.
        if low in asked.numbers and "preset" not in wrench:
            pattern = said(f"{_fitted(wrench)} at least {{{low}}} , at most {{{high}}}", asked)
            if pattern and found(pattern, flow)[0] is None:
                yield f"wrench {name}: its setting for the lock is not there"


def screws_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Name a wrench whose setting for the tip screw is missing or another."""
    for wrench in asked.value("wrenches") or ():
        name = wrench["id"]
        if f"lock.tip.{name}" in asked.numbers:
            pattern = said(f"{_fitted(wrench)} at {{lock.tip.{name}}}", asked)
            if pattern and found(pattern, flow)[0] is None:
                yield f"Tighten each screw: the setting of wrench {name} is not there"


def _fitted(wrench: Mapping[str, Any]) -> str:
    """Name a wrench, and its extension where its numbers count on it."""
    return f"{wrench['id']} with its extension" if "extension" in wrench else str(wrench["id"])
