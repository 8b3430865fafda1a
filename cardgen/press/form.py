"""The log-entry form of one deck: one page that works from a file, without a network.

Its boxes are the deck's own, card by card; a track run is asked for in a block of its own. It drafts an
entry, which a person prints and signs; the page itself signs nothing and sends nothing.
"""

from __future__ import annotations

import json
from typing import Any

from markupsafe import Markup

from cardgen.deck.card import Card, Deck, WriteIn
from cardgen.deck.write_ins import write_ins
from cardgen.figures.care_matrix import ADJUSTED, CHANGES, TOUCHED_BY_CARD
from cardgen.press.deck_json import box_shape
from cardgen.press.form_records import groups_for
from cardgen.press.form_runs import runs
from cardgen.press.form_sums import sums
from cardgen.press.plain import plainly
from cardgen.press.screen_page import environment, screen_folder, source_hash
from cardgen.spec.typed_quantity import reading_of

#: Shape of an entry; whoever reads one refuses a number it does not know.
SCHEMA = 1
_SCRIPTS = ("sums.js", "runs.js", "run_blocks.js", "form.js")
#: Cards whose boxes are asked for run by run, and how those begin: what was read, what was changed.
_RUN_CARDS = frozenset({"track", "second-reading"})
_READ = ("split", "high", "read-by", "third-", "run-")
_CHANGED = ("dial-before", "dial-after", "flats-turned", "total", "lowered")
#: The paper slip asks for the record lines again.
_SLIP = "log-slip"


def to_form(deck: Deck) -> str:
    """Write the log-entry form of a deck as one self-contained page."""
    folder = screen_folder()
    style = (folder / "form.css").read_text("utf-8")
    script = "".join((folder / name).read_text("utf-8") for name in _SCRIPTS)
    cards = [(card, boxes_asked(card)) for card in deck.cards]
    spec = deck.spec
    facts = _facts(deck, {card.id: boxes for card, boxes in cards})
    return (
        environment()
        .get_template("form.html.j2")
        .render(
            deck=deck,
            spec=spec,
            stamp=deck.stamp,
            diameter=reading_of(spec, ("rotor", "diameter")),
            cards=[(card, boxes) for card, boxes in cards if boxes or card.id == "track"],
            groups=groups_for(spec.authority.jurisdiction, spec.authority.record or ()),
            documents="; ".join(f"{one.id}, {one.title}, revision {one.revision}" for one in spec.documents),
            # The runs tell by themselves that an adjuster was moved.
            changes=[change.what for change in CHANGES if change.what != ADJUSTED],
            hint=_hint,
            sums=facts["sums"],
            runs=facts["runs"],
            facts=Markup(_as_script_data(facts)),
            style=Markup(style),
            style_hash=source_hash(style),
            script=Markup(script),
            script_hash=source_hash(script),
        )
    )


def boxes_asked(card: Card) -> tuple[WriteIn, ...]:
    """Give the boxes of a card that the form has as they are; the others are asked for once, elsewhere."""
    if card.id == _SLIP:
        return ()
    boxes = write_ins(card.sections)
    return tuple(box for box in boxes if card.id not in _RUN_CARDS or not box.id.startswith(_READ + _CHANGED))


def _hint(box: WriteIn) -> str:
    """Say what stands beside a box on its card: its limits, or a word of how it is filled in."""
    words = plainly(box.limits)
    return f"Limits: {words}" if box_shape(box)["bounds"] else words[:1].upper() + words[1:]


def _facts(deck: Deck, boxes: dict[str, tuple[WriteIn, ...]]) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "set": str(deck.spec.rotor.set_id),
        "revision": deck.stamp.revision,
        "code": deck.stamp.code or "DRAFT",
        "until": deck.spec.authority.use_until.isoformat(),
        "cards": {card.id: card.title for card in deck.cards},
        "bounds": {
            f"{card}.{box.id}": shape["bounds"]
            for card, held in boxes.items()
            for box in held
            if (shape := box_shape(box))["bounds"]
        },
        "touching": sorted(TOUCHED_BY_CARD),
        "sums": sums(deck.spec),
        "runs": runs(deck.spec),
    }


def _as_script_data(value: dict[str, Any]) -> str:
    # Inside a script element only "<" could end the data; JSON may write it as an escape.
    return json.dumps(value, ensure_ascii=False, sort_keys=True).replace("<", "\\u003c")
