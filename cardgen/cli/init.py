"""``cardgen init``: a commented specification without a single maker's value."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Literal

import click


@click.command(name="init")
@click.argument("file", type=click.Path(path_type=Path), default=Path("rotor.toml"))
@click.option(
    "--hub",
    type=click.Choice(["adjustable", "string"]),
    default="adjustable",
    show_default=True,
    help="Blades that centre themselves and have adjusters, or blades set to a string.",
)
@click.option(
    "--units",
    type=click.Choice(["inch", "metric"]),
    default="inch",
    show_default=True,
    help="Units of the examples in the comments.",
)
def command(file: Path, hub: Literal["adjustable", "string"], units: Literal["inch", "metric"]) -> None:
    """Write a commented specification to fill in.

    FILE is rotor.toml unless you name another; a file that exists is never overwritten. Nothing in
    it has a value: `cardgen check` walks you through, line by line.
    """
    from cardgen.cli.files import new
    from cardgen.cli.report import printable

    new(file, starting(shlex.quote(printable(file.name)), hub, units).encode())
    # A name with a blank in it would be two names to the shell.
    command = f"cardgen check {shlex.quote(printable(str(file)))}"
    click.echo(f"{printable(str(file))} is ready to fill in. Next: {command}")


def starting(file: str, hub: Literal["adjustable", "string"], units: Literal["inch", "metric"]) -> str:
    """Compose the starting specification; ``file`` is its name as a shell reads it."""
    from jinja2 import Environment, StrictUndefined

    from cardgen.layouts_root import layouts_root

    text = (layouts_root() / "starting" / "rotor.toml.j2").read_text("utf-8")
    # Nothing is escaped: the result is TOML, and every name handed in stands in a comment.
    environment = Environment(undefined=StrictUndefined, trim_blocks=True, keep_trailing_newline=True)
    return environment.from_string(text).render(file=file, hub=hub, units=units)
