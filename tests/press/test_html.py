from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from justhtml import JustHTML

from cardgen.deck.card import Card, Items, Paragraph, Said, Section, Words
from cardgen.press.card_facts import facts
from cardgen.press.html import to_html
from cardgen.press.screen_page import source_hash
from tests.press.reading import attribute, every, facts_of_page, only
from tests.press.samples import SAMPLES, sample
from tests.press.screen_deck import CODE, SPEC, deck, draft, figures, spec, track

HOSTILE = [
    "<script>document.title = 'x'</script>",
    '" onload="x',
    "{{ 7 * 7 }} {% raw %}",
    "a & b &amp; c",
    "</style><style>*{display:none}",
    "'--><!-- ]]>",
    "W" * 120,
]


@pytest.fixture(scope="module")
def html() -> str:
    return to_html(deck())


@pytest.fixture(scope="module")
def page(html: str) -> JustHTML:
    return JustHTML(html, strict=True, sanitize=False)


def test_the_page_says_the_same_facts_as_the_cards(html: str) -> None:
    shown = deck()
    assert facts_of_page(html) == {card.id: list(facts(card)) for card in shown.cards}
    assert sum(len(facts(card)) for card in shown.cards) > 15


def test_the_reading_notices_one_changed_digit(html: str) -> None:
    altered = html.replace(">190</strong>", ">196</strong>", 1)
    assert altered != html
    assert facts_of_page(altered) != facts_of_page(html)


def test_the_page_has_a_language_a_title_one_first_heading_and_landmarks(page: JustHTML) -> None:
    assert attribute(only(page, "html"), "lang") == "en"
    assert "TX-19" in only(page, "head title").to_text()
    assert only(page, "h1").to_text() == "TX-19"
    for landmark in ("header", "nav", "main", "footer"):
        only(page, landmark)
    assert [only(card, "h2").to_text() for card in every(page, "article")] == [
        "Torque, strap bolts",
        "Track to adjustment",
    ]


def test_every_link_inside_the_page_leads_somewhere(page: JustHTML) -> None:
    ids = [attribute(element, "id") for element in every(page, "[id]")]
    assert len(ids) == len(set(ids))
    inside = [attribute(a, "href")[1:] for a in every(page, "a") if attribute(a, "href").startswith("#")]
    assert inside and set(inside) <= set(ids)
    assert attribute(every(page, "a")[0], "href") == "#cards"


def test_steps_keep_their_numbers_over_interruptions(page: JustHTML) -> None:
    lists = every(only(page, "#track"), "ol.steps")
    assert [attribute(ol, "start") for ol in lists] == ["1", "3"]
    assert [n.to_text() for n in every(only(page, "#track"), ".number")] == ["1", "2", "3"]


def test_a_caution_stands_in_the_box_of_its_step_and_before_its_words(page: JustHTML) -> None:
    second = every(every(page, "#track ol.steps")[0], "li")[1]
    words = second.to_text()
    assert words.index("NOTE") < words.index("WARNING") < words.index("Make the move")
    assert [signal.to_text() for signal in every(second, ".signal")] == ["NOTE", "WARNING"]


def test_a_second_person_is_asked_for_in_words(page: JustHTML) -> None:
    second = every(every(page, "#track ol.steps")[0], "li")[1]
    assert [label.to_text() for label in every(second, "label")] == ["Step 2 done", "Step 2 second person"]


def test_tables_have_captions_and_scoped_heads(page: JustHTML) -> None:
    table = only(page, "table")
    assert only(table, "caption").to_text() == "Adjustment on one blade"
    assert all(attribute(head, "scope") in {"col", "row"} for head in every(table, "th"))
    assert len(every(table, "thead th")) == 4
    stop = only(table, "tr.stop")
    assert attribute(only(stop, "th"), "colspan") == "4"


def test_a_drawing_is_described(page: JustHTML) -> None:
    drawing = only(page, "figure svg")
    described = only(page, f"#{attribute(drawing, 'aria-describedby')}")
    assert described.to_text().startswith("Looking outboard along blade A")


def test_the_code_and_the_address_of_the_form_are_text(page: JustHTML) -> None:
    address = f"https://log.example.org/tx-19/#c={CODE}&k=track"
    assert [a.to_text() for a in every(page, ".scan a")] == [address]
    assert CODE in only(page, ".identity").to_text()


def test_a_draft_says_so_on_top_on_every_card_and_in_place_of_the_code() -> None:
    page = JustHTML(to_html(draft()), strict=True, sanitize=False)
    assert "DRAFT, NOT ISSUED" in only(page, ".draft").to_text()
    assert len(every(page, "article .not-issued")) == 2
    assert "DRAFT" in only(page, ".identity").to_text()


def test_an_issued_deck_says_nothing_of_drafts(html: str) -> None:
    assert "NOT ISSUED" not in html and "DRAFT" not in html


def test_the_policy_allows_nothing_but_its_own_style_and_type(html: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', html)
    style = re.search(r"<style>(.*?)</style>", html, re.DOTALL)
    assert policy and style
    assert "default-src 'none'" in policy[1]
    assert f"style-src '{source_hash(style[1])}'" in policy[1].replace("&#39;", "'")
    assert "script" not in policy[1] and "<script" not in html
    assert 'style="' not in html


def test_the_page_refers_to_nothing_outside_itself(html: str) -> None:
    assert not re.search(r"(?:src|href)=\"(?!#|https://log\.example\.org/)", html)
    assert not re.search(r"url\((?!data:)", html)
    assert "@import" not in html


@pytest.mark.parametrize("words", HOSTILE)
def test_words_from_the_specification_are_shown_literally(words: str) -> None:
    blocks = (Paragraph((Said(words, "track.to_lower_a"), Words("."))), Items(((Said(words, strong=True),),)))
    made = figures(spec())
    hostile = track(made, (Section(words, blocks),))
    page = JustHTML(to_html(replace(deck(), cards=(hostile,))), strict=True, sanitize=False)
    assert words + "." in [p.to_text() for p in every(page, "article p")]
    assert words in [h.to_text() for h in every(page, "h3")]
    assert words in [b.to_text() for b in every(page, "li strong")]
    assert not every(page, "script") and len(every(page, "style")) == 1


def test_serials_and_marks_are_shown_literally() -> None:
    text = SPEC.replace('serial_a = "7001"', 'serial_a = "<b>&amp;</b>"')
    page = JustHTML(to_html(deck(text=text)), strict=True, sanitize=False)
    assert "<b>&amp;</b>" in [dd.to_text() for dd in every(page, ".identity dd")]


def test_the_same_deck_gives_the_same_page() -> None:
    assert to_html(deck()) == to_html(deck())


def test_a_card_without_sections_titles_or_boxes_is_a_page_too() -> None:
    plain = Card("care", "Care", "After", (Section("", (Paragraph((Words("Wash with clean water."),)),)),))
    page = JustHTML(
        to_html(replace(deck(), cards=(plain,), left_out=(), warnings=())), strict=True, sanitize=False
    )
    assert "Wash with clean water." in only(page, "#care").to_text()
    assert not every(page, "#doubts")


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_whole_deck_is_a_strict_page_with_all_its_facts(path: Path) -> None:
    shown = sample(path)
    html = to_html(shown)
    assert facts_of_page(html) == {card.id: list(facts(card)) for card in shown.cards}
    ids = [attribute(element, "id") for element in every(JustHTML(html, sanitize=False), "[id]")]
    assert len(ids) == len(set(ids))
    assert len(shown.cards) > 5


def test_there_are_samples_to_try() -> None:
    assert len(SAMPLES) >= 2
