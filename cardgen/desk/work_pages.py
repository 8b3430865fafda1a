"""How a piece of long work is going, for the page that waits for it, and stopping it."""

from __future__ import annotations

from flask import Blueprint, abort

from cardgen.desk.pages import the_desk
from cardgen.desk.work import Job, WorkState

PAGES = Blueprint("work", __name__, url_prefix="/work/<job_id>")

_WORDS: dict[WorkState, str] = {
    "waiting": "waits for other work to end",
    "working": "under way",
    "stopping": "stopping",
    "done": "done",
    "stopped": "stopped; nothing was left half-written",
    "failed": "failed",
}


@PAGES.get("")
def ask(job_id: str) -> dict[str, object]:
    """Tell how a job is going."""
    return _told(_job(job_id))


@PAGES.post("/stop")
def stop(job_id: str) -> dict[str, object]:
    """Ask a job to end."""
    job = _job(job_id)
    the_desk().jobs.stop(job)
    return _told(job)


def _job(job_id: str) -> Job:
    job = the_desk().jobs.job(job_id)
    if job is None:
        abort(404, "This work is not known: the desk was started again since, or it is long over.")
    return job


def _told(job: Job) -> dict[str, object]:
    words = f"{job.title}: {_WORDS[job.state]}, {job.seconds} s"
    return {
        "state": job.state,
        "over": job.is_over,
        "words": f"{words}: {job.why}" if job.why else words,
        "then": job.then if job.state == "done" else "",
    }
