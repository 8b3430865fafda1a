"""Long work: outside the request, asked after, one at a time for a rotor, ended as Ctrl-C ends a command."""

from __future__ import annotations

from pathlib import Path

from cardgen.desk.desk import Desk
from cardgen.desk.work import Job, Jobs
from tests.desk.browsing import Visitor
from tests.desk.tasks import Failing, Waiting, until
from tests.issuing.quick import workers_in_threads


def begun(jobs: Jobs, folder: Path, rotor_id: str = "a") -> Job:
    folder.mkdir(exist_ok=True)
    job = jobs.start(rotor_id, "Draft", Waiting(folder), "/rotor/a/drafted")
    assert job is not None
    return job


def test_work_is_followed_to_its_end_and_leads_to_its_result(
    visitor: Visitor, desk: Desk, tmp_path: Path
) -> None:
    with workers_in_threads():
        job = begun(desk.jobs, tmp_path)
        until((tmp_path / "begun").exists)
        told = visitor.get(f"/work/{job.id}").json
        assert told == {
            "state": "working",
            "over": False,
            "words": f"Draft: under way, {job.seconds} s",
            "then": "",
        }
        (tmp_path / "end").touch()
        until(lambda: job.is_over)
    told = visitor.get(f"/work/{job.id}").json
    assert told is not None
    assert (told["state"], told["over"], told["then"]) == ("done", True, "/rotor/a/drafted")
    assert job.result == "a whole deck"


def test_a_rotor_has_one_piece_of_work_at_a_time(tmp_path: Path) -> None:
    jobs = Jobs()
    with workers_in_threads():
        first = begun(jobs, tmp_path)
        assert jobs.of_rotor("a") is first
        assert jobs.start("a", "Draft", Failing(), "") is None
        (tmp_path / "end").touch()
        until(lambda: first.is_over)
        assert jobs.of_rotor("a") is None
        second = jobs.start("a", "Draft", Failing(), "")
        assert second is not None
        until(lambda: second.is_over)


def test_a_fault_is_told_with_its_place_and_leads_nowhere(visitor: Visitor, desk: Desk) -> None:
    with workers_in_threads():
        job = desk.jobs.start("a", "Draft", Failing(), "/rotor/a/drafted")
        assert job is not None
        until(lambda: job.is_over)
    told = visitor.get(f"/work/{job.id}").json
    assert told is not None
    assert (told["state"], told["then"]) == ("failed", "")
    assert "a fault of cardgen itself (ValueError" in told["words"]


def test_work_that_is_stopped_tidies_up_and_ends(visitor: Visitor, desk: Desk, tmp_path: Path) -> None:
    job = begun(desk.jobs, tmp_path)
    until((tmp_path / "begun").exists)
    assert visitor.post(f"/work/{job.id}/stop", token="").status_code == 403
    assert job.state == "working"
    told = visitor.post(f"/work/{job.id}/stop").json
    assert told is not None
    assert told["state"] in {"stopping", "stopped"}
    until(lambda: job.is_over)
    assert (job.state, (tmp_path / "tidied").exists()) == ("stopped", True)


def test_work_that_has_not_begun_is_stopped_too_and_a_closing_desk_waits_for_all(tmp_path: Path) -> None:
    jobs = Jobs()
    began = [begun(jobs, tmp_path / str(number), str(number)) for number in range(4)]
    jobs.stop_all()
    assert [each.state for each in began] == ["stopped"] * 4
    assert not list(tmp_path.glob("*/end"))
