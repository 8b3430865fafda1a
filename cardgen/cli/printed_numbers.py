"""From a number as it stands on a card to the figures that print it, and the sum of each in one sentence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Protocol


class Printed(Protocol):
    """A figure as `explain` tells it."""

    @property
    def id(self) -> str:
        """Its id."""

    @property
    def unit(self) -> str:
        """The unit it is printed in."""

    @property
    def formula(self) -> str:
        """How it was made, in words; empty where it was stated."""

    @property
    def reference(self) -> str:
        """The document and place it comes from."""

    @property
    def inputs(self) -> Sequence[str]:
        """What it was made from, by id."""


def printed_as(typed: str, printed: Mapping[str, str], units: Mapping[str, str]) -> Iterator[str]:
    """Find the ids of all figures that print a number: ``152``, ``152 in·lbf``, ``1-1/2 in``.

    ``printed`` gives each figure's number as it stands on a card, ``units`` its unit. Numbers count
    as the same where their values are: 26 is found as 26.0.
    """
    from cardgen.logbook.number import read_number

    words = " ".join(typed.split())
    first, _, unit = words.partition(" ")
    value = read_number(first)
    for name, number in printed.items():
        as_printed = words in {number, f"{number} {units[name]}"}
        same_value = value is not None and value == read_number(number) and unit in {"", units[name]}
        if as_printed or same_value:
            yield name


def sum_of(figure: Printed, printed: Mapping[str, str], units: Mapping[str, str]) -> str:
    """Say in one sentence how a number was made, every value that went into it named."""
    amount = f"{printed[figure.id]} {figure.unit}".strip()
    if not figure.formula:
        return f"{amount} is stated in {figure.reference}."
    made = [f"{_name(each)} {printed[each]} {units[each]}".strip() for each in figure.inputs if each in printed]
    return f"{amount} is {figure.formula}{': ' if made else ''}{', '.join(made)}."


def _name(key: str) -> str:
    """Name an input as the formula speaks of it: a wrench's own values by the wrench, others by their key."""
    group, last = key.partition("[")[0], key.rpartition(".")[2]
    return f"wrench {last}" if group == "wrenches" else last
