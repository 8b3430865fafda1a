"""The second calculation agrees with the first, and notices every kind of planted fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.figures import Figure, Parts, compute
from cardgen.proof.recheck import Differs, check_second_path, expected_figures
from cardgen.proof.recheck_input import parsed
from tests.figures.specs import spec_of, track_change, turnbuckles

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
#: A second wrench, which reads drag, with an extension of its own.
READER = (
    "[string]\n",
    '[[wrenches]]\nid = "D9"\nkind = "dial"\nlength = "10 in"\nextension = "4 in"\nerror = 5\n'
    'range_min = "1 in·lbf"\nrange_max = "90 in·lbf"\ngraduation = "1 in·lbf"\n\n[string]\n',
)
PRESET = (
    'kind = "beam"\nlength = "10 in"\nerror = 4\n'
    'range_min = "20 in·lbf"\nrange_max = "300 in·lbf"\ngraduation = "1 in·lbf"\n',
    'kind = "preset"\nlength = "10 in"\nerror = 4\npreset = "175 in·lbf"\n',
)
STAGES = ("order = [1]", "order = [1]\nstages = [50, 100]")
LOCKS = (
    *track_change(adjuster_torque_min='"160 in·lbf"', adjuster_torque_max='"190 in·lbf"'),
    (
        "[teeter]",
        '[tip]\nscrews = "two"\nscrew_torque = "31 in·lbf"\nthreadlocker = "medium"\nbreather_at = "gap"\n'
        'breather_test = "bulb"\ndriver = "bit"\nsource = "MK p.9"\n\n[teeter]',
    ),
)
IN_NEWTON_METRES = (
    ('range_min = "20 in·lbf"', 'range_min = "2 N·m"'),
    ('range_max = "300 in·lbf"', 'range_max = "40 N·m"'),
    ('graduation = "1 in·lbf"', 'graduation = "0.25 N·m"'),
)

THREE = ((20, "60"), (22, "34"), (26, "23"))
DEEP = ('cavity_depth = "3 in"', 'cavity_depth = "99 in"')

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
    "foot pounds": (
        ('torque_min = "160 in·lbf"', 'torque_min = "13+1/3 ft·lbf"'),
        ('torque_max = "190 in·lbf"', 'torque_max = "16 ft·lbf"'),
        ('drag_max = "20 in·lbf"', 'drag_max = "2 ft·lbf"'),
        ('range_min = "20 in·lbf"', 'range_min = "2 ft·lbf"'),
        ('range_max = "300 in·lbf"', 'range_max = "25 ft·lbf"'),
        ('graduation = "1 in·lbf"', 'graduation = "0.1 ft·lbf"'),
    ),
    "a nut in newton metres": (
        ('torque_min = "160 in·lbf"', 'torque_min = "18 N·m"'),
        ('torque_max = "190 in·lbf"', 'torque_max = "21.5 N·m"'),
    ),
    "a window of ten": (('torque_max = "190 in·lbf"', 'torque_max = "170 in·lbf"'), ("error = 4", "error = 1")),
    "a window under ten": (
        ('torque_max = "190 in·lbf"', 'torque_max = "169.9 in·lbf"'),
        ("error = 4", "error = 1"),
    ),
    # A quarter inch is 6.35 mm, just half way between two tenths.
    "a half in the second unit": (('tip_support = "1/2 in"', 'tip_support = "1/4 in"'),),
    "nothing as a value": (
        *track_change(dial_offset='"0 in"'),
        ('length = "10 in"\n', 'length = "10 in"\nextension = "4 in"\nangle = "0 deg"\n'),
    ),
    "three points": (
        (POINT, ", ".join(POINT.replace("24 ft", f"{feet} ft").replace("30", rule) for feet, rule in THREE)),
        BETWEEN[1],
    ),
    "a rule that rises": (
        (POINT, POINT.replace("24 ft", "22 ft").replace("30", "23") + ", " + POINT.replace("24 ft", "26 ft")),
        BETWEEN[1],
    ),
    "interpolated in metres": (
        (
            POINT,
            ", ".join(
                POINT.replace("24 ft", f"{feet} ft").replace("30 thou/in", f"0.0{rule} mm/mm")
                for feet, rule in ((22, 34), (27, 27))
            ),
        ),
        BETWEEN[1],
        *METRIC[1:],
    ),
    "half split between points": (*BETWEEN, *track_change(split='"half"', max_split='"1 in"')),
    "as much as the total": tuple(track_change(max_total='"45 thou"')),
    "reflectors": (
        (
            "[log]",
            '[reflectors]\npattern_a = "a bar"\npattern_b = "a dot"\nheight = "2 in"\nmass = "12 g"\n'
            'place = "tip"\nfaces = "hub"\nholder = "tape"\nview_from = "behind"\nsource = "MK p.13"\n\n[log]',
        ),
    ),
    "no blade mass": (('mass = "30 lb"\n', ""),),
    "no mass centre": (('mass_centre = "72 in"\n', ""),),
    "two stations and a teeter bolt": (
        ("stations = [1]", "stations = [1, 2]"),
        ("order = [1]", "order = [2, 1]\nstages = [50, 100]"),
        (
            "[tightening]",
            '[[fasteners]]\nwhere = "teeter"\nstations = [1]\nname = "teeter bolt"\nfitted_by = "you"\n'
            'thread = "1/2-20"\nlocking = "stiff nut"\nthreads = "dry"\ntorque_min = "120 in·lbf"\n'
            'torque_max = "150 in·lbf"\ndrag = "add"\ndrag_max = "12 in·lbf"\nturned_at = "nut"\n'
            'entered_from = "leading side of blade A"\nsource = "MK p.5"\n\n[tightening]',
        ),
    ),
    "no order": (('[tightening]\npattern = "row"\norder = [1]\nsource = "MK p.6"\n', ""),),
    "click wrench beside a reader": (('kind = "beam"', 'kind = "click"'), EXTENSION, READER),
    "reader in another unit": (
        ('kind = "beam"', 'kind = "click"'),
        (READER[0], READER[1].replace("90 in·lbf", "10 N·m").replace("1 in·lbf", "0.1 N·m")),
    ),
    "no largest drag": (('drag_max = "20 in·lbf"\n', ""), STAGES),
    "no largest drag, click": (('drag_max = "20 in·lbf"\n', ""), ('kind = "beam"', 'kind = "click"')),
    "no largest drag, click beside a reader": (
        ('drag_max = "20 in·lbf"\n', ""),
        ('kind = "beam"', 'kind = "click"'),
        READER,
    ),
    "no largest drag, no error": (
        ('drag_max = "20 in·lbf"\n', ""),
        ('kind = "beam"', 'kind = "click"'),
        ("error = 4", "error = 0"),
    ),
    "no largest drag, click, short range": (
        ('drag_max = "20 in·lbf"\n', ""),
        ('kind = "beam"', 'kind = "click"'),
        ('range_min = "20 in·lbf"', 'range_min = "167 in·lbf"'),
        ('range_max = "300 in·lbf"', 'range_max = "182 in·lbf"'),
    ),
    "preset wrench": (PRESET, ('drag_max = "20 in·lbf"', 'drag_max = "4 in·lbf"')),
    "preset wrench that cannot": (PRESET,),
    "locked nut": (('locking = "cotter pin"', 'locking = "self-locking nut"'),),
    "adjuster's lock and tip screw": (*LOCKS, EXTENSION),
    "adjuster's lock and tip screw, preset": (*LOCKS, PRESET),
    "screw below the wrench": (*LOCKS, ('range_min = "20 in·lbf"', 'range_min = "40 in·lbf"')),
    "inches to the inch": (("30 thou/in", "0.0301 in/in"),),
    "millimetres to the metre": (("30 thou/in", "30.3 mm/m"), *METRIC[1:]),
    "degrees to the inch": (("30 thou/in", "0.45 deg/in"), *track_change(dial_lever='"3 in"')),
    "degrees to the inch, flats": (
        ("30 thou/in", "0.45 deg/in"),
        *track_change(set_by='"flats"', dial_lever="", max_total_reads='"adjuster"'),
    ),
    "degrees to the inch between points": tuple(
        (old, new.replace("30 thou", "0.45 deg").replace("23 thou", "0.4 deg")) for old, new in BETWEEN
    ),
    "flats to the inch": (("30 thou/in", "3.3 flats/in"), *track_change(dial_lever='"3 in"')),
    "flats to the inch, halves": (
        ("30 thou/in", "3.3 flats/in"),
        *track_change(set_by='"flats"', split='"half"', max_split='"1 in"', good_enough='"1/8 in"'),
    ),
    "total at the adjuster": tuple(track_change(max_total_reads='"adjuster"', dial_lever='"3+1/8 in"')),
    "total at the adjuster, in metres": (
        *METRIC,
        *track_change(max_total_reads='"adjuster"', dial_lever='"81 mm"'),
    ),
    "total at the dial, flats": tuple(track_change(set_by='"flats"', lever='"3 in"')),
    "turnbuckle": tuple(turnbuckles()),
    "turnbuckle, flats": (
        ("30 thou/in", "3.3 flats/in"),
        *track_change(set_by='"flats"', max_total="", max_total_reads=""),
        *turnbuckles(),
    ),
    "turnbuckle, flats, halves of both": (
        ("30 thou/in", "3.3 flats/in"),
        *track_change(
            set_by='"flats"', max_total="", max_total_reads="", split='"half"', basis='"total of both"'
        ),
        *turnbuckles(),
    ),
    "total of both, one blade": tuple(
        track_change(basis='"total of both"', max_total='"20 thou"', max_total_of='"one blade"')
    ),
    "total of both, added": tuple(
        track_change(basis='"total of both"', max_total='"20 thou"', max_total_of='"both, added"')
    ),
    "each blade, added": tuple(track_change(basis='"amount on each"', max_total_of='"both, added"')),
    "each blade, one counted": tuple(track_change(basis='"amount on each"', max_total_of='"one blade"')),
    "no largest total": tuple(track_change(max_total="", max_total_reads="")),
    "good enough": tuple(track_change(good_enough='"1/4 in"')),
    "hole for the screw": (('max_lead = "60 g"', 'screw_hole = "0.17 in"\nmax_lead = "60 g"'),),
    "papers that do not say": (
        ('tolerance = "0.1 deg"\n', ""),
        ('strap_radius = "15 in"\n', ""),
        ('height_limit = "1/4 in"\n', ""),
        ('tip_support = "1/2 in"\n', ""),
    ),
    "small limits": (
        ('radial_play = "2 thou"', 'radial_play = "0.04 mm"'),
        ('play_max = "2 thou"', 'play_max = "0.2 thou"'),
        ('tip_support = "1/2 in"', 'tip_support = "0.3 mm"'),
        ('max_lead = "60 g"', 'max_lead = "2 g"'),
    ),
    "speeds": (
        (
            'normal_speed = "350 rpm"',
            'normal_speed = "350 rpm"\nleast_speed = "300 rpm"\nmost_speed = "400 rpm"',
        ),
    ),
    "metric rotor": (('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "7.315 m"'),),
}


@pytest.mark.parametrize("name", VARIATIONS)
def test_both_calculations_agree(name: str) -> None:
    spec = spec_of(*VARIATIONS[name])
    assert check_second_path(spec.text, compute(spec).all) == ()


@pytest.mark.parametrize(
    "most", ["0.5 g", "8 g", "9 g", "16 g", "17 g", "40 g", "41 g", "80 g", "81 g", "161 g", "401 g", "900 g"]
)
def test_both_calculations_step_the_lead_alike(most: str) -> None:
    spec = spec_of(DEEP, ('max_lead = "60 g"', f'max_lead = "{most}"'))
    assert check_second_path(spec.text, compute(spec).all) == ()


@pytest.mark.parametrize("turns", ["300", "301.5", "309.4", "336.5", "350", "367.8"])
def test_both_calculations_round_alike_wherever_a_speed_falls(turns: str) -> None:
    spec = spec_of(('normal_speed = "350 rpm"', f'normal_speed = "{turns} rpm"'))
    assert check_second_path(spec.text, compute(spec).all) == ()


def test_the_second_calculation_covers_every_subject() -> None:
    names = {found.figure for found in expected_figures(parsed(spec_of(EXTENSION, *LOCKS).text), {})}
    for name in (
        "torque.fasteners[1].T1.drag.3.low",
        "torque.fasteners[1].T1.aim",
        "torque.arm.T1",
        "lock.adjuster.T1.low",
        "lock.tip.T1",
        "track.row.4.dial",
        "track.row.4.flats",
        "track.differs.on_video",
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
        ("torque.fasteners[1].T1.drag.2.low", down_one_mark),
        ("torque.fasteners[1].T1.drag.2.low", up_one_mark),
        ("torque.fasteners[1].T1.drag.2.high", up_one_mark),
        ("torque.fasteners[1].T1.drag.2.high", in_foot_pounds),
        ("torque.fasteners[1].T1.drag.2.nut_high", second_unit_up),
        ("torque.fasteners[1].T1.drag.2.drag", up_one_mark),
        ("torque.fasteners[1].T1.drag.2.nut_high", up_one_mark),
        # 160 and 190 with a drag of 4 lie on whole marks: the next mark in is one too far.
        ("torque.fasteners[1].T1.drag.2.nut_low", up_one_mark),
        ("torque.fasteners[1].T1.drag.2.nut_low", down_one_mark),
        ("torque.fasteners[1].T1.drag.2.nut_high", down_one_mark),
        # 134.06 and 7.138 are rounded to the nearest: either neighbour is wrong.
        ("loads.tip_speed", up_one_mark),
        ("loads.tip_speed", down_one_mark),
        ("loads.disc_loading", up_one_mark),
        ("loads.disc_loading", down_one_mark),
        ("loads.tip_speed", second_unit_up),
        ("loads.blade_pull", second_unit_up),
        ("head.bearing_spacing", second_unit_up),
        ("balance.max_lead", second_unit_up),
        ("torque.fasteners[1].T1.aim", twice),
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


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        *(("lock.adjuster.T1.low", fault) for fault in (up_one_mark, down_one_mark)),
        *(("lock.adjuster.T1.high", fault) for fault in (up_one_mark, down_one_mark)),
        ("lock.tip.T1", up_one_mark),
        # 60 thou at the adjuster are 64.29 at the dial: 64.0.
        ("track.max_total_read", twice),
        ("track.max_total_read", in_millimetres),
        ("track.differs.on_video", up_one_mark),
        ("track.judged.on_video", down_one_mark),
        # A castle nut has no other aim than the least.
        ("torque.fasteners[1].T1.aim", up_one_mark),
        ("torque.fasteners[1].T1.aim", down_one_mark),
        ("torque.fasteners[1].T1.drag_stop", up_one_mark),
        ("torque.fasteners[1].T1.drag.2.stage.1.low", down_one_mark),
        ("torque.fasteners[1].T1.drag.2.stage.1.high", up_one_mark),
        ("torque.strap.2.order", up_one_mark),
        ("teeter.play_max", second_unit_up),
        ("rotor.least_speed", up_one_mark),
    ],
)
def test_a_changed_setting_total_or_limit_is_noticed(name: str, fault: Callable[[Figure], Figure]) -> None:
    spec = spec_of(
        *LOCKS,
        *VARIATIONS["two stations and a teeter bolt"],
        *VARIATIONS["small limits"],
        *VARIATIONS["speeds"],
        *track_change(max_total_reads='"adjuster"', dial_lever='"2+1/7 in"'),
    )
    figures = dict(compute(spec).all)
    figures[name] = fault(figures[name])
    assert {mismatch.figure for mismatch in check_second_path(spec.text, figures)} == {name}


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
        # A castle nut and one that locks itself; drag read on this wrench, on another, on none; a stage.
        ("as it is", "locked nut"),
        ("click wrench, extension", "click wrench beside a reader"),
        ("no largest drag", "as it is"),
        ("as it is", "stages"),
        ("as it is", "hole for the screw"),
        ("total of both, one blade", "total of both, added"),
        ("each blade, one counted", "each blade, added"),
        ("as it is", "total at the adjuster"),
        ("degrees to the inch", "flats to the inch"),
        ("flats to the inch", "total at the dial, flats"),
        ("as it is", "turnbuckle"),
        ("turnbuckle, flats", "turnbuckle, flats, halves of both"),
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
    unit=st.sampled_from(["thou/in", "in/in", "deg/in", "flats/in"]),
    hand=st.sampled_from(["dial", "flats"]),
    total_at=st.sampled_from(["dial", "adjuster"]),
    kind=st.sampled_from(["beam", "click"]),
    locking=st.sampled_from(["cotter pin", "lock wire"]),
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
    rule: Decimal,
    unit: str,
    hand: str,
    total_at: str,
    kind: str,
    locking: str,
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
        # About the same movement in every unit.
        ("30 thou/in", f"{rule / {'thou/in': 1, 'in/in': 1000, 'deg/in': 50, 'flats/in': 10}[unit]} {unit}"),
        ('kind = "beam"', f'kind = "{kind}"'),
        ('locking = "cotter pin"', f'locking = "{locking}"'),
        *track_change(
            set_by=f'"{hand}"',
            max_total_reads=f'"{total_at}"',
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
