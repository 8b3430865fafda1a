"""From a link of the chain back to the row that it was made over, and whether both still agree."""

from __future__ import annotations

from datetime import date

from cardgen.register import chain
from cardgen.register.columns import day_of
from cardgen.register.database import Register
from cardgen.register.rows import EventKind, EventRow


def content_of(register: Register, event: EventRow) -> list[object] | None:
    """Collect what the register says now of whatever a link was made over; nothing where it is gone."""
    if event.kind == "deck":
        deck = register.by_number(event.subject)
        if deck is None:
            return None
        reading = register.reading_of(deck.id)
        return chain.deck_content(deck, register.files(deck.id), register.places(deck.id), reading)
    if event.kind == "withdrawal":
        withdrawal = register.withdrawal(event.subject)
        return None if withdrawal is None else chain.withdrawal_content(withdrawal)
    if event.kind == "reading":
        read = register.reading_by_number(event.subject)
        return None if read is None else chain.reading_content(read)
    if event.kind == "correction":
        correction = register.correction(event.subject)
        return None if correction is None else chain.correction_content(correction)
    if event.kind == "identity":
        return [register.identity] if register.identity else None
    entry = register.entry(event.subject)
    return None if entry is None else chain.entry_content(entry)


def agrees(register: Register, kind: EventKind, subject: int, set_id: str) -> bool:
    """Whether a row has its link, and still is what that link was made over."""
    event = chain.event_of(register.connection, kind, subject)
    content = content_of(register, event) if event else None
    return content is not None and chain.holds(event, kind, set_id, content)


def newest_day(register: Register) -> tuple[date, EventKind, int] | None:
    """Find the latest day that an entry carries, with the entry; days put right since do not count."""
    since = register.last_correction_link()
    found: list[tuple[date, EventKind, int]] = []
    for kind, query in _DAYS.items():
        if not register.has(kind):
            continue
        row = register.connection.execute(query, (since,)).fetchone()
        if row is not None:
            found.append((day_of(row[0]), kind, row[1]))
    return max(found, default=None)


_LATEST = (
    "SELECT {day}, {key} FROM {table} JOIN events ON events.kind = '{kind}' AND events.subject = {key} "
    "WHERE events.id >= ? ORDER BY {day} DESC LIMIT 1"
)
_DAYS: dict[EventKind, str] = {
    "deck": _LATEST.format(day="decks.issued", key="decks.id", table="decks", kind="deck"),
    "withdrawal": _LATEST.format(
        day="withdrawals.day", key="withdrawals.deck", table="withdrawals", kind="withdrawal"
    ),
    "entry": _LATEST.format(day="entries.day", key="entries.id", table="entries", kind="entry"),
    "reading": _LATEST.format(day="readings.day", key="readings.id", table="readings", kind="reading"),
    "correction": _LATEST.format(
        day="corrections.day", key="corrections.id", table="corrections", kind="correction"
    ),
}
