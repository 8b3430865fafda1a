"""The register's identity: made once, by chance, and the chain's own entry, so that no two registers share it.

It enters every code that is issued from then on: two registers that count alike never give one code.
"""

from __future__ import annotations

import secrets
import sqlite3

from cardgen.register import chain
from cardgen.register.migrations import SINCE
from cardgen.spec.code_letters import letters_of


def name_register(connection: sqlite3.Connection) -> None:
    """Give a register its identity if it has none, inside the caller's transaction."""
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if version < SINCE["identity"] or connection.execute("SELECT 1 FROM identity").fetchone():
        return
    name = _made_up()
    connection.execute("INSERT INTO identity (one, name) VALUES (1, ?)", (name,))
    chain.add_link(connection, "identity", 1, "", [name])


def _made_up() -> str:
    """Make up 80 bits and spell them in groups of four letters."""
    letters = letters_of(secrets.randbits(40)) + letters_of(secrets.randbits(40))
    return "-".join(letters[place : place + 4] for place in range(0, len(letters), 4))
