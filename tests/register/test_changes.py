"""Comparing two decks by what they say of themselves. Percentages are school arithmetic."""

from __future__ import annotations

from typing import Any

import pytest

from cardgen.register.changes import change_lines, compare, percent, titles_of


def figure(name: str, number: str, unit: str = "in·lbf", **more: str) -> dict[str, Any]:
    return {"id": name, "number": number, "unit": unit, "exact": number, "origin": "M", **more}


def card(name: str, *shown: str, **words: list[str]) -> dict[str, Any]:
    facts = [{"figure": each, "label": "4"} for each in shown]
    return {"id": name, "title": name.title(), "facts": facts, **words}


TORQUE_WORDS = {"cautions": ["WARNING: pins"], "steps": ["Turn."]}
OLD: dict[str, Any] = {
    "figures": [
        figure("fasteners[1].torque_min", "160", reference="MAKER-1 p.7"),
        figure("torque.strap.1.low", "165", formula="least plus drag", reference="computed"),
        figure("track.rate", "30", "thou/in", reference="MAKER-1 p.11"),
    ],
    "spec": {"text": '[[fasteners]]\nname = "inner bolt"'},
    "cards": [
        card(
            "torque",
            "fasteners[1].torque_min",
            "torque.strap.1.low",
            cautions=["WARNING: pins"],
            steps=["Turn."],
        ),
        card("track", "track.rate", words=["Read twice."]),
        card("care", words=["Wash."]),
    ],
}


def changed(**parts: Any) -> dict[str, Any]:
    return {**OLD, **parts}


RAISED = figure("fasteners[1].torque_min", "168", reference="MAKER-1 p.8")


def test_a_deck_differs_in_nothing_from_itself() -> None:
    comparison = compare(OLD, OLD)
    assert comparison.is_same
    assert comparison.today == comparison.next_print == ()
    assert change_lines(comparison, titles_of(OLD)) == ()


def test_a_changed_number_names_old_new_percent_source_and_its_cards() -> None:
    new = changed(figures=[RAISED, *OLD["figures"][1:]])
    (number,) = compare(OLD, new).numbers
    assert (number.old, number.new) == ("160 in·lbf", "168 in·lbf")
    # 8 in 160 is one part in twenty.
    assert number.percent == "5.0 percent more"
    assert (number.old_source, number.new_source) == ("MAKER-1 p.7", "MAKER-1 p.8")
    assert number.cards == ("torque",)
    assert change_lines(compare(OLD, new), titles_of(new)) == (
        "Torque, fasteners 1 (inner bolt), torque min: "
        "160 in·lbf is now 168 in·lbf, 5.0 percent more (MAKER-1 p.8).",
    )


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (("160", "in·lbf"), ("150", "in·lbf"), "6.3 percent less"),
        (("100", "in·lbf"), ("100.01", "in·lbf"), "less than 0.1 percent more"),
        (("1/3", "in"), ("2/3", "in"), "100.0 percent more"),
        (("-2", "deg"), ("-1", "deg"), "50.0 percent more"),
        (("0", "in"), ("1", "in"), ""),
        (("160", "in·lbf"), ("18.1", "N·m"), ""),
        (("160", "in·lbf"), ("160", "in·lbf"), ""),
    ],
)
def test_the_percentage_is_of_the_old_number_and_never_across_units(
    old: tuple[str, str], new: tuple[str, str], said: str
) -> None:
    assert percent({"number": old[0], "unit": old[1]}, {"number": new[0], "unit": new[1]}) == said


def test_a_number_printed_in_two_parts_is_compared_by_its_exact_value() -> None:
    old = {"number": "7+3/4", "exact": "31/4", "unit": "in"}
    new = {"number": "15+1/2", "exact": "31/2", "unit": "in"}
    assert percent(old, new) == "100.0 percent more"


@pytest.mark.parametrize(
    ("new", "number"), [("168", 5.0), ("150", -6.25), ("160.01", 0.006), ("nothing", None)]
)
def test_the_percentage_is_also_there_as_a_number(new: str, number: float | None) -> None:
    # 8, -10 and 0.01 in 160.
    raised = figure("fasteners[1].torque_min", new, reference="MAKER-1 p.8")
    (change,) = compare(OLD, changed(figures=[raised, *OLD["figures"][1:]])).numbers
    assert change.percent_change == number


