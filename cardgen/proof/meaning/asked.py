"""What a deck must say, worked out from the specification's text alone and from `layouts`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from pathlib import Path
from typing import Any

from cardgen.deck.card import Stamp
from cardgen.layouts_root import layouts_root
from cardgen.proof.recheck_input import quantity_at
from cardgen.proof.recomputed import Recomputed

_KEY = re.compile(r"([^.\[\]]+)|\[(\d+)\]")


@dataclass(frozen=True)
class Kind:
    """One way in which cards are shown: an edition, or a screen or text, which has all of each card.

    ``holds`` are the cards it may have, ``boxes`` whether a hand ticks on it, ``no_off`` that no step is
    left away, ``loose_heads`` that the lines of a table's heads are mixed.
    """

    name: str
    title: str
    holds: frozenset[str]
    briefs: bool = False
    whys: bool = True
    runs_on: bool = False
    boxes: bool = False
    seconds: bool = True
    bar: str = ""
    no_off: bool = False
    loose_heads: bool = False


@dataclass(frozen=True)
class Asked:
    """A rotor's specification as it was parsed, its numbers of the second calculation, and the deck's stamp."""

    spec: Mapping[str, Any]
    numbers: Mapping[str, Recomputed]
    stamp: Stamp
    only: Collection[str] = ()

    def value(self, key: str) -> Any:
        """Give what stands at a key; nothing where nothing does."""
        here: Any = self.spec
        for name, place in _KEY.findall(key):
            if name:
                here = here.get(name) if isinstance(here, dict) else None
            else:
                at = int(place) - 1
                here = here[at] if isinstance(here, list) and at < len(here) else None
        return here

    def number(self, key: str) -> Recomputed | None:
        """Give a number by its key; one that the second calculation does not list is read here."""
        known, typed = self.numbers.get(key), self.value(key)
        if known is None and isinstance(typed, str):
            return Recomputed(key, *quantity_at(key, typed), 0, "nearest")
        return known

    @cached_property
    def cards(self) -> tuple[str, ...]:
        """All cards of this rotor in the order of work; each has its number from it."""
        listed = listed_cards()
        alignment = self.spec["rotor"]["alignment"]
        places = {
            name: order[alignment] if isinstance(order, dict) else order
            for name, card in listed.items()
            if (order := card.get("order")) and self._has(card)
        }
        return tuple(sorted(places, key=lambda name: places[name]))

    @property
    def built(self) -> tuple[str, ...]:
        """The cards that this deck must have."""
        return tuple(name for name in self.cards if not self.only or name in self.only)

    def _has(self, card: Mapping[str, Any]) -> bool:
        out = card.get("left_out")
        left = out is not None and self.value(out["where"]) == out["is"]
        return not left and ("needs" not in card or card["needs"] in self.spec)

    @cached_property
    def facts(self) -> frozenset[str]:
        """Words for what the specification has, that `must.toml` asks for."""
        return frozenset(name for name, holds in self._facts() if holds)

    def _facts(self) -> Iterator[tuple[str, bool]]:
        spec, track, bolts = self.spec, self.spec["track"], self.spec["fasteners"]
        straps = [bolt for bolt in bolts if bolt["where"] == "strap" and bolt["fitted_by"] == "you"]
        teeter = [bolt for bolt in bolts if bolt["where"] == "teeter" and bolt["fitted_by"] == "you"]
        pins = [bool(re.search("cotter|split", bolt.get("locking", ""), re.I)) for bolt in straps]
        yield "draft", self.stamp.is_draft
        makers = [bolt for bolt in bolts if bolt["fitted_by"] == "maker"]
        yield "makers", any(not is_unmapped(bolt) for bolt in makers)
        yield "unmapped", any(is_unmapped(bolt) for bolt in makers)
        yield "pinned", any(pins)
        yield "mixed", any(pins) and not all(pins)
        yield "glued", any("threadlocker" in bolt.get("locking", "") for bolt in straps)
        yield "drag", any(bolt.get("drag") == "add" for bolt in straps)
        yield "by_string", spec["rotor"]["alignment"] == "set by string"
        yield "teeter_bolt", bool(teeter)
        yield "teeter_fit", any("fit" in bolt for bolt in teeter)
        yield "teeter_torque", any("fit" not in bolt for bolt in teeter)
        yield "teeter_pinned", any(re.search("cotter|split", bolt.get("locking", ""), re.I) for bolt in teeter)
        yield "touching", spec.get("teeter", {}).get("thrust") == "adjustable"
        yield "adjusts", track["method"] != "none"
        yield "by_dial", track.get("set_by") == "dial"
        yield "half", track.get("split") == "half"
        yield "in_flight", spec.get("run", {}).get("track_read_in") == "flight"
        yield "one_blade", track.get("basis") == "one blade"
        yield "whole_bar", track.get("basis") == "whole bar"
        yield "both_blades", track.get("basis") in {"total of both", "amount on each"}
        yield "total_read", "track.max_total_read" in self.numbers
        yield "total_as_stated", "track.max_total_read" not in self.numbers

    def holds(self, condition: str, kind: Kind) -> bool:
        """Whether what `must.toml` asks for is so: a word, or a key with a value; ``!`` turns it round."""
        name = condition.removeprefix("!")
        value = self.value(name)
        seen = {"why": kind.whys, "loose": kind.loose_heads}.get(name, False)
        is_so = seen or name in self.facts or value not in (None, "not_given")
        return is_so != condition.startswith("!")


def is_unmapped(bolt: Mapping[str, Any]) -> bool:
    """Whether bolts are the maker's own and on no map: of another joint, or without a number."""
    return bolt["fitted_by"] == "maker" and (bolt["where"] != "strap" or not bolt.get("stations"))


def listed_cards() -> Mapping[str, Any]:
    """Read what is known of each card."""
    return _toml("cards.toml")


def cautions() -> Mapping[str, Any]:
    """Read the words of the cautions."""
    return _toml("words/cautions.toml")


def choices() -> Mapping[str, Any]:
    """Read what becomes of values that no card prints as they are typed."""
    return _toml("words/choices.toml")


@cache
def musts() -> Mapping[str, Any]:
    """Read what must stand on each card."""
    return tomllib.loads((files(__package__) / "must.toml").read_text("utf-8"))


def edition(name: str) -> Kind:
    """Read what the proof must know of an edition."""
    shape = _toml(f"editions/{name}.toml")
    cards, every = shape["cards"], listed_cards()
    return Kind(
        name,
        shape["title"],
        frozenset(cards["only"] if "only" in cards else set(every) - set(cards["without"])),
        shape["briefs"],
        shape["why_lines"],
        shape["fit"]["run_on"],
        shape["hand"] == "boxes",
        shape["second_units"],
        shape["scale_bar"],
    )


def screen(name: str) -> Kind:
    """Say what the proof must know of a screen or a text: it has every card, and all of each."""
    return Kind(name, name, frozenset(listed_cards()), no_off=True, loose_heads=name.endswith(".txt"))


def _toml(name: str) -> Mapping[str, Any]:
    path = layouts_root() / name
    return _read(path, path.stat().st_mtime_ns)


@cache
def _read(path: Path, _: int) -> Mapping[str, Any]:
    # Each file is asked for once a card, and again only where it was written anew.
    return tomllib.loads(path.read_text("utf-8"))
