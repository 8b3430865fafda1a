"""The hangar: every rotor of the folder. The page opens at once; states are asked for one by one."""

from __future__ import annotations

from flask import Blueprint

from cardgen.desk.pages import Place, page, the_desk

_PAGES = Blueprint("hangar", __name__)
PLACE = Place("The hangar", _PAGES, "hangar.list_rotors")


@_PAGES.get("/")
def list_rotors() -> str:
    """List the rotors by their files; the browser then asks for the state of each."""
    hangar = the_desk().hangar
    return page("hangar.html.j2", "The hangar", rotors=hangar.rotors())
