"""Whether somebody else has read a specification against its papers: keeping a reading, asking for one."""

from __future__ import annotations

from datetime import date

from cardgen.issuing.issue_request import IssueRefused, Request, text_refusals
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.rows import ReadingRow
from cardgen.spec.problem import Problem
from cardgen.spec.read_check import NoReadCheck, ReadCheck, typed_check

#: Rules by which a specification waits for its reader; nothing is wrong with it.
UNREAD = frozenset({"not-read", "read-by-approver"})
_HOW = "draft it, have a second person read copied.pdf against the maker's paper, then: cardgen read SPEC"


@troubles_as_values
def keep_reading(
    register: Register, set_id: str, check: ReadCheck, read_by: str, typed: str, day: date
) -> ReadingRow | IssueRefused | RegisterTrouble:
    """Keep that somebody has read the specification with this check, or say why not.

    ``typed`` is the check as it was typed off the sheet; it must be that of this specification.
    """
    if problems := (*text_refusals("--by", read_by), *_check_refusals(check, typed)):
        return IssueRefused(problems)
    return register.add_reading(set_id, " ".join(read_by.split()), day, check)


def find_reading(register: Register, request: Request) -> ReadingRow | IssueRefused | RegisterTrouble:
    """Find the newest reading of a request's specification by another than who approves it.

    One that the request brings is kept first.
    """
    if request.read_by or request.typed_check:
        kept = keep_reading(
            register, request.set_id, request.check, request.read_by, request.typed_check, request.issued
        )
        if not isinstance(kept, ReadingRow):
            return kept
    readings = register.readings(request.check)
    others = [each for each in readings if not same_name(each.read_by, request.approved_by)]
    if others:
        return others[-1]
    if readings:
        why = "the one who answers for a deck cannot be the one who read it: two people must have looked"
        write = f"{_HOW} --by with that person's name"
        return IssueRefused((_problem("read-by-approver", readings[-1].read_by, why, write),))
    why = "nobody has read exactly this specification against the papers that it was copied from"
    return IssueRefused((_problem("not-read", "", why, f"{_HOW} --by NAME --check CHECK"),))


def same_name(first: str, second: str) -> bool:
    """Whether two names are one person's, however they are spaced and whatever letters are capitals."""
    return _bare(first) == _bare(second)


def _bare(name: str) -> str:
    return "".join(name.split()).casefold()


def _check_refusals(check: ReadCheck, typed: str) -> tuple[Problem, ...]:
    read = typed_check(typed)
    if isinstance(read, NoReadCheck):
        return (_problem("check-mistyped", ascii(read.read)[1:-1], read.why, read.write),)
    if read == check:
        return ()
    why = "this is the check of another text: the specification was changed after that sheet was printed"
    write = "the check of this very text: draft it again, and read the new copied.pdf"
    return (_problem("check-differs", read, why, write),)


def _problem(rule: str, read: str, why: str, write: str) -> Problem:
    return Problem("issue", 0, 0, "", rule, read, why, write)
