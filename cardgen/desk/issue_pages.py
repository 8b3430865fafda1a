"""Issue: what would change, issuing with progress, the sheets, cards again, withdrawing, the recall list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from flask import Blueprint, Response, abort, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from cardgen.desk.issue_state import IssueState, issue_state, sheets_of
from cardgen.desk.pages import Place, page, the_desk, the_rotor
from cardgen.desk.shared_words import code_or_end, end_trouble, opened
from cardgen.desk.work import Job
from cardgen.issuing.fleet.run import read_whole
from cardgen.issuing.fleet.tasks import Issue, Outcome
from cardgen.issuing.issue_request import IssueRefused, text_refusals
from cardgen.issuing.withdraw_deck import withdraw
from cardgen.register.currency import UnknownCode
from cardgen.register.errors import RegisterTrouble
from cardgen.spec.problem import Problem

_PAGES = Blueprint("issue", __name__, url_prefix="/rotor/<rotor_id>/issue")
PLACE = Place("Issue", _PAGES, "issue.show", of_rotor=True)


@_PAGES.get("/")
def show(rotor_id: str) -> str:
    """Show what would change, the form to issue, and the decks that are there.

    Work that ended before its page came is followed all the same: it says what came of it.
    """
    return _shown(rotor_id, job=_asked_for(rotor_id, request.args.get("job", "")))


@_PAGES.post("/start")
def start(rotor_id: str) -> AnyResponse | str:
    """Begin to issue."""
    rotor, desk = the_rotor(rotor_id), the_desk()
    who, why = (" ".join(request.form.get(name, "").split()) for name in ("approved_by", "reason"))
    if found := (*text_refusals("Who answers for it", who), *text_refusals("Why it is issued", why)):
        return _shown(rotor_id, problems=found)
    text = read_whole(rotor.path)
    if isinstance(text, str):
        abort(409, f"Nothing was issued: {text}.")
    task = Issue(rotor.name, text, desk.today(), desk.hangar.folder / "issued", desk.register, who, why)
    job = desk.jobs.start(rotor.id, "Issue", task, "")
    if job is None:
        abort(409, "Work is under way for this rotor already. Nothing was begun.")
    job.asked = {"approved_by": who, "reason": why}
    job.then = url_for("issue.done", rotor_id=rotor.id, job_id=job.id)
    return redirect(url_for("issue.show", rotor_id=rotor.id, job=job.id), 303)


@_PAGES.get("/done/<job_id>")
def done(rotor_id: str, job_id: str) -> str:
    """Show what came of issuing."""
    job = _asked_for(rotor_id, job_id)
    made = job.result if job else None
    if job is None or not isinstance(made, Outcome):
        abort(404, "This work is not known any more. The page Issue tells how the rotor stands.")
    if not Path(made.folder).is_dir():
        # Stopped once it was entered, a deck has its files in the register alone.
        made = replace(made, folder="")
    return _shown(rotor_id, made=made, problems=made.problems, form={} if made.code else job.asked)


@_PAGES.get("/sheet/<code>/<name>")
def sheet(rotor_id: str, code: str, name: str) -> Response:
    """Answer one printed file, or the part of it with the cards asked for, for the browser's own viewer."""
    the_rotor(rotor_id)
    found = sheets_of(the_desk(), code_or_end(code), request.args.get("cards", ""))
    content = found.files.get(name)
    if content is None or not name.endswith(".pdf"):
        abort(404, "This deck has no such file.")
    return Response(content, mimetype="application/pdf")


@_PAGES.get("/again/<code>")
def again(rotor_id: str, code: str) -> str:
    """List the files with one card, or with the cards of one job."""
    rotor, cards = the_rotor(rotor_id), request.args.get("cards", "")
    found = sheets_of(the_desk(), code_or_end(code), cards)
    names = [each for each in found.files if each.endswith(".pdf")]
    return page("again.html.j2", "Print again", rotor, found=found, names=names, cards=cards)


@_PAGES.post("/withdraw")
def take_out(rotor_id: str) -> AnyResponse | str:
    """Withdraw a deck for a reason."""
    rotor, desk = the_rotor(rotor_id), the_desk()
    code = code_or_end(request.form.get("code", ""))
    reason = " ".join(request.form.get("reason", "").split())
    with opened(desk, "write") as book:
        deck = book.by_code(code)
        state = issue_state(desk, rotor)
        if deck is None or deck.set_id != state.set_id:
            abort(404, "This rotor has no deck with this code.")
        made = withdraw(book, code, reason, desk.today())
    if isinstance(made, RegisterTrouble):
        end_trouble(made)
    if isinstance(made, UnknownCode):
        abort(404, "No deck in this register has this code.")
    if isinstance(made, IssueRefused):
        return _shown(rotor_id, problems=made.problems)
    return redirect(url_for("issue.recall", rotor_id=rotor.id), 303)


@_PAGES.get("/recall")
def recall(rotor_id: str) -> str:
    """Show which copies hang where and have to come down, to be printed and ticked."""
    rotor = the_rotor(rotor_id)
    return page("recall.html.j2", "Copies to take down", rotor, state=issue_state(the_desk(), rotor))


def _asked_for(rotor_id: str, job_id: str) -> Job | None:
    job = the_desk().jobs.job(job_id)
    return job if job and job.rotor_id == rotor_id else None


def _shown(
    rotor_id: str,
    problems: Sequence[Problem] = (),
    made: Outcome | None = None,
    job: Job | None = None,
    form: Mapping[str, str] | None = None,
) -> str:
    rotor, desk = the_rotor(rotor_id), the_desk()
    state: IssueState = issue_state(desk, rotor)
    typed = {name: (form or request.form).get(name, "") for name in ("approved_by", "reason")}
    job = desk.jobs.of_rotor(rotor.id) or job
    values = {"problems": problems, "made": made, "job": job, "form": typed, "today": desk.today()}
    return page("issue.html.j2", "Issue", rotor, state=state, **values)
