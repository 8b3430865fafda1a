"""Rotors of every kind that a specification can describe, made from the samples by small edits.

They are typed but not judged by the rules, so that one choice can be taken to its limit alone. All
values are invented.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path

from cardgen.deck.build import build_deck
from cardgen.deck.card import Deck
from cardgen.figures import compute
from cardgen.press.edition import PaperKind
from cardgen.spec.model import RotorSpec
from tests.editing import edited, without_group, without_table
from tests.press.screen_deck import ISSUED

_TREE = Path(__file__).parents[2]


def _text(*path: str) -> str:
    """Read a specification, with nothing after the headers of its groups."""
    return re.sub(r"^(\[.*\])[ \t]*#.*$", r"\1", _TREE.joinpath(*path).read_text("utf-8"), flags=re.M)


INCH = _text("tests", "spec", "complete.toml")
SELF_CENTRING = _text("sample_inputs", "nr-0306.toml")
METRIC = _text("sample_inputs", "ft-7400.toml")

#: Groups without which there are fewer cards, or fewer words on them.
OPTIONAL = (
    *("hub", "aircraft", "straps", "string", "pitch", "balance", "tip", "teeter", "head", "reflectors"),
    *("run", "shake", "care", "print", "overrides"),
)
#: As long as a name and a text may be, and a text that has no place to break.
NAME = "rear bolt of the pair nearest the tip (4)"[:40]
WORDS = ("as the maker's sheet asks, " * 8)[:199].strip() + "."
WORD = "W" * 100 + "m" * 100


def bolts(
    text: str, count: int, pattern: str = "row", abreast: int = 0, *, makers: int = 0, name: str = "bolt"
) -> str:
    """Give a rotor so many strap bolts.

    ``abreast`` of them stand beside the one before; the last ones are the maker's.
    """
    torque, drag = ("22 N·m", "3 N·m") if "N·m" in text else ("165 in·lbf", "20 in·lbf")
    least, thread = ("20 N·m", "M8x1") if "N·m" in text else ("150 in·lbf", "3/8-24")
    source = (
        '"MAKER-4 sheet 2"' if "MAKER-4" in text else '"BOOK-A p.6"' if "BOOK-A" in text else '"MAKER-1 p.9"'
    )
    head = "\n".join(
        f"""
