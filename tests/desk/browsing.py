"""Asking a desk as a browser does, with the headers that a browser adds by itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from cardgen.desk.safety import TOKEN_HEADER, Keys

PORT = 8123
HOST = f"127.0.0.1:{PORT}"
OWN = {"Origin": f"http://{HOST}", "Sec-Fetch-Site": "same-origin"}


@dataclass(frozen=True)
class Visitor:
    """A browser at the desk, with the cookie that it sends to whatever host."""

    client: FlaskClient
    keys: Keys
    cookie: str = ""

    def get(self, address: str, headers: Mapping[str, str] | None = None, host: str = HOST) -> TestResponse:
        return self.send("GET", address, headers or {}, host)

    def post(
        self, address: str, headers: Mapping[str, str] = OWN, token: str | None = None, host: str = HOST
    ) -> TestResponse:
        told = {TOKEN_HEADER: self.keys.post if token is None else token, **headers}
        return self.send("POST", address, told, host)

    def send(
        self,
        method: str,
        address: str,
        headers: Mapping[str, str],
        host: str = HOST,
        data: Mapping[str, str] | None = None,
    ) -> TestResponse:
        told = {"Cookie": self.cookie, **headers}
        return self.client.open(
            address, method=method, base_url=f"http://{host}", headers=told, data=data, buffered=True
        )

    def text(self, address: str) -> str:
        """The page at an address, which has to be there."""
        answer = self.get(address)
        assert answer.status_code == 200, answer.text
        return answer.text


def let_in(stranger: Visitor) -> Visitor:
    """Come in by the address that the command gives, and keep the cookie."""
    answer = stranger.get(f"/enter/{stranger.keys.entry}")
    assert answer.status_code == 303
    return replace(stranger, cookie=answer.headers["Set-Cookie"].partition(";")[0])
