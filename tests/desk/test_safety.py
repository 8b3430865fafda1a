"""Nobody but the browser that was let in reads or changes anything: each attack is tried.

What a browser sends by itself is as the Fetch standard and Fetch Metadata (W3C) say.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from flask import Blueprint, Response

from cardgen.desk.app import PLACES, make_app
from cardgen.desk.desk import Desk
from cardgen.desk.pages import Place
from cardgen.desk.safety import TOKEN_FIELD, Keys
from tests.desk.browsing import HOST, OWN, PORT, Visitor, let_in

ADDRESSES = ("/", "/rotor/0/", "/rotor/0/state", "/work/0", "/assets/desk.css", "/nothing")
#: It passes the checks and then finds nothing; nothing but the checks answers 403.
PAST = "/work/none/stop"


def test_the_entry_address_becomes_a_strict_cookie_and_an_address_without_it(stranger: Visitor) -> None:
    answer = stranger.get(f"/enter/{stranger.keys.entry}")
    assert (answer.status_code, answer.headers["Location"]) == (303, "/")
    name, *attributes = answer.headers["Set-Cookie"].split("; ")
    assert name == f"desk-{PORT}={stranger.keys.session}"
    assert set(attributes) == {"HttpOnly", "Path=/", "SameSite=Strict"}
    assert let_in(stranger).get("/").status_code == 200


@pytest.mark.parametrize("address", ADDRESSES)
def test_without_the_cookie_nothing_is_told(stranger: Visitor, address: str) -> None:
    answer = stranger.get(address)
    assert answer.status_code == 403
    assert "cardgen desk" in answer.text
    assert stranger.keys.post not in answer.text
    assert "Set-Cookie" not in answer.headers


@pytest.mark.parametrize("key", ["", "entry-ke", "entry-key2", "\N{SNOWMAN}", "session-key"])
def test_a_wrong_entry_address_lets_nobody_in(stranger: Visitor, key: str) -> None:
    assert stranger.get(f"/enter/{key}").status_code == 403
    assert stranger.get("/").status_code == 403


@pytest.mark.parametrize("value", ["", "session-ke", "entry-key", "post-key", "\xff"])
def test_another_cookie_lets_nobody_in(stranger: Visitor, value: str) -> None:
    assert stranger.get("/", {"Cookie": f"desk-{PORT}={value}"}).status_code == 403
    assert stranger.get("/", {"Cookie": f"desk={stranger.keys.session}"}).status_code == 403


@pytest.mark.parametrize(
    "host", [f"evil.example:{PORT}", "127.0.0.1", f"127.0.0.1:{PORT + 1}", f"127.0.0.1.evil.example:{PORT}"]
)
def test_a_foreign_host_name_that_leads_here_is_refused(visitor: Visitor, host: str) -> None:
    assert visitor.get("/", host=host).status_code == 403
    assert visitor.get(f"/enter/{visitor.keys.entry}", host=host).status_code == 403
    assert visitor.post(PAST, OWN, host=host).status_code == 403


def test_the_machine_s_own_name_is_the_desk_s_too(visitor: Visitor) -> None:
    host = f"localhost:{PORT}"
    assert visitor.get("/", host=host).status_code == 200
    assert visitor.post(PAST, {"Origin": f"http://{host}"}, host=host).status_code == 404


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_site_reads_nothing_even_with_the_cookie(visitor: Visitor, site: str) -> None:
    assert visitor.get("/", {"Sec-Fetch-Site": site}).status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "null", "Sec-Fetch-Site": "none"},
        {"Origin": "http://evil.example", "Sec-Fetch-Site": "cross-site"},
        {"Origin": f"http://127.0.0.1:{PORT + 1}", "Sec-Fetch-Site": "same-site"},
        {"Origin": f"https://{HOST}"},
        {"Origin": f"http://{HOST}.evil.example"},
        {"Origin": f"http://{HOST}", "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_what_another_page_posts_changes_nothing(visitor: Visitor, headers: Mapping[str, str]) -> None:
    assert visitor.post(PAST, headers).status_code == 403


@pytest.mark.parametrize("token", ["", "post-ke", "session-key", "entry-key", "\xff"])
def test_a_post_without_its_token_changes_nothing(visitor: Visitor, token: str) -> None:
    assert visitor.post(PAST, token=token).status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS"])
def test_every_way_but_reading_needs_the_token(visitor: Visitor, method: str) -> None:
    asked = visitor.send(method, PAST, OWN)
    assert asked.status_code == 403


def test_our_own_posts_come_through(visitor: Visitor) -> None:
    assert visitor.post(PAST).status_code == 404
    # A form on a page that sends no referrer (Fetch standard, "append a request `Origin` header").
    form = {"Origin": "null", "Sec-Fetch-Site": "same-origin"}
    field = {TOKEN_FIELD: visitor.keys.post}
    sent = visitor.send("POST", PAST, form, data=field)
    assert sent.status_code == 404


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_answer_forbids_code_in_pages_framing_guessing_and_keeping(
    visitor: Visitor, address: str
) -> None:
    headers = visitor.get(address).headers
    policy = dict(each.split(" ", 1) for each in headers["Content-Security-Policy"].split("; "))
    assert (policy["default-src"], policy["frame-ancestors"], policy["base-uri"]) == ("'none'",) * 3
    assert (policy["script-src"], policy["style-src"], policy["form-action"]) == ("'self'",) * 3
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"
    assert "Access-Control-Allow-Origin" not in headers


def test_a_printed_file_may_stand_in_a_frame_of_ours_and_of_nobody_else(desk: Desk, keys: Keys) -> None:
    pages = Blueprint("sheets", __name__)
    pages.add_url_rule("/sheet", "sheet", lambda: Response(b"%PDF-1.7", content_type="application/pdf"))
    app = make_app(desk, PORT, keys, (*PLACES, Place("Sheets", pages, "sheets.sheet")))
    inside = let_in(Visitor(app.test_client(use_cookies=False), keys))
    assert inside.get("/sheet").headers["Content-Security-Policy"] == "frame-ancestors 'self'"
    assert '<a href="/sheet">Sheets</a>' in inside.text("/")


@pytest.mark.parametrize(
    "name", ["base.html.j2", "..%2Ftwin.css", "../twin.css", "..%5Ctwin.css", "nothing.css"]
)
def test_nothing_but_the_desk_s_own_styles_and_scripts_is_an_asset(visitor: Visitor, name: str) -> None:
    assert visitor.get(f"/assets/{name}").status_code == 404
    assert visitor.get("/assets/desk.js").mimetype == "text/javascript"


def test_a_fault_of_the_program_shows_where_and_no_traceback(desk: Desk, keys: Keys) -> None:
    pages = Blueprint("faulty", __name__)

    def fail() -> str:
        raise ValueError("what was typed")

    pages.add_url_rule("/fail", "fail", fail)
    app = make_app(desk, PORT, keys, (*PLACES, Place("Faulty", pages, "faulty.fail")))
    inside = let_in(Visitor(app.test_client(use_cookies=False), keys))
    answer = inside.get("/fail")
    assert answer.status_code == 500
    assert "a fault of cardgen itself (ValueError at" in answer.text
    assert "Traceback" not in answer.text
    assert "what was typed" not in answer.text
