"""The grammar of a quantity as a regular expression, for editors that read the JSON Schema."""

from __future__ import annotations

from cardgen.spec.grammar import SUMS, Kind
from cardgen.spec.spellings import written

_GAP = r"\s*"
_SIGNS = "[^0-9A-Za-z]*"
_FRACTION = "([0-9]+[/⁄∕][1-9][0-9]*|[¼-¾⅐-⅞])"
_NUMBER = rf"(([0-9]+{_SIGNS})?{_FRACTION}|[0-9]+([.][0-9]+)?|[.][0-9]+)"

# What stands for the signs of `written`: their look-alikes, and whatever may part two words.
_LOOSE = str.maketrans(
    {
        "·": _SIGNS,
        " ": r"\s+",
        "/": r"(\s*[/⁄∕]\s*|\s+per\s+)",
        "°": "[°º˚]",
        '"': '["“”„‟″＂]',
        "'": "['‘’‚‛′´`]",
    }
)


def pattern(kind: Kind) -> str:
    """Write the grammar of one kind as a regular expression.

    It lets through every text that `read` accepts and no other unit. For the sake of its length it
    also lets through a few that `read` refuses, such as a leading zero.
    """
    sign = f"([-‐-―−﹣－]{_GAP})?" if kind.signed else ""
    forms = [f"{sign}{_NUMBER}{_GAP}({_names(kind.units)})"]
    for first, second in SUMS:
        if {first, second} <= set(kind.units):
            forms.append(f"[0-9]+{_GAP}({_names((first,))}){_SIGNS}{_NUMBER}{_GAP}({_names((second,))})")
    return rf"^\s*({'|'.join(forms)})[.]?\s*$"


def _names(units: tuple[str, ...]) -> str:
    return "|".join(map(written, units)).translate(_LOOSE)
