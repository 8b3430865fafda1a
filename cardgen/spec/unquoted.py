"""Values that TOML cannot take as they were typed, and how they are typed so that it can.

Most are right but for their quotes: a measurement or a name without any, a date in another order,
a decimal comma, a quote inside a text.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

from cardgen.spec.dates import DAY_FORM, day_meant, looks_like_day
from cardgen.spec.fields import KeyMeaning, expected
from cardgen.spec.nearest import nearest, quoted
from cardgen.spec.outline import Outlined
from cardgen.spec.schema_errors import form
from cardgen.spec.syntax_words import TomlFault

_AFTER_VALUE = "toml-statement"
_NO_VALUE = "toml-value"
_LONGEST = 200


def value_slip(entry: Outlined | None, told: TomlFault) -> TomlFault | None:
    """Say what is wrong with the value of a key, where that can be seen from the line alone."""
    if entry is None or entry.brackets or told.rule not in {_AFTER_VALUE, _NO_VALUE}:
        return None
    value = _without_comment(entry.value)
    if value[:1] in {"[", "{"} or len(value) > _LONGEST:
        return None
    key, place = str(entry.path[-1]), expected(entry.path)
    if not value:
        return (
            TomlFault(told.rule, "no value stands behind the equals sign", f"{key} = {form(place)}")
            if place
            else None
        )
    if value[0] in "\"'":
        return _quoted(key, value, place)
    return _bare(key, value, place, told)


def _nothing(key: str, place: KeyMeaning, told: TomlFault) -> TomlFault:
    return TomlFault(told.rule, "no value stands behind the equals sign", f"{key} = {form(place)}")


def _without_comment(value: str) -> str:
    if found := re.match(r"""(["']).*\1(?=\s*(?:#|$))""", value):
        return found[0]
    return value.partition("#")[0].strip()


def _bare(key: str, value: str, place: KeyMeaning | None, told: TomlFault) -> TomlFault | None:
    if value.lower() in {"true", "false"}:
        return TomlFault(told.rule, "true and false are written in small letters", f"{key} = {value.lower()}")
    if looks_like_day(value) and (place is None or place.type is date):
        return _day(key, value)
    if place is None:
        return None
    if place.type is date:
        return TomlFault("toml-date", "a date is expected here", f"{key} = {DAY_FORM}")
    return _number(key, value, place, told) or _words(key, value, place, told)


def _day(key: str, value: str) -> TomlFault:
    day = day_meant(value)
    why = "a date is written year first, with hyphens and two digits for month and day"
    return TomlFault("toml-date", why, f"{key} = {day.isoformat() if day else DAY_FORM}")


def _number(key: str, value: str, place: KeyMeaning, told: TomlFault) -> TomlFault | None:
    found = re.fullmatch(r"(\d{1,6})(?:,(\d{1,2}))? ?%?", value, re.ASCII)
    if not found or place.read is None:
        return None
    number = f"{found[1]}.{found[2]}" if found[2] else found[1]
    if not place.takes(Decimal(number)):
        return None
    if found[2]:
        return TomlFault(told.rule, "a number has a decimal point, and no comma", f"{key} = {number}")
    return TomlFault(told.rule, "a percentage is the number alone", f"{key} = {number}")


def _words(key: str, value: str, place: KeyMeaning, told: TomlFault) -> TomlFault | None:
    why = "words and measurements stand between quotes"
    if place.words:
        meant = nearest(value, place.words)
        return TomlFault(told.rule, why, f"{key} = {quoted([meant] if meant else place.words)}")
    if place.read is None:
        return None
    return TomlFault(told.rule, why, f"{key} = {_text(value, place)}")


def _text(value: str, place: KeyMeaning) -> str:
    """Write a value as the text its key would read, or say what would be read."""
    offered = place.instead_of(value)
    if offered is None and not re.search(r'["\\]', place.spelled(value)):
        return f'"{place.spelled(value)}"'
    return form(place) if offered is None else offered


def _quoted(key: str, value: str, place: KeyMeaning | None) -> TomlFault | None:
    quote, inside = value[0], value[1:-1]
    if value[-1] != quote or quote not in inside:
        return None
    if quote == '"':
        why = 'the quote " inside the text ends it there'
        written = f"'{inside}'"
    else:
        why = "the quote ' inside the text ends it there, with or without a backslash"
        inside = inside.replace("\\'", "'")
        written = f'"{inside}"'
    if place is not None and (offered := place.instead_of(inside)):
        return TomlFault("toml-string", why, f"{key} = {offered}")
    if place is not None and place.kind:
        return TomlFault("toml-string", why, f'{key} = "{place.spelled(inside)}"')
    if written[0] in inside or "\\" in inside:
        return TomlFault("toml-string", why, "the text without quotes inside it")
    return TomlFault(
        "toml-string", f"{why}; between quotes of the other kind it may stand", f"{key} = {written}"
    )