[[fasteners]]
where = "strap"
stations = [{station}]
name = "{f"{name} {station}"[-40:]}"
fitted_by = "{"maker" if station > count - makers else "you"}"
thread = "{thread}"
nut = "tension"
locking = "{"cotter pin" if station % 2 else "self-locking nut"}"
{'pin_head = "inboard"' if station % 2 else ""}
threads = "{"dry" if station % 3 else "oiled"}"
torque_min = "{least}"
torque_max = "{torque}"
drag = "add"
drag_max = "{drag}"
turned_at = "nut"
entered_from = "above"
source = {source}
"""
        for station in range(1, count + 1)
    )
    pairs = [[station - 1, station] for station in range(2, 2 * abreast + 1, 2)]
    bare = _without_strap_bolts(text)
    bare = re.sub(r"^abreast .*$", "", bare, flags=re.M)
    bare = edited(bare, "tightening.pattern", f'"{pattern}"')
    bare = edited(bare, "tightening.order", str(list(range(1, count - makers + 1))))
    if pairs:
        bare = edited(bare, "tightening.abreast", str(pairs))
    at = bare.index("[tightening]")
    return f"{bare[:at]}{head}\n{bare[at:]}"


def _without_strap_bolts(text: str) -> str:
    parts = text.split("[[fasteners]]")
    end = parts[-1].index("[tightening]")
    kept = [part for part in (*parts[1:-1], parts[-1][:end]) if 'where        = "strap"' not in part]
    return parts[0] + "".join(f"[[fasteners]]{part}" for part in kept) + parts[-1][end:]


def wrenches(text: str, count: int) -> str:
    """Give a bench so many wrenches, each of another kind."""
    text = without_group(text, "wrenches")
    unit, at = ("N·m", text.index("[tightening]")) if "N·m" in text else ("in·lbf", text.index("[tightening]"))
    kinds = (("beam", "", ""), ("click", "50 mm", "90 deg"), ("dial", "75 mm", "0 deg"))
    made = ""
    for number, (kind, extension, angle) in enumerate(kinds[:count], start=1):
        made += f'[[wrenches]]\nid = "Bench wrench number {number}"\nkind = "{kind}"\nlength = "300 mm"\n'
        made += f'extension = "{extension}"\nangle = "{angle}"\n' if extension else ""
        made += f'error = 4\nrange_min = "2 {unit}"\nrange_max = "300 {unit}"\ngraduation = "0.5 {unit}"\n\n'
    return text[:at] + made + text[at:]


def without(text: str, *groups: str) -> str:
    """Take groups out, where the text has them."""
    for group in groups:
        if re.search(rf"^\[+{group}\b", text, re.M):
            text = without_group(text, group)
    return text


def on(text: str, paper: str) -> str:
    """Ask for A sizes or letter sizes."""
    return edited(text, "print.paper", f'"{paper}"')


def long_words(text: str) -> str:
    """Take names and texts to their limits."""
    for key in ("rotor.mark_a", "rotor.mark_b", "rotor.hub_serial", "blades.serial_a", "blades.serial_b"):
        text = edited(text, key, f'"{key[-1].upper()} {NAME[2:]}"')
    for key in (
        *("rotor.marks_at", "hub.damper", "authority.signers", "balance.place", "balance.retention"),
        *("balance.level_point", "tip.screws", "tip.threadlocker", "tip.breather_at", "tip.driver"),
        *("reflectors.place", "reflectors.holder", "reflectors.view_from", "track.counter_hold"),
        *("shake.instrument", "care.wash", "care.wax"),
    ):
        text = edited(text, key, f'"{WORDS}"')
    return text


def unbroken(text: str) -> str:
    """A word of two hundred characters in each place that a keeper writes freely in."""
    for key in (
        "rotor.marks_at",
        "hub.damper",
        "authority.signers",
        "balance.place",
        "tip.screws",
        "care.wash",
    ):
        text = edited(text, key, f'"{WORD}"')
    for bolt in (1, 2):
        text = edited(text, f"fasteners[{bolt}].washer", f'"{WORD}"')
    return edited(text, "fasteners[3].fit", f'"{WORD}"')


def basis(text: str, which: str) -> str:
    """State the track rule on another basis; where both blades move, it says what raises each."""
    if "to_raise" not in text:
        one, two = re.search(r"to_lower\.a\s*= (\{.*\})", text), re.search(r"to_lower\.b\s*= (\{.*\})", text)
        assert one and two
        for key, move in (("a", two[1]), ("b", one[1])):
            text = text.replace("[track]", f"[track]\nto_raise.{key} = {move}", 1)
    return edited(text, "track.basis", f'"{which}"')


def read_only(text: str) -> str:
    """A rotor whose track is read and not adjusted."""
    for table in ("track.to_lower", "track.to_raise", "track.said", "track.sources"):
        text = without_table(text, table)
    for key in (
        *("split", "basis", "set_by", "rule_reads", "sides", "sides_drawn", "adjuster_thread", "lever"),
        *("dial_lever", "dial_offset", "dial_touches", "dial_base", "first_move", "counter_hold"),
        *("adjuster_torque_min", "adjuster_torque_max", "interpolate", "max_total", "max_total_reads"),
        *("max_total_of", "good_enough"),
    ):
        text = edited(text, f"track.{key}", None)
    start = text.index("points ", text.index("[track]"))
    text = text[:start] + text[text.index("max_split", start) :]
    return edited(text, "track.method", '"none"')


#: Each kind of rotor by name.
TEXTS: Mapping[str, str] = {
    "every group": INCH,
    "metric": METRIC,
    "self-centring": SELF_CENTRING,
    "one bolt": bolts(INCH, 1),
    "two abreast in a row": bolts(METRIC, 2, abreast=1),
    "seven in a row, three pairs": bolts(INCH, 7, abreast=3, name=NAME),
    "eight on a circle": bolts(SELF_CENTRING, 8, "circle"),
    "twenty-four in a row, long names": bolts(INCH, 24, abreast=6, makers=2, name=NAME),
    "twenty-four on a circle, metric": on(bolts(METRIC, 24, "circle", makers=1), "iso"),
    "no wrench": wrenches(INCH, 0),
    "one wrench": wrenches(METRIC, 1),
    "three wrenches": wrenches(INCH, 3),
    "three wrenches, eight bolts": wrenches(bolts(METRIC, 8, abreast=4), 3),
    "no optional group": without(INCH, *OPTIONAL),
    "no optional group, metric": without(METRIC, *OPTIONAL),
    "every group, A sizes": on(INCH, "iso"),
    "every group, self-centring": edited(INCH, "rotor.alignment", '"self-centring"'),
    "self-centring, A sizes": on(SELF_CENTRING, "iso"),
    "metric, letter sizes": on(METRIC, "ansi"),
    "long names and texts": long_words(INCH),
    "words of two hundred characters": on(unbroken(INCH), "iso"),
    "one blade": basis(INCH, "one blade"),
    "amount on each": basis(METRIC, "amount on each"),
    "whole bar": basis(INCH, "whole bar"),
    "half the split": edited(basis(SELF_CENTRING, "total of both"), "track.split", '"half"'),
    "read, not adjusted": read_only(INCH),
    "fixed pitch": edited(without(INCH, "pitch"), "rotor.pitch", '"fixed"'),
}

#: Rotors of which some sides are looked at, and not every word.
FURTHER: Mapping[str, str] = {
    "twenty track rows": edited(
        edited(SELF_CENTRING, "track.max_split", '"5 in"'), "track.max_total", '"400 thou"'
    ),
    "twenty track rows for each of two changes, overridden": edited(
        edited(METRIC, "track.max_split", '"100 mm"'), "track.max_total", '"20 mm"'
    ),
}

#: Kinds that all others are made from, on the paper that each asks for.
OWN_PAPER = ("every group", "metric", "self-centring")
#: The same on both papers: their decks are looked at whole.
_WHOLE = (
    *OWN_PAPER,
    *("every group, A sizes", "metric, letter sizes", "self-centring, A sizes"),
)


@cache
def deck_of(name: str) -> Deck:
    """Build the deck of one kind of rotor, as if it had been issued."""
    return built({**TEXTS, **FURTHER}[name])


def unlike(deck: Deck) -> Deck:
    """Leave only the cards that no whole deck on this paper has: the others are the same pages again."""
    whole = [each for each in map(deck_of, _WHOLE) if _paper(each) == _paper(deck)]
    seen = [card for each in whole for card in each.cards]
    if any(each is deck for each in whole):
        return deck
    return replace(deck, cards=tuple(card for card in deck.cards if card not in seen))


def _paper(deck: Deck) -> PaperKind:
    return deck.spec.print.paper if deck.spec.print else "iso"


def built(text: str) -> Deck:
    """Build the deck of a specification that is typed but not judged."""
    table = tomllib.loads(text, parse_float=Decimal)
    read = RotorSpec.model_validate(table)
    spec = RotorSpec.of({name: getattr(read, name) for name in RotorSpec.model_fields}, text.encode(), table)
    return build_deck(spec, compute(spec), (), ISSUED)
