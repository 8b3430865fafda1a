"""Every figure that bounds something is on its side, or the second calculation names it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from cardgen.figures import Figure, compute
from cardgen.proof.recheck import check_second_path
from cardgen.spec.bound import Bound
from cardgen.spec.load import load_bytes
from tests.figures.specs import spec_of, track_change

COMPLETE = Path(__file__).parents[1] / "spec" / "complete.toml"

#: What the hand must not do, set or hold less than.
LEAST = {
    *("torque.#.low", "torque.#.nut_low", "torque.#.stage.low", "pitch.low", "pitch.low_minutes"),
    *("track.judged.by_eye", "track.judged.on_video", "lock.adjuster.low"),
    *("track.false_reading.half_degree", "track.false_reading.one_degree"),
    *("balance.friction", "balance.shake_per_gram", "string.sag", "string.draught.gap"),
    *("string.shake", "string.shake_at_limit", "loads.pull_per_gram", "loads.loose_item_pull"),
    *("loads.loose_item_energy", "loads.reflector_pull", "loads.lead_pull", "loads.blade_pull"),
}
#: What the hand must not do, set or let pass more than.
MOST = {
    *("torque.#.high", "torque.#.nut_high", "torque.#.stage.high", "torque.#.drag_stop"),
    *("pitch.high", "pitch.high_minutes", "pitch.difference_minutes", "head.tip_play", "string.lag_at_limit"),
    *("track.rate", "track.rate_first_step", "track.max_split", "track.row.adjust", "track.row.dial"),
    *("track.row.flats", "track.first.adjust", "track.first.dial", "track.first.flats"),
    *("track.max_total_read", "track.good_enough_total", "lock.adjuster.high"),
    *("balance.lead.mass", "balance.lead.ounces", "balance.lead.length"),
}
#: Numbers that stand on marks coarser than their last decimal.
_MARKS = {
    "loads.blade_pull": 100.0,
    **dict.fromkeys(("row.adjust", "row.dial", "first.adjust", "first.dial", "max_total_read"), 0.5),
}


@dataclass(frozen=True)
class Rotor:
    text: bytes
    figures: Mapping[str, Figure]


@cache
def rotors() -> tuple[Rotor, ...]:
    """Rotors that have every bounded figure between them.

    Two rates, half splits, a dial off its axis, a largest total that is stated at the adjuster.
    """
    complete = load_bytes(COMPLETE.read_bytes(), COMPLETE.name, date(2026, 7, 1)).spec
    assert complete is not None
    halves = track_change(split='"half"', max_split='"1+1/16 in"', good_enough='"1/7 in"')
    at_adjuster = track_change(max_total_reads='"adjuster"', dial_lever='"2+1/7 in"')
    made = (complete, spec_of(*halves), spec_of(), spec_of(*at_adjuster))
    return tuple(Rotor(spec.text, compute(spec).all) for spec in made)


def family(name: str) -> str:
    """Leave the counts out of a figure's id, and of a torque all that says of which bolt and wrench."""
    name = re.sub(r"^torque\.fasteners\[\d+\]\.\w+\.(drag\.\d+\.)?", "torque.#.", name)
    name = re.sub(r"^lock\.adjuster\.\w+", "lock.adjuster", name)
    return re.sub(r"\.\d+", "", name)


def summed(figure: Figure) -> bool:
    return figure.formula not in {"", "as stated"}


def of_sums(bound: Bound) -> set[str]:
    return {
        family(figure.id)
        for rotor in rotors()
        for figure in rotor.figures.values()
        if figure.bound is bound and summed(figure)
    }


def named(rotor: Rotor, figure: Figure) -> bool:
    """Whether the second calculation names a figure, and no other, where this one is planted."""
    found = check_second_path(rotor.text, {**rotor.figures, figure.id: figure})
    return {differs.figure for differs in found} == {figure.id}


def moved(number: str, by: float) -> str:
    """Count a printed number up or down; of degrees and minutes, the minutes."""
    head, _, last = number.rpartition(" ")
    decimals = len(last.partition(".")[2])
    return f"{head} {float(last) + by:.{decimals}f}".strip()


def mark(figure: Figure) -> float:
    name, decimals = family(figure.id), len(figure.parts.number.partition(".")[2])
    return _MARKS.get(name, _MARKS.get(name.removeprefix("track."), 10.0**-decimals))


def test_these_are_the_sums_that_bound_something() -> None:
    assert of_sums(Bound.AT_LEAST) == LEAST
    assert of_sums(Bound.AT_MOST) == MOST


@pytest.mark.parametrize("name", sorted(LEAST | MOST))
def test_a_sum_rounded_to_the_wrong_side_is_named(name: str) -> None:
    past = -1 if name in LEAST else 1
    planted = 0
    for rotor in rotors():
        for figure in rotor.figures.values():
            if family(figure.id) == name and summed(figure):
                wrong = moved(figure.parts.number, past * mark(figure))
                if float(wrong.rpartition(" ")[2]) >= 0 and planted < 3:
                    planted += 1
                    assert named(rotor, replace(figure, parts=replace(figure.parts, number=wrong))), figure.id
    assert planted


@pytest.mark.parametrize("bound", [Bound.AT_LEAST, Bound.AT_MOST])
def test_a_stated_limit_that_its_second_unit_widens_is_named(bound: Bound) -> None:
    seen = set()
    for rotor in rotors():
        for figure in rotor.figures.values():
            if figure.bound is bound and figure.parts.second and not summed(figure):
                seen.add(family(figure.id))
                number, unit = figure.parts.second.split(" ")
                step = 10.0 ** -len(number.partition(".")[2])
                second = f"{moved(number, -step if bound is Bound.AT_LEAST else step)} {unit}"
                assert named(rotor, replace(figure, parts=replace(figure.parts, second=second))), figure.id
    assert len(seen) >= 5


@pytest.mark.parametrize("turn", [1, 2])
def test_figures_with_another_bound_than_the_second_calculation_knows_are_named(turn: int) -> None:
    other = {bound: [*Bound, *Bound][at + turn] for at, bound in enumerate(Bound)}
    for rotor in rotors():
        planted = {name: replace(one, bound=other[one.bound]) for name, one in rotor.figures.items()}
        assert {differs.figure for differs in check_second_path(rotor.text, planted)} == set(planted)


def test_a_bound_that_the_second_calculation_does_not_know_is_named() -> None:
    rotor = rotors()[0]
    assert named(rotor, replace(rotor.figures["pitch.low"], id="pitch.lowest"))
