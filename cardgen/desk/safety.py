"""Who may ask the desk for anything: the browser that was let in, from the desk's own pages, and nobody else.

A page of another site, or of another program on this machine, can send a browser here. It has no
cookie of ours (strict), cannot name itself as our origin (Fetch standard: `Origin`, `Sec-Fetch-Site`),
cannot make its own host name lead here (`Host`), and does not know the token of our forms.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from hmac import compare_digest

from flask import Flask, Request, Response, abort, redirect, request
from werkzeug.wrappers import Response as AnyResponse

#: The header, and the hidden field of a form, that carry the token of a post.
TOKEN_HEADER = "X-Desk-Token"
TOKEN_FIELD = "desk_token"

_READS = frozenset({"GET", "HEAD"})
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
#: The browser's own viewer needs its own styles and scripts; our pages may frame it.
_POLICY_PDF = "frame-ancestors 'self'"
#: The log-entry form is a page of its own with its scripts in it: shut off from the desk and from everything.
POLICY_FORM = (
    "sandbox allow-scripts allow-downloads allow-modals; default-src 'none'; script-src 'unsafe-inline'; "
    "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}


@dataclass(frozen=True)
class Keys:
    """The secrets of one run of the desk: one lets a browser in, one goes with every post."""

    entry: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    session: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    post: str = field(default_factory=lambda: secrets.token_urlsafe(32))


def entry_address(port: int, keys: Keys) -> str:
    """The address that lets a browser in."""
    return f"http://127.0.0.1:{port}/enter/{keys.entry}"


def guard(app: Flask, port: int, keys: Keys) -> None:
    """Let every request of an app pass these checks first, and every answer carry these headers."""
    hosts = frozenset({f"127.0.0.1:{port}", f"localhost:{port}"})
    # A browser keeps one set of cookies for all ports of a host: each desk names its own.
    cookie = f"desk-{port}"

    def check() -> None:
        if request.headers.get("Host") not in hosts:
            abort(403, "This address does not belong to the desk.")
        if request.endpoint == "enter":
            return
        if not _same(request.cookies.get(cookie), keys.session):
            abort(403, "Open the desk with the address that `cardgen desk` gave when it started.")
        if request.headers.get("Sec-Fetch-Site", "none") not in {"none", "same-origin"}:
            abort(403, "Another page asked for this. Open it from the desk itself.")
        if request.method not in _READS and not _is_ours(request, keys):
            abort(403, "Nothing was changed: this did not come from a page of this desk. Load the page again.")

    def enter(key: str) -> AnyResponse:
        if not _same(key, keys.entry):
            abort(403, "This is not the address that `cardgen desk` gave when it started last.")
        answer = redirect("/", 303)
        answer.set_cookie(cookie, keys.session, httponly=True, samesite="Strict")
        return answer

    app.before_request(check)
    app.after_request(_with_headers)
    app.add_url_rule("/enter/<key>", "enter", enter, methods=["GET"])


def _is_ours(asked: Request, keys: Keys) -> bool:
    origin, site = asked.headers.get("Origin"), asked.headers.get("Sec-Fetch-Site")
    # A form on a page that sends no referrer says "null"; then only the browser's own word counts.
    own = f"http://{asked.headers['Host']}"
    if origin != own and not (origin == "null" and site == "same-origin"):
        return False
    return _same(asked.headers.get(TOKEN_HEADER) or asked.form.get(TOKEN_FIELD), keys.post)


def _same(given: str | None, secret: str) -> bool:
    return compare_digest((given or "").encode("utf-8", "replace"), secret.encode())


def _with_headers(answer: Response) -> Response:
    answer.headers.update(_HEADERS)
    usual = _POLICY_PDF if answer.mimetype == "application/pdf" else _POLICY
    answer.headers.setdefault("Content-Security-Policy", usual)
    return answer
