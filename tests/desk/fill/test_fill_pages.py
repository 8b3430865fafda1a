"""Filling in, asked without a server: what a change does to the file, and what it never does."""

from __future__ import annotations

import shutil
import threading
import tomllib
from functools import partial
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest

from cardgen.desk.desk import Desk
from cardgen.desk.fill.edits import filled
from cardgen.desk.fill.judged import Judged
from cardgen.desk.fill.unsaved import Keeper, hidden
from cardgen.spec.fields import KeyMeaning
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Problem
from tests.cli.running import INCH, METRIC
from tests.desk.browsing import OWN, Visitor
from tests.full_disk import full_disk

NO_SPACE = OSError(28, "No space left on device")


@pytest.fixture
def rotor(folder: Path) -> Path:
    return Path(shutil.copy(INCH, folder / "rotor.toml"))


@pytest.fixture
def place(visitor: Visitor, rotor: Path, desk: Desk) -> str:
    """The address of the rotor's pages. No sheet is printed here."""
    desk.sheets.stop()
    (only,) = desk.hangar.rotors()
    return f"/rotor/{only.id}/fill/"


def sent(visitor: Visitor, address: str, /, **fields: str) -> Any:
    data = {"desk_token": visitor.keys.post, **fields}
    return visitor.send("POST", address, OWN, data=data)


def changed(visitor: Visitor, address: str, /, **fields: str) -> dict[str, Any]:
    answer = sent(visitor, f"{address}change", **fields)
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.get_json()
    return told


def table(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text())


def test_every_key_of_every_group_has_its_box(visitor: Visitor, place: str) -> None:
    for group in KeyMeaning(RotorSpec).keys:
        if group == "schema":
            continue
        page = visitor.text(place + group)
        for key in MAY_BE_NOT_GIVEN.get(group, ()):
            assert f".{key}" in page
            assert page.count("The paper does not say") >= len(MAY_BE_NOT_GIVEN[group])


def test_a_change_is_kept_beside_the_file_and_written_when_saved(
    visitor: Visitor, place: str, rotor: Path
) -> None:
    before = rotor.read_text()
    told = changed(visitor, place, key="rotor.mass", value="97", unit="lb")
    assert told["changed"]
    assert rotor.read_text() == before
    assert 'value="97"' in visitor.text(f"{place}rotor")
    assert sent(visitor, f"{place}save", group="rotor").status_code == 303
    # Every other line, comment and blank is what it was.
    assert rotor.read_text() == before.replace('mass         = "96 lb" ', 'mass         = "97 lb" ')
    assert not hidden(rotor).exists()


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        ("8+3/4", "in", "8+3/4 in"),
        ("8.75 in", "mm", "8.75 in"),
        ("222mm", "in", "222mm"),
        ("23 ft 6", "in", "23 ft 6 in"),
        # Without a unit nothing is added: the check asks for it.
        ("8.75", "", "8.75"),
    ],
)
def test_a_unit_typed_into_the_number_counts(
    visitor: Visitor, place: str, rotor: Path, value: str, unit: str, written: str
) -> None:
    changed(visitor, place, key="blades.chord", value=value, unit=unit)
    sent(visitor, f"{place}save")
    assert table(rotor)["blades"]["chord"] == written


def test_a_problem_says_why_and_what_to_write_under_its_key(visitor: Visitor, place: str) -> None:
    told = changed(visitor, place, key="blades.chord", value="8.75", unit="")
    (problem,) = [each for each in told["problems"] if each["key"] == "blades.chord"]
    assert "needs a unit" in problem["why"]
    assert problem["write"]
    assert told["counts"]["blades"] == 1


def test_a_ditto_mark_means_as_in_the_line_above(visitor: Visitor, place: str, rotor: Path) -> None:
    sent(visitor, f"{place}row", key="fasteners", what="same")
    told = changed(visitor, place, key="fasteners[2].thread", value='"')
    assert told["value"] == "3/8-24"
    sent(visitor, f"{place}save")
    bolts = table(rotor)["fasteners"]
    assert bolts[1]["thread"] == bolts[0]["thread"]
    # What no two lines share is asked anew.
    assert bolts[3]["thread"] == bolts[2]["thread"]
    assert "stations" not in bolts[3]


