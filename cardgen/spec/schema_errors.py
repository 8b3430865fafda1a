"""What Pydantic objects to, said in the keeper's terms.

Pydantic checks the shape: which keys, which type, which words. Its own messages speak to
programmers, so one table turns each of its error types into a rule, a reason and what to write.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType
from typing import Any, TypeAlias

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from cardgen.spec.dates import DAY_FORM, PaperDate
from cardgen.spec.fields import KeyMeaning, expected, key_elsewhere
from cardgen.spec.lookalikes import first_lookalike, named, plain_one
from cardgen.spec.nearest import misspelt, nearest, quoted
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.problem import Finding, Path
from cardgen.spec.safe_text import plain, shortened, shown


@dataclass(frozen=True)
class _Case:
    """One objection: where, to what, what should have been there, and Pydantic's details."""

    path: Path
    value: object
    expected: KeyMeaning
    details: Mapping[str, Any]

    @property
    def key(self) -> str:
        return str(self.path[-1])


@dataclass(frozen=True)
class _Advice:
    rule: str
    why: str
    write: str


_Table: TypeAlias = Mapping[str, Callable[[_Case], _Advice]]


def findings(group: str, raw: object, error: ValidationError) -> Iterator[Finding]:
    """Turn everything Pydantic found in one top-level group into findings."""
    for details in error.errors(include_url=False):
        if not _counted_short(details):
            found = _finding(group, raw, details)
            # A needed key that stands there misspelt is one slip, and is reported as such.
            if found.rule != "key-missing" or found.path[-1] not in _misspelt(found.path, details["input"]):
                yield found


def _misspelt(path: Path, table: object) -> set[str]:
    group = expected(path[:-1])
    return misspelt(group.keys, table) if group is not None and isinstance(table, dict) else set()


def _counted_short(details: ErrorDetails) -> bool:
    # Pydantic counts only the items it could read; an item with a problem of its own is there all the same.
    return details["type"] == "too_short" and len(details["input"]) >= details.get("ctx", {})["min_length"]


def _finding(group: str, raw: object, details: ErrorDetails) -> Finding:
    kind = details["type"]
    path = _place(group, raw, details["loc"])
    value = details["input"]
    if kind == "missing":
        path = (*path, str(details["loc"][-1]))
    case = _Case(path, value, expected(path) or KeyMeaning(object), details.get("ctx", {}))
    advice = ADVICE.get(kind, _unforeseen)(case)
    read = "nothing" if kind == "missing" else shown(value)
    return Finding(path, advice.rule, read, advice.why, advice.write + _or_not_given(path, value))


def _or_not_given(path: Path, value: object) -> str:
    """Say how a key is answered whose quotes are empty because the papers do not give it."""
    if value == "" and "sources" not in path and path[-1] in MAY_BE_NOT_GIVEN.get(str(path[0]), ()):
        return f'; or not_given = ["{path[-1]}"] and this line taken out, if the papers do not say'
    return ""


def _place(group: str, raw: Any, loc: tuple[int | str, ...]) -> Path:
    """Keep only those steps of Pydantic's location that exist in the file."""
    path: Path = (group,)
    value = raw
    for part in loc:
        try:
            value = value[part]
        except (LookupError, TypeError):
            # The problem is told at the last place that stands in the file.
            break
        path = (*path, part)
    return path


def form(place: KeyMeaning) -> str:
    """Say what may be written at a place, without proposing a value."""
    if place.words:
        return quoted(place.words)
    about = place.about or "the value from its document"
    if place.type is PaperDate:
        return f'{about}; {DAY_FORM}, or "2027-11", or "2027"'
    if place.type is date:
        return f"{about}; {DAY_FORM}"
    if place.examples:
        forms = quoted(place.examples) if place.takes(place.examples[0]) else ", ".join(place.examples)
        return f"{about}; in the form {forms}"
    return about


def _missing(case: _Case) -> _Advice:
    why = "this key is needed, and nothing is assumed in its place"
    if case.expected.about and case.expected.words:
        why = f"{why}; it says: {case.expected.about}"
    return _Advice("key-missing", why, f"{case.key} = {form(case.expected)}")


