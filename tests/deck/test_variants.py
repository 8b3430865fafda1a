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
        ("one blade", "The whole amount goes on one blade. The other blade stays as it is."),
        ("total of both", "Each blade gets the amount in the table: one down, the other up."),
        ("amount on each", "Each blade gets the amount in the table: one down, the other up."),
        ("whole bar", "One adjuster tilts the whole bar. It changes both blades at once, in opposite ways."),
    ],
)
def test_each_basis_says_what_moves(shape_text: str, basis: str, says: str) -> None:
    text = text_of(edited(shape_text, "track.basis", f'"{basis}"'), "track")
    assert says in text
    assert ("raise blade B" in text) == (basis != "one blade")
    assert ("; then ‹" in text) == (basis in {"total of both", "amount on each"})


@pytest.mark.parametrize(
    ("drag", "kind", "says"),
    [
        ("20 in·lbf", "dial", "Between two rows, use a setting that both rows allow."),
        ("60 in·lbf", "dial", "Between two rows, use the setting for any drag."),
        ("60 in·lbf", "click", "stop if the drag lies between two rows. This card has no setting for it."),
    ],
)
def test_a_drag_between_two_rows_has_a_setting_or_stops_the_work(
    shape_text: str, drag: str, kind: str, says: str
) -> None:
    text = edited(shape_text, "wrenches[1].kind", f'"{kind}"')
    for number in (1, 2, 3):
        text = edited(text, f"fasteners[{number}].drag_max", f'"{drag}"')
    card = text_of(text, "torque")
    assert says in card
    assert sum(each in card for each in ("that both rows allow", "for any drag.", "lies between two rows")) == 1
    assert ("Before the last round, between two rows, use the row with less drag." in card) == (
        drag == "60 in·lbf"
    )


def test_raising_a_blade_is_guarded_and_lowering_alone_is_not(shape_text: str) -> None:
    both = text_of(edited(shape_text, "track.basis", '"total of both"'), "track")
    one = text_of(edited(shape_text, "track.basis", '"one blade"'), "track")
    assert "More pitch slows the rotor" in both
    assert "More pitch slows the rotor" not in one


@pytest.mark.parametrize(("move", "other"), [("loosen", "Tighten"), ("tighten", "Loosen")])
def test_the_first_move_is_the_maker_s(shape_text: str, move: str, other: str) -> None:
    text = edited(edited(shape_text, "track.first_move", f'"{move}"'), "track.sides", '["plain", "painted"]')
    said = text_of(text, "track")
    assert said.index(f"{move.capitalize()} the side that row says, by the flats") < said.index(
        f"{other} the other side until"
    )


def test_one_adjuster_is_turned_and_not_loosened_against_another(shape_text: str) -> None:
    text = text_of(edited(shape_text, "track.sides", '["plain"]'), "track")
    assert "Turn the adjuster until the dial shows the bold number." in text
    assert "the other side until" not in text


def test_without_the_adjuster_s_thread_nothing_is_said_in_flats(shape_text: str) -> None:
    text = text_of(edited(shape_text, "track.adjuster_thread", None), "track")
    assert "flats" not in text


def test_a_dial_beside_the_axis_is_brought_back_before_each_reading(shape_text: str) -> None:
    off = text_of(edited(shape_text, "track.dial_offset", '"1/2 in"'), "track")
    on = text_of(edited(shape_text, "track.dial_offset", '"0 in"'), "track")
    found = off.index("Bring the bar to a teeter position that you can find again.")
    assert found < off.index("Set the dial to zero.") < off.index("Bring the bar back to the same")
    assert "Half a degree of teeter shows {4.4 thou C} there." in off  # 500 thou x tan 0.5 deg = 4.36
    assert "Touch the dial on the axis of the teeter bolt." in on
    assert "Bring the bar" not in on


def test_the_dial_is_never_set_to_zero_again_for_a_correction(shape_text: str) -> None:
    text = text_of(shape_text, "track")
    guard = "A dial set to zero again hides the turn already made."
    assert text.index(guard) < text.index("Correct the adjuster where the dial is off")


@pytest.mark.parametrize(
    ("thrust", "says"),
    [
        ("bearing", "A thrust bearing at each side"),
        ("washer", "A thrust washer at each side"),
        ("adjustable", "No play at all: both sides touch."),
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
        ("cotter pin", "Take a new pin for each bolt."),
        ("self-locking nut", "Check that a full thread stands out of each self-locking nut"),
        ("threadlocker", "Check that threadlocker went on before the torque"),
        ("lock wire", "Lay the lock wire so that it pulls tighter"),
    ],
)
def test_each_way_of_locking_has_its_own_step_after_the_hold_point(
    shape_text: str, locking: str, says: str
) -> None:
    text = shape_text
    for bolt in (1, 2, 3):
        text = edited(text, f"fasteners[{bolt}].locking", f'"{locking}"')
        text = edited(text, f"fasteners[{bolt}].pin_head", '"inboard"')
    said = text_of(text, "torque")
    assert said.index("== Hold point") < said.index(says)
    assert ("pin hole" in said) == (locking == "cotter pin")


