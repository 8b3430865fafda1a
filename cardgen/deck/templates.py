"""Rendering a card's template to markup, so that no number reaches a card except as a figure.

A template may print four things: a `Figure`, a figure's number under a unit in a table head,
words of the specification, and the program's own words. Anything else stops the build.
"""

from __future__ import annotations

import traceback
from collections.abc import Mapping
from functools import cache
from string import ascii_lowercase
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, TemplateError, TemplateSyntaxError, Undefined
from markupsafe import Markup

from cardgen.deck.fault import BuildFault
from cardgen.deck.library import library
from cardgen.deck.limits import bound_words
from cardgen.figures.figure import Figure
from cardgen.layouts_root import layouts_root
from cardgen.spec.text import Text

_SUFFIX = ".xml.j2"


class NotPrintableError(TypeError):
    """A template tried to print something that is neither a figure nor words."""


def quoted(text: str, key: str = "") -> Markup:
    """Mark words as quoted from the specification, or from the register, with the key they stand at."""
    return Markup('<said key="{}">{}</said>').format(key, text)


def number(figure: Figure) -> Markup:
    """Show a figure's number only; its unit stands in the head of the column."""
    if not isinstance(figure, Figure):
        raise NotPrintableError(f"only a figure has a number to show, not {type(figure).__name__}")
    return Markup('<value id="{}" show="number"/>').format(figure.id)


def bound(figure: Figure) -> str:
    """Say which end of a range a figure is: at least, at most."""
    if not isinstance(figure, Figure):
        raise NotPrintableError(f"only a figure has a bound, not {type(figure).__name__}")
    try:
        return bound_words(figure, library().terms)
    except ValueError as error:
        raise NotPrintableError(str(error)) from error


def limit(figure: Figure) -> Markup:
    """Show a figure after the words of its bound."""
    return Markup('{} <value id="{}"/>').format(bound(figure), figure.id)


def capitalised(words: str) -> str:
    """Begin a sentence with a capital."""
    return words[:1].upper() + words[1:]


def letter(place: int) -> str:
    """Name a place in a list, counted from 0, by letters for an id: a, b, to z, then aa, ab and so on."""
    more, last = divmod(place, len(ascii_lowercase))
    return (letter(more - 1) if more else "") + ascii_lowercase[last]


def _finalize(value: object) -> object:
    match value:
        case Undefined() | Markup():
            return value
        case Figure():
            return Markup('<value id="{}"/>').format(value.id)
        case Text():
            return quoted(value)
        case str():
            return value
    raise NotPrintableError(f"{type(value).__name__} is neither a figure nor words")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(layouts_root() / "cards"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_finalize,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(number=number, bound=bound, limit=limit, capitalised=capitalised, letter=letter)
    return environment


def render(card: str, context: Mapping[str, Any]) -> str:
    """Render a card's template to card markup.

    Raises `BuildFault` with the line of the template for a name it does not know, a value it must
    not print, or a template that Jinja cannot read.
    """
    try:
        return _environment().get_template(card + _SUFFIX).render(context)
    except TemplateSyntaxError as error:
        raise BuildFault(card, error.lineno, error.message or "not a template") from error
    except (TemplateError, NotPrintableError, LookupError) as error:
        raise BuildFault(card, _line(error), f"{error}") from error


def _line(error: Exception) -> int:
    """Find the last line of a template that an error passed through."""
    frames = traceback.extract_tb(error.__traceback__)
    lines = [frame.lineno or 0 for frame in frames if frame.filename.endswith(_SUFFIX)]
    return lines[-1] if lines else 0
