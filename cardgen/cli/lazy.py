# ruff: noqa: ARG002 (click fixes the signatures)
"""A command group that imports a command only when it is called.

Help and completion must answer at once, so the group knows each command's module and help line by
heart; a test compares those lines with the commands' own.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


@dataclass(frozen=True)
class CommandEntry:
    """Where a command lives, and its line in the help."""

    module: str
    help: str


class LazyGroup(click.Group):
    """A click group over a table of names; each module holds its command as ``command``."""

    def __init__(
        self,
        *args: object,
        entries: Mapping[str, CommandEntry],
        within: Mapping[str, tuple[str, ...]],
        **kwargs: object,
    ) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.entries = entries
        self.within = within

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Name every command in the order a keeper meets them."""
        return list(self.entries)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import one command."""
        if cmd_name not in self.entries:
            return None
        command = import_module(self.entries[cmd_name].module).command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.help) for name, entry in self.entries.items()])

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """Complete command names without importing any of them."""
        from click.shell_completion import CompletionItem

        names = [
            CompletionItem(name, help=entry.help)
            for name, entry in self.entries.items()
            if name.startswith(incomplete)
        ]
        return names + click.Command.shell_complete(self, ctx, incomplete)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or say which one may have been meant."""
        name = args[0]
        if name not in self.entries and not name.startswith("-") and not ctx.resilient_parsing:
            near = [f"{group} {name}" for group, names in self.within.items() if name in names]
            near = near or difflib.get_close_matches(name, self.entries, n=1)
            hint = f' Did you mean "{near[0]}"?' if near else ""
            ctx.fail(f'There is no command "{name}".{hint}')
        return super().resolve_command(ctx, args)
