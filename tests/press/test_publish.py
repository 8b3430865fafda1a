from __future__ import annotations

import json
from hashlib import sha256

from cardgen.deck.card import Card, Section, Steps, Words
from cardgen.press.edition import NAMES, load_edition
from cardgen.press.publish import Printed, print_edition, screens, with_data
from tests.press.paper_deck import assembly_card, deck, step

EDITIONS = tuple(load_edition(name, "iso") for name in NAMES)


def test_every_edition_is_printed_with_its_record_and_every_screen_file_is_made() -> None:
    made = [print_edition(deck(), edition) for edition in EDITIONS]
    papers = [each for each in made if isinstance(each, Printed)]
    assert [set(paper.layouts) for paper in papers] == [
        {"handout.pdf"},
        {"large.pdf"},
        {"pouch.pdf", "pouch-2up.pdf"},
        {"wall.pdf", "wall-halves.pdf"},
    ]
    for paper in papers:
        assert set(paper.files) == set(paper.layouts)
        assert all(content.startswith(b"%PDF-") for content in paper.files.values())
    assert set(screens(deck())) == {"cards.html", "cards.txt", "log-entry.html"}


def test_the_data_file_has_the_hash_of_every_other_file() -> None:
    files = with_data({"wall.pdf": b"wall", "cards.txt": b"text"}, deck())
    hashes = json.loads(files["deck.json"])["files"]
    assert hashes == {name: sha256(files[name]).hexdigest() for name in ("cards.txt", "wall.pdf")}


def test_an_edition_without_any_card_of_the_deck_is_not_made() -> None:
    assert print_edition(deck(assembly_card()), load_edition("wall", "iso")) == Printed({}, {})


def test_nothing_of_an_edition_is_made_where_anything_does_not_fit() -> None:
    tall = step(1, Words("Turn the nut a little and look. " * 400))
    bad = Card("torque", "Torque", "bench", (Section("Do", (Steps((tall,)),)),))
    for edition in EDITIONS:
        made = print_edition(deck(assembly_card(), bad), edition)
        assert not isinstance(made, Printed)
        assert {overflow.edition for overflow in made} == {edition.name}
