"""The second calculation agrees with the first, and notices every kind of planted fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.figures import Figure, Parts, compute
from cardgen.proof.recheck import Differs, check_second_path, expected_figures
from cardgen.proof.recheck_input import parsed
from tests.figures.specs import spec_of, track_change

POINT = '{ diameter = "24 ft + 0 in", chord = "8 in", rule = "30 thou/in" }'
BETWEEN = (
    (POINT, POINT.replace("24 ft", "22 ft") + ", " + POINT.replace("24 ft", "26 ft").replace("30", "23")),
    ("\npoints =", "\ninterpolate = true\npoints ="),
)
EXTENSION = ('length = "10 in"\n', 'length = "10 in"\nextension = "4 in"\nangle = "20 deg"\n')
METRIC = (
    ('rule = "30 thou/in"', 'rule = "0.03 mm/mm"'),
    *track_change(max_split='"47 mm"', max_total='"2 mm"', adjuster_thread='"M8x1.25"'),
)
IN_NEWTON_METRES = (
    ('range_min = "20 in·lbf"', 'range_min = "2 N·m"'),
    ('range_max = "300 in·lbf"', 'range_max = "40 N·m"'),
    ('graduation = "1 in·lbf"', 'graduation = "0.25 N·m"'),
)

VARIATIONS: dict[str, tuple[tuple[str, str], ...]] = {
    "as it is": (),
    "stages": (("order = [1]", "order = [1]\nstages = [10, 60, 100]"),),
    "extension at an angle": (EXTENSION,),
    "click wrench, extension": (EXTENSION, ('kind = "beam"', 'kind = "click"')),
    "metric wrench": IN_NEWTON_METRES,
    "kilogram-force wrench": (
        ('range_min = "20 in·lbf"', 'range_min = "20 kg-cm"'),
        ('range_max = "300 in·lbf"', 'range_max = "400 kgf·cm"'),
        ('graduation = "1 in·lbf"', 'graduation = "2 kgfcm"'),
    ),
    "kilogram-force bolt": (
        (
            'torque_min = "160 in·lbf"\ntorque_max = "190 in·lbf"\ndrag = "add"\ndrag_max = "20 in·lbf"',
            'torque_min = "1.8 kgf·m"\ntorque_max = "2.2 kg-m"\ndrag = "add"\ndrag_max = "20 kg-cm"',
        ),
    ),
    "written as people write it": (
        ('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "24\'0\\""'),
        (
            'torque_min = "160 in·lbf"\ntorque_max = "190 in·lbf"',
            'torque_min = "160 in-lb"\ntorque_max = "190 LB IN"',
        ),
        ('length = "10 in"\n', 'length = "10-0/1 in"\nextension = "4½\\""\nangle = "20°30\'"\n'),
        ('graduation = "1 in·lbf"', 'graduation = "1in.lb"'),
        ('normal_speed = "350 rpm"', 'normal_speed = "350 r/min"'),
        ('angle = "5.5 deg"', 'angle = "330\'"'),
        ('tolerance = "0.1 deg"', 'tolerance = "6′"'),
        *track_change(adjuster_thread='"#10 – 32 UNF"', max_split='"1-1/2\\""'),
    ),
    "metric thread with a cross": tuple(track_change(adjuster_thread='"M8 × 1.25"')),
    "wrench that cannot": (("error = 4", "error = 9"),),
    "drag included": (('drag = "add"\ndrag_max = "20 in·lbf"', 'drag = "included"'),),
    "fit in words": (('torque_min = "160 in·lbf"\ntorque_max = "190 in·lbf"', 'fit = "snug"'),),
    "total of both": tuple(track_change(basis='"total of both"', max_total='"45 thou"')),
    "amount on each": tuple(track_change(basis='"amount on each"')),
    "half split": tuple(track_change(split='"half"', max_split='"1+1/16 in"')),
    "made at the adjuster": tuple(track_change(rule_reads='"adjuster"', dial_lever='"2+3/4 in"')),
    "read on the dial, far out": tuple(track_change(dial_lever='"3 in"', max_total='"100 thou"')),
    "no lever": tuple(track_change(lever="")),
    "interpolated": BETWEEN,
    "metric rule": METRIC,
    "only read": tuple(track_change(method='"none"')),
    "ounces of lead": (('max_lead = "60 g"', 'max_lead = "1.5 oz"'),),
    "short cavity": (('cavity_depth = "3 in"', 'cavity_depth = "22 mm"'),),
    "less than no pitch": (('angle = "5.5 deg"', 'angle = "-0.51 deg"'),),
    "pitch in minutes": (('angle = "5.5 deg"', 'angle = "5 deg + 31 arcmin"'),),
    "metric threads": (('thread = "3/8-24"', 'thread = "M8x1.25"'),),
    "masses not stated": (('mass = "80 lb"\n', ""), ('mass = "30 lb"\n', "")),
    "metric rotor": (('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "7.315 m"'),),
}


@pytest.mark.parametrize("name", VARIATIONS)
def test_both_calculations_agree(name: str) -> None:
    spec = spec_of(*VARIATIONS[name])
    assert check_second_path(spec.text, compute(spec).all) == ()


def test_the_second_calculation_covers_every_subject() -> None:
    names = {found.figure for found in expected_figures(parsed(spec_of(EXTENSION).text), {})}
    for name in (
        "torque.strap.1.T1.drag.3.low",
        "torque.strap.1.T1.aim",
        "torque.arm.T1",
        "track.row.4.dial",
        "track.row.4.flats",
        "balance.lead.2.length",
        "loads.lead_pull",
        "pitch.high_minutes",
        "string.lag_at_limit",
        "teeter.tip_travel",
        "head.tip_play",
        "castle.3/8-24.slot_advance",
    ):
        assert name in names


def up_one_mark(figure: Figure) -> Figure:
    decimals = len(figure.parts.number.partition(".")[2])
    number = f"{float(figure.parts.number) + 10**-decimals:.{decimals}f}"
    return replace(figure, parts=replace(figure.parts, number=number))


def down_one_mark(figure: Figure) -> Figure:
    decimals = len(figure.parts.number.partition(".")[2])
    number = f"{float(figure.parts.number) - 10**-decimals:.{decimals}f}"
    return replace(figure, parts=replace(figure.parts, number=number))


def in_foot_pounds(figure: Figure) -> Figure:
    return replace(figure, parts=replace(figure.parts, unit="ft·lbf"))


def in_millimetres(figure: Figure) -> Figure:
    return replace(figure, parts=replace(figure.parts, unit="mm"))


def second_unit_up(figure: Figure) -> Figure:
    number, unit = figure.parts.second.split(" ")
    decimals = len(number.partition(".")[2])
    second = f"{float(number) + 10**-decimals:.{decimals}f} {unit}"
    return replace(figure, parts=replace(figure.parts, second=second))


def twice(figure: Figure) -> Figure:
    return replace(figure, parts=Parts(f"{2 * float(figure.parts.number):.1f}", figure.parts.unit))


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        ("torque.strap.1.T1.drag.2.low", down_one_mark),
        ("torque.strap.1.T1.drag.2.low", up_one_mark),
        ("torque.strap.1.T1.drag.2.high", up_one_mark),
        ("torque.strap.1.T1.drag.2.high", in_foot_pounds),
        ("torque.strap.1.T1.drag.2.nut_high", second_unit_up),
        ("torque.strap.1.T1.drag.2.drag", up_one_mark),
        ("torque.strap.1.T1.drag.2.nut_high", up_one_mark),
        ("torque.strap.1.T1.aim", twice),
        ("track.row.3.dial", up_one_mark),
        ("track.row.3.dial", twice),
        ("track.row.3.dial", in_millimetres),
        ("track.row.3.adjust", second_unit_up),
        ("track.row.3.flats", up_one_mark),
        ("track.row.3.split", up_one_mark),
        ("track.rate", twice),
        ("balance.lead.2.length", up_one_mark),
        ("balance.lead.2.mass", twice),
        ("loads.lead_pull", down_one_mark),
        ("fasteners[1].torque_max", up_one_mark),
        ("fasteners[1].torque_max", second_unit_up),
        ("track.max_total", twice),
        ("wrenches[1].error", up_one_mark),
    ],
)
def test_a_changed_figure_is_noticed(name: str, fault: Callable[[Figure], Figure]) -> None:
    spec = spec_of()
    figures = dict(compute(spec).all)
    figures[name] = fault(figures[name])
    assert name in {mismatch.figure for mismatch in check_second_path(spec.text, figures)}


def test_a_missing_figure_and_one_too_many_are_noticed() -> None:
    spec = spec_of()
    figures = dict(compute(spec).all)
    gone = figures.pop("track.row.2.dial")
    figures["track.row.99.dial"] = replace(gone, id="track.row.99.dial")
    assert {mismatch.figure for mismatch in check_second_path(spec.text, figures)} == {
        "track.row.2.dial",
        "track.row.99.dial",
    }


@pytest.mark.parametrize(
    ("computed_for", "said"),
    [
        # Figures computed for one thing while the specification says another.
        ("total of both", "as it is"),
        ("as it is", "amount on each"),
        ("as it is", "half split"),
        ("as it is", "made at the adjuster"),
        ("as it is", "extension at an angle"),
        ("extension at an angle", "click wrench, extension"),
        ("drag included", "as it is"),
        ("interpolated", "as it is"),
    ],
)
def test_figures_for_another_basis_split_lever_or_wrench_are_noticed(computed_for: str, said: str) -> None:
    figures = compute(spec_of(*VARIATIONS[computed_for])).all
    found = check_second_path(spec_of(*VARIATIONS[said]).text, figures)
    if (computed_for, said) == ("as it is", "amount on each"):
        # One blade and each blade move the same numbers; which blades move is in the words.
        assert found == ()
    else:
        assert found
        assert all(isinstance(mismatch, Differs) for mismatch in found)


@settings(max_examples=40, deadline=None)
@given(
    rule=st.decimals("2.5", "120", places=1),
    levers=st.tuples(st.integers(4, 20), st.integers(4, 20)),
    basis=st.sampled_from(["one blade", "total of both", "amount on each", "whole bar"]),
    split=st.sampled_from(["total", "half"]),
    most=st.integers(2, 60),
    error=st.integers(0, 8),
    extension=st.integers(1, 48),
    angle=st.sampled_from([0, 15, 45, 60, 90]),
    mark=st.sampled_from(["1 in·lbf", "2 in·lbf", "5 in·lbf", "1/2 in·lbf"]),
    drag=st.integers(5, 40),
)
def test_both_calculations_agree_whatever_is_stated(
    rule: str,
    levers: tuple[int, int],
    basis: str,
    split: str,
    most: int,
    error: int,
    extension: int,
    angle: int,
    mark: str,
    drag: int,
) -> None:
    lever = f'length = "10 in"\nextension = "{extension}/8 in"\nangle = "{angle} deg"\n'
    spec = spec_of(
        ('rule = "30 thou/in"', f'rule = "{rule} thou/in"'),
        *track_change(
            basis=f'"{basis}"',
            split=f'"{split}"',
            lever=f'"{levers[0]}/4 in"',
            dial_lever=f'"{levers[1]}/4 in"',
            max_split=f'"{most}/16 in"',
        ),
        ('length = "10 in"\n', lever),
        ("error = 4", f"error = {error}"),
        ('graduation = "1 in·lbf"', f'graduation = "{mark}"'),
        ('drag_max = "20 in·lbf"', f'drag_max = "{drag} in·lbf"'),
    )
    assert check_second_path(spec.text, compute(spec).all) == ()
