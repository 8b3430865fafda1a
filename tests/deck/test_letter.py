"""The letters that ask for what papers leave open: to whom, page by page, and without a number suggested."""

from __future__ import annotations

import re
import tomllib
from datetime import date
from pathlib import Path

import pytest

from cardgen.deck.letter import letter_card, letters, questions
from cardgen.press.notice import Notice
from cardgen.press.plain import sheet_text
from cardgen.proof.prove import print_notice
from cardgen.spec.load import load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from tests.editing import edited, without_group

TODAY = date(2026, 7, 1)
#: Keys that the complete rotor's papers give and that are taken out again, with the group that lists them.
OPEN = {"string": "tip_support", "fasteners[1]": "pin_head", "run": "wind_limit", "head": "push"}


def spec_of(text: str) -> RotorSpec:
    loaded = load_bytes(text.encode(), "rotor.toml", TODAY)
    assert loaded.spec is not None, loaded.problems
    return loaded.spec


@pytest.fixture
def gaps(shape_text: str) -> str:
    for group, key in OPEN.items():
        shape_text = edited(shape_text, f"{group}.{key}", None)
        shape_text = edited(shape_text, f"{group}.not_given", f'["{key}"]')
    return shape_text


def test_there_is_a_question_for_every_key_that_may_be_open_and_for_no_other() -> None:
    assert {group: tuple(asked) for group, asked in questions().items()} == dict(MAY_BE_NOT_GIVEN)


def test_no_question_holds_a_number_and_each_is_short() -> None:
    for asked in questions().values():
        for text in asked.values():
            assert text.endswith("?")
            assert not re.search(r"\d", text)
            assert all(len(sentence.split()) <= 20 for sentence in re.split(r"[.?] ", text))


def test_each_paper_s_owner_is_asked_page_by_page(gaps: str) -> None:
    """The bolts stand on p.6 of the maker's book, string on p.8, head on p.16; the wind is the club's."""
    maker, club = letters(spec_of(gaps).table)
    assert (maker.document.id, [each.place for each in maker.questions]) == ("BOOK-A", ["p.6", "p.8", "p.16"])
    assert [each.path[-1] for each in maker.questions] == ["pin_head", "tip_support", "push"]
    assert (club.document.id, [each.path[-1] for each in club.questions]) == ("RULES", ["wind_limit"])


def test_a_bolt_that_is_asked_about_is_named(gaps: str) -> None:
    spec = spec_of(gaps)
    text = " ".join(sheet_text(letter_card(letters(spec.table)[0], spec.table)).split())
    assert "root bolt, strap 1: to which side does the head" in text
    assert "To the maker: Handbook of an invented rotor, revision C, 2024-09-12." in text
    assert "24 ft 6 in" in text


@pytest.mark.parametrize(
    ("revision", "dated", "says"),
    [
        ("spring 2024", '"2024"', "Handbook of an invented rotor, revision spring 2024."),
        ("none", '"undated"', "Handbook of an invented rotor, without a revision, undated."),
    ],
)
def test_the_issue_of_a_paper_is_said_once_and_an_undated_one_stays_named(
    gaps: str, revision: str, dated: str, says: str
) -> None:
    text = edited(edited(gaps, "documents[1].revision", f'"{revision}"'), "documents[1].date", dated)
    spec = spec_of(text)
    assert says in " ".join(sheet_text(letter_card(letters(spec.table)[0], spec.table)).split())


def test_without_rules_for_running_all_four_are_asked_for(shape_text: str) -> None:
    (letter,) = letters(spec_of(without_group(shape_text, "run")).table)
    assert [each.path for each in letter.questions] == [("run", key) for key in MAY_BE_NOT_GIVEN["run"]]
    assert {each.place for each in letter.questions} == {""}


def test_nothing_open_asks_nobody(shape_text: str) -> None:
    assert letters(spec_of(shape_text).table) == ()


def test_the_paper_says_what_the_text_says(gaps: str, tmp_path: Path) -> None:
    import pypdfium2

    spec = spec_of(gaps)
    for letter in letters(spec.table):
        card = letter_card(letter, spec.table)
        pdf = print_notice(Notice(card, "written on a day"))
        assert isinstance(pdf, bytes), pdf
        (tmp_path / "letter.pdf").write_bytes(pdf)
        file = pypdfium2.PdfDocument(tmp_path / "letter.pdf")
        printed = "".join("".join(page.get_textpage().get_text_range().split()) for page in file)
        file.close()
        for each in letter.questions:
            assert "".join(each.text[1:].split()) in printed


def test_a_file_that_is_hardly_begun_asks_what_it_lists(gaps: str) -> None:
    """Only papers and bolts are there, and some of them in a wrong shape."""
    table = tomllib.loads(gaps)
    begun = {key: table[key] for key in ("documents", "fasteners")}
    begun["fasteners"][1] = {"where": 7, "not_given": "pin_head"}
    del begun["documents"][0]["revision"]
    (letter,) = letters(begun)
    assert [each.path[-1] for each in letter.questions if each.path[0] == "fasteners"] == ["pin_head"]
    text = " ".join(sheet_text(letter_card(letter, begun)).split())
    assert "To the maker: Handbook of an invented rotor, 2024-09-12." in text


def test_a_file_of_wrong_shapes_asks_nothing_and_breaks_nothing() -> None:
    wrong = {"documents": 3, "fasteners": ["a", {"not_given": [1]}], "rotor": [], "run": {"not_given": {}}}
    assert letters(wrong) == ()
