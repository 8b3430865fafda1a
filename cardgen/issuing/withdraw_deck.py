"""Taking a deck out of use."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from cardgen.issuing.issue_deck import recall_list
from cardgen.issuing.issue_request import IssueRefused, Recall, text_refusals
from cardgen.register.code import Code
from cardgen.register.currency import UnknownCode
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.rows import DeckRow, WithdrawalRow
from cardgen.register.trust import confirm, trusted


@dataclass(frozen=True)
class Withdrawn:
    """A deck out of use; ``before`` where it was withdrawn already, and the first reason stands."""

    deck: DeckRow
    withdrawal: WithdrawalRow
    recall: tuple[Recall, ...]
    before: bool


@troubles_as_values
def withdraw(
    register: Register, code: Code, reason: str, today: date
) -> Withdrawn | UnknownCode | IssueRefused | RegisterTrouble:
    """Withdraw a deck for a stated reason, and list the copies to take down."""
    if problems := text_refusals("--reason", reason):
        return IssueRefused(problems)
    with trusted(register, today):
        deck = register.by_code(code)
        if deck is None:
            return UnknownCode(code)
        confirm(register, deck)
    before = register.withdrawal(deck.id) is not None
    withdrawal = register.add_withdrawal(deck, today, reason)
    return Withdrawn(deck, withdrawal, recall_list(register, deck), before)
