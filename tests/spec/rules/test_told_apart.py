"""Signs that look alike, drawings that contradict their words, colours in the languages of makers."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import judged


@pytest.mark.parametrize(
    ("a", "b", "alike"),
    [
        ("24-O518", "24-0518", True),
        ("I518", "1518", True),
        ("l518", "I518", True),
        ("W-0518", "W 0518", True),
        ("24-0001", "24-0002", False),
        ("I", "II", False),
        ("0518-A", "0518-B", False),
        ("S518", "5518", False),
    ],
)
def test_serial_numbers_that_nobody_tells_apart_are_refused(a: str, b: str, alike: bool) -> None:
    assert ("serial-look-alike" in judged({"blades.serial_a": a, "blades.serial_b": b})) is alike


@pytest.mark.parametrize(
    ("mark", "drawn", "agrees"),
    [
        ("one dot", "dots 1", True),
        ("one dot", "dots 2", False),
        ("zwei Kerben", "notches 2", True),
        ("zwei Kerben", "notches 1", False),
        ("deux rainures", "grooves 3", False),
        ("2 punti", "dots 2", True),
        ("Buchstabe A", "letter A", True),
        ("Buchstabe A", "letter B", False),
        # No number stands in it, so nothing contradicts the drawing.
        ("Kerbe", "notches 1", True),
        # Two numbers: one of them is that of the marks.
        ("two dots on one side", "dots 2", True),
    ],
)
def test_a_drawing_agrees_with_the_number_or_letter_of_its_words(mark: str, drawn: str, agrees: bool) -> None:
    found = judged(
        {"rotor.mark_a": mark, "rotor.drawn_a": drawn, "rotor.drawn_b": "bands 9", "rotor.mark_b": "ring"}
    )
    assert ("mark-drawn-unlike" not in found) is agrees


@pytest.mark.parametrize(
    ("a", "b", "colour"),
    [
        ("red band", "white band", True),
        ("rotes Band", "blaues Band", True),
        ("bande rouge", "bande verte", True),
        ("punto rojo", "punto azul", True),
        ("red", "blue", True),
        ("dark green stripe", "light green stripe", True),
        ("red band", "two red bands", False),
        ("red square", "white circle", False),
        ("one dot", "two dots", False),
    ],
)
def test_what_colour_alone_tells_apart_is_warned_of(a: str, b: str, colour: bool) -> None:
    drawings = dict.fromkeys(("rotor.drawn_a", "rotor.drawn_b"))
    assert ("told-by-colour" in judged({**drawings, "rotor.mark_a": a, "rotor.mark_b": b})) is colour
    patterns = {"reflectors.pattern_a": a, "reflectors.pattern_b": b}
    assert ("told-by-colour" in judged(patterns)) is colour
