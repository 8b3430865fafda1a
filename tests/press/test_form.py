from __future__ import annotations

import json
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from justhtml import Element, JustHTML

from cardgen.deck.card import Paragraph, Said, Section, Value, Words, WriteIn, WriteIns
from cardgen.deck.write_ins import write_ins
from cardgen.press.deck_json import box_shape
from cardgen.press.form import to_form
from cardgen.press.form_runs import runs
from cardgen.press.form_sums import sums
from cardgen.press.screen_page import source_hash
from tests.figures.specs import spec_of, track_change, turnbuckles
from tests.press.reading import attribute, every, only
from tests.press.samples import SAMPLES, sample
from tests.press.screen_deck import CODE, SPEC, deck, draft, figures, spec, torque, track

UNADJUSTED = '[track]\nmethod = "none"\nsource = "BOOK-1 p.11"\n[log]'
#: What a run's block asks in the place of these boxes of the track cards, and the record lines of the slip.
ASKED_ONCE = re.compile(
    r"(track|second-reading)\.(run-.*|third-.*|split.*|high-.*|read-by|dial-.*|flats-turned|total|lowered)|log-slip\..*",
    re.ASCII,
)
JURISDICTIONS = ["us-amateur-built", "uk-permit", "ca-amateur-built", "au", "other"]


def parsed(html: str) -> JustHTML:
    return JustHTML(html, strict=True, sanitize=False)


def boxes_in(page: JustHTML) -> list[Element]:
    """The fields of the cards, without those of the runs."""
    fields = every(page, "details [data-name]")
    return [field for field in fields if not re.match(r"run-\d", attribute(field, "data-name"))]


@pytest.fixture(scope="module")
def html() -> str:
    return to_form(deck())


def test_the_form_has_the_boxes_of_the_deck_in_its_order(html: str) -> None:
    fields = boxes_in(parsed(html))
    assert [(attribute(f, "data-name"), (f.attrs or {}).get("data-unit") or "") for f in fields] == [
        (f"{card.id}.{box.id}", box.unit) for card in deck().cards for box in write_ins(card.sections)
    ]


def test_every_field_has_its_own_label_and_its_limits_as_the_card_says_them(html: str) -> None:
    page = parsed(html)
    labels = {attribute(label, "for"): label.to_text() for label in every(page, "label[for]")}
    ticks = every(page, "label.tick")
    assert ticks and all(tick.to_text().strip() for tick in ticks)
    fields = every(page, "input[id]") + every(page, "textarea") + every(page, "select")
    assert all(labels[attribute(field, "id")].strip() for field in fields)
    assert only(page, "#box-track-gap-hint").to_text() == "Limits: at most 2 in (50.8 mm) M"