def test_threadlocker_goes_on_at_assembly_before_any_torque(shape_text: str) -> None:
    text = edited(shape_text, "fasteners[2].locking", '"threadlocker"')
    assert "Put threadlocker on the thread ends only: order {2}." in text_of(text, "assembly")


@pytest.mark.parametrize(
    ("drag", "says"),
    [
        ("add", "Drag: add what you read."),
        ("included", "Drag: already in the numbers."),
        ("none", "Drag: none."),
    ],
)
def test_each_kind_of_drag_says_what_is_done_with_it(shape_text: str, drag: str, says: str) -> None:
    text = shape_text
    for bolt in (1, 2, 3):
        text = edited(text, f"fasteners[{bolt}].drag", f'"{drag}"')
    said = text_of(text, "torque")
    assert says in said
    assert ("== Read the drag" in said) == (drag == "add")
    assert ("Drag read" in said) == (drag == "add")


def test_dry_and_oiled_threads_are_each_guarded(shape_text: str) -> None:
    text = text_of(edited(shape_text, "fasteners[2].threads", '"oiled"'), "torque")
    assert text.index("A thread meant to be dry") < text.index(
        "Check that these threads are free of oil: order {1}, {3}."
    )
    assert text.index("A dry thread takes up torque") < text.index(
        "Check that these threads are oiled as the maker says: order {2}."
    )


def test_a_wrench_that_cannot_says_so_with_its_reason(shape_text: str) -> None:
    text = text_of(edited(shape_text, "wrenches[1].error", "40"), "torque")
    assert "cannot do order {1} to {3}: its error is wider than the torque window." in text


@pytest.mark.parametrize(
    ("pads", "says"),
    [
        ("none", "Check that no pad lies between blade and strap."),
        ("above", "Lay one pad between each blade and its upper strap"),
        ("above and below", "Lay one pad above and one below each blade root"),
    ],
)
def test_pads_are_laid_as_the_maker_says(shape_text: str, pads: str, says: str) -> None:
    assert says in text_of(edited(shape_text, "blades.strap_pads", f'"{pads}"'), "assembly")


def test_a_hub_that_finds_its_own_line_is_left_alone(shape_text: str) -> None:
    text = text_of(edited(shape_text, "rotor.alignment", '"self-centring"'), "assembly")
    assert text.index("A blade forced into line") < text.index("Leave the line of the blades alone.")
    assert "only snug" not in text


@pytest.mark.parametrize("code", ["us-amateur-built", "uk-permit", "ca-amateur-built", "au", "other"])
def test_no_country_s_rule_is_claimed_to_be_met(shape_text: str, code: str) -> None:
    text = text_of(edited(shape_text, "authority.jurisdiction", f'"{code}"'), "log-slip")
    assert deck_of(shape_text).spec.authority.signers in text
    assert not {"complies", "approved", "certifies", "accordance"} & set(text.lower().split())


def test_trial_masses_are_moved_one_at_a_time(shape_text: str) -> None:
    text = text_of(shape_text, "shake")
    assert text.index("Take the trial mass out of tip A.") < text.index("Fit it in tip B")


def test_nothing_is_opened_before_the_slug_was_tried_on_its_place(shape_text: str) -> None:
    text = text_of(shape_text, "balance")
    assert text.index("Lay the slug over its cavity once more.") < text.index("Fit the slug here:")


