"""Slips that keep a file from being TOML: named at their line and key, and answered with what is read."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from cardgen.spec.load import load_bytes
from cardgen.spec.problem import Problem
from tests.editing import edited

DAY = date(2026, 6, 1)
BASE = (Path(__file__).parent / "rules" / "base.toml").read_text("utf-8")


def _problems(text: str | bytes) -> tuple[Problem, ...]:
    return load_bytes(text if isinstance(text, bytes) else text.encode(), "rotor.toml", DAY).problems


def _one(text: str | bytes) -> Problem:
    (problem,) = _problems(text)
    return problem


def _lines(text: str, words: str) -> list[int]:
    return [number for number, line in enumerate(text.splitlines(), start=1) if line.startswith(words)]


@pytest.mark.parametrize(
    ("key", "typed", "rule", "write"),
    [
        # A date in another order, with another sign, with its month as a word.
        ("authority.use_until", "30.06.2027", "toml-date", "use_until = 2027-06-30"),
        ("authority.use_until", "2027-6-30", "toml-date", "use_until = 2027-06-30"),
        ("authority.use_until", "2027/06/30", "toml-date", "use_until = 2027-06-30"),
        ("authority.use_until", "30 June 2027", "toml-date", "use_until = 2027-06-30"),
        ("documents[1].date", "19/01/2026", "toml-date", "date = 2026-01-19"),
        # Words and measurements without quotes.
        ("rotor.mass", "68 lb", "toml-statement", 'mass = "68 lb"'),
        ("rotor.mass", "68 lbs", "toml-statement", 'mass = "68 lb"'),
        ("wrenches[1].graduation", ".5 in-lb", "toml-value", 'graduation = "0.5 in·lbf"'),
        ("rotor.mark_a", "one red dot # or so", "toml-value", 'mark_a = "one red dot"'),
        ("documents[1].revision", "30.06.2025", "toml-statement", 'revision = "30.06.2025"'),
        ("fasteners[1].thread", "3/8-24", "toml-statement", 'thread = "3/8-24"'),
        ("rotor.rotation", "clockwise", "toml-value", 'rotation = "clockwise"'),
        # Numbers with a comma or a sign behind.
        ("wrenches[1].error", "4,5", "toml-statement", "error = 4.5"),
        ("wrenches[1].error", "4 %", "toml-statement", "error = 4"),
        # Quotes inside a text.
        ("rotor.mark_a", '"7/8" bolt"', "toml-string", "mark_a = '7/8\" bolt'"),
        ("rotor.mark_a", "'pilot's side'", "toml-string", 'mark_a = "pilot\'s side"'),
        ("rotor.diameter", '"23\' 0""', "toml-string", 'diameter = "23 ft 0 in"'),
        # Characters that look like others.
        ("rotor.mark_a", "“one red dot”", "toml-value", 'mark_a = "one red dot"'),
        ("rotor.mark_a", '"one red dot”', "toml-string", 'mark_a = "one red dot"'),
        ("track.sides", '[“one notch”, "two notches"]', "toml-value", 'sides = ["one notch", "two notches"]'),
        ("rotor.mass", "68\u00a0lb", "toml-statement", 'mass = "68 lb"'),
        ("track.interpolate", "False", "toml-value", "interpolate = false"),
        # A quote that is not closed.
        ("rotor.mark_a", '"one red dot', "toml-string", 'mark_a = "one red dot"'),
        ("rotor.mass", '"68 lb', "toml-string", 'mass = "68 lb"'),
        ("rotor.mass", '68 lb"', "toml-statement", 'mass = "68 lb"'),
    ],
)
def test_a_value_that_is_no_toml_is_answered_with_a_line_that_is_read(
    key: str, typed: str, rule: str, write: str
) -> None:
    found = _one(edited(BASE, key, typed))
    assert (found.key, found.rule, found.write) == (key, rule, write)
    assert found.why
    name, _, value = write.partition(" = ")
    if value:
        assert name == key.rpartition(".")[2]
        assert not [problem for problem in _problems(edited(BASE, key, value)) if problem.key == key]


@pytest.mark.parametrize("typed", ["05/06/2026", "5.6.2026", "31.02.2026", "1.2.26"])
def test_a_day_that_could_be_two_is_answered_with_the_form_alone(typed: str) -> None:
    found = _one(edited(BASE, "documents[1].date", typed))
    assert found.rule == "toml-date"
    assert found.write == (
        'date = its date, as far as the paper gives it, or "undated"; '
        "year, month and day without quotes, "
        'such as 2027-11-30, or "2027-11", or "2027"'
    )


@pytest.mark.parametrize("key", ["fasteners", "documents", "wrenches"])
def test_a_block_of_a_list_in_single_brackets_is_found_where_it_stands(key: str) -> None:
    first = _lines(BASE, f"[[{key}]]")[0]
    more = f"{BASE}\n[[{key}]]\n"
    for text in (more.replace(f"[[{key}]]", f"[{key}]", 1), more.replace(f"[[{key}]]", f"[{key}]")):
        found = _one(text)
        assert (found.line, found.column, found.key, found.rule) == (first, 1, key, "toml-brackets")
        assert found.write == f"[[{key}]]"
    later = _one(f"{BASE}\n[{key}]\n")
    assert (later.line, later.write) == (BASE.count("\n") + 2, f"[[{key}]]")


def test_what_stands_twice_is_told_with_the_line_of_the_first() -> None:
    (first,) = _lines(BASE, "[rotor]")
    assert f"already, in line {first};" in _one(f"{BASE}\n[rotor]\n").why
    rows = _lines(BASE, "torque_max")
    lines = BASE.splitlines()
    lines.insert(rows[1], lines[rows[1] - 1])
    found = _one("\n".join(lines))
    assert (found.line, found.key) == (rows[1] + 1, "fasteners[2].torque_max")
    assert f"already, in line {rows[1]};" in found.why


def test_a_key_of_another_block_is_not_taken_for_the_first() -> None:
    found = _one("[[a]]\nb = 1\n[[a]]\nb = 1\nc = 1\nb = 2\n")
    assert (found.line, found.key) == (6, "a[2].b")
    assert "in line 4;" in found.why


# Names and codes as in the Unicode Character Database, with the words of a keyboard.
@pytest.mark.parametrize(
    ("was", "now", "name", "write"),
    [
        ("mark_a ", "mark\u2013a ", "an en dash (U+2013)", "the hyphen -"),
        ("mark_a ", "\u00a0mark_a ", "a no-break space (U+00A0)", 'mark_a = "one dot"'),
        ("[rotor]", "[rotor\u201d]", "a curly quote (U+201D)", "[group], [[group]] in a list, or key = [1, 2]"),
    ],
)
def test_a_look_alike_outside_a_value_is_named(was: str, now: str, name: str, write: str) -> None:
    line = 'mark_a = "one dot"'
    text = BASE.replace(next(row for row in BASE.splitlines() if row.startswith("mark_a")), line)
    found = _one(text.replace(was, now, 1))
    assert name in found.why
    assert found.write == write


def test_a_look_alike_before_a_number_that_would_be_refused_is_not_answered_with_that_number() -> None:
    found = _one(edited(BASE, "fasteners[1].stations", "\u20131"))
    assert "an en dash (U+2013)" in found.why
    assert found.write.startswith("stations = their numbers along the joint")


@pytest.mark.parametrize("typed", ['mass "68 lb"', 'mass: "68 lb"', "mass 68 lbs"])
def test_a_forgotten_equals_sign_is_put_in(typed: str) -> None:
    found = _one(edited(BASE, "rotor.mass", "").replace("mass = ", typed, 1))
    assert (found.key, found.rule, found.write) == ("rotor.mass", "toml-statement", 'mass = "68 lb"')
    assert found.why == "a key is followed by an equals sign and its value"


def test_two_keys_on_a_line_are_not_made_one_text() -> None:
    found = _one(edited(BASE, "rotor.mark_a", '"one dot" mark_b = "two dots"'))
    assert found.write.endswith("one key on a line")


def test_no_word_is_chosen_where_none_is_near() -> None:
    found = _one(edited(BASE, "rotor.rotation", "left"))
    assert found.write == 'rotation = "counter-clockwise" or "clockwise"'


def test_a_text_that_single_quotes_do_not_end_is_no_control_character() -> None:
    found = _one(edited(BASE, "rotor.mark_a", "'one dot"))
    assert (found.rule, found.key) == ("toml-string", "rotor.mark_a")


def test_a_key_without_a_value_says_what_belongs_there() -> None:
    found = _one(edited(BASE, "authority.use_until", ""))
    assert found.write == (
        "use_until = last day these cards may be used; year, month and day without quotes, such as 2027-11-30"
    )


def test_inside_a_text_of_several_lines_no_key_is_guessed() -> None:
    assert _one('a = """\n[rotor]\nb = 1\n"""\nc = d\n').key == ""


def test_lines_that_end_with_a_carriage_return_alone_are_named_as_such() -> None:
    found = _one(BASE.replace("\n", "\r"))
    assert (found.line, found.rule) == (1, "file-line-ends")
    assert "carriage return" in found.why
