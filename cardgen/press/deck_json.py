"""The deck as data: everything a program needs to check or compare it, in one stable JSON text."""

from __future__ import annotations

import json
from collections.abc import Mapping
from fractions import Fraction
from hashlib import sha256
from types import MappingProxyType
from typing import Any

from cardgen import __version__
from cardgen.deck.card import Card, Change, Deck, WriteIn
from cardgen.deck.copied import check_of
from cardgen.deck.write_ins import write_ins
from cardgen.figures.figure import Figure
from cardgen.press.card_facts import facts
from cardgen.press.card_words import words_of
from cardgen.press.plain import plainly
from cardgen.spec.bound import ENDS
from cardgen.spec.problem import Problem
from cardgen.spec.units import UNITS, magnitude

#: Shape of the text; a reader refuses a number it does not know.
SCHEMA = 1


def to_json(deck: Deck, hashes: Mapping[str, str] = MappingProxyType({})) -> str:
    """Write a deck as JSON, keys sorted, cards in the order of work, figures by id.

    ``hashes`` gives the SHA-256 of the files printed beside it, by name. The specification is
    kept as its text, byte for byte as its keeper wrote it.
    """
    stamp = deck.stamp
    shape = {
        "schema": SCHEMA,
        "tool": {"name": "cardgen", "version": __version__},
        "set_id": deck.spec.rotor.set_id,
        "draft": stamp.is_draft,
        "revision": stamp.revision,
        "code": stamp.code or None,
        "issued": stamp.issued.isoformat() if stamp.issued else None,
        "register": stamp.register or None,
        "use_until": deck.spec.authority.use_until.isoformat(),
        "spec": {
            "sha256": sha256(deck.spec.text).hexdigest(),
            "text": deck.spec.text.decode("utf-8"),
        },
        "read_check": check_of(deck),
        "figures": [figure_shape(deck.figures[name]) for name in sorted(deck.figures)],
        "cards": [_card(card) for card in deck.cards],
        "left_out": [{"id": card.id, "title": card.title, "why": card.why} for card in deck.left_out],
        "warnings": [_problem(problem) for problem in deck.warnings],
        "changes": [_change(change) for change in deck.changes],
        "files": dict(hashes),
    }
    return json.dumps(shape, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def figure_shape(figure: Figure) -> dict[str, Any]:
    """Describe a figure: as shown, and exactly, as a fraction of its unit.

    ``value`` is the nearest floating-point number to ``exact`` and only for convenience.
    """
    value = _exact(figure)
    return {
        "id": figure.id,
        "shown": figure.shown,
        "number": figure.parts.number,
        "second": figure.parts.second,
        "value": float(value),
        "exact": str(value),
        "unit": figure.parts.unit,
        "origin": figure.origin.value,
        "reference": figure.reference,
        "formula": figure.formula,
        "inputs": list(figure.inputs),
    }


def _exact(figure: Figure) -> Fraction:
    if figure.parts.unit in UNITS:
        return magnitude(figure.quantity, figure.parts.unit)
    # A count, such as flats of a nut: its quantity is held in the unit that it is shown in.
    return Fraction(figure.quantity.magnitude)


def _card(card: Card) -> dict[str, Any]:
    boxes = write_ins(card.sections)
    words = words_of(card)
    shown = dict.fromkeys((fact.figure, fact.label, fact.row) for fact in facts(card))
    return {
        "id": card.id,
        "title": card.title,
        "phase": card.phase,
        "write_ins": [box_shape(box) for box in boxes],
        "facts": [
            {"figure": figure, "label": label, **({"row": row} if row else {})} for figure, label, row in shown
        ],
        "cautions": list(words.cautions),
        "steps": list(words.steps),
        "words": list(words.words),
    }


def box_shape(box: WriteIn) -> dict[str, Any]:
    """Describe a box: what may stand in it as the card says it, and as what the form and the log judge by."""
    bounds = box.bounds
    return {
        "id": box.id,
        "label": box.label,
        "unit": box.unit,
        "limits": plainly(box.limits),
        "bounds": {end: str(bounds[bound]) for end, bound in ENDS.items() if bound in bounds},
        "choices": list(box.choices),
        "digits": box.digits,
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "figure": change.figure,
        "cards": list(change.cards),
        "where": change.label,
        "old": change.old,
        "new": change.new,
        "percent": change.percent,
        "source": change.reference,
    }


def _problem(problem: Problem) -> dict[str, Any]:
    names = ("file", "line", "column", "key", "rule", "read", "why", "write")
    return {name: getattr(problem, name) for name in names}
