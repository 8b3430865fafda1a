"""What every place of the desk needs: the desk itself, its rotors, and a page around a template."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from flask import Blueprint, abort, current_app, render_template

from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Rotor


@dataclass(frozen=True)
class Place:
    """A place of the desk: its plain name, its pages, and the endpoint that a link to it opens.

    The endpoint of a rotor's place takes ``rotor_id``.
    """

    title: str
    pages: Blueprint
    endpoint: str
    of_rotor: bool = False


def the_desk() -> Desk:
    """The desk that this request came to."""
    return cast(Desk, current_app.extensions["desk"])


def the_rotor(rotor_id: str) -> Rotor:
    """The rotor with this id, or the page that says that there is none."""
    rotor = the_desk().hangar.rotor(rotor_id)
    if rotor is None:
        abort(404, "There is no such rotor in this folder, or its file was moved.")
    return rotor


def page(template: str, title: str, rotor: Rotor | None = None, /, **values: object) -> str:
    """Fill a template that extends ``base.html.j2``; with a rotor, its places stand above the page."""
    places: Sequence[Place] = current_app.extensions["places"]
    told = {
        "title": title,
        "rotor": rotor,
        "desk_places": [each for each in places if not each.of_rotor],
        "rotor_places": [each for each in places if each.of_rotor] if rotor else [],
    }
    return render_template(template, **told, **values)
