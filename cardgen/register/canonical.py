"""One spelling for one content: the JSON that hashes and codes are taken over."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction


def canonical(value: object) -> bytes:
    """Write a value as JSON with sorted keys, no spaces and only ASCII.

    Dates are written as ISO 8601 text, decimals and fractions as their exact text. Raises
    `TypeError` for anything that has no exact spelling, floats among them.
    """
    plain = _plain(value)
    return json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False).encode()


def sha256(content: bytes) -> str:
    """Hash bytes, as 64 hexadecimal digits (FIPS 180-4)."""
    return hashlib.sha256(content).hexdigest()


def _plain(value: object) -> object:
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal | Fraction):
        return str(value)
    if isinstance(value, Mapping):
        return {_key(key): _plain(member) for key, member in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, bytes | bytearray):
        return [_plain(member) for member in value]
    raise TypeError(f"no exact spelling for a {type(value).__name__}")


def _key(key: object) -> str:
    if not isinstance(key, str):
        raise TypeError(f"a key is text, not a {type(key).__name__}")
    return str(key)
