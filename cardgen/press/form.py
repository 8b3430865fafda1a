"""The log-entry form of one deck: one page that works from a file, without a network.

Its boxes are the deck's own, card by card. It drafts an entry, which a person prints and signs;
the page itself signs nothing and sends nothing.
"""

from __future__ import annotations

import json
from typing import Any

from markupsafe import Markup

from cardgen.deck.card import Deck, WriteIn
from cardgen.deck.write_ins import write_ins
from cardgen.figures.care_matrix import CHANGES
from cardgen.press.deck_json import box_shape
from cardgen.press.form_records import groups_for
from cardgen.press.form_sums import sums
from cardgen.press.plain import plainly
from cardgen.press.screen_page import environment, screen_folder, source_hash
from cardgen.spec.typed_quantity import reading_of

#: Shape of an entry; whoever reads one refuses a number it does not know.
SCHEMA = 1


def to_form(deck: Deck) -> str:
    """Write the log-entry form of a deck as one self-contained page."""
    folder = screen_folder()
    style = (folder / "form.css").read_text("utf-8")
    script = "".join((folder / name).read_text("utf-8") for name in ("sums.js", "form.js"))
    cards = [(card, write_ins(card.sections)) for card in deck.cards]
    spec, constants = deck.spec, sums(deck.spec)
    return (
        environment()
        .get_template("form.html.j2")
        .render(
            deck=deck,
            spec=spec,
            stamp=deck.stamp,
            diameter=reading_of(spec, ("rotor", "diameter")),
            cards=[(card, boxes) for card, boxes in cards if boxes],
            groups=groups_for(spec.authority.jurisdiction, spec.authority.record or ()),
            documents="; ".join(f"{one.id}, {one.title}, revision {one.revision}" for one in spec.documents),
            changes=[change.what for change in CHANGES],
            limits=lambda box: plainly(box.limits),
            sums=constants,
            facts=Markup(_as_script_data(_facts(deck, {card.id: boxes for card, boxes in cards}, constants))),
            style=Markup(style),
            style_hash=source_hash(style),
            script=Markup(script),
            script_hash=source_hash(script),
        )
    )


def _facts(deck: Deck, boxes: dict[str, tuple[WriteIn, ...]], constants: dict[str, Any]) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "set": str(deck.spec.rotor.set_id),
        "revision": deck.stamp.revision,
        "code": deck.stamp.code or "DRAFT",
        "cards": {card.id: card.title for card in deck.cards},
        "bounds": {
            f"{card}.{box.id}": shape["bounds"]
            for card, held in boxes.items()
            for box in held
            if (shape := box_shape(box))["bounds"]
        },
        "sums": constants,
    }


def _as_script_data(value: dict[str, Any]) -> str:
    # Inside a script element only "<" could end the data; JSON may write it as an escape.
    return json.dumps(value, ensure_ascii=False, sort_keys=True).replace("<", "\\u003c")
