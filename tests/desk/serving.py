"""A real desk in a process of its own, as a keeper starts it."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

from werkzeug.serving import WSGIRequestHandler, make_server

from cardgen.desk.app import make_app
from cardgen.desk.desk import Desk
from cardgen.desk.safety import Keys, entry_address
from tests.cli.running import TODAY, TREE


@contextmanager
def served(folder: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Start a desk; give its process and the address that it prints."""
    command = [sys.executable, "-W", "error", "-m", "cardgen", "desk", folder, "--no-browser", *TODAY]
    process = subprocess.Popen(
        [*map(str, command), "--register", str(folder.parent / "register.sqlite")],
        env={**os.environ, "PYTHONPATH": str(TREE)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout is not None
        yield process, process.stdout.readline().strip()
    finally:
        process.kill()
        process.communicate()


class _Quiet(WSGIRequestHandler):
    def log(self, *_: object) -> None:
        """Say nothing of each request."""


@contextmanager
def served_here(desk: Desk) -> Iterator[str]:
    """Serve a desk in threads of this process, whose work a test can hold up; give the address to enter by."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()
        port, keys = listening.getsockname()[1], Keys()
        server = make_server(
            "127.0.0.1",
            port,
            make_app(desk, port, keys),
            threaded=True,
            request_handler=_Quiet,
            fd=listening.fileno(),
        )
        serving = Thread(target=server.serve_forever)
        serving.start()
        try:
            yield entry_address(port, keys)
        finally:
            server.shutdown()
            serving.join()
            server.server_close()
            desk.jobs.stop_all()
            desk.sheets.stop()