def test_the_policy_allows_this_script_and_this_style_and_nothing_else(html: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', html)
    style = re.search(r"<style>(.*?)</style>", html, re.DOTALL)
    script = re.search(r"<script>(.*?)</script>", html, re.DOTALL)
    assert policy and style and script
    said = policy[1].replace("&#39;", "'")
    assert said.split("; ")[:3] == [
        "default-src 'none'",
        f"script-src '{source_hash(script[1])}'",
        f"style-src '{source_hash(style[1])}'",
    ]
    assert "form-action 'none'" in said and "base-uri 'none'" in said


def test_the_page_is_one_small_file_that_names_no_other(html: str) -> None:
    assert len(html.encode()) <= 100 * 1024
    assert not re.search(r'\b(?:src|href|action)="', html)
    assert not re.search(r"url\(|@import|fetch\(|XMLHttpRequest|sendBeacon|WebSocket|import\(", html)


def test_a_draft_says_so() -> None:
    page = parsed(to_form(draft()))
    assert "NOT ISSUED" in only(page, "header").to_text()
    assert json.loads(only(page, "#deck").to_text())["code"] == "DRAFT"


@pytest.mark.parametrize(
    "words", ["</script><script>alert(1)</script>", '"><b>', "{{ 7*7 }}", "<!--<script>", "a & b"]
)
def test_words_of_the_specification_stay_words(words: str) -> None:
    box = WriteIn("odd", words, "in", (Said(words),))
    made = figures(spec())
    hostile = replace(track(made, (Section("x", (WriteIns((box,)), Paragraph((Said(words),)))),)), title=words)
    page = parsed(to_form(replace(deck(), cards=(hostile,))))
    assert len(every(page, "script")) == 2
    assert words in [label.to_text() for label in every(page, "label")]
    assert json.loads(only(page, "#deck").to_text())["cards"]["track"] == words


@pytest.mark.parametrize("jurisdiction", JURISDICTIONS)
def test_every_jurisdiction_has_lines_to_sign_and_names_who_may(jurisdiction: str) -> None:
    text = SPEC.replace('"us-amateur-built"', f'"{jurisdiction}"')
    page = parsed(to_form(deck(text=text)))
    ink = only(page, ".ink")
    assert "a person entitled by the rule" in ink.to_text()
    assert len(every(ink, "h3")) == 3
    assert all("Signature" in names.to_text() and "Date" in names.to_text() for names in every(ink, "ul"))


def test_with_local_rules_the_form_asks_for_their_lines() -> None:
    lines = ["date & <signature>", "what was done, by which book"]
    stated = f'"other"\nrecord = {json.dumps(lines)}'
    page = parsed(to_form(deck(text=SPEC.replace('"us-amateur-built"', stated))))
    assert [only(page, f"[for=record-asked_{at}]").to_text() for at in (1, 2)] == lines
    assert not every(page, "[for=record-asked_3]")
    assert "What the local rules ask" not in to_form(deck())


def test_the_form_claims_no_compliance() -> None:
    for jurisdiction in JURISDICTIONS:
        html = to_form(deck(text=SPEC.replace('"us-amateur-built"', f'"{jurisdiction}"')))
        assert not re.search(r"compl(?:y|ies|iance)|\bCFR\b|\bCAP\b|airworth", html, re.IGNORECASE)


def test_nobody_is_named_before_a_hand_writes_the_name(html: str) -> None:
    labels = " ".join(label.to_text() for label in every(parsed(html), "label")).lower()
    assert not re.search(r"\bname\b|licen[cs]e|phone|e-?mail|address", labels)


def test_a_box_is_bound_by_the_figures_among_its_limits_whatever_words_say_them() -> None:
    made = figures(spec())
    low, high = Value(made["fasteners[1].torque_min"]), Value(made["fasteners[1].torque_max"])
    box = WriteIn("t", "Torque", "in·lbf", (Words("no less than "), low, Words(" and no more than "), high))
    assert box_shape(box)["bounds"] == {"least": "160", "most": "190"}
    # 12 in·lbf are one ft·lbf.
    assert box_shape(replace(box, unit="ft·lbf"))["bounds"] == {"least": "40/3", "most": "95/6"}
    assert box_shape(replace(box, limits=(high,)))["bounds"] == {"most": "190"}
    assert box_shape(replace(box, limits=(Words("at most what the maker says"),)))["bounds"] == {}


def test_a_box_that_takes_two_answers_offers_just_these(html: str) -> None:
    said = replace(
        deck().cards[-1], sections=(Section("", (WriteIns((WriteIn("b", "Way", "", (Words("A or B"),)),)),)),)
    )
    page = parsed(to_form(replace(deck(), cards=(said,))))
    assert not every(page, f"#box-{said.id}-b option")
    options = every(only(parsed(html), "#box-track-side"), "option")
    assert [option.to_text() for option in options] == ["", "A", "B"]


def test_a_sum_is_offered_only_where_its_card_and_its_constants_are() -> None:
    assert [attribute(r, "id") for r in every(parsed(to_form(deck())), ".sum .result")] == ["sum-torque"]
    bare = replace(deck(), cards=(torque(figures(spec())),))
    assert [attribute(r, "id") for r in every(parsed(to_form(bare)), ".result")] == ["sum-torque"]
    unadjusted = re.sub(r"\[track\].*?\[log\]", UNADJUSTED, SPEC, flags=re.DOTALL)
    assert sums(spec(unadjusted)).keys() == sums(spec(SPEC)).keys() == {"torque", "balance"}
    # Without a rule a run is read all the same, and nothing is changed after it.
    read = parsed(to_form(replace(deck(), spec=spec(unadjusted))))
    assert every(read, "#run-1-split") and not every(read, "#run-1-changed") and not every(read, "#run-0-total")


def test_a_turnbuckle_is_told_by_its_dial_alone_and_by_flats_only_where_the_rule_counts_them() -> None:
    """A flat of a part with two threads is no length, so a first move in flats is told of one thread alone."""
    assert runs(spec_of())["table"]["rows"][0]["flats"] is not None
    by_dial = runs(spec_of(*turnbuckles()))["table"]
    assert by_dial["rows"][0]["flats"] is None and by_dial["rate"] == "30"
    in_flats = track_change(set_by='"flats"', max_total="", max_total_reads="")
    counted = runs(spec_of(("30 thou/in", "4 flats/in"), *in_flats, *turnbuckles()))["table"]
    # Four flats for each inch of total split, by the rule itself: one flat at a quarter inch.
    assert (counted["unit"], counted["rate"], counted["rows"][0]["read"]) == ("flats", "4", "1.0")


@pytest.mark.parametrize(("hole", "grams_an_inch"), [("3/8", 20.5), ("1/2", 36.5), ("5/8", 57.0)])
def test_a_lead_slug_weighs_what_lead_weighs(hole: str, grams_an_inch: float) -> None:
    # Density of lead 11.34 g/cm³ (CRC Handbook of Chemistry and Physics, from memory):
    # an inch in a half-inch hole is 0.19635 in² x 16.387 cm³/in³ x 11.34 g/cm³ = 36.5 g.
    text = SPEC.replace('cavity_diameter = "1/2 in"', f'cavity_diameter = "{hole} in"')
    assert float(Fraction(sums(spec(text))["balance"]["gramsPerLength"])) == pytest.approx(
        grams_an_inch, abs=0.06
    )


def test_the_same_deck_gives_the_same_form(html: str) -> None:
    assert to_form(deck()) == html
    assert CODE in html


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_form_of_a_whole_deck_is_small_and_has_every_box_once(path: Path) -> None:
    shown = sample(path)
    html = to_form(shown)
    assert len(html.encode()) <= 100 * 1024
    names = [attribute(field, "data-name") for field in boxes_in(parsed(html))]
    of_deck = [f"{card.id}.{box.id}" for card in shown.cards for box in write_ins(card.sections)]
    assert set(of_deck) - set(names) == {name for name in of_deck if ASKED_ONCE.fullmatch(name)}
    assert names == [name for name in of_deck if name in names]
    assert len(names) == len(set(names)) > 20
    assert all(name.count(".") == 1 for name in names)