def test_what_the_paper_does_not_say_is_listed_and_asked_for(visitor: Visitor, place: str, rotor: Path) -> None:
    changed(visitor, place, key="head.push", open="yes")
    assert "The letter comes when" not in visitor.text(f"{place}letter")
    assert "<pre>" in visitor.text(f"{place}letter")
    changed(visitor, place, key="rotor.set_id", open="yes")
    sent(visitor, f"{place}save")
    assert table(rotor)["head"]["not_given"] == ["push"]
    assert "push" not in table(rotor)["head"]
    # No other key may be left open.
    assert table(rotor)["rotor"]["set_id"] == "NR-0306"
    told = changed(visitor, place, key="head.push", value="10", unit="lbf")
    assert not told["problems"]


def test_a_group_that_the_papers_do_not_have_is_left_out(
    visitor: Visitor, place: str, rotor: Path, desk: Desk
) -> None:
    assert "Leave out: reflectors" in visitor.text(f"{place}reflectors")
    # Without them there is no rotor.
    assert "Leave out" not in visitor.text(f"{place}rotor")
    assert sent(visitor, f"{place}row", key="reflectors", what="leave out").status_code == 303
    page = visitor.text(f"{place}reflectors")
    assert "Leave out" not in page
    assert "Where there is nothing of this, leave all of it empty." in page
    assert sent(visitor, f"{place}save", group="reflectors").status_code == 303
    assert "reflectors" not in table(rotor)


def test_one_value_of_a_bolt_may_come_from_another_paper(visitor: Visitor, place: str, rotor: Path) -> None:
    page = visitor.text(f"{place}fasteners")
    assert 'data-source="fasteners[1].sources.torque_max"' in page
    changed(visitor, place, key="fasteners[1].sources.torque_max", document="MAKER-1", place="p.12")
    sent(visitor, f"{place}save", group="fasteners")
    assert table(rotor)["fasteners"][0]["sources"] == {"torque_max": "MAKER-1 p.12"}
    # A group that names no paper at all has no such place.
    assert ".sources." not in visitor.text(f"{place}authority")


def test_a_choice_is_found_by_the_word_of_another_country(visitor: Visitor, place: str) -> None:
    """A cotter pin is a split pin in British English (a fact of the trade, no source)."""
    assert '<option value="cotter pin">cotter pin (split pin)' in visitor.text(f"{place}fasteners").replace(
        " selected", ""
    )


def test_a_source_is_carried_on_to_a_group_that_has_none(visitor: Visitor, place: str, rotor: Path) -> None:
    text = rotor.read_text()
    start, end = text.index("[head]"), text.index("[", text.index("[head]") + 1)
    rotor.write_text(text[:start] + text[end:])
    changed(visitor, place, key="teeter.source", document="CLUB-2", place="s.9")
    told = changed(visitor, place, key="head.radial_play", value="2", unit="thou")
    assert told["source"] == "CLUB-2 s.9"


def test_nobody_writes_over_what_somebody_else_saved(visitor: Visitor, place: str, rotor: Path) -> None:
    changed(visitor, place, key="rotor.mass", value="97", unit="lb")
    theirs = rotor.read_text().replace('"335 rpm"', '"340 rpm"')
    rotor.write_text(theirs)
    assert sent(visitor, f"{place}save").headers["Location"].endswith("/two")
    assert rotor.read_text() == theirs
    both = visitor.text(f"{place}two")
    assert all(each in both for each in ("340 rpm", "335 rpm", "96 lb", "97 lb"))
    seen = both.partition('name="seen" value="')[2].partition('"')[0]
    # Somebody saves once more while this one reads.
    rotor.write_text(theirs.replace('"340 rpm"', '"345 rpm"'))
    assert sent(visitor, f"{place}take", which="mine", seen=seen).headers["Location"].endswith("/two")
    assert "345 rpm" in rotor.read_text()
    sent(visitor, f"{place}take", which="file")
    assert not hidden(rotor).exists()
    assert "345 rpm" in rotor.read_text()


