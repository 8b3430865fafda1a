"""A number of things in words."""

from __future__ import annotations


def counted(number: int, noun: str) -> str:
    """Write a number of things in words that agree: ``1 deck``, ``3 decks``."""
    return f"{number} {noun}" + ("" if number == 1 else "s")
