"""Rules about what must be told apart: serial numbers, marks on the metal, drawings of marks, reflectors.

Words may stand in any language. What is found here are signs that look alike, numbers and letters; and
colours in the languages listed, which grey light, a copier and one man in twelve do not tell apart.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from cardgen.spec.marks import DrawnMark
from cardgen.spec.model.identity import Blades, Rotor
from cardgen.spec.model.running import Reflectors
from cardgen.spec.model.track import Track
from cardgen.spec.problem import Path
from cardgen.spec.rules.papers_and_marks import alike
from cardgen.spec.rules.rule import Doubt, Doubts, rule

_SAME_SIGN = str.maketrans({"o": "0", "i": "1", "l": "1", "|": "1"})
_BETWEEN = re.compile(r"[\s._/‐‑–-]+")
_COLOURS = re.compile(
    r"\b(?:(?:light|dark|bright|hell|dunkel)[ -]?)?(?:"
    r"red|blue|green|yellow|black|white|orange|gr[ae]y|brown|purple|pink|violet|silver|gold(?:en)?"
    r"|(?:rot|blau|grün|gelb|schwarz|weiß|weiss|grau|braun|silber|rosa|lila)(?:e[rsnm]?)?"
    r"|rouges?|bleue?s?|verte?s?|jaunes?|noire?s?|blanc(?:he)?s?|grise?s?"
    r"|roj[oa]s?|azul(?:es)?|verdes?|amarill[oa]s?|negr[oa]s?|blanc[oa]s?"
    r"|ross[oaie]|blu|verdi|giall[oaie]|ner[oaie]|bianc(?:[oa]|hi|he)"
    r"|roo?de?|blauwe?|groene?|gee?le?|zwarte?|wit(?:te)?"
    r")\b",
    re.IGNORECASE,
)
_COUNTS = {
    1: "1 one single ein eine einer eines einen un une uno una een",
    2: "2 two double zwei deux dos due twee två pair doppel",
    3: "3 three triple drei trois tres tre drie",
    4: "4 four vier quatre cuatro quattro fyra",
}
_COUNT_OF = {word: count for count, words in _COUNTS.items() for word in words.split()}


def look_alike(first: str, second: str) -> bool:
    """Whether two marks differ by 0 and O, by 1, I and l, by capitals or by a stroke or space alone."""
    return _plain(first) == _plain(second)


def _plain(text: str) -> str:
    return _BETWEEN.sub("", text).casefold().translate(_SAME_SIGN)


@rule("serial-look-alike", "blades: serial_a, serial_b")
def serial_look_alike(blades: Blades) -> Doubts:
    """The serial numbers of the blades differ by a 0 and an O, or another pair that looks alike, alone."""
    a, b = blades.serial_a, blades.serial_b
    if look_alike(a, b) and not alike(a, b):
        why = f"blade A is {a}, and by hand or in worn stamping nobody tells the two apart"
        yield Doubt(
            ("serial_b",), why, "both numbers as they are stamped, letter by letter; one is probably mistyped"
        )


@rule("mark-look-alike", "rotor: mark_a, mark_b")
def mark_look_alike(rotor: Rotor) -> Doubts:
    """The marks of the blades differ by a 0 and an O, or another pair that looks alike, alone."""
    a, b = rotor.mark_a, rotor.mark_b
    if look_alike(a, b) and not alike(a, b):
        why = f"blade A is marked {a}, and on metal nobody tells the two apart"
        yield Doubt(
            ("mark_b",), why, "the mark as it is on the metal; or marks that differ, set by whoever may"
        )


@rule("mark-drawn-pair", "rotor: drawn_a, drawn_b")
def mark_drawn_pair(rotor: Rotor) -> Doubts:
    """The mark of one blade is drawn and that of the other is not, or both are drawn alike."""
    a, b = rotor.drawn_a, rotor.drawn_b
    if (a is None) != (b is None):
        key = "drawn_a" if a is None else "drawn_b"
        why = "the mark of the other blade is drawn, and one drawn alone is taken for the only blade"
        yield Doubt((key,), why, "how this mark looks on the metal; or neither of the two")
    elif a is not None and a == b:
        why = "the mark of blade A is drawn the same, so a blade could go on the wrong end"
        yield Doubt(("drawn_b",), why, "how the mark of blade B looks on the metal")


@rule("mark-drawn-unlike", "rotor: mark_a, mark_b, drawn_a, drawn_b")
def mark_drawn_unlike(rotor: Rotor) -> Doubts:
    """A blade's mark is drawn with another number or letter than its own words say."""
    for blade in ("a", "b"):
        yield from _unlike(
            (f"drawn_{blade}",), getattr(rotor, f"mark_{blade}"), getattr(rotor, f"drawn_{blade}")
        )


@rule("mark-drawn-unlike", "track: sides, sides_drawn")
def side_drawn_unlike(track: Track) -> Doubts:
    """A blade's mark is drawn with another number or letter than its own words say."""
    for place, (mark, drawn) in enumerate(zip(track.sides or (), track.sides_drawn or (), strict=False)):
        yield from _unlike(("sides_drawn", place), mark, drawn)


def _unlike(path: Path, mark: str, drawn: DrawnMark | None) -> Iterator[Doubt]:
    said = set(re.findall(r"\b[A-Z]\b", mark)) if drawn and drawn.kind == "letter" else _counts(mark)
    if drawn is not None and said and (drawn.letter or drawn.count) not in said:
        why = f"the mark is {mark}, and the eye goes by the drawing"
        yield Doubt(path, why, "the drawing of just this mark; or leave the drawings out")


def _counts(mark: str) -> set[str | int]:
    return {_COUNT_OF[word] for word in re.findall(r"\w+", mark.casefold()) if word in _COUNT_OF}


@rule("told-by-colour", "rotor: mark_a, mark_b", kind="warning")
def marks_by_colour(rotor: Rotor) -> Doubts:
    """Blades, adjusters or reflectors are told apart by colour alone."""
    if _same_but_colour(rotor.mark_a, rotor.mark_b):
        yield Doubt(("mark_b",), _COLOUR_ALONE, _WRITE_SHAPE)


@rule("told-by-colour", "reflectors: pattern_a, pattern_b", kind="warning")
def patterns_by_colour(reflectors: Reflectors) -> Doubts:
    """Blades, adjusters or reflectors are told apart by colour alone."""
    if _same_but_colour(reflectors.pattern_a, reflectors.pattern_b):
        yield Doubt(("pattern_b",), _COLOUR_ALONE, _WRITE_SHAPE)


@rule("told-by-colour", "track: sides, sides_a, sides_b", kind="warning")
def sides_by_colour(track: Track) -> Doubts:
    """Blades, adjusters or reflectors are told apart by colour alone."""
    for key in ("sides", "sides_a", "sides_b"):
        sides = getattr(track, key) or ()
        if len(sides) == 2 and _same_but_colour(*sides):
            yield Doubt((key, 1), _COLOUR_ALONE, _WRITE_SHAPE)


_COLOUR_ALONE = "only a colour tells the two apart, and in dusk, on a worn part or to many eyes it does not"
_WRITE_SHAPE = "nothing, if the metal has no other mark; a difference in shape or number is better"


def _same_but_colour(first: str, second: str) -> bool:
    without = [_COLOURS.sub("", words) for words in (first, second)]
    return not alike(first, second) and without != [first, second] and alike(*without)
