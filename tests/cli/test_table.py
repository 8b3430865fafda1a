"""``cardgen table``: the lookup table of one rotor, for eyes and for other programs."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

from tests.cli.running import INCH, METRIC, TODAY, altered, cardgen


def test_the_inch_table_is_the_stated_rule_times_the_split_through_the_levers() -> None:
    # 35 thou an inch on the dial, at 3 in from the pivot; the adjuster is at 2-1/4 in: three quarters of it.
    told = json.loads(cardgen("table", INCH, "--json", *TODAY).out)
    rows = {row["split_in"]: row for row in told["rows"]}
    assert rows[1.0]["dial_thou"] == pytest.approx(35)
    assert rows[1.0]["adjust_thou"] == pytest.approx(26.25)
    # One flat of a 5/16-24 nut is a sixth of a turn: 1/144 in.
    assert rows[1.0]["flats"] == pytest.approx(26.25 / 1000 * 144)
    assert rows[0.5]["split_mm"] == pytest.approx(12.7)
    assert (told["set_id"], told["diameter"], told["moves"]) == ("NR-0306", "25 ft 6 in", "one blade")
    assert (told["unit"], told["interpolated"], told["max_split_in"]) == ("thou", False, 1.5)
    assert told["source"].startswith("MAKER-1 p.18")


def test_the_metric_table_shares_the_move_between_both_blades() -> None:
    # Half way between 0.034 at 7.00 m and 0.027 at 7.80 m; each blade gets half; the dial lever is 80 to 60.
    told = json.loads(cardgen("table", METRIC, "--json", *TODAY).out)
    row = next(row for row in told["rows"] if row["split_mm"] == pytest.approx(20))
    assert row["adjust_mm"] == pytest.approx((0.034 + 0.027) / 2 * 20 / 2)
    assert row["dial_thou"] * 0.0254 == pytest.approx(row["adjust_mm"] * 80 / 60)
    assert (told["moves"], told["interpolated"]) == ("both blades, opposite", True)


def test_between_two_diameters_the_table_has_the_first_change_and_every_change_after_as_the_card_has() -> None:
    """The smaller of the maker's two rules, 0.027 mm/mm, makes the first change; half of it on each blade.

    At 20 mm of split that is 0.27 mm at the adjuster, and 0.36 mm on a dial whose lever is 80 mm to its 60 mm.
    """
    told = json.loads(cardgen("table", METRIC, "--json", *TODAY).out)
    first = next(row for row in told["first_rows"] if row["split_mm"] == pytest.approx(20))
    assert first["adjust_mm"] == pytest.approx(0.027 * 20 / 2)
    assert first["dial_thou"] * 0.0254 == pytest.approx(0.36)
    said = cardgen("table", METRIC, *TODAY).out
    card = cardgen("draft", METRIC, "--card", "track", "--text", *TODAY).out

    def rows(text: str) -> list[list[str]]:
        """Split, dial and adjuster of every line of numbers, without what stands in the other unit."""
        cells = [re.sub(r"\([^)]*\)", "", line).split() for line in text.splitlines()]
        return [line for line in cells if len(line) == 3 and all(map(_is_number, line))]

    first, after = rows(said)[:8], rows(said)[8:]
    assert len(first) == len(after) == 8
    # The card has both dials beside their split: the first change, and every one after it.
    assert rows(card) == [
        [split, once, then] for (split, once, _), (_, then, _) in zip(first, after, strict=True)
    ]
    assert said.index("First change only:") < said.index("Every change after the first:")
    assert json.loads(cardgen("table", INCH, "--json", *TODAY).out)["first_rows"] == []


def _is_number(cell: str) -> bool:
    return cell.replace(".", "", 1).isdecimal()


def test_rows_have_the_promised_keys_and_end_at_the_largest_split() -> None:
    told = json.loads(cardgen("table", INCH, "--json", *TODAY).out)
    keys = ["split_in", "split_mm", "adjust_thou", "adjust_mm", "flats", "dial_thou"]
    assert all(list(row) == keys for row in told["rows"])
    assert told["rows"][-1]["split_in"] == told["max_split_in"]


def test_comma_separated_values_are_the_same_rows() -> None:
    rows = list(csv.DictReader(io.StringIO(cardgen("table", METRIC, "--csv", *TODAY).out)))
    told = json.loads(cardgen("table", METRIC, "--json", *TODAY).out)
    changes = [row.pop("change") for row in rows]
    # A turnbuckle has no flats to count.
    assert [{key: float(value) if value else None for key, value in row.items()} for row in rows] == [
        *told["first_rows"],
        *told["rows"],
    ]
    assert changes == ["first change only"] * 8 + ["every change after the first"] * 8
    stated = list(csv.DictReader(io.StringIO(cardgen("table", INCH, "--csv", *TODAY).out)))
    assert {row["change"] for row in stated} == {"every change"}


def test_what_cannot_be_known_without_the_lever_is_left_empty(tmp_path: Path) -> None:
    path = altered(tmp_path, ('lever               = "2+1/4 in"', '# lever = "2+1/4 in"'))
    told = json.loads(cardgen("table", path, "--json", *TODAY).out)
    assert {row["adjust_thou"] for row in told["rows"]} == {None}
    assert {row["flats"] for row in told["rows"]} == {None}
    assert all(row["dial_thou"] > 0 for row in told["rows"])
    rows = list(csv.DictReader(io.StringIO(cardgen("table", path, "--csv", *TODAY).out)))
    assert {row["flats"] for row in rows} == {""}
    assert "flats" not in cardgen("table", path, *TODAY).out


def test_the_printed_table_names_the_rotor_its_diameter_and_where_it_stops() -> None:
    ran = cardgen("table", INCH, *TODAY)
    assert ran.code == 0
    assert ran.out.startswith("NR-0306   rotor diameter 25 ft 6 in\n")
    assert "above 1-1/2 in" in ran.out
    assert ["1.00", "35.0", "26.0", "3.7"] in [line.split() for line in ran.out.splitlines()]


def test_a_refused_specification_gives_no_table(tmp_path: Path) -> None:
    path = altered(tmp_path, ('rule_reads          = "dial" ', "# rule_reads "))
    ran = cardgen("table", path, "--json", *TODAY)
    assert (ran.code, ran.out) == (1, "")
    assert "No card was made" in ran.err
