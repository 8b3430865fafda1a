"""Entries that are put right: the one that corrects is read in the place of the one it corrects; both stay."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cardgen.logbook.keeping import LogEntry


def in_force(entries: Sequence[LogEntry]) -> tuple[LogEntry, ...]:
    """Give the entries that count, oldest first, each correction where the corrected one stood."""
    by_number = {each.row.id: each for each in entries}
    corrected_by: dict[int, LogEntry] = {
        each.entry.corrects: each
        for each in entries
        if each.entry.corrects is not None and each.entry.corrects in by_number
    }
    firsts = [each for each in entries if each.entry.corrects not in by_number]
    return tuple(_newest(each, corrected_by) for each in firsts)


def _newest(entry: LogEntry, corrected_by: dict[int, LogEntry]) -> LogEntry:
    while entry.row.id in corrected_by:
        entry = corrected_by[entry.row.id]
    return entry