def unknown_key(path: Path, value: object) -> Finding:
    """Refuse a key that its group does not have, and name the one that was probably meant."""
    key, group = str(path[-1]), expected(path[:-1])
    known = group.keys if group is not None else ()
    named = shortened(plain(key))
    why = f"{named} is not a key of this group, so it would be silently left out"
    if meant := nearest(key, known):
        write = f"{meant}, if that is what is meant"
    elif len(path) > 1 and (home := key_elsewhere(key)):
        write = f"{key} below [{home}], where it belongs"
    else:
        write = f"one of {', '.join(known)}"
    return Finding(path, "key-unknown", shown(value), why, write)


def _unknown(case: _Case) -> _Advice:
    found = unknown_key(case.path, case.value)
    return _Advice(found.rule, found.why, found.write)


#: Where each word stands for another factor: no spelling tells which of them the maker's document means.
_FACTORS = frozenset({("track", "basis"), ("track", "split"), ("track", "rule_reads")})


def _word(case: _Case) -> _Advice:
    words = case.expected.words
    why = "only certain words are understood here"
    if case.expected.about:
        why = f"{why}: {case.expected.about}"
    meant = nearest(case.value, words) if isinstance(case.value, str) and case.path not in _FACTORS else None
    if meant and (character := first_lookalike(str(case.value))):
        why = f"{why}; {named(character)} stands in it, not {plain_one(character)}"
    return _Advice("word-unknown", why, quoted(words) + (f'; the nearest is "{meant}"' if meant else ""))


def _whole_number(case: _Case) -> _Advice:
    why = "a whole number without quotes, point or unit is expected"
    return _Advice("number-whole", why, _entry(case).about or "whole numbers only, such as [1, 2]")


def _truth(case: _Case) -> _Advice:
    return _Advice("true-or-false", "only true or false, without quotes, can stand here", case.expected.about)


def _range(limit: str, words: str) -> Callable[[_Case], _Advice]:
    return lambda case: _Advice(
        "number-range", f"{words} {case.details[limit]} can stand here", _entry(case).about
    )


def _length(limit: str, words: str) -> Callable[[_Case], _Advice]:
    return lambda case: _Advice("list-length", words.format(case.details[limit]), _list_of(case))


def _list(case: _Case) -> _Advice:
    return _Advice("list-form", "a list is expected here", _list_of(case))


def _list_of(case: _Case) -> str:
    item = expected((*case.path, 0))
    if item is not None and item.group:
        name = ".".join(str(part) for part in case.path if isinstance(part, str))
        return f"[[{name}]], in double brackets, then its keys; once for each"
    about = case.expected.about or "the values from their document"
    return f"{case.key} = [ … ]: {about}"


def _group(case: _Case) -> _Advice:
    why = "a group of keys is expected here"
    if isinstance(case.path[-1], int):
        return _Advice("group-form", why, f"a table with the keys {', '.join(case.expected.keys)}")
    name = ".".join(str(part) for part in case.path if isinstance(part, str))
    return _Advice("group-form", why, f"[{name}], in single brackets, then its keys below")


def _ours(case: _Case) -> _Advice:
    if case.value == "" and not case.expected.words:
        why = "nothing stands between the quotes, and nothing is assumed in its place"
        return _Advice(case.details["rule"], why, form(_entry(case)))
    return _Advice(case.details["rule"], case.details["why"], case.details["write"])


def _entry(case: _Case) -> KeyMeaning:
    """Tell what belongs at a place; an entry of a list is described by its list."""
    whole = expected(case.path[:-1]) if isinstance(case.path[-1], int) else None
    return replace(case.expected, about=whole.about) if whole and whole.about else case.expected


def _unforeseen(case: _Case) -> _Advice:
    return _Advice("value-unread", "this cannot be read here", form(case.expected))


#: Every error type that the models can raise, and how it is said.
ADVICE: _Table = MappingProxyType(
    {
        "cardgen": _ours,
        "missing": _missing,
        "extra_forbidden": _unknown,
        "literal_error": _word,
        "int_type": _whole_number,
        "greater_than_equal": _range("ge", "nothing less than"),
        "less_than_equal": _range("le", "nothing more than"),
        "bool_type": _truth,
        "too_short": _length("min_length", "at least {} must stand in this list"),
        "too_long": _length("max_length", "at most {} can stand in this list"),
        "tuple_type": _list,
        "model_type": _group,
        "dict_type": _group,
    }
)
