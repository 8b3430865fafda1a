"""Arguments and options that several commands share."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

import click

#: Other ways that the standard allows, such as 20270331 or 2027-W13-3, are easily misread.
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)

Command = TypeVar("Command", bound=Callable[..., Any])


class Day(click.ParamType):  # type: ignore[type-arg]
    """A calendar day such as 2027-03-31."""

    name = "date"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Read the day, or refuse it as a usage error."""
        if isinstance(value, date):
            return value
        try:
            if not _DAY.fullmatch(str(value)):
                raise ValueError
            return date.fromisoformat(str(value))
        except ValueError:
            self.fail(f'"{value}" is not a day; write it as 2027-03-31.', param, ctx)


def spec_argument(command: Command) -> Command:
    """Add the specification's path."""
    return click.argument("spec", type=click.Path(path_type=Path, readable=False))(command)


def today_option(command: Command) -> Command:
    """Add the day to reckon with."""
    return click.option(
        "--today",
        type=Day(),
        default=lambda: date.today(),
        metavar="DATE",
        help="Reckon with this day instead of today (for trials and tests).",
    )(command)


def json_option(command: Command) -> Command:
    """Add the switch for data instead of prose."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON for other programs.")(command)


def card_ids(named: tuple[str, ...]) -> tuple[str, ...]:
    """Take cards by their ids or by the titles that are printed on them, in any letter case."""
    from cardgen.deck.listed_cards import listed_cards

    ids = {words.casefold(): name for name, card in listed_cards().items() for words in (card.title, name)}
    return tuple(ids.get(" ".join(each.split()).casefold(), each) for each in named)


def cards_called(ids: Iterable[str]) -> str:
    """Name cards in a message by their ids, and by the titles printed on them where those are others."""
    from cardgen.deck.listed_cards import listed_cards

    titles = {name: str(card.title) for name, card in listed_cards().items()}
    return ", ".join(
        name if _alike(name, titles.get(name, name)) else f"{name} ({titles[name]})" for name in ids
    )


def _alike(name: str, title: str) -> bool:
    return name.replace("-", " ") == title.replace("-", " ").casefold()