def test_a_number_in_a_table_is_named_with_its_row() -> None:
    where = {"figure": "torque.strap.1.low", "label": "The wrench: At least", "row": "TW-4, Drag read 6 in·lbf"}
    first, second, third = OLD["figures"]
    new = changed(
        figures=[first, {**second, "number": "173"}, third],
        cards=[{**OLD["cards"][0], "facts": [where]}, *OLD["cards"][1:]],
    )
    (number,) = compare(OLD, new).numbers
    assert number.where == "Torque, The wrench: At least (row TW-4, Drag read 6 in·lbf)"


def test_a_line_that_stands_twice_is_told_once_and_only_where_it_differs() -> None:
    def said(*words: str) -> dict[str, Any]:
        return changed(cards=[card("torque", words=list(words))])

    (words,) = compare(said("Two.", "One.", "Two."), said("Two.", "One.")).words
    assert (words.old, words.new) == (("Two.",), ())
    (words,) = compare(said("Two.", "Two.", "One."), said("New.", "New.", "One.")).words
    assert (words.old, words.new) == (("Two.",), ("New.",))


def test_a_number_that_is_printed_as_before_is_no_change_whatever_is_behind_it() -> None:
    """Rounding hides the difference: the hand at the bench reads the same number."""
    first, second, third = OLD["figures"]
    assert compare(OLD, changed(figures=[first, {**second, "exact": "165.2"}, third])).is_same


def test_a_number_from_another_page_is_a_change_even_if_it_is_the_same() -> None:
    new = changed(figures=[*OLD["figures"][:2], figure("track.rate", "30", "thou/in", reference="CLUB-7 s.1")])
    comparison = compare(OLD, new)
    assert comparison.today == ("track",)
    assert change_lines(comparison, titles_of(new)) == (
        "Track, track, rate: 30 thou/in is now taken from CLUB-7 s.1.",
    )


def test_added_and_removed_numbers_are_changes() -> None:
    new = changed(figures=OLD["figures"][:2])
    (gone,) = compare(OLD, new).numbers
    assert (gone.figure, gone.old, gone.new) == ("track.rate", "30 thou/in", "")
    (come,) = compare(new, OLD).numbers
    assert (come.old, come.new, come.cards) == ("", "30 thou/in", ("track",))


def test_numbers_that_follow_from_others_are_counted_and_not_listed() -> None:
    first, second, third = OLD["figures"]
    new = changed(figures=[first, {**second, "number": "173", "exact": "173"}, third])
    assert change_lines(compare(OLD, new), titles_of(new)) == ("Torque: 1 computed number changed.",)


@pytest.mark.parametrize(("kind", "urgent"), [("cautions", True), ("steps", True), ("words", False)])
def test_cautions_and_steps_are_swapped_today_and_other_words_later(kind: str, urgent: bool) -> None:
    new = changed(cards=[*OLD["cards"][:2], card("care", **{"words": ["Wash."], kind: ["Changed."]})])
    comparison = compare(OLD, new)
    assert comparison.today == (("care",) if urgent else ())
    assert comparison.next_print == (() if urgent else ("care",))
    assert comparison.words[0].new == ("Changed.",)


def test_steps_in_another_order_are_a_change() -> None:
    def ordered(*steps: str) -> dict[str, Any]:
        return changed(cards=[card("torque", steps=list(steps))])

    (words,) = compare(ordered("Pin.", "Turn."), ordered("Turn.", "Pin.")).words
    assert (words.old, words.new) == (("Pin.", "Turn."), ("Turn.", "Pin."))


def test_a_new_card_and_a_card_that_is_gone_are_swapped_today() -> None:
    new = changed(cards=[*OLD["cards"][:2], card("pitch")])
    comparison = compare(OLD, new)
    assert (comparison.added, comparison.removed) == (("pitch",), ("care",))
    assert comparison.today == ("pitch", "care")
    assert change_lines(comparison, titles_of(OLD, new)) == (
        "Pitch: this card is new.",
        "Care: this card is gone; destroy the old one.",
    )


def test_a_description_of_an_older_version_is_read_as_far_as_it_goes() -> None:
    comparison = compare({}, OLD)
    assert comparison.added == ("torque", "track", "care")
    assert len(comparison.numbers) == 3
