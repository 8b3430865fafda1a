"""Taking a deck out of use."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from cardgen.issuing.issue import recall_list
from cardgen.issuing.request import Recall, Refused, text_refusals
from cardgen.register.code import Code
from cardgen.register.database import Register
from cardgen.register.rows import DeckRow, WithdrawalRow
from cardgen.register.trouble import RegisterTrouble, troubles_as_values
from cardgen.register.verify import Unknown


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
) -> Withdrawn | Unknown | Refused | RegisterTrouble:
    """Withdraw a deck for a stated reason, and list the copies to take down."""
    if problems := text_refusals("--reason", reason):
        return Refused(problems)
    deck = register.by_code(code)
    if deck is None:
        return Unknown(code)
    register.confirm(deck)
    before = register.withdrawal(deck.id) is not None
    withdrawal = register.add_withdrawal(deck, today, reason)
    return Withdrawn(deck, withdrawal, recall_list(register, deck), before)
