"""The words of the cards keep to the rules of plain instructions.

At most twenty words a sentence: ASD-STE100, as summarised in public guides. A step is said as one would say it
at the bench, in at most four short sentences, and asks for something to be done. No digits in templates: a rule
of this program, so that every number has a source.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from cardgen.deck.library import library
from cardgen.deck.limits import LIMIT_TERMS
from cardgen.deck.listed_cards import listed_cards
from cardgen.deck.markup import VOCABULARY
from tests.deck.wording import FIRST_VERBS, asks, branches, plain, sentences, spoken, templates, tree, words

LONGEST = 20
_SYMBOLS = re.compile(r"[+=<>×÷±≤≥→°%/\\*^~|#@&$€§µ·½¼¾]")
each_template = pytest.mark.parametrize("path", templates(), ids=lambda path: path.name.split(".")[0])


def test_there_are_templates_to_check() -> None:
    assert {path.name.split(".")[0] for path in templates()} >= {"cover", "torque", "track"}


@each_template
def test_no_digit_is_typed_into_a_template(path: Path) -> None:
    text = re.sub(r"\{\{.*?\}\}", "", branches(path.read_text(encoding="utf-8")), flags=re.S)
    text = re.sub(r'(ticks|digits)="\d+"', "", text)
    assert not re.findall(r".{0,30}\d.{0,10}", text)


@each_template
def test_no_word_of_the_specification_is_typed_into_a_template(path: Path) -> None:
    assert "<said" not in path.read_text(encoding="utf-8")
    assert "<value" not in path.read_text(encoding="utf-8")


@each_template
def test_only_elements_of_the_markup_are_used(path: Path) -> None:
    assert {element.tag for element in tree(path).iter()} <= set(VOCABULARY)


@each_template
def test_no_sentence_is_longer_than_twenty_words(path: Path) -> None:
    long = [part for _, text in spoken(path) for part in sentences(text) if words(part) > LONGEST]
    assert not long


@each_template
def test_every_step_asks_for_something_to_be_done(path: Path) -> None:
    assert not [text for tag, text in spoken(path) if tag == "step" and not asks(text)]


@each_template
def test_every_step_has_its_reason_for_those_who_read_before_the_day(path: Path) -> None:
    steps = [element for element in tree(path).iter() if element.tag == "step"]
    assert not [element.text for element in steps if element.find("why") is None]


@each_template
def test_no_symbol_stands_on_a_card(path: Path) -> None:
    assert not [text for _, text in spoken(path) if _SYMBOLS.search(text)]


@each_template
def test_every_sentence_ends_with_a_stop(path: Path) -> None:
    whole = [text for tag, text in spoken(path) if tag in {"step", "why", "para", "stop", "qr"}]
    assert not [text for text in whole if text[-1] not in ".!?:" and not text.endswith("this")]


def test_every_caution_and_term_that_is_used_exists_and_every_one_is_used() -> None:
    used: dict[str, set[str]] = {"caution": set(), "term": set()}
    for path in templates():
        for element in tree(path).iter():
            if element.tag in used:
                used[element.tag].add(element.attrib["use"])
    assert used["caution"] == set(library().cautions)
    assert used["term"] == set(library().terms) - LIMIT_TERMS
    assert set(library().terms) >= LIMIT_TERMS


def test_every_template_is_listed_and_every_listed_card_has_a_template() -> None:
    assert {path.name.split(".")[0] for path in templates()} == set(listed_cards())


@pytest.mark.parametrize("name", listed_cards())
def test_what_is_listed_of_a_card_is_short_and_has_no_digit(name: str) -> None:
    card = listed_cards()[name]
    texts = [card.title, card.phase, card.stays or "", card.left_out.because if card.left_out else ""]
    assert all(words(part) <= LONGEST for text in texts for part in sentences(text))
    assert not re.search(r"\d", "".join(texts))


@pytest.mark.parametrize("id_", sorted(library().cautions))
def test_a_caution_is_short_and_has_no_digit_or_symbol(id_: str) -> None:
    text = library().cautions[id_].text
    assert all(words(part) <= LONGEST for part in sentences(text))
    assert not _SYMBOLS.search(text)
    assert not re.search(r"\d", text)
    assert text.endswith(".")


@pytest.mark.parametrize("id_", sorted(library().cautions))
def test_a_caution_hides_no_action(id_: str) -> None:
    """An instruction belongs to a step with a box to tick, not into a caution that guards it."""
    first = [part.split()[0] for part in sentences(library().cautions[id_].text)]
    assert not [word for word in first if word in FIRST_VERBS]


@pytest.mark.parametrize("id_", sorted(library().terms))
def test_a_term_is_short_and_has_no_digit(id_: str) -> None:
    text = library().terms[id_]
    assert all(words(part) <= LONGEST for part in sentences(text))
    assert not re.search(r"\d", text)


def test_the_lint_sees_a_typed_digit_and_a_long_sentence(tmp_path: Path) -> None:
    """The checks above can fail: a bad template is seen by the same reader."""
    bad = tmp_path / "bad.xml.j2"
    long = " ".join(["word"] * (LONGEST + 1))
    bad.write_text(f'<card id="x" title="x" phase="x"><section title="x"><step>{long}.</step></section></card>')
    assert [words(part) > LONGEST for _, text in spoken(bad) for part in sentences(text)] == [True]
    assert plain("{% if a %}{{ b }}{% endif %}") == "this"
