"""``cardgen init``: a commented specification without a single maker's value."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Literal

import click

from cardgen.cli.errors import Trouble


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
@click.option(
    "--from",
    "like",
    type=click.Path(path_type=Path, readable=False),
    metavar="SPEC",
    help="Begin from a like rotor: name, diameter, serials, marks and dates are emptied.",
)
def command(
    file: Path, hub: Literal["adjustable", "string"], units: Literal["inch", "metric"], like: Path | None
) -> None:
    """Write a commented specification to fill in.

    FILE is rotor.toml unless you name another; a file that exists is never overwritten. Nothing in
    it has a value: `cardgen check` walks you through, line by line. With --from it has those of a like
    rotor, each to be read against this rotor's own papers.
    """
    from cardgen.cli.files import new
    from cardgen.cli.report import printable
    from cardgen.spec.starting import starting

    named = shlex.quote(printable(file.name))
    new(file, begun_from(like, named) if like else starting(named, hub, units).encode())
    # A name with a blank in it would be two names to the shell.
    command = f"cardgen check {shlex.quote(printable(str(file)))}"
    click.echo(f"{printable(str(file))} is ready to fill in. Next: {command}")


def begun_from(like: Path, file: str) -> bytes:
    """Compose a specification from that of a like rotor; ``file`` is its name as a shell reads it."""
    from cardgen.cli.report import printable
    from cardgen.register.currency import read_bounded
    from cardgen.register.errors import RegisterTrouble
    from cardgen.spec.begun import begun
    from cardgen.spec.toml import parse

    name = printable(str(like))
    content = read_bounded(like)
    if isinstance(content, RegisterTrouble):
        raise Trouble(f"{name}: {content.why}. Give the specification of a like rotor.")
    parsed = parse(content)
    if parsed.table is None:
        raise Trouble(f"{name} is no TOML, so nothing can be begun from it. Try cardgen check {name}.")
    if parsed.table.get("schema") != 2:
        raise Trouble(f"{name} is not of schema 2. Begin from one that is, or leave --from out.")
    head = (
        f"# Begun from {printable(like.name)}. What belonged to that rotor alone is emptied. Read every\n"
        f"# other value against this rotor's own papers before anything else, then run: cardgen check {file}\n"
    )
    return head.encode() + begun(parsed.text, parsed.table)
