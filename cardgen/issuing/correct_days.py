"""Putting right that entries were made with a day that had not come yet, as by a clock that ran ahead."""

from __future__ import annotations

from datetime import date

from cardgen.issuing.issue_request import IssueRefused, text_refusals
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.linked import newest_day
from cardgen.register.rows import CorrectionRow
from cardgen.register.trust import confirm_chain


@troubles_as_values
def correct_days(
    register: Register, day: date, said_by: str, reason: str
) -> CorrectionRow | IssueRefused | RegisterTrouble | None:
    """Enter somebody's word that today is ``day``, and nothing entered so far is later; None where nothing is.

    The entries stay as they were made; their days no longer stand against a later day of asking.
    """
    if problems := (*text_refusals("--by", said_by), *text_refusals("--reason", reason)):
        return IssueRefused(problems)
    with register.reading():
        confirm_chain(register)
        newest = newest_day(register)
    if newest is None or newest[0] <= day:
        return None
    return register.add_correction(day, " ".join(said_by.split()), reason)
