"""What only shows when rotors are seen together: the same serial number twice, a value unlike all others."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from cardgen.issuing.fleet.rotor_facts import ComparedValue, RotorIdentity
from cardgen.spec.problem import Problem

#: Fewer like rotors do not show what is usual.
LEAST = 4
#: A value is odd beyond 3.5 standard deviations as the median deviation estimates them, which is
#: 0.6745 of one (Iglewicz and Hoaglin 1993, quoted by the NIST/SEMATECH e-Handbook of Statistical
#: Methods, 1.3.5.17; both from memory).
_ODD = Fraction(35_000, 6_745)
#: Nor is it odd within this share of the median: two systems of units round differently.
_SAME = Fraction(1, 50)


def duplicates(identities: Mapping[str, RotorIdentity]) -> dict[str, tuple[Problem, ...]]:
    """Find set ids and serial numbers that two files claim, by file; ``identities`` is by file.

    The problems name the key, and no line: only the text itself has those.

    A serial number is the same part where the same document names it: two makers may count alike. Names that
    only differ in capitals, spaces or in what looks alike on metal and paper count as one.
    """
    claims: dict[tuple[str, str, str], dict[str, tuple[str, str]]] = defaultdict(dict)
    for file, identity in identities.items():
        for (what, read, document), key in _claims(identity):
            claims[what, _as_seen(read), document].setdefault(file, (key, read))
    found: dict[str, list[Problem]] = defaultdict(list)
    for (what, _, _), files in sorted(claims.items()):
        # Two files for one rotor share every serial number too; that goes without saying.
        rotors = {_as_seen(identities[file].set_id) for file in files}
        if len(files) > 1 and (what == "set id" or len(rotors) > 1):
            for file, (key, read) in files.items():
                others = {other: typed for other, (_, typed) in files.items() if other != file}
                found[file].append(_twice(file, key, what, read, others))
    return {file: tuple(problems) for file, problems in found.items()}


#: Letters that are taken for a digit, or for another letter, where a name is read off metal.
_ALIKE = str.maketrans({"O": "0", "I": "1", "L": "1"})


def _as_seen(name: str) -> str:
    """Give a name as a hurried eye sees it."""
    return "".join(name.split()).upper().translate(_ALIKE)


def _claims(identity: RotorIdentity) -> Iterator[tuple[tuple[str, str, str], str]]:
    """Give everything that only one file may claim, with the key under which this one does."""
    if identity.set_id:
        yield ("set id", identity.set_id, ""), "rotor.set_id"
    for what, parts in (("hub serial number", identity.hubs), ("blade serial number", identity.blades)):
        for part in parts:
            yield (what, part.serial, part.document), part.key


def _twice(file: str, key: str, what: str, read: str, others: Mapping[str, str]) -> Problem:
    """Say that others claim the same; ``others`` is what each of them wrote, by its file."""
    more = f" and {len(others) - 2} more" if len(others) > 2 else ""
    told = [
        f'{other} ("{typed}", which looks alike)' if typed != read else other for other, typed in others.items()
    ]
    named = ", ".join(told[:2]) + more
    rule = "fleet-" + "-".join(what.split()[:2])
    if what == "set id":
        why = f"{named} has it too, and nobody can tell which of them the rotor's cards are made from"
        write = "one file for a rotor and a set id of its own for each; spare copies in another folder"
    else:
        why = f"{named} has the same {what} from the same document, and a part is in one rotor only"
        write = f"the {what} as it is on the metal, in each file"
    return Problem(file, 0, 0, key, rule, f'"{read}"', why, write)


@dataclass(frozen=True)
class Odd:
    """A value unlike those of like rotors: the numbers, all in the unit its keeper wrote."""

    file: str
    set_id: str
    name: str
    value: str
    middle: str
    deviation: str
    unit: str
    others: int
    among: str

    def words(self) -> str:
        """Say it in one or two sentences."""
        spread = (
            "and most have exactly that" if self.deviation == "0" else f"half of them within {self.deviation}"
        )
        return (
            f"{self.set_id}: {self.name} {self.value} {self.unit}; the median with {self.others} like rotors "
            f"of the same hub, diameter and chord is {self.middle} {self.unit}, {spread}. "
            "Compare it with the maker's document."
        )


def odd_ones(measured: Iterable[tuple[str, str, Sequence[ComparedValue]]]) -> tuple[Odd, ...]:
    """Find values far from the median of like rotors, judged by the median deviation from it.

    ``measured`` gives file, set id and measures of each rotor.
    """
    groups: dict[tuple[str, str], list[tuple[str, str, ComparedValue]]] = defaultdict(list)
    for file, set_id, measures in measured:
        for each in measures:
            groups[each.name, each.among].append((file, set_id, each))
    return tuple(sorted(_odd_of(groups.values()), key=lambda odd: (odd.set_id, odd.name)))


def _odd_of(groups: Iterable[Sequence[tuple[str, str, ComparedValue]]]) -> Iterator[Odd]:
    for group in groups:
        if len(group) < LEAST:
            continue
        values = [Fraction(each.exact) for _, _, each in group]
        middle = median(values)
        deviation = median(abs(value - middle) for value in values)
        limit = max(deviation * _ODD, middle * _SAME)
        for (file, set_id, measure), value in zip(group, values, strict=True):
            if abs(value - middle) > limit:
                yield Odd(
                    file,
                    set_id,
                    measure.name,
                    _shown(value, measure),
                    _shown(middle, measure),
                    _shown(deviation, measure),
                    measure.shown_in,
                    len(group) - 1,
                    measure.among,
                )


def _shown(value: Fraction, measure: ComparedValue) -> str:
    from cardgen.figures.rounding import printed
    from cardgen.spec.units import magnitude, quantity

    number = magnitude(quantity(value, measure.unit), measure.shown_in)
    text = printed(number, 4)
    return text.rstrip("0").rstrip(".")
