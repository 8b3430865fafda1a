"""What `compare` says to a reader: nothing twice, no row without a word, each wrench by its name."""

from __future__ import annotations

from typing import Any

from cardgen.register.changes import compare, titles_of
from cardgen.register.compare_lines import lines


def deck(
    *cards: tuple[str, list[str]], figures: list[dict[str, Any]] | None = None, wrench: str = "T-1"
) -> dict[str, Any]:
    shown = [{"figure": each["id"], "label": "Shows"} for each in figures or ()]
    return {
        "figures": figures or [],
        "spec": {"text": f'[[wrenches]]\nid = "{wrench}"'},
        "cards": [
            {"id": name, "title": name.title(), "steps": steps, "facts": shown if name == "torque" else []}
            for name, steps in cards
        ],
    }


def said(old: dict[str, Any], new: dict[str, Any]) -> list[str]:
    return list(lines(compare(old, new), titles_of(old, new)))


def figure(name: str, number: str, **more: str) -> dict[str, Any]:
    return {"id": name, "number": number, "unit": "in·lbf", "exact": number, "origin": "M", **more}


def test_a_card_that_is_gone_or_new_is_not_listed_as_changed_too() -> None:
    told = said(deck(("torque", ["Turn."]), ("shake", [])), deck(("torque", ["Pull."]), ("care", [])))
    assert told[:3] == ["Changed cards: Torque.", "New cards: Care.", "Cards that are gone: Shake."]


def test_a_row_of_numbers_alone_is_told_by_its_numbers() -> None:
    told = said(
        deck(("torque", ["(number); (number)", "Turn."])), deck(("torque", ["(number) to (number)", "Pull."]))
    )
    assert told[1:] == [
        "Torque, steps and tables:",
        "  was: Turn.",
        "  now: … to …",
        "  now: Pull.",
    ]


def test_of_steps_in_another_order_only_those_that_moved_are_told() -> None:
    steps = ["First.", "Second.", "Third.", "Last."]
    told = said(deck(("torque", steps)), deck(("torque", [steps[0], steps[2], steps[1], steps[3]])))
    assert told[2:] == ["  was: Second.", "  was: Third.", "  now: Third.", "  now: Second."]


def test_a_number_names_its_wrench() -> None:
    stated, read = "wrenches[1].error", "torque.fasteners[1].T-1.drag.1.high"
    old = [figure(stated, "4"), figure(read, "156", formula="…")]
    new = [figure(stated, "3"), figure(read, "152", formula="…")]
    told = said(deck(("torque", []), figures=old), deck(("torque", []), figures=new))
    assert told[1].startswith("Torque, wrenches 1 (T-1), error: 4 in·lbf is now 3 in·lbf")
    assert told[2].startswith("Torque, Shows, T-1: 156 in·lbf is now 152 in·lbf")


def test_numbers_of_a_wrench_that_is_gone_are_counted() -> None:
    old = [figure(f"torque.fasteners[1].T-1.drag.{row}.high", "156", formula="…") for row in range(24)]
    told = said(deck(("torque", []), figures=old), deck(("torque", []), wrench="T-2"))
    assert told == [
        "Changed cards: Torque.",
        "Other computed numbers that follow from these: 24 on Torque are gone",
    ]


def test_of_a_row_its_words_are_told_and_not_its_numbers() -> None:
    told = said(
        deck(("torque", ["(number); (number); not with this wrench", "(number); (number)"])),
        deck(("torque", [])),
    )
    assert told[1:] == ["Torque, steps and tables:", "  was: not with this wrench"]
