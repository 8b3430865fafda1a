"""One rotor: how it stands, what stands against its file line by line, its decks."""

from __future__ import annotations

from contextlib import ExitStack

from flask import Blueprint, render_template

from cardgen.desk.fill.form import group_names
from cardgen.desk.hangar import Rotor
from cardgen.desk.in_register import decks_of
from cardgen.desk.pages import Place, page, the_desk, the_rotor
from cardgen.desk.rotor_state import RotorState, state_of
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.state import Standing, state_words

_PAGES = Blueprint("rotor", __name__, url_prefix="/rotor/<rotor_id>")
PLACE = Place("This rotor", _PAGES, "rotor.show", of_rotor=True)


@_PAGES.get("/")
def show(rotor_id: str) -> str:
    """Show one rotor."""
    rotor = the_rotor(rotor_id)
    state, decks = _known_of(rotor)
    listed = [(each, state_words(each)) for each in decks]
    told = {"state": state, "decks": listed, "groups": group_names()}
    return page("rotor.html.j2", state.set_id or rotor.name, rotor, **told)


@_PAGES.get("/state")
def state(rotor_id: str) -> str:
    """Answer a piece of page with one rotor's state, for the hangar's list."""
    rotor = the_rotor(rotor_id)
    return render_template("state.html.j2", rotor=rotor, state=_known_of(rotor, decks=False)[0])


def _known_of(rotor: Rotor, decks: bool = True) -> tuple[RotorState, tuple[Standing, ...]]:
    desk = the_desk()
    today = desk.today()
    with ExitStack() as stack:
        book = desk.opened_register()
        if isinstance(book, Register):
            stack.enter_context(book)
        found = state_of(desk.hangar, rotor, book, today)
        if not (decks and found.set_id and isinstance(book, Register)):
            return found, ()
        listed = decks_of(book, found.set_id, today)
    # Why the register cannot be asked stands in the state already.
    return found, () if isinstance(listed, RegisterTrouble) else listed
