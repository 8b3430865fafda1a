"""What drawings say in words and places: which bolt is where, and what is done to which blade."""

from __future__ import annotations

import re
from collections.abc import Iterator

from cardgen.proof.meaning.asked import Asked
from cardgen.proof.meaning.pages import Flow
from cardgen.proof.meaning.phrases import said, typed, words


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


def moves_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Name a blade to which something else is done than lowers it."""
    if "adjusts" not in asked.facts:
        return
    for blade in ("A", "B"):
        # A drawing says "A high" over what is done; words say "On A:".
        found = re.search(rf"\b{blade} high\b.*?(?=\b[AB] high\b|STOP|All of it|$)", flow.text)
        part = found or re.search(rf"(?i)\bon {blade} ?: .*?(?=\bon [AB] ?:|\. )", flow.text)
        own = asked.value(f"track.said.lower_{blade.lower()}")
        moves = asked.value(f"track.to_lower.{blade.lower()}")
        if not isinstance(moves, dict):
            continue
        wanted = [typed(own)] if own else [words(verb).then(typed(mark)) for verb, mark in moves.items()]
        for each in wanted:
            if part is None or not re.search(each.expression, part[0]):
                yield f"{blade} high: what lowers blade {blade} does not stand there"


def locks_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Name a wrench whose setting for the adjuster's lock or the tip screw is missing or another."""
    from cardgen.proof.meaning.phrases import found

    for wrench in asked.value("wrenches") or ():
        name = wrench["id"]
        low, high = (f"lock.adjuster.{name}.{end}" for end in ("low", "high"))
        if low in asked.numbers:
            pattern = said(f"{name} at least {{{low}}} , at most {{{high}}}", asked)
            if pattern and found(pattern, flow)[0] is None:
                yield f"wrench {name}: its setting for the lock is not there"


def screws_against(flow: Flow, asked: Asked) -> Iterator[str]:
    """Name a wrench whose setting for the tip screw is missing or another."""
    from cardgen.proof.meaning.phrases import found

    names = [wrench["id"] for wrench in asked.value("wrenches") or ()]
    named = [name for name in names if f"lock.tip.{name}" in asked.numbers]
    for name in named:
        pattern = said(f"{name} at {{lock.tip.{name}}}", asked)
        if pattern and found(pattern, flow)[0] is None:
            yield f"Tighten each screw: the setting of wrench {name} is not there"
