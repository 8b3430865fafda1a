"""What the reader of TOML says, in a keeper's words: the rule, the reason, what to write."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

#: The rule about what stands in the file already.
TWICE = "toml-twice"


@dataclass(frozen=True)
class TomlFault:
    """One objection to a line: the rule it breaks, why that matters, what to write."""

    rule: str
    why: str
    write: str


def advice(said: str) -> TomlFault:
    """Put the TOML reader's own words into a keeper's."""
    for opening, told in _SYNTAX.items():
        if said.startswith(opening):
            return told
    return TomlFault("toml-syntax", f"this is not TOML: {said[:1].lower()}{said[1:]}", _KEY_AND_VALUE)


_KEY_AND_VALUE = 'key = "text", key = 4, or a group such as [rotor], each on a line of its own'
#: A group that stands in the file already.
TWICE_GROUP = TomlFault(
    TWICE,
    "this group stands in the file already; which of the two holds cannot be known",
    "the group once; a list of groups, such as fasteners, has double brackets: [[fasteners]]",
)
_TWICE_KEY = TomlFault(
    TWICE,
    "this key stands in its group already; which of the two values holds cannot be known",
    "the key once, with the value from its document",
)
_CONTROL = TomlFault(
    "toml-character",
    "an invisible control character stands here",
    "the line typed again without it",
)
_UNENDED = TomlFault(
    "toml-string",
    "a text must end on the line it began on",
    'a closing quote: key = "text"',
)
_ESCAPE = TomlFault(
    "toml-string",
    "a backslash has a meaning of its own between quotes",
    "text without a backslash",
)
_SYNTAX: Mapping[str, TomlFault] = MappingProxyType(
    {
        "Cannot declare": TWICE_GROUP,
        "Cannot overwrite a value": _TWICE_KEY,
        "Duplicate inline table key": _TWICE_KEY,
        "Cannot mutate": _TWICE_KEY,
        "Cannot redefine": _TWICE_KEY,
        "Invalid value": TomlFault(
            "toml-value",
            "what stands after the equals sign is no value of TOML",
            'a quantity or words between quotes, such as "190 in·lbf"; a number; a date; true or false; a list',
        ),
        "Unterminated string": TomlFault(
            "toml-string",
            "a text begins here or above and its closing quote is missing",
            'a closing quote: key = "text"',
        ),
        "Illegal character '\\n'": _UNENDED,
        "Found invalid character '\\n'": _UNENDED,
        "Found invalid character": _CONTROL,
        "Illegal character": _CONTROL,
        "Unescaped '\\'": _ESCAPE,
        "Invalid statement": TomlFault(
            "toml-statement",
            "a line must be a key with a value, a group in brackets, or a comment",
            _KEY_AND_VALUE,
        ),
        "Expected newline or end of document": TomlFault(
            "toml-statement",
            "something stands behind a complete value: a unit outside its quotes, or a second value",
            'number and unit together between quotes, such as "190 in·lbf"; one key on a line',
        ),
        "Expected '=' after a key": TomlFault(
            "toml-statement",
            "a key is followed by an equals sign and its value",
            'key = "text"',
        ),
        "Invalid initial character for a key part": TomlFault(
            "toml-statement",
            "a key is letters, digits, hyphens and underscores",
            _KEY_AND_VALUE,
        ),
        "Expected ']": TomlFault(
            "toml-brackets", "a group's name stands in brackets", "[group], or [[group]] in a list"
        ),
        "Escaped character is not": _ESCAPE,
        "Invalid hex value": _ESCAPE,
        "Unclosed array": TomlFault("toml-brackets", "a list has no closing bracket", "key = [1, 2]"),
        "Unclosed inline table": TomlFault(
            "toml-brackets", "a table has no closing brace", "{ key = 1, other = 2 }"
        ),
        "Invalid date or datetime": TomlFault("toml-date", "there is no such day", "a date such as 2027-11-30"),
    }
)
