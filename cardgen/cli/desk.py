"""``cardgen desk``: the whole job on a page in the browser, on this machine."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from cardgen.cli.errors import Trouble, reason
from cardgen.cli.options import Day
from cardgen.cli.register_access import path_of, register_option


@click.command(name="desk")
@click.argument("folder", metavar="[FOLDER]", default=".", type=click.Path(path_type=Path))
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, metavar="N", help="Listen here; else at a free port."
)
@click.option("--no-browser", is_flag=True, help="Open no browser; print the address.")
@register_option
@click.option(
    "--today",
    type=Day(),
    metavar="DATE",
    default=None,
    help="Reckon with this day instead of today (for trials and tests).",
)
def command(folder: Path, port: int, no_browser: bool, register: Path | None, today: date | None) -> None:
    """Keep the rotors below a folder on a page in the browser.

    It is served on this machine alone, and to whoever has its address alone, until Ctrl-C ends it.
    FOLDER is the one you are in unless you name another.
    """
    from cardgen.cli.report import printable
    from cardgen.desk.desk import Desk
    from cardgen.desk.hangar import Hangar
    from cardgen.desk.serve import serve

    try:
        next(folder.iterdir(), None)
    except OSError as error:
        raise Trouble(f"{printable(str(folder))} cannot be read: {reason(error)}.") from error
    day = today
    desk = Desk(Hangar(folder), path_of(register), date.today if day is None else lambda: day)
    try:
        serve(desk, port, _print if no_browser else _open)
    except OSError as error:
        raise Trouble(f"Port {port} of this machine cannot be used: {reason(error)}.") from error
    # The one way it ends; told as every command tells it.
    raise KeyboardInterrupt


def _print(address: str) -> None:
    click.echo(address)
    click.echo("The desk is open at this address. Ctrl-C closes it.", err=True)


def _open(address: str) -> None:
    import threading
    import webbrowser

    # A browser that runs in this terminal would keep the desk from answering it.
    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    click.echo(f"The desk is open in your browser; if it is not: {address}\nCtrl-C closes it.", err=True)
