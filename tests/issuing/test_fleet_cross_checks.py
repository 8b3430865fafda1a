"""What only shows when rotors are seen together."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.issuing.fleet.cross_checks import duplicates, odd_ones
from cardgen.issuing.fleet.rotor_facts import ComparedValue, Part, RotorIdentity, identity_of
from tests.cli.running import INCH, METRIC


def identity(
    set_id: str, hub: str = "", blades: tuple[str, ...] = (), document: str = "Handbook"
) -> RotorIdentity:
    hubs = (Part(hub, document, "rotor.hub_serial"),) if hub else ()
    sides = zip(blades, "ab", strict=False)
    return RotorIdentity(
        set_id, hubs, tuple(Part(each, document, f"blades.serial_{side}") for each, side in sides)
    )


def rates(*values: str, among: str = "all alike") -> list[tuple[str, str, list[ComparedValue]]]:
    return [
        (f"{at}.toml", f"R-{at}", [ComparedValue("track rate", each, "thou/in", "thou/in", among)])
        for at, each in enumerate(values)
    ]


def test_an_identity_is_read_from_the_samples() -> None:
    read = identity_of(INCH.read_bytes())
    assert read is not None
    assert read.set_id == "NR-0306"
    assert read.hubs == (Part("HB-306-14", "Rotor handbook, wide blades", "rotor.hub_serial"),)
    assert [part.serial for part in read.blades] == ["W-0518-A", "W-0518-B"]


def test_an_identity_is_read_from_a_file_that_is_refused_for_something_else() -> None:
    text = METRIC.read_text("utf-8").replace('"360 rpm"', '"fast"')
    read = identity_of(text.encode())
    assert read is not None
    assert read.set_id == "FT-7400"


@pytest.mark.parametrize(
    "text",
    [b"", b"[rotor", b"\xff\xfe", b"rotor = 3\nblades = [1]\n", b"documents = 4\n", b"a = " + b"[" * 9999],
)
def test_what_names_no_rotor_has_no_identity(text: bytes) -> None:
    assert identity_of(text) is None


def test_rotors_of_their_own_are_no_duplicates() -> None:
    assert duplicates({"a": identity("A", "1", ("2", "3")), "b": identity("B", "4", ("5", "6"))}) == {}


@pytest.mark.parametrize(("first", "second"), [("W-0518", "W-O518"), ("W-1", "w-I"), ("W-10", "W- lO")])
def test_names_that_look_alike_on_metal_count_as_one_and_both_are_told(first: str, second: str) -> None:
    found = duplicates({"a": identity("A", first), "b": identity("B", second)})
    assert set(found) == {"a", "b"}
    assert f'b ("{second}", which looks alike)' in found["a"][0].why
    assert found["b"][0].read == f'"{second}"'


def test_a_twin_in_small_letters_is_named() -> None:
    """A set id in small letters is refused by itself; its twin is told of it."""
    found = duplicates({"a.toml": identity("NR-0306", "1"), "b.toml": identity("nr-0306", "1")})
    assert [each.rule for each in found["a.toml"]] == ["fleet-set-id"]
    assert '"nr-0306"' in found["a.toml"][0].why


def test_two_files_for_one_rotor_are_both_refused_and_each_names_the_other() -> None:
    found = duplicates({"a.toml": identity("A", "1", ("2",)), "b.toml": identity("A", "1", ("2",))})
    assert {file: [each.rule for each in problems] for file, problems in found.items()} == {
        "a.toml": ["fleet-set-id"],
        "b.toml": ["fleet-set-id"],
    }
    assert "b.toml" in found["a.toml"][0].why


def test_a_blade_cannot_be_in_two_rotors_whichever_place_it_has() -> None:
    found = duplicates({"a": identity("A", blades=("7", "8")), "b": identity("B", blades=("9", "7"))})
    assert [each.rule for each in found["a"]] == ["fleet-blade-serial"]
    assert [each.read for each in found["b"]] == ['"7"']
    assert (found["a"][0].key, found["b"][0].key) == ("blades.serial_a", "blades.serial_b")


def test_a_hub_cannot_be_in_two_rotors_and_a_blade_may_bear_a_hub_s_number() -> None:
    found = duplicates({"a": identity("A", "7"), "b": identity("B", "7"), "c": identity("C", "8", ("7",))})
    assert set(found) == {"a", "b"}
    assert found["a"][0].rule == "fleet-hub-serial"


def test_two_makers_may_count_alike() -> None:
    ours, theirs = identity("A", "7"), identity("B", "7", document="Setting sheets")
    assert duplicates({"a": ours, "b": theirs}) == {}


def test_one_rate_twice_that_of_its_like_is_told_with_the_numbers() -> None:
    (odd,) = odd_ones(rates("35", "34", "70", "35", "36"))
    assert (odd.set_id, odd.value, odd.middle, odd.deviation, odd.others) == ("R-2", "70", "35", "1", 4)
    assert "70 thou/in" in odd.words()
    assert "35 thou/in" in odd.words()


def test_a_single_odd_value_among_equal_ones_is_told() -> None:
    assert [odd.set_id for odd in odd_ones(rates("35", "35", "35", "38"))] == ["R-3"]


def test_values_that_scatter_are_not_odd() -> None:
    # For 2, 4, 4, 5, 6, 7, 9 the median is 5 and the median deviation 1 (by hand: 3 1 1 0 1 2 4 sorted
    # is 0 1 1 1 2 3 4); 3.5 / 0.6745 of it is 5.19, and nothing is that far away.
    assert odd_ones(rates("2", "4", "4", "5", "6", "7", "9")) == ()
    # 10.2 is 5.2 away.
    assert [odd.value for odd in odd_ones(rates("2", "4", "4", "5", "6", "7", "10.2"))] == ["10.2"]


def test_a_difference_of_rounding_between_units_is_not_odd() -> None:
    # 0.05 mm is 1.9685 thou, 1.6 percent less than 2 thou: 1 in is 25.4 mm (by definition).
    rounded = str(Fraction(50, 254) * 10)
    assert odd_ones(rates("2", "2", "2", rounded)) == ()


def test_three_rotors_are_too_few_and_unlike_rotors_are_not_compared() -> None:
    assert odd_ones(rates("35", "35", "70")) == ()
    assert odd_ones([*rates("35", "35", "35"), *rates("70", among="another hub")]) == ()


def test_an_odd_value_is_told_in_the_unit_its_keeper_wrote() -> None:
    measures = [
        (f"{at}", f"R-{at}", [ComparedValue("end play", value, "thou", "mm", "alike")])
        for at, value in enumerate(["1", "1", "1", "2"])
    ]
    (odd,) = odd_ones(measures)
    assert (odd.value, odd.middle, odd.unit) == ("0.0508", "0.0254", "mm")
