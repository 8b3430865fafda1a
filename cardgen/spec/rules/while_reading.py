"""The rules that are raised while a file is read, before any other rule can look at it.

The code that raises them stands where the reading is done; their meanings stand here, so that
one list holds every rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Rule ids raised while reading, with the sentence that says when each refuses.
MEANINGS: Mapping[str, str] = MappingProxyType(
    {
        "file-kind": "The file is empty, is saved as UTF-16, or is no text but a picture, a PDF or a program.",
        "file-not-utf8": "A byte of the file is not UTF-8, so a letter or sign cannot be known.",
        "file-byte-order-mark": "The file begins with a byte-order mark, which TOML does not know.",
        "file-line-length": "A line of the file is longer than any honest line.",
        "file-line-ends": "The lines of the file end with a carriage return alone, so all of it is one line.",
        "file-problems": "The file has so many problems that it cannot be a specification.",
        "toml-syntax": "The file is not TOML at this place.",
        "toml-brackets": "The brackets of a group or list are not the right ones or do not close.",
        "toml-character": "A character stands where TOML allows none such.",
        "toml-date": "A date is not written as year, month and day.",
        "toml-depth": "Brackets are nested too deeply to be read.",
        "toml-number": "A number is written as no number may be, or has too many digits.",
        "toml-statement": "A line is neither a key with its value nor the head of a group.",
        "toml-string": "A text in quotes does not end, or holds what a text may not hold.",
        "toml-twice": "A key or group stands in the file twice.",
        "toml-value": "A key has no value, or one that is not TOML.",
        "schema-version": "The file has another shape than the one this program reads.",
        "schema-first": "The file has the first shape, and has to be carried over to the second.",
        "group-missing": "A group without which nothing can be made is not in the file.",
        "group-form": "Something else stands where a group of keys must be.",
        "key-missing": "A needed key is not given, and nothing is assumed in its place.",
        "key-unknown": "A key is not known in its group, so it would be silently left out.",
        "sources-key-unknown": "A source is given for a key that does not stand in its group.",
        "list-form": "Something else stands where a list must be.",
        "list-length": "A list has too few or too many entries.",
        "word-unknown": "A word is not one of those that are understood at its place.",
        "number-whole": "Something else stands where a whole number must be.",
        "number-range": "A whole number is too small or too large for its place.",
        "true-or-false": "Something else stands where true or false must be.",
        "value-unread": "A value cannot be read in any way that is known.",
        "quantity-not-text": "A quantity is not text in quotes with its unit, so it could be in any unit.",
        "quantity-form": "A quantity is not one number and its unit.",
        "quantity-unit-missing": "A quantity has no unit.",
        "quantity-unit-unknown": "A unit is not one that this file uses.",
        "quantity-unit-wrong": "A unit measures something else than is asked for.",
        "quantity-pound-as-force": "A pound or kilogram of mass stands where a force or torque is asked for.",
        "quantity-two-systems": "One quantity mixes inch and metric units.",
        "quantity-comma": "A number has a comma, a decimal point to some and a thousands mark to others.",
        "quantity-exponent": "A number has an exponent, which is easily misread by a power of ten.",
        "quantity-not-finite": "A number is none that can be measured.",
        "quantity-negative": "A quantity that is never negative has a minus sign.",
        "text-not-text": "Something else stands where words in quotes must be.",
        "text-empty": "A text says nothing.",
        "text-spaces": "A text begins or ends with a space, which is lost on paper.",
        "text-length": "A text is longer than its place on a card.",
        "text-control": "A text holds a character that does not print.",
        "text-direction": "A text holds letters or signs that run from right to left.",
        "text-glyph": "A text holds a character that the cards' type cannot draw.",
        "mark-drawn-form": "A mark is to be drawn as nothing that can be drawn.",
        "set-id": "The set id is not capitals, digits and hyphens, at most sixteen.",
        "thread-form": "A thread is not a size and a pitch that could exist.",
        "percent-form": "A percentage is not a plain number.",
        "date-form": "A date is in quotes, or has a time of day.",
    }
)

#: Rules after which the rest of a file cannot be read, so that one of them may hide others.
STOPPING = frozenset(
    {"file-not-utf8", "file-line-length", "file-line-ends"}
    | {name for name in MEANINGS if name.startswith("toml-")}
)
