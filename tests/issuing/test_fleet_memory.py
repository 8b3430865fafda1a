"""A fleet remembers what it learned, and nothing that is cut off, old or foreign."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from cardgen.issuing.fleet.memory import NAME, Memory
from cardgen.issuing.fleet.rotor_facts import RotorFacts, facts_from, facts_of
from cardgen.spec.load import Loaded, load
from tests.cli.running import METRIC

TODAY = "2026-11-25"


@pytest.fixture(scope="module")
def facts() -> RotorFacts:
    loaded = load(METRIC, date.fromisoformat(TODAY))
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None
    return facts_of(loaded.spec, len(loaded.warnings))


def test_facts_say_what_the_specification_says(facts: RotorFacts) -> None:
    assert (facts.diameter, facts.paper, facts.use_until) == ("7.40 m", "iso", date(2027, 6, 30))
    measures = {each.name: each for each in facts.measures}
    # Halfway between 7.00 m and 7.80 m, so halfway between 0.034 and 0.027: 0.0305 mm/mm, 30.5 thou an inch.
    assert (measures["track rate"].exact, measures["track rate"].shown_in) == ("61/2", "mm/mm")
    assert measures["end play"].shown_in == "mm"


def test_facts_are_the_same_after_a_round_through_json(facts: RotorFacts) -> None:
    assert facts_from(facts.as_data()) == facts


def test_what_was_learned_is_known_to_the_next_run(tmp_path: Path, facts: RotorFacts) -> None:
    Memory(tmp_path, "1").learn_facts("aa", facts, TODAY)
    assert Memory(tmp_path, "1").facts("aa", TODAY) == facts
    assert Memory(tmp_path, "1").facts("bb", TODAY) is None


def test_another_version_or_other_layouts_know_nothing(tmp_path: Path, facts: RotorFacts) -> None:
    Memory(tmp_path, "1").learn_facts("aa", facts, TODAY)
    assert Memory(tmp_path, "2").facts("aa", TODAY) is None


@pytest.mark.parametrize("day", ["2027-07-01", "2026-11-24"])
def test_facts_do_not_hold_past_their_date_nor_before_they_were_learned(
    tmp_path: Path, facts: RotorFacts, day: str
) -> None:
    Memory(tmp_path, "1").learn_facts("aa", facts, TODAY)
    assert Memory(tmp_path, "1").facts("aa", day) is None


def test_a_line_that_was_cut_off_costs_only_itself(tmp_path: Path, facts: RotorFacts) -> None:
    memory = Memory(tmp_path, "1")
    memory.learn_facts("aa", facts, TODAY)
    memory.learn_facts("bb", facts, TODAY)
    path = tmp_path / NAME
    path.write_bytes(path.read_bytes()[:-40])
    Memory(tmp_path, "1").learn_facts("cc", facts, TODAY)
    known = Memory(tmp_path, "1")
    assert [known.facts(name, TODAY) is not None for name in ("aa", "bb", "cc")] == [True, False, True]


@pytest.mark.parametrize(
    "line", [b"\xff\n", b"[]\n", b'{"made_with": "1"}\n', b'{"made_with": "1", "spec": "aa"}\n']
)
def test_a_line_of_something_else_is_passed_over(tmp_path: Path, facts: RotorFacts, line: bytes) -> None:
    (tmp_path / NAME).write_bytes(line)
    Memory(tmp_path, "1").learn_facts("aa", facts, TODAY)
    assert Memory(tmp_path, "1").facts("aa", TODAY) == facts


def test_a_draft_is_known_while_its_files_are_as_they_were_written(tmp_path: Path) -> None:
    folder = tmp_path / "A-draft"
    folder.mkdir()
    (folder / "deck.json").write_text("{}")
    Memory(tmp_path, "1").learn_draft("A-draft", "aa", {"deck.json": 2})
    assert Memory(tmp_path, "1").has_draft(folder, "aa")
    assert not Memory(tmp_path, "1").has_draft(folder, "bb")
    (folder / "deck.json").write_text("{ }")
    assert not Memory(tmp_path, "1").has_draft(folder, "aa")
    (folder / "deck.json").unlink()
    assert not Memory(tmp_path, "1").has_draft(folder, "aa")


def test_the_newest_draft_of_a_folder_is_the_one_that_counts(tmp_path: Path) -> None:
    (tmp_path / "A-draft").mkdir()
    memory = Memory(tmp_path, "1")
    memory.learn_draft("A-draft", "aa", {})
    memory.learn_draft("A-draft", "bb", {})
    assert not Memory(tmp_path, "1").has_draft(tmp_path / "A-draft", "aa")
    assert Memory(tmp_path, "1").has_draft(tmp_path / "A-draft", "bb")


def test_tidying_keeps_what_belongs_to_this_fleet(tmp_path: Path, facts: RotorFacts) -> None:
    memory = Memory(tmp_path, "1")
    for name in ("aa", "bb"):
        memory.learn_facts(name, replace(facts, diameter=name), TODAY)
    memory.tidy(["bb"])
    known = Memory(tmp_path, "1")
    assert known.facts("aa", TODAY) is None
    assert known.facts("bb", TODAY) == replace(facts, diameter="bb")
    assert [path.name for path in tmp_path.iterdir()] == [NAME]


def test_a_memory_that_cannot_be_written_stops_nothing(tmp_path: Path, facts: RotorFacts) -> None:
    (tmp_path / "out").write_text("a file where the folder should be")
    memory = Memory(tmp_path / "out", "1")
    memory.learn_facts("aa", facts, TODAY)
    memory.tidy(["aa"])
    assert memory.facts("aa", TODAY) == facts
