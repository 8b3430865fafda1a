"""A new rotor: a file to fill in, from nothing or from that of a like rotor."""

from __future__ import annotations

import re
from typing import Literal

from flask import Blueprint, abort, redirect, request, url_for
from werkzeug.wrappers import Response

from cardgen.desk.pages import Place, page, the_desk
from cardgen.placing import place_new
from cardgen.plain_file import read_plain
from cardgen.spec.begun import begun
from cardgen.spec.load import LARGEST
from cardgen.spec.safe_text import plain
from cardgen.spec.starting import starting
from cardgen.spec.toml import parse

_PAGES = Blueprint("begin", __name__, url_prefix="/begin")
PLACE = Place("New rotor", _PAGES, "begin.ask")

_NAME = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?", re.ASCII)


@_PAGES.get("/")
def ask() -> str:
    """Ask for the file's name and what to begin from."""
    return page("begin.html.j2", "New rotor", rotors=the_desk().hangar.rotors())


@_PAGES.post("/")
def begin() -> Response:
    """Write the file, which must not be there yet, and open it to fill in."""
    name = request.form.get("name", "").strip().lower().removesuffix(".toml")
    if not _NAME.fullmatch(name):
        abort(400, "A file's name has small letters, digits and hyphens, at most 40: such as rb-2041.")
    hangar = the_desk().hangar
    path = hangar.folder / f"{name}.toml"
    try:
        place_new(path, _text(path.name))
    except FileExistsError:
        abort(409, f"{path.name} is there already and stays as it is. Choose another name.")
    made = next((each for each in hangar.rotors() if each.path == path), None)
    if made is None:
        abort(500, "The file was written and cannot be found again.")
    return redirect(url_for("fill.begin", rotor_id=made.id), 303)


def _text(file: str) -> bytes:
    like = request.form.get("like", "")
    if not like:
        hub: Literal["adjustable", "string"] = "string" if request.form.get("hub") == "string" else "adjustable"
        units: Literal["inch", "metric"] = "metric" if request.form.get("units") == "metric" else "inch"
        return starting(file, hub, units).encode()
    rotor = the_desk().hangar.rotor(like)
    if rotor is None:
        abort(404, "There is no such rotor in this folder, or its file was moved.")
    parsed = parse(read_plain(rotor.path, LARGEST))
    if parsed.table is None or parsed.table.get("schema") != 2:
        abort(409, "Nothing can be begun from that file: it cannot be read, or is not of schema 2.")
    head = f"# Begun from {plain(rotor.path.name)}. What belonged to that rotor alone is emptied.\n"
    return (
        f"{head}# Read every other value against this rotor's own papers before anything else.\n".encode()
        + begun(parsed.text, parsed.table)
    )
