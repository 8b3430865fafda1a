"""Serving a desk: on this machine alone, until it is interrupted."""

from __future__ import annotations

import logging
import socket
from collections.abc import Callable

from waitress.server import create_server

from cardgen.desk.app import make_app
from cardgen.desk.desk import Desk
from cardgen.desk.safety import Keys, entry_address

#: Requests answered at once: a page is not kept waiting by the states that are being asked for.
_THREADS = 6


def serve(desk: Desk, port: int, opened: Callable[[str], object]) -> None:
    """Serve at a port, or at a free one where it is 0; ``opened`` is told the address to enter by.

    Returns once it is interrupted and every job has ended. Raises `OSError` where the port cannot be had.
    """
    # Words for an operator of web servers; nobody at a desk can do anything about them.
    logging.getLogger("waitress").setLevel(logging.CRITICAL)
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", port))
        port, keys = listening.getsockname()[1], Keys()
        app = make_app(desk, port, keys)
        server = create_server(app, sockets=[listening], threads=_THREADS, ident=None)
        try:
            opened(entry_address(port, keys))
            server.run()
        finally:
            desk.jobs.stop_all()
            desk.sheets.stop()
            server.close()
