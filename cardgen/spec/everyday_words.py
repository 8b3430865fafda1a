"""Other words for the choices of a specification, where they mean one of them and nothing else.

A brand's name is no word for a kind, and words that stand for a factor have no others: what "half" or
"both" means to a reader of one document, it need not mean in another.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType

#: Our word for a choice, and what others call the same, in small letters.
EVERYDAY: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "cotter pin": ("split pin", "cotter", "cotter-pin", "split cotter pin"),
        "self-locking nut": ("self locking nut", "stiff nut", "stiffnut", "prevailing torque nut"),
        "threadlocker": ("thread locker", "thread lock", "threadlock", "thread locking compound"),
        "tab washer": ("tab-washer", "locking tab", "lock tab", "locking tab washer"),
        "lock wire": ("lockwire", "locking wire", "safety wire", "lock-wire"),
        "counter-clockwise": ("counterclockwise", "anticlockwise", "anti-clockwise", "ccw"),
        "clockwise": ("cw",),
        "self-centring": ("self-centering", "self centring", "self centering"),
        "centre mark": ("center mark",),
    }
)


def our_word(typed: str, choices: Collection[str]) -> str | None:
    """Find which of some choices is meant by another word for it, or none."""
    word = typed.lower()
    return next((choice for choice in choices if word in EVERYDAY.get(choice, ())), None)
