"""The whole proof holds for a deck as it is, and one wrong figure is enough to break it.

It is asked of every kind of rotor and edition in `tests/press/test_properties.py`.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck, Stamp
from cardgen.figures import compute
from cardgen.press.edition import editions_of
from cardgen.press.publish import Printed
from cardgen.proof.prove import shortened
from cardgen.spec.load import Loaded, load, load_bytes
from cardgen.spec.units import quantity
from tests.cli.running import INCH, METRIC, SAMPLES
from tests.press.printing import prove, publish


def deck_of(name: str) -> Deck:
    path = {"inch": INCH, "metric": METRIC}.get(name) or SAMPLES / f"{name}.toml"
    loaded = load(path, date(2026, 11, 25))
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None
    return build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())


def printed(deck: Deck) -> Printed:
    made = publish(deck, editions_of(deck.spec, "pouch"))
    assert isinstance(made, Printed), made
    return made


@pytest.mark.parametrize("name", ["torque-unlike-handbook", "wrench-cannot-dragging", "override-unused"])
def test_the_proof_holds_for_a_deck_that_prints_doubts(name: str) -> None:
    """Keys are said in words, and rules and reasons of overrides as they were written."""
    deck = deck_of(f"warned/{name}")
    assert deck.warnings or deck.spec.overrides
    assert prove(printed(deck), deck) == ()


def test_bolts_that_a_wrench_shows_alike_are_told_apart_where_the_maker_s_most_drag_differs() -> None:
    text = INCH.read_text("utf-8")
    start, end = text.index("[[fasteners]]"), text.index("[[fasteners]]", text.index("[[fasteners]]") + 1)
    block = text[start:end].replace("[1, 2, 3, 4]", "[{}]").replace('"30 in·lbf"', '"{} in·lbf"')
    places = '["root", "middle, front", "middle, rear", "outer"]'
    assert block.count(places) == 1
    one, other = (
        block.replace(places, at).replace("[{}]", on).replace("{}", most)
        for at, on, most in (
            ('["root", "middle, front"]', "[1, 2]", "30"),
            ('["middle, rear", "outer"]', "[3, 4]", "30.5"),
        )
    )
    loaded = load_bytes((text[:start] + one + other + text[end:]).encode(), "rotor.toml", date(2026, 11, 25))
    assert loaded.spec is not None, loaded.problems
    deck = build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp(), only=("torque",))
    assert prove(printed(deck), deck) == ()


def test_a_draft_is_proved_and_a_figure_that_the_second_calculation_does_not_share_is_named() -> None:
    deck = deck_of("inch")
    made = printed(deck)
    assert prove(made, deck) == ()
    good = deck.figures["track.row.2.dial"]
    # 17.5 thou is right for half an inch: 35 thou an inch, as the maker of this sample states.
    wrong = replace(
        good, quantity=quantity(Fraction(195, 10), "thou"), parts=replace(good.parts, number="19.5")
    )
    spoiled = replace(deck, figures={**deck.figures, good.id: wrong})
    against = prove(made, spoiled)
    assert any(line.startswith("figure track.row.2.dial:") for line in against)
    assert any(line.startswith("pouch.pdf: card track") and "17.5" in line for line in against)


def test_a_long_list_is_cut_and_the_rest_counted() -> None:
    lines = tuple(f"line {number}" for number in range(15))
    assert shortened(lines, most=3) == ("line 0", "line 1", "line 2", "and 12 more")
    assert shortened(lines[:3], most=3) == lines[:3]