def test_two_saves_at_once_lose_nothing(rotor: Path) -> None:
    keepers = [Keeper(), Keeper()]
    keys = [("rotor", "mark_a"), ("rotor", "mark_b"), ("rotor", "marks_at"), ("rotor", "hub_serial")]

    def work(at: int, path: tuple[str, ...]) -> None:
        # Two desks on one folder, which know nothing of each other.
        keeper = keepers[at % 2]
        for number in range(5):
            keeper.change(rotor, partial(filled, path=path, text=f"mark {number}", unit=""))
            keeper.save(rotor)

    threads = [threading.Thread(target=work, args=(at, path)) for at, path in enumerate(keys)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    Keeper().save(rotor)
    assert {table(rotor)["rotor"][path[1]] for path in keys} == {"mark 4"}


def test_a_full_disk_is_told_and_loses_nothing(visitor: Visitor, place: str, rotor: Path) -> None:
    before = rotor.read_bytes()
    changed(visitor, place, key="rotor.mass", value="97", unit="lb")
    # It fills up in the middle of a file, then where the system only tells once all is written.
    with full_disk(4_000):
        assert sent(visitor, f"{place}change", key="rotor.mass", value="98", unit="lb").status_code == 507
        assert sent(visitor, f"{place}save").status_code == 500
        assert sent(visitor, "/begin/", name="another").status_code == 500
    assert sorted(each.name for each in rotor.parent.iterdir()) == [hidden(rotor).name, rotor.name]
    with patch("cardgen.placing.os.fsync", side_effect=NO_SPACE):
        answer = sent(visitor, f"{place}change", key="rotor.mass", value="98", unit="lb")
        assert answer.status_code == 507
        assert "no space left" in answer.get_json()["trouble"]
        saved = sent(visitor, f"{place}save")
        assert saved.status_code == 500
        assert "no space left" in saved.text
    assert rotor.read_bytes() == before
    assert 'value="97"' in visitor.text(f"{place}rotor")


def test_hostile_words_are_only_words(visitor: Visitor, place: str) -> None:
    hostile = "</textarea><script>alert(1)</script>\"'{{ 7*7 }}"
    for key in ("rotor.mark_a", "documents[1].id", "straps.notes"):
        changed(visitor, place, key=key, value=hostile)
        page = visitor.text(place + key.partition(".")[0].partition("[")[0])
        assert "<script>alert" not in page
        assert "49" not in page.partition("{{ 7*7 }}")[0][-80:]
    assert "<script>alert" not in visitor.text(f"{place}two")


@pytest.mark.parametrize(
    "key", ["", "no.such", "rotor", "__class__", "fasteners[0].name", "fasteners[99].name", "rotor.set_id.x"]
)
def test_a_key_that_there_is_not_changes_nothing(visitor: Visitor, place: str, rotor: Path, key: str) -> None:
    answer = sent(visitor, f"{place}change", key=key, value="x")
    assert answer.status_code in (400, 409)
    assert not hidden(rotor).exists()


def test_a_rotor_is_begun_from_nothing_and_from_a_like_one(visitor: Visitor, desk: Desk, folder: Path) -> None:
    desk.sheets.stop()
    shutil.copy(METRIC, folder / "like.toml")
    (like,) = desk.hangar.rotors()
    assert sent(visitor, "/begin/", name="first", hub="string", units="metric").status_code == 303
    assert table(folder / "first.toml")["rotor"]["set_id"] == ""
    assert sent(visitor, "/begin/", name="second", like=like.id).status_code == 303
    assert table(folder / "second.toml")["rotor"]["diameter"] == ""
    assert table(folder / "second.toml")["rotor"]["pitch"] == table(METRIC)["rotor"]["pitch"]
    before = (folder / "first.toml").read_bytes()
    assert sent(visitor, "/begin/", name="first").status_code == 409
    assert (folder / "first.toml").read_bytes() == before
    for name in ("../out", "", "a/b", "A B", ".hidden", "con\0"):
        assert sent(visitor, "/begin/", name=name).status_code == 400
    assert sorted(each.name for each in folder.parent.iterdir()) == ["rotors"]


def test_a_doubt_is_told_as_one_and_counts_as_no_problem() -> None:
    doubt = Problem("rotor.toml", 3, 1, "rotor.mass", "mass", "", "two masses differ", "the right one")
    found = Judged({}, (), (doubt,))
    assert found.under("rotor") == [
        {"key": "rotor.mass", "why": "Look again: two masses differ", "write": "the right one"}
    ]
    assert found.under("blades") == []
    assert found.counts()["rotor"] == 0