def test_the_breather_is_tested_dry_before_and_again_after(shape_text: str) -> None:
    text = text_of(shape_text, "sealing")
    places = [
        text.index(each)
        for each in (
            "Test each breather before any liquid",
            "Put a little threadlocker",
            "Test each breather again",
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
        assert f"Split at the first speed [split: {split}]" in text_of(text, "track")
        assert f"[gap: {split}; the maker's limit or more]" in text_of(text, "install")
        assert f"from as delivered [log-total: {dial}]" in text_of(text, "log-slip")


def test_boxes_for_the_wrench_name_its_unit_or_ask_for_it(shape_text: str) -> None:
    one = text_of(shape_text, "torque")
    none = text_of(without_group(shape_text, "wrenches"), "torque")
    assert "Drag read in·lbf | Setting used in·lbf" in one
    assert "Drag read, with its unit | Setting used, with its unit" in none
    assert "Drag read |" not in one + none


def test_no_box_for_a_measurement_is_without_a_unit(shape_text: str) -> None:
    """What has no unit is a word, a name, a date or yes or no; or it says whose unit counts."""
    names = {"run-number", "wrench-used", "gap-where", "cure-start", "cure-end", "run-up-remarks"}
    for card in deck_of(shape_text).cards:
        for box in write_ins(card.sections):
            said = "".join(run.text for run in box.limits if isinstance(run, Words))
            named = box.id in names or box.id.startswith(("log-", "heavy-end-"))
            assert box.unit or box.choices or said == "in the unit of the instrument" or named, (
                f"{card.id}: {box.id}"
            )


def test_a_total_counts_both_blades_where_the_rule_does(shape_text: str) -> None:
    both = deck_of(edited(shape_text, "track.basis", '"total of both"'))
    each = deck_of(edited(shape_text, "track.basis", '"amount on each"'))
    for card in ("track", "second-reading"):
        said = [readable(found) for deck in (both, each) for found in deck.cards if found.id == card]
        assert "before the changes of both blades, added, pass" in said[0]
        assert "before all changes together pass" in said[1]
    assert "Total, one blade" in text_of(edited(shape_text, "track.basis", '"total of both"'), "track")


def test_a_trial_mass_flies_only_behind_a_closed_and_cured_tip(shape_text: str) -> None:
    text = text_of(shape_text, "shake")
    cured = [place for place in range(len(text)) if text.startswith("cured, a screw can back out", place)]
    runs = [text.index(f"Make the {name} run by the card Run-up.") for name in ("second", "third")]
    assert cured[0] < runs[0] < cured[1] < runs[1]
    still = "Check that the prerotator is out of gear."
    fits = [
        text.index(says) for says in ("Fit the trial mass in tip A", "trial mass out of tip A", "out of tip B")
    ]
    assert text.count(still) == 3
    assert all(still in text[start:fit] for start, fit in zip((0, fits[0], fits[1]), fits, strict=True))


def test_hands_come_near_a_rotor_only_once_it_is_switched_off_and_chocked(shape_text: str) -> None:
    for card in ("track", "teeter", "head", "run-up", "care", "shake"):
        text = text_of(shape_text, card)
        warned = text.index("The rotor can turn while your hands are at the block.")
        order = ("Switch everything off.", "Lay the key", "prerotator is out of gear", "Chock the rotor.")
        places = [text.index(says, warned) for says in order]
        assert places == sorted(places), card


def test_lock_nuts_are_checked_before_the_first_run_too(shape_text: str) -> None:
    text = text_of(shape_text, "run-up")
    assert (
        text.index("A loose lock nut")
        < text.index("Check the adjuster lock nuts")
        < text.index("Belt yourself in")
    )
    read = text_of(edited(shape_text, "track.method", '"none"'), "run-up")
    assert "adjuster lock nuts" not in read


def test_an_extension_is_named_with_the_settings_that_hold_for_it(shape_text: str) -> None:
    text = text_of(shape_text, "torque")
    assert "Only for this: wrench length {12 in L}, extension {3 in L}, angle {0 deg L}." in text
    plain = text_of(
        edited(edited(shape_text, "wrenches[1].extension", None), "wrenches[1].angle", None), "torque"
    )
    assert "Only for this" not in plain


def test_threads_are_wiped_or_oiled_before_the_bolts_go_in(shape_text: str) -> None:
    text = text_of(edited(shape_text, "fasteners[2].threads", '"oiled"'), "assembly")
    assert text.index("Wipe these threads free of oil: order {1}, {3}.") < text.index(
        "Turn the bolts in by hand"
    )
    assert text.index("Oil these threads as the maker says: order {2}.") < text.index(
        "Turn the bolts in by hand"
    )


def test_the_grid_says_from_which_split_on_it_tells_anything(shape_text: str) -> None:
    # A reading by eye is good to a quarter inch, on video to a sixteenth; 1.65 of that is a quarter of
    # 1.65 in and of 0.4125 in, by hand.
    text = text_of(shape_text, "second-reading")
    said = "at least {1.65 in C} by eye, {0.42 in C} on video. Else ask the log form."
    assert text.index(said) < text.index("nearly nothing")


def test_pins_are_bent_behind_eye_protection_on_the_aircraft_too(shape_text: str) -> None:
    for card in ("torque", "install"):
        text = text_of(shape_text, card)
        assert (
            text.index("flies like a splinter")
            < text.index("Put on eye protection.")
            < text.index("Bend the legs")
        )
