"""``cardgen schema``: the shape of a specification for editors and other programs."""

from __future__ import annotations

import click


@click.command(name="schema")
def command() -> None:
    """Print the JSON Schema of a specification.

    An editor that knows JSON Schema can complete keys and mark mistakes while you type. It knows
    the shape only; `cardgen check` knows the rules.
    """
    from cardgen.spec.json_schema import schema_text

    click.echo(schema_text().encode(), nl=False)
