"""Asking a desk as a browser does, with the headers that a browser adds by itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from cardgen.desk.safety import TOKEN_HEADER, Keys

PORT = 8123
HOST = f"127.0.0.1:{PORT}"
OWN = {"Origin": f"http://{HOST}", "Sec-Fetch-Site": "same-origin"}


@dataclass(frozen=True)
class Visitor:
    """A browser at the desk."""

    client: FlaskClient
    keys: Keys

    def get(self, address: str, headers: Mapping[str, str] | None = None, host: str = HOST) -> TestResponse:
        return self.client.get(address, base_url=f"http://{host}", headers=dict(headers or {}))

    def post(
        self, address: str, headers: Mapping[str, str] = OWN, token: str | None = None, host: str = HOST
    ) -> TestResponse:
        told = {TOKEN_HEADER: self.keys.post if token is None else token, **headers}
        return self.client.post(address, base_url=f"http://{host}", headers=told)

    def text(self, address: str) -> str:
        """The page at an address, which has to be there."""
        answer = self.get(address)
        assert answer.status_code == 200, answer.text
        return answer.text
