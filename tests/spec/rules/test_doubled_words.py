"""Words that a card sets into its own sentence. Common English, no source: no word stands twice in a row."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import judged

AFTER_THE = ("fasteners.0.name", "track.dial_touches", "track.dial_base", "reflectors.view_from")


@pytest.mark.parametrize("key", AFTER_THE)
@pytest.mark.parametrize("words", ["the seat", "The seat", "a seat", "an end"])
def test_an_article_is_refused_where_the_card_writes_one(key: str, words: str) -> None:
    found = judged({key: words})["word-doubled"]
    article = words.split()[0]
    assert found.key.endswith(key.rpartition(".")[2])
    assert f'"{article}" is one word too many' in found.why
    assert found.write == f'the same words without "{article}" at the beginning'


# A letter may name a blade, and a longer word is another word.
@pytest.mark.parametrize("key", AFTER_THE)
@pytest.mark.parametrize("words", ["seat by the mast", "A side seat", "thermal block", "anchor plate"])
def test_other_words_stand_as_they_are(key: str, words: str) -> None:
    assert "word-doubled" not in judged({key: words})


@pytest.mark.parametrize(
    ("contact", "doubled"),
    [
        ("both sides touch", True),
        ("both sides touch.", True),
        ("both sides", False),
        ("faces that touch A", False),
    ],
)
def test_what_touches_is_named_without_saying_so(contact: str, doubled: bool) -> None:
    changes = {"teeter.thrust": "adjustable", "teeter.play_max": None, "teeter.contact": contact}
    assert ("word-doubled" in judged(changes)) is doubled
