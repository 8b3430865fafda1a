"""The desk as one application: its places, its safety, and pages for what goes wrong."""

from __future__ import annotations

from collections.abc import Sequence
from http import HTTPStatus

import jinja2
from flask import Flask, Response, abort, send_from_directory
from werkzeug.exceptions import HTTPException

from cardgen.desk import check_pages, hangar_pages, issue_pages, log_pages, read_pages, rotor_pages, work_pages
from cardgen.desk.desk import Desk
from cardgen.desk.desk_words import at_desk, desk_words
from cardgen.desk.fill import begin_pages, fill_pages
from cardgen.desk.fill.form import box_id
from cardgen.desk.pages import Place, page
from cardgen.desk.safety import Keys, guard
from cardgen.issuing.fleet.pool import own_line
from cardgen.layouts_root import layouts_root
from cardgen.register.currency import LARGEST_FILE
from cardgen.spec.key_words import key_words

#: Every place, in the order in which the links to them stand.
PLACES = (
    hangar_pages.PLACE,
    begin_pages.PLACE,
    check_pages.PLACE,
    rotor_pages.PLACE,
    fill_pages.PLACE,
    read_pages.PLACE,
    issue_pages.PLACE,
    log_pages.PLACE,
)

_NOT_SAID = {
    404: "There is no such page.",
    405: "This page does not take that.",
    413: "This file is larger than anything that this program makes.",
}


def make_app(desk: Desk, port: int, keys: Keys, places: Sequence[Place] = PLACES) -> Flask:
    """Make the application for one desk, to be reached at one port of this machine."""
    files = layouts_root() / "screen" / "desk"
    app = Flask("cardgen.desk", template_folder=str(files), static_folder=None)
    app.jinja_options = {"autoescape": True, "undefined": jinja2.StrictUndefined, "trim_blocks": True}
    app.jinja_env.globals["post_token"] = keys.post
    app.jinja_env.filters.update(at_desk=at_desk, box_id=box_id, desk_words=desk_words, key_words=key_words)
    app.config["MAX_CONTENT_LENGTH"] = app.config["MAX_FORM_MEMORY_SIZE"] = LARGEST_FILE
    app.extensions.update(desk=desk, places=tuple(places))
    guard(app, port, keys)
    for pages in dict.fromkeys(each.pages for each in places):
        app.register_blueprint(pages)
    app.register_blueprint(work_pages.PAGES)

    def asset(name: str) -> Response:
        if not name.endswith((".css", ".js")):
            abort(404)
        return send_from_directory(files, name)

    app.add_url_rule("/assets/<name>", "asset", asset)
    app.register_error_handler(HTTPException, _told)
    app.register_error_handler(OSError, _refused_by_system)
    app.register_error_handler(Exception, _fault)
    return app


def _told(error: HTTPException) -> HTTPException | tuple[str, int]:
    code = error.code or 500
    if code < 400:  # a redirect
        return error
    own = error.description if error.description != type(error).description else None
    return _page(_NOT_SAID.get(code, HTTPStatus(code).phrase) if own is None else own), code


def _refused_by_system(error: OSError) -> tuple[str, int]:
    return _page(f"The system refused: {(error.strerror or type(error).__name__).lower()}."), 500


def _fault(error: Exception) -> tuple[str, int]:
    where = f"{type(error).__name__} at {own_line(error)}"
    return _page(
        f"This is a fault of cardgen itself ({where}). Nothing was made. "
        "Please send this line to whoever looks after cardgen for you."
    ), 500


def _page(words: str) -> str:
    return page("words.html.j2", "This did not work", words=words)
