"""What the words of the cards are checked against: one small reader of templates, no Jinja run."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from cardgen.layouts_root import layouts_root

CARDS = layouts_root() / "cards"

#: A step begins with one of these: each asks the hand, the eye or the voice for one action.
_VERBS = """
    Add Agree Chock Clean Complete Fly Judge Lay Name Open Put Shut Stretch Teeter
    Agree Ask Back Balance Begin Bend Bring Call Carry Chock Choose Clean Close Compare Count Cut Dry
    Fill Find Fit Fold Follow Go Hang Hold Keep Lay Leave Let Lift Lock Look Loosen Lower Make Mark Match
    Measure Move Note Oil Open Place Press Prop Pull Push Put Raise Read Record Release Remove Repeat Rest Roll
    Run Say Send Set Show Slide Slow Stand Start Stop Stretch Support Swap Sweep Switch Take Teeter Tell Test
    Tighten Torque Touch Tug Turn Unlock Wait Walk Warm Wash Watch Wax Weigh Wipe Work Write Check Change Do
    Belt Clear Correct Destroy Discard Estimate Face Feel Guide Hang Land Listen Slacken
"""
FIRST_VERBS = frozenset(_VERBS.split())
#: Tags whose words are sentences for the reader.
_SPOKEN = ("step", "check", "why", "para", "stop", "hold", "item", "cell", "limits", "qr")
_TAG = re.compile(r"\{%-?.*?-?%\}|\{#.*?#\}", re.S)
_PRINT = re.compile(r"\{\{.*?\}\}", re.S)


def templates() -> list[Path]:
    return sorted(CARDS.glob("*.xml.j2"))


def branches(text: str) -> str:
    """Keep every branch of a template's choices, one after the other."""
    return _TAG.sub("", text)


def plain(text: str) -> str:
    """Put a word in place of whatever a template prints."""
    return _PRINT.sub("this", branches(text))


def tree(path: Path) -> ElementTree.Element:
    """Read a template as if every branch were taken and every value were one word."""
    text = path.read_text(encoding="utf-8")
    for part in (CARDS / "parts").glob("*.xml.j2"):
        text = text.replace('{% include "parts/' + part.name + '" %}', part.read_text(encoding="utf-8"))
    text = plain(text)
    return ElementTree.fromstring(text)


def spoken(path: Path) -> Iterator[tuple[str, str]]:
    """Every piece of speech in a template, with the element it stands in."""
    for element in tree(path).iter():
        if element.tag in _SPOKEN:
            own = _own_words(element)
            if own:
                yield element.tag, own


def _own_words(element: ElementTree.Element) -> str:
    parts = [element.text or ""]
    for child in element:
        if child.tag in {"strong", "said"}:
            parts.append("".join(child.itertext()))
        elif child.tag == "term":
            parts.append(" this ")
        parts.append(child.tail or "")
    return " ".join("".join(parts).split())


def sentences(text: str) -> list[str]:
    """Split at full stops, question marks and colons that end a clause."""
    return [part for part in re.split(r"(?<=[.!?])\s+", text) if part]


def asks(text: str) -> bool:
    """Whether a step asks for something to be done: one of the verbs stands in it."""
    return any(word.capitalize() in FIRST_VERBS for word in re.findall(r"[A-Za-z]+", text))


def words(sentence: str) -> int:
    return len(re.findall(r"[A-Za-z][A-Za-z'’-]*", sentence))
