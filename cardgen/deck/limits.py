"""The words of a limit: they come from the bound of its figure, and nothing ever reads them back.

They stand in ``layouts/words`` under these ids. What a box takes is judged by the figures among its
limits and by its choices, whatever words say them on the card.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from cardgen.deck.card import Inline, Runs, Value, Words
from cardgen.figures.figure import Figure
from cardgen.spec.bound import Bound

#: Which of the fixed terms says which bound; a window has words of its own for both its ends.
_BOUND = {Bound.AT_LEAST: "limit-least", Bound.AT_MOST: "limit-most"}
_WINDOW = ("limit-from", "limit-to")
_CHOICE = "limit-or"
LIMIT_TERMS = frozenset({*_BOUND.values(), *_WINDOW, _CHOICE})


def bound_words(figure: Figure, terms: Mapping[str, str]) -> str:
    """Say which end of a range a figure is. Raises `ValueError` for one that bounds nothing."""
    if figure.bound not in _BOUND:
        raise ValueError(f"{figure.id} bounds nothing")
    return terms[_BOUND[figure.bound]]


def limit_runs(runs: Runs, choices: Sequence[str], terms: Mapping[str, str]) -> Runs:
    """Say what a box takes: each figure of its limits behind the words of its bound, or its choices.

    Other words follow the figures. Raises `ValueError` for words before them, for a figure that bounds
    nothing, for two that are not a window, and for choices that leave none or stand beside limits.
    """
    if choices:
        if runs or len(choices) < 2:
            raise ValueError("a box has limits, or two choices and more")
        return (Words(f" {terms[_CHOICE]} ".join(choices)),)
    values = [run for run in runs if isinstance(run, Value)]
    if values and runs[0] is not values[0]:
        raise ValueError("the words before a limit follow from its bound; other words stand after it")
    said = [bound_words(value.figure, terms) for value in values]
    if len(values) > 1:
        if [value.figure.bound for value in values] != [Bound.AT_LEAST, Bound.AT_MOST]:
            raise ValueError("two limits are a least and then a most")
        said = [terms[name] for name in _WINDOW]
    found: list[Inline] = []
    for words, value in zip(said, values, strict=True):
        found += [Words(f"{' ' if found else ''}{words} "), value]
    return (*found, *(run for run in runs if run not in values and run != Words(" ")))
