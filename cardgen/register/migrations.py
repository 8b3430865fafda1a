"""The register's tables, version by version.

A version is never edited once registers exist with it: a new one is added at the end.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence

from cardgen.register.rows import EventKind

#: Marks the file as one of ours ("CGRG" in ASCII); SQLite keeps it in the file's header.
APPLICATION_ID = 0x43475247

#: Where the chain starts.
NO_HASH = "0" * 64

_VERSION_1 = f"""
CREATE TABLE decks (
  id INTEGER PRIMARY KEY,
  set_id TEXT NOT NULL,
  revision INTEGER NOT NULL CHECK (revision >= 1),
  code TEXT NOT NULL UNIQUE,
  issued TEXT NOT NULL,
  use_until TEXT NOT NULL,
  approved_by TEXT NOT NULL,
  reason TEXT NOT NULL,
  spec_sha256 TEXT NOT NULL,
  version TEXT NOT NULL,
  UNIQUE (set_id, revision)
) STRICT;
CREATE TABLE files (
  deck INTEGER NOT NULL REFERENCES decks (id),
  name TEXT NOT NULL,
  sha256 TEXT NOT NULL,
  size INTEGER NOT NULL,
  PRIMARY KEY (deck, name)
) STRICT, WITHOUT ROWID;
CREATE INDEX files_by_sha256 ON files (sha256);
CREATE TABLE places (
  deck INTEGER NOT NULL REFERENCES decks (id),
  edition TEXT NOT NULL,
  number INTEGER NOT NULL,
  place TEXT NOT NULL,
  PRIMARY KEY (deck, edition, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE withdrawals (
  deck INTEGER PRIMARY KEY REFERENCES decks (id),
  day TEXT NOT NULL,
  reason TEXT NOT NULL
) STRICT;
CREATE TABLE entries (
  id INTEGER PRIMARY KEY,
  deck INTEGER NOT NULL REFERENCES decks (id),
  card TEXT NOT NULL,
  day TEXT NOT NULL,
  content TEXT NOT NULL
) STRICT;
CREATE INDEX entries_by_deck ON entries (deck);
CREATE TABLE events (
  id INTEGER PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('deck', 'withdrawal', 'entry')),
  subject INTEGER NOT NULL,
  set_id TEXT NOT NULL,
  previous TEXT NOT NULL,
  hash TEXT NOT NULL,
  UNIQUE (kind, subject)
) STRICT;
CREATE INDEX events_by_rotor ON events (set_id, kind);
CREATE TABLE seal (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  length INTEGER NOT NULL,
  hash TEXT NOT NULL
) STRICT;
INSERT INTO seal (one, length, hash) VALUES (1, 0, '{NO_HASH}')
"""

#: Readings; the chain's table is made anew, because it names the kinds of its links.
_VERSION_2 = """
CREATE TABLE readings (
  id INTEGER PRIMARY KEY,
  set_id TEXT NOT NULL,
  read_by TEXT NOT NULL,
  day TEXT NOT NULL,
  read_check TEXT NOT NULL
) STRICT;
CREATE INDEX readings_by_check ON readings (read_check);
CREATE TABLE issued_on (
  deck INTEGER PRIMARY KEY REFERENCES decks (id),
  reading INTEGER NOT NULL REFERENCES readings (id)
) STRICT;
CREATE TABLE links (
  id INTEGER PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('deck', 'withdrawal', 'entry', 'reading')),
  subject INTEGER NOT NULL,
  set_id TEXT NOT NULL,
  previous TEXT NOT NULL,
  hash TEXT NOT NULL,
  UNIQUE (kind, subject)
) STRICT;
INSERT INTO links SELECT id, kind, subject, set_id, previous, hash FROM events ORDER BY id;
DROP TABLE events;
ALTER TABLE links RENAME TO events;
CREATE INDEX events_by_rotor ON events (set_id, kind)
"""

#: The register's identity, and words that put a wrong day right; the chain's table is made anew again.
_VERSION_3 = """
CREATE TABLE identity (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  name TEXT NOT NULL
) STRICT;
CREATE TABLE corrections (
  id INTEGER PRIMARY KEY,
  day TEXT NOT NULL,
  said_by TEXT NOT NULL,
  reason TEXT NOT NULL
) STRICT;
CREATE TABLE links (
  id INTEGER PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('deck', 'withdrawal', 'entry', 'reading', 'identity', 'correction')),
  subject INTEGER NOT NULL,
  set_id TEXT NOT NULL,
  previous TEXT NOT NULL,
  hash TEXT NOT NULL,
  UNIQUE (kind, subject)
) STRICT;
INSERT INTO links SELECT id, kind, subject, set_id, previous, hash FROM events ORDER BY id;
DROP TABLE events;
ALTER TABLE links RENAME TO events;
CREATE INDEX events_by_rotor ON events (set_id, kind)
"""

#: The version that first had a table for something; everything else is as old as the register.
SINCE: Mapping[EventKind, int] = {"reading": 2, "identity": 3, "correction": 3}

VERSIONS: tuple[str, ...] = (_VERSION_1, _VERSION_2, _VERSION_3)


def migrate(connection: sqlite3.Connection, versions: Sequence[str] = VERSIONS) -> None:
    """Bring a register up to the newest version, inside the caller's transaction."""
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    for script in versions[version:]:
        for statement in script.split(";"):
            connection.execute(statement)
    connection.execute(f"PRAGMA user_version = {len(versions)}")
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")


def tables(connection: sqlite3.Connection) -> dict[str, str]:
    """Read every table and index of a register with the statement that made it."""
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {str(name): str(statement) for name, statement in rows}


def expected_tables(versions: Sequence[str] = VERSIONS) -> dict[str, str]:
    """Make an empty register in memory and read its tables, to compare a file with."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    try:
        migrate(connection, versions)
        return tables(connection)
    finally:
        connection.close()
