"""The real build: its code, its copies, its hash over the layouts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from cardgen.figures import compute
from cardgen.issuing.issue_request import Turn
from cardgen.issuing.pipeline import Pipeline, places_of, request_of
from cardgen.layouts_root import layouts_digest
from cardgen.register.code import Code, read_code
from cardgen.register.head import Head
from cardgen.spec.load import Loaded, load
from tests.cli.running import INCH
from tests.issuing.decks import HEAD, READING

TODAY = date(2026, 4, 2)


@pytest.fixture(scope="module")
def pipeline() -> Pipeline:
    loaded = load(INCH, TODAY)
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None, loaded.problems
    return Pipeline(loaded.spec, compute(loaded.spec), loaded.warnings, TODAY, "rotor.toml", "inspector")


def test_the_code_is_well_formed_and_the_same_each_time(pipeline: Pipeline) -> None:
    code = pipeline.code(Turn(1, 0, None, READING, HEAD), "")
    assert isinstance(read_code(code), Code)
    assert pipeline.code(Turn(1, 0, None, READING, HEAD), "") == code


def test_revision_tie_register_and_what_is_printed_change_the_code(pipeline: Pipeline) -> None:
    other = Head("0000-0000-0000-0001", 3, "0" * 16)
    codes = [
        pipeline.code(Turn(1, 0, None, READING, HEAD), ""),
        pipeline.code(Turn(2, 0, None, READING, HEAD), ""),
        pipeline.code(Turn(1, 1, None, READING, HEAD), ""),
        pipeline.code(Turn(1, 0, None, READING, other), ""),
        pipeline.code(Turn(1, 0, None, READING, replace(other, hash="1" * 16)), ""),
        pipeline.code(Turn(1, 0, None, READING, HEAD), "00"),
    ]
    assert len(set(codes)) == len(codes)


def test_copies_are_numbered_within_their_edition(pipeline: Pipeline) -> None:
    places = places_of(pipeline.spec)
    assert places
    for edition in {place.edition for place in places}:
        numbers = [place.number for place in places if place.edition == edition]
        assert numbers == list(range(1, len(numbers) + 1))


def test_a_request_takes_its_facts_from_the_specification(pipeline: Pipeline) -> None:
    request = request_of(pipeline.spec, TODAY, "inspector", "first issue")
    assert request.spec == INCH.read_bytes()
    assert (request.set_id, request.use_until) == ("NR-0306", pipeline.spec.authority.use_until)


def test_a_changed_renamed_or_added_layout_changes_the_hash_and_hidden_files_do_not(tmp_path: Path) -> None:
    (tmp_path / "cards").mkdir()
    track = tmp_path / "cards" / "track.xml.j2"
    track.write_text("one")
    first = layouts_digest(tmp_path)
    (tmp_path / ".hidden").write_text("left by an editor")
    (tmp_path / "screen" / "desk").mkdir(parents=True)
    (tmp_path / "screen" / "desk" / "desk.css").write_text("in no deck")
    assert layouts_digest(tmp_path) == first
    track.write_text("two")
    second = layouts_digest(tmp_path)
    renamed = track.rename(track.with_name("torque.xml.j2"))
    third = layouts_digest(tmp_path)
    renamed.with_name("more.xml.j2").write_text("")
    assert len({first, second, third, layouts_digest(tmp_path)}) == 4
