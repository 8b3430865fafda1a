"""Which cards go to one job together."""

from __future__ import annotations

import pytest

from cardgen.issuing.jobs import JobsError, jobs, read_jobs
from cardgen.layouts_root import layouts_root


def test_every_card_of_a_job_is_a_card_that_there_is_a_layout_for() -> None:
    cards = {path.name.removesuffix(".xml.j2") for path in (layouts_root() / "cards").glob("*.xml.j2")}
    assert len(cards) > 15
    for name, wanted in jobs().items():
        assert set(wanted) <= cards, name


def test_a_job_is_typed_in_small_letters_so_that_it_is_found_however_it_is_written() -> None:
    assert [name for name in jobs() if name != " ".join(name.casefold().replace("-", " ").split())] == []


def test_the_day_at_the_track_has_the_run_up_both_readings_and_the_teeter_play() -> None:
    assert jobs()["track day"] == ("run-up", "track", "second-reading", "teeter")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[track day]", "jobs.toml: this is not TOML"),
        ('["track day"]', "jobs.toml: track day must have exactly cards"),
        ('"track day" = ["track"]', "jobs.toml: track day must have exactly cards"),
        ('["track day"]\ncards = []', "jobs.toml: track day must have exactly cards"),
        ('["track day"]\ncards = ["track", 3]', "jobs.toml: track day must have exactly cards"),
        ('["track day"]\ncards = ["track"]\nmore = 1', "jobs.toml: track day must have exactly cards"),
        ('["track day"]\ncards = ["track", "track"]', "jobs.toml: track day names a card twice"),
    ],
)
def test_a_table_that_says_it_otherwise_is_told_with_the_job(text: str, said: str) -> None:
    with pytest.raises(JobsError, match=said):
        read_jobs(text)
