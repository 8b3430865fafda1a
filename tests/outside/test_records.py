"""What a log entry asks for, against what records hold where the rotor is kept.

The lists are the published rules' own, in short. A form that has these lines claims to comply with
none of them; whoever signs knows which are due.
"""

from __future__ import annotations

import pytest

from cardgen.press.form_records import groups_for

#: For each jurisdiction: what its records hold, the rule, and a word that its form must ask for.
HELD = [
    # 14 CFR 43.9(a), read in a secondary text, for the shape of an entry only: 14 CFR 43.1(b)(1)
    # takes aircraft with an experimental certificate out of part 43.
    ("us-amateur-built", "description of the work", "what was done"),
    ("us-amateur-built", "reference to data", "documents used"),
    ("us-amateur-built", "date of completion", "date the work was finished"),
    ("us-amateur-built", "name of the person who did the work", "work done by: name"),
    ("us-amateur-built", "signature of who approves", "released by: signature"),
    ("us-amateur-built", "certificate number of who approves", "released by: certificate number"),
    ("us-amateur-built", "kind of certificate", "released by: kind of certificate"),
    # 14 CFR 91.417(a)(2)(i): total time in service of the airframe and of each rotor.
    ("us-amateur-built", "total time of the airframe", "airframe hours"),
    ("us-amateur-built", "total time of each rotor", "rotor hours"),
    # Condition inspection of an amateur-built aircraft: a statement, in the operating limitations' words
    # (read in a secondary text).
    ("us-amateur-built", "statement of condition", "words of the inspection statement"),
    # UK Air Navigation Order 2016, article 47.
    ("uk-permit", "details of the maintenance", "what was done"),
    ("uk-permit", "date completed", "date the work was finished"),
    ("uk-permit", "identity of the person or organisation", "released by: organisation or licence"),
    ("uk-permit", "approval or licence number", "released by: approval or licence number"),
    ("uk-permit", "limitations", "limitations"),
    # Canada, CAR 605.92 to 605.93: dated, signed, named; an amateur-built aircraft may use the journey log.
    ("ca-amateur-built", "date", "date the work was finished"),
    ("ca-amateur-built", "name", "released by: name"),
    ("ca-amateur-built", "signature", "released by: signature"),
    ("ca-amateur-built", "journey log", "released by: journey log page"),
]


@pytest.mark.parametrize(("jurisdiction", "held", "asked"), HELD)
def test_the_form_asks_for_what_the_records_hold(jurisdiction: str, held: str, asked: str) -> None:
    assert any(line.startswith(asked) for line in _lines(jurisdiction)), held


@pytest.mark.parametrize("jurisdiction", ["us-amateur-built", "uk-permit", "ca-amateur-built", "au", "other"])
def test_a_second_person_signs_everywhere(jurisdiction: str) -> None:
    """Putting a rotor on is a named critical task in AMC2 145.A.48(b)."""
    assert any("second person" in signature.who for signature in groups_for(jurisdiction).signatures)


def _lines(jurisdiction: str) -> list[str]:
    asked = groups_for(jurisdiction)
    lines = [line.label for group in (*asked.before, *asked.after) for line in group.lines]
    signed = [
        f"{signature.who.partition(',')[0]}: {line}"
        for signature in asked.signatures
        for line in signature.lines
    ]
    return [line.lower() for line in lines + signed]
