"""``cardgen desk`` as a keeper starts it: a real server in a process of its own."""

from __future__ import annotations

import shutil
import signal
import socket
import urllib.request
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.cli.running import INCH, cardgen
from tests.desk.serving import served


@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM])
def test_the_desk_is_served_to_who_has_its_address_and_ends_as_every_command(
    folder: Path, ending: signal.Signals
) -> None:
    shutil.copy(INCH, folder)
    with served(folder) as (process, address):
        port = urlsplit(address).port
        assert port is not None
        browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
        with browser.open(address, timeout=20) as page:
            assert page.url == f"http://127.0.0.1:{port}/"
            assert "Server" not in page.headers
            assert b"nr-0306.toml" in page.read()
        # Another address of this very machine (RFC 6890, 127.0.0.0/8) is not listened at.
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection(("127.0.0.2", port), timeout=5)
        process.send_signal(ending)
        _, err = process.communicate(timeout=20)
        assert process.returncode == 130
        assert "Interrupted." in err
        assert "Traceback" not in err


def test_a_port_that_is_taken_and_a_folder_that_is_none_are_told(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        ran = cardgen("desk", tmp_path, "--port", str(port), "--no-browser")
    assert (ran.code, ran.out) == (3, "")
    assert f"Port {port} of this machine cannot be used" in ran.err
    ran = cardgen("desk", tmp_path / "none", "--no-browser")
    assert (ran.code, ran.out) == (3, "")
    assert "cannot be read" in ran.err
