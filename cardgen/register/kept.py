"""What a deck said about itself when it was issued."""

from __future__ import annotations

import json
from typing import Any

from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, trouble
from cardgen.register.rows import DeckRow

#: The file in which a deck describes itself, and that decks are compared by.
DESCRIPTION = "deck.json"


def description_bytes(register: Register, deck: DeckRow) -> bytes | RegisterTrouble | None:
    """Read a deck's kept description; nothing where it was issued without one."""
    for file in register.files(deck.id):
        if file.name == DESCRIPTION:
            return register.store.read(file.sha256)
    return None


def description(register: Register, deck: DeckRow) -> dict[str, Any] | RegisterTrouble:
    """Read and parse a deck's kept description, or say why there is none."""
    content = description_bytes(register, deck)
    if isinstance(content, RegisterTrouble):
        return content
    parsed = json.loads(content) if content is not None else None
    if not isinstance(parsed, dict):
        return trouble("missing", register.path, f"{deck.folder} was issued without a description")
    return parsed
