from __future__ import annotations

import json
from hashlib import sha256

from cardgen.deck.card import Card, Section, Steps, Words
from cardgen.press.edition import NAMES, load_edition
from cardgen.press.publish import Printed, publish
from tests.press.paper_deck import assembly_card, deck, step

EDITIONS = tuple(load_edition(name, "iso") for name in NAMES)


def printed() -> Printed:
    made = publish(deck(), EDITIONS)
    assert isinstance(made, Printed)
    return made


def test_every_edition_and_every_screen_file_is_made_with_its_record() -> None:
    made = printed()
    pdfs = {"wall.pdf", "pouch.pdf", "pouch-2up.pdf", "handout.pdf"}
    assert set(made.layouts) == pdfs
    assert set(made.files) == pdfs | {"cards.html", "cards.txt", "deck.json", "log-entry.html"}
    assert all(made.files[name].startswith(b"%PDF-") for name in pdfs)


def test_the_data_file_has_the_hash_of_every_other_file() -> None:
    made = printed()
    hashes = json.loads(made.files["deck.json"])["files"]
    assert hashes == {
        name: sha256(content).hexdigest() for name, content in made.files.items() if name != "deck.json"
    }


def test_an_edition_without_any_card_of_the_deck_is_not_made() -> None:
    made = publish(deck(assembly_card()), EDITIONS)
    assert isinstance(made, Printed)
    assert "wall.pdf" not in made.files
    assert "pouch.pdf" in made.files


def test_nothing_is_made_where_anything_does_not_fit() -> None:
    tall = step(1, Words("Turn the nut a little and look. " * 400))
    bad = Card("torque", "Torque", "bench", (Section("Do", (Steps((tall,)),)),))
    made = publish(deck(assembly_card(), bad), EDITIONS)
    assert not isinstance(made, Printed)
    assert {overflow.edition for overflow in made} == set(NAMES)
