"""The commented specification that a keeper begins with, and what it tells about its own order and keys.

Whoever asks for a specification key by key, asks in the order of that file and with its comments.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Literal, TypeAlias

from cardgen.layouts_root import layouts_root

HubKind: TypeAlias = Literal["adjustable", "string"]
UnitSystem: TypeAlias = Literal["inch", "metric"]

_CHAPTER = re.compile(r"# ==== (?:\d+\. )?(?P<title>.*?) =+")
_HEADER = re.compile(r"(?:# )?\[{1,2}(?P<name>[a-z_.]+)\]{1,2}\s*(?:# (?P<about>.*))?")
_KEY = re.compile(r'(?:# )?(?P<key>[a-z_]+)\s*=\s*(?:[^#"]|"[^"]*")*(?:# ?(?P<about>.*))?')


@dataclass
class StartingGroup:
    """One group of the file: its chapter, its comment, its keys in order with theirs."""

    chapter: str
    about: str
    keys: dict[str, str] = field(default_factory=dict)


def starting(file: str, hub: HubKind, units: UnitSystem) -> str:
    """Compose the starting specification; ``file`` is its name as a shell reads it."""
    from jinja2 import Environment, StrictUndefined

    text = (layouts_root() / "starting" / "rotor.toml.j2").read_text("utf-8")
    # Nothing is escaped: the result is TOML, and every name handed in stands in a comment.
    environment = Environment(undefined=StrictUndefined, trim_blocks=True, keep_trailing_newline=True)
    return environment.from_string(text).render(file=file, hub=hub, units=units)


@cache
def starting_groups() -> Mapping[str, StartingGroup]:
    """Name every group of the starting file, and every group within one, in its order."""
    found: dict[str, StartingGroup] = {}
    chapter, here = "", None
    for line in starting("rotor.toml", "adjustable", "inch").splitlines():
        if match := _CHAPTER.fullmatch(line):
            chapter, here = match["title"], None
        elif match := _HEADER.fullmatch(line):
            here = found.setdefault(match["name"], StartingGroup(chapter, match["about"] or ""))
        elif here is not None and (match := _KEY.fullmatch(line)):
            here.keys.setdefault(match["key"], match["about"] or "")
    return found
