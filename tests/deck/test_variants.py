"""Every branch of every card: each choice a specification can make builds, and says its own words.

Specifications are typed but not judged by the rules here, so that one choice can be changed alone.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from functools import cache

import pytest

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck, Stamp, Words
from cardgen.deck.write_ins import write_ins
from cardgen.figures import compute
from cardgen.spec.model import RotorSpec
from tests.deck.readable import readable
from tests.editing import edited, without_group
from tests.press.variants import METRIC


@cache
def deck_of(text: str, *only: str) -> Deck:
    """Build a deck, or only some of its cards."""
    table = tomllib.loads(text, parse_float=Decimal)
    read = RotorSpec.model_validate(table)
    spec = RotorSpec.of({name: getattr(read, name) for name in RotorSpec.model_fields}, text.encode(), table)
    return build_deck(spec, compute(spec), (), Stamp(), only=only)


def text_of(text: str, card: str) -> str:
    (only,) = deck_of(text, card).cards
    return readable(only)


@pytest.mark.parametrize(
    ("basis", "says"),
    [
        ("one blade", "All of it on that blade. Leave the other."),
        ("total of both", "Each blade gets its whole amount: one down, the other up."),
        ("amount on each", "Each blade gets its whole amount: one down, the other up."),
        ("whole bar", "One adjuster tilts the bar: one blade goes down, the other up."),
    ],
)
def test_each_basis_says_what_moves(shape_text: str, basis: str, says: str) -> None:
    text = text_of(edited(shape_text, "track.basis", f'"{basis}"'), "track")
    assert says in text
    assert ("raise blade B" in text) == (basis != "one blade")
    assert (". On B: " in text) == (basis in {"total of both", "amount on each"})


#: What a torque card may say of drag between two rows. Only one of them: two ways can give two numbers.
BETWEEN = (
    "Between two rows: set the least of the row with more drag.",
    "and the drag read on top.",
    "This wrench has no setting for it.",
)


@pytest.mark.parametrize(
    ("drag", "kind", "says"),
    [
        ("20 in·lbf", "dial", BETWEEN[0]),
        ("60 in·lbf", "dial", BETWEEN[1]),
        ("60 in·lbf", "click", BETWEEN[2]),
    ],
)
def test_a_drag_between_two_rows_has_a_setting_or_stops_the_work(
    shape_text: str, drag: str, kind: str, says: str
) -> None:
    text = edited(shape_text, "wrenches[1].kind", f'"{kind}"')
    for number in (1, 2):
        text = edited(text, f"fasteners[{number}].drag_max", f'"{drag}"')
    card = text_of(text, "torque")
    assert [way for way in BETWEEN if way in card] == [says]
    assert ("First round" in card) and ("the row with less drag." in card)


def test_raising_a_blade_is_guarded_and_lowering_alone_is_not(shape_text: str) -> None:
    both = text_of(edited(shape_text, "track.basis", '"total of both"'), "track")
    one = text_of(edited(shape_text, "track.basis", '"one blade"'), "track")
    assert "More pitch slows the rotor" in both
    assert "More pitch slows the rotor" not in one


@pytest.mark.parametrize(("move", "other"), [("loosen", "tighten"), ("tighten", "loosen")])
def test_the_first_move_is_the_maker_s_and_named_by_its_mark(shape_text: str, move: str, other: str) -> None:
    said = text_of(edited(shape_text, "track.first_move", f'"{move}"'), "track")
    mark = {"loosen": "one groove", "tighten": "two grooves"}
    first, second = (f"the one marked ‹{mark[each]}›" for each in (move, other))
    assert f"{move.capitalize()} {first} by the flats. {other.capitalize()} {second} until the dial" in said


def test_one_adjuster_is_turned_and_not_loosened_against_another() -> None:
    text = text_of(METRIC, "track")
    assert "until the dial shows the bold number of this change, counted from zero either way." in text
    assert "by the flats;" not in text


def test_without_the_adjuster_s_thread_nothing_is_said_in_flats(shape_text: str) -> None:
    text = text_of(edited(shape_text, "track.adjuster_thread", None), "track")
    assert "flats" not in text


def test_a_dial_beside_the_axis_is_brought_back_before_each_reading(shape_text: str) -> None:
    off = text_of(edited(shape_text, "track.dial_offset", '"1/2 in"'), "track")
    on = text_of(edited(shape_text, "track.dial_offset", '"0 in"'), "track")
    found = off.index("back to a place you can find again. Dial to zero.")
    assert found < off.index("Teeter twice, back to the same place; read the dial.")
    assert "Half a degree of teeter shows {4.4 thou C}" in off  # 500 thou x tan 0.5 deg = 4.36
    assert "It touches on the teeter axis." in on
    assert "the same place" not in on


def test_the_dial_is_never_set_to_zero_again_for_a_correction(shape_text: str) -> None:
    text = text_of(shape_text, "track")
    guard = "A second zero hides the turn already made."
    assert text.index(guard) < text.index("Off the bold number: correct, lock, read again.")
    assert text.count("Dial to zero.") == 1


@pytest.mark.parametrize(
    ("thrust", "says"),
    [
        ("bearing", "on each side: thrust bearing"),
        ("washer", "on each side: thrust washer"),
        ("adjustable", "*No play at all:*"),
    ],
)
def test_each_kind_of_thrust_has_its_own_words(shape_text: str, thrust: str, says: str) -> None:
    assert says in text_of(edited(shape_text, "teeter.thrust", f'"{thrust}"'), "teeter")


def test_an_adjustable_hub_block_has_no_play(shape_text: str) -> None:
    text = edited(edited(shape_text, "teeter.thrust", '"adjustable"'), "teeter.play_max", None)
    assert "none, both sides touching" in text_of(text, "teeter")


@pytest.mark.parametrize(
    ("locking", "says"),
    [
        ("cotter pin", "Fit new pins and bend their legs"),
        ("self-locking nut", "Check that a full thread stands out of each new self-locking nut"),
        ("threadlocker", "Check that threadlocker went on before the torque"),
        ("lock wire", "Lay the lock wire so that it pulls tighter"),
    ],
)
def test_each_way_of_locking_has_its_own_step_after_the_hold_point(
    shape_text: str, locking: str, says: str
) -> None:
    text = shape_text
    for bolt in (1, 2):
        text = edited(text, f"fasteners[{bolt}].locking", f'"{locking}"')
        text = edited(text, f"fasteners[{bolt}].pin_head", '"inboard"')
    said = text_of(text, "torque")
    assert said.index("HOLD: ") < said.index(says)
    assert ("pin hole" in said) == (locking == "cotter pin")


def test_threadlocker_goes_on_at_assembly_before_any_torque(shape_text: str) -> None:
    text = edited(shape_text, "fasteners[2].locking", '"threadlocker"')
    assert "Put threadlocker on the thread ends only: {2}, {3}." in text_of(text, "assembly")


@pytest.mark.parametrize(
    ("drag", "says"),
    [
        ("add", "Add the drag you read."),
        ("included", "Drag is already in the numbers."),
        ("none", "No drag."),
    ],
)
def test_each_kind_of_drag_says_what_is_done_with_it(shape_text: str, drag: str, says: str) -> None:
    text = shape_text
    for bolt in (1, 2):
        text = edited(text, f"fasteners[{bolt}].drag", f'"{drag}"')
    said = text_of(text, "torque")
    assert says in said
    assert ("Read the drag of each nut" in said) == (drag == "add")
    assert ("Drag read" in said) == (drag == "add")


def test_dry_and_oiled_threads_are_each_guarded(shape_text: str) -> None:
    text = text_of(edited(shape_text, "fasteners[2].threads", '"oiled"'), "torque")
    assert text.index("A dry thread with oil on it") < text.index("Check the threads of {1}: dry, free of oil.")
    assert text.index("A dry thread that should be oiled") < text.index(
        "threads of {2}, {3}: oiled as the maker says."
    )


def test_a_wrench_that_cannot_says_so_with_its_reason(shape_text: str) -> None:
    text = text_of(edited(shape_text, "wrenches[1].error", "40"), "torque")
    assert "cannot do {1} to {3}: its error is wider than the torque window." in text


@pytest.mark.parametrize(
    ("pads", "says"),
    [
        ("none", "No pad lies between."),
        ("above", "one pad above it"),
        ("above and below", "a pad above and a pad below"),
    ],
)
def test_pads_are_laid_as_the_maker_says(shape_text: str, pads: str, says: str) -> None:
    assert says in text_of(edited(shape_text, "blades.strap_pads", f'"{pads}"'), "assembly")


def test_a_hub_that_finds_its_own_line_is_left_alone(shape_text: str) -> None:
    text = text_of(edited(shape_text, "rotor.alignment", '"self-centring"'), "assembly")
    assert text.index("Leave the line of the blades alone.") < text.index("finds its line by itself")
    assert "only snug" not in text


@pytest.mark.parametrize("code", ["us-amateur-built", "uk-permit", "ca-amateur-built", "au", "other"])
def test_no_country_s_rule_is_claimed_to_be_met(shape_text: str, code: str) -> None:
    text = text_of(edited(shape_text, "authority.jurisdiction", f'"{code}"'), "log-slip")
    assert deck_of(shape_text).spec.authority.signers in text
    assert not {"complies", "approved", "certifies", "accordance"} & set(text.lower().split())


def test_a_wrench_without_a_date_of_calibration_says_where_to_look(shape_text: str) -> None:
    says = "calibrated until: look at the wrench"
    assert says not in text_of(shape_text, "torque")
    without = "\n".join(line for line in shape_text.splitlines() if not line.startswith("calibrated_until"))
    assert says in text_of(without, "torque")


@pytest.mark.parametrize(
    ("card", "key", "words", "says"),
    [
        ("sealing", "tip.threadlocker", "medium threadlocker", "thread ends only: ‹medium threadlocker›."),
        ("torque", "fasteners[1].washer", "one thin washer", "washer: ‹one thin washer›"),
        ("assembly", "fasteners[1].washer", "one thin washer", "washer: ‹one thin washer›"),
    ],
)
def test_words_that_name_the_thing_again_stand_behind_a_colon(
    shape_text: str, card: str, key: str, words: str, says: str
) -> None:
    assert says in text_of(edited(shape_text, key, f'"{words}"'), card)


def test_trial_masses_are_moved_one_at_a_time(shape_text: str) -> None:
    text = text_of(shape_text, "shake")
    assert (
        text.index("out of A") < text.index("in B, in its place") < text.index("Take the trial mass out of B")
    )


def test_nothing_is_opened_before_the_slug_was_tried_on_its_place(shape_text: str) -> None:
    text = text_of(shape_text, "sealing")
    assert text.index("lay it over the cavity: the rotor balances.") < text.index("Fit the slug in its place")


def test_the_breather_is_tested_dry_before_and_again_after(shape_text: str) -> None:
    text = text_of(shape_text, "sealing")
    places = [
        text.index(each)
        for each in (
            "Breather, dry",
            "a little threadlocker on the thread ends only",
            "test each breather again",
        )
    ]
    assert places == sorted(places)


def test_the_practice_answers_stand_after_the_questions(shape_text: str) -> None:
    text = text_of(shape_text, "newcomer")
    questions, answers = text.split("== PRACTICE, the answers")
    assert questions.count("?") >= 3
    assert answers.count("|") > 6


def test_a_rotor_that_is_only_read_has_boxes_in_the_units_of_its_diameter(shape_text: str) -> None:
    for diameter, split, dial in (('"23 ft"', "in", "thou"), ('"7.1 m"', "mm", "mm")):
        text = edited(edited(shape_text, "track.method", '"none"'), "rotor.diameter", diameter)
        assert f"[split: {split}]" in text_of(text, "track")
        assert f"[log-total: {dial}]" in text_of(text, "log-slip")


def test_boxes_for_the_wrench_name_its_unit_or_ask_for_it(shape_text: str) -> None:
    one = text_of(shape_text, "torque")
    none = text_of(without_group(shape_text, "wrenches"), "torque")
    assert "Drag in·lbf | Set in·lbf" in one
    assert "Drag, with its unit | Set, with its unit" in none


def test_no_box_for_a_measurement_is_without_a_unit(shape_text: str) -> None:
    """What has no unit is a word, a name, a date or yes or no; or it says whose unit counts."""
    names = {"run-number", "plus-end", "gap-where", "cure-start", "cure-end", "run-up-remarks"}
    for card in deck_of(shape_text).cards:
        for box in write_ins(card.sections):
            said = "".join(run.text for run in box.limits if isinstance(run, Words))
            named = box.id in names or box.id.startswith(("log-", "drag-wrench-", "set-wrench-"))
            assert box.unit or box.choices or said == "instrument's unit" or named, f"{card.id}: {box.id}"


def test_a_total_counts_both_blades_where_the_rule_does(shape_text: str) -> None:
    both = text_of(shape_text, "track")
    one = text_of(edited(shape_text, "track.max_total_of", '"one blade"'), "track")
    assert "in all.* At the dial, both blades added, from as delivered" in both
    assert "in all.* At the dial, from as delivered" in one
    assert "Total, one blade" in both


def test_a_trial_mass_flies_only_behind_a_closed_and_cured_tip(shape_text: str) -> None:
    text = text_of(shape_text, "shake")
    assert (
        text.index("Fit the trial mass in A") < text.index("cure included.") < text.index("Make the second run")
    )
    assert (
        text.index("Before it has cured")
        < text.index("close both tips, cure included")
        < text.index("Make the third")
    )
    warned = "A rotor turns by itself."
    # One strip stands above all work between the second run and the end.
    assert (text.count(warned), text.count("Make it still")) == (2, 3)


def test_hands_come_near_a_rotor_only_once_it_is_switched_off_and_chocked(shape_text: str) -> None:
    line = "Make it still: switches off, key on the bench, prerotator out of gear, rotor "
    for card in ("track", "teeter", "head", "pitch", "run-up", "care", "shake"):
        text = text_of(shape_text, card)
        assert text.index("A rotor turns by itself.") < text.index(line), card


def test_lock_nuts_are_checked_before_the_first_run_too(shape_text: str) -> None:
    text = text_of(shape_text, "run-up")
    assert (
        text.index("A loose lock nut") < text.index("lock nuts of both blades") < text.index("Belt yourself in")
    )
    read = text_of(edited(shape_text, "track.method", '"none"'), "run-up")
    assert "lock nuts of both" not in read


def test_an_extension_is_named_with_the_settings_that_hold_for_it(shape_text: str) -> None:
    text = text_of(shape_text, "torque")
    assert "dial {12 in L}, extension {3 in L} at {0 deg L}" in text
    bare = edited(edited(shape_text, "wrenches[1].extension", None), "wrenches[1].angle", None)
    assert "‹T1› dial, no extension" in text_of(bare, "torque")


def test_threads_are_wiped_or_oiled_before_the_bolts_go_in(shape_text: str) -> None:
    text = text_of(edited(shape_text, "fasteners[2].threads", '"oiled"'), "assembly")
    turned = text.index("Turn the bolts in by hand")
    assert text.index("Wipe the threads dry: {1}.") < turned
    assert text.index("Oil the threads as the maker says") < turned


def test_the_grid_is_printed_only_where_this_rotor_can_reach_it(shape_text: str) -> None:
    # A reading by eye is good to a quarter inch, on video to a sixteenth; 1.65 of that is a quarter of
    # 1.65 in and of 0.4125 in, by hand. A first change by the smaller of two rules leaves more to be told.
    assert "by video only, at least {0.4" in text_of(
        edited(shape_text, "track.max_split", '"1 in"'), "second-reading"
    )
    far = text_of(edited(shape_text, "track.max_split", '"1/4 in"'), "second-reading")
    assert "No verdict on this rotor." in far
    assert "nearly nothing" not in far


def test_pins_are_bent_behind_eye_protection_on_the_aircraft_too(shape_text: str) -> None:
    for card in ("torque", "install"):
        text = text_of(shape_text, card).lower()
        assert (
            text.index("flies into the eyes")
            < text.index("eye protection")
            < text.index("legs", text.index("eye protection"))
        )
