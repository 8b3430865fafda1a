"""What ``cardgen fleet impact`` shows of each rotor that takes something from a document."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cardgen.cli.exits import Exit
from cardgen.cli.register_access import opened_if_any
from cardgen.cli.report import print_json, printable, width
from cardgen.issuing.fleet.impact import Impact, Listed, NotReadable, Touched, Untouched

if TYPE_CHECKING:
    from cardgen.issuing.fleet.run import Fleet
    from cardgen.register.database import Register
    from cardgen.register.rows import DeckRow


@dataclass(frozen=True)
class _Row:
    file: str
    touched: Touched
    deck: DeckRow | None
    copies: tuple[str, ...]


def show(fleet: Fleet, document: str, register: Path | None, as_json: bool) -> Exit:
    """Look at every specification and print what the document touches; gives the exit code."""
    found, unknown, others = _looked(fleet, document)
    with opened_if_any(register) or nullcontext() as book:
        rows = [_row(file, touched, book) for file, touched in found]
    if as_json:
        print_json(_data(document, rows, unknown, others))
    elif not others.unlisted:
        _tell(document, rows, unknown, len(fleet.rotors))
    if fleet.pool.stopping:
        return Exit.INTERRUPTED
    if others.unlisted:
        _tell_unlisted(document, unknown, others.documents)
        return Exit.USAGE
    return Exit.REFUSED if unknown else Exit.DONE


@dataclass(frozen=True)
class _Others:
    """Whether no specification lists the document that was asked for, and which ones they do list."""

    unlisted: bool
    documents: tuple[Listed, ...]


def _tell_unlisted(document: str, unknown: Sequence[tuple[str, str]], listed: Sequence[Listed]) -> None:
    """Say that the name is no listed one: in a recall, nothing found must never read as nothing touched."""
    said = f'No specification lists a document "{document}", so nothing is known of it. Listed are:'
    click.echo(printable(said), err=True)
    for each in _nearest_first(document, listed):
        click.echo(printable(f"  {each.id}, {each.title}"), err=True)
    if unknown:
        files = ", ".join(file for file, _ in unknown)
        click.echo(printable(f"What these refused specifications list is not known: {files}."), err=True)


def _nearest_first(document: str, listed: Sequence[Listed]) -> list[Listed]:
    def likeness(each: Listed) -> float:
        names = each.id.casefold(), each.title.casefold()
        return max(SequenceMatcher(None, document.casefold(), name).ratio() for name in names)

    return sorted(listed, key=lambda each: (-likeness(each), each.id, each.title))


def _looked(fleet: Fleet, document: str) -> tuple[list[tuple[str, Touched]], list[tuple[str, str]], _Others]:
    from cardgen.issuing.fleet.pool import Failed
    from cardgen.issuing.fleet.run import read_whole

    found: list[tuple[str, Touched]] = []
    unknown: list[tuple[str, str]] = []
    untouched: list[Untouched] = []

    def tasks() -> Any:
        for rotor in fleet.rotors:
            text = read_whole(rotor.path)
            if isinstance(text, str):
                unknown.append((rotor.file, text))
            else:
                yield Impact(rotor.file, text, fleet.today, document)

    for task, result in fleet.pool.results(tasks()):
        if isinstance(result, Touched):
            found.append((task.file, result))
        elif isinstance(result, NotReadable):
            more = f", and {result.problems - 1} more" if result.problems > 1 else ""
            unknown.append((task.file, f"{result.first}{more}"))
        elif isinstance(result, Failed):
            unknown.append((task.file, result.what))
        else:
            untouched.append(result)
    documents = {(each.id, each.title): each for one in untouched for each in one.documents}
    unlisted = bool(untouched) and not found and not any(each.lists for each in untouched)
    others = _Others(unlisted, tuple(documents.values()))
    return sorted(found, key=lambda each: each[0]), sorted(unknown), others


def _row(file: str, touched: Touched, book: Register | None) -> _Row:
    deck = book.newest(touched.set_id) if book else None
    if book is None or deck is None:
        return _Row(file, touched, None, touched.copies)
    hanging = [each for each in book.places(deck.id) if each.edition in touched.editions]
    return _Row(file, touched, deck, tuple(f"{p.edition} copy {p.number} at {p.place}" for p in hanging))


def _data(
    document: str, rows: Sequence[_Row], unknown: Sequence[tuple[str, str]], others: _Others
) -> dict[str, Any]:
    return {
        "document": document,
        "listed": not others.unlisted,
        "rotors": [
            {
                "file": row.file,
                **row.touched.as_data(),
                "copies": list(row.copies),
                "revision": row.deck.revision if row.deck else None,
                "code": str(row.deck.code) if row.deck else None,
                "same_specification": row.deck.spec_sha256 == row.touched.sha256 if row.deck else None,
            }
            for row in rows
        ],
        "unknown": [{"file": file, "why": why} for file, why in unknown],
    }


def _tell(document: str, rows: Sequence[_Row], unknown: Sequence[tuple[str, str]], total: int) -> None:
    for row in rows:
        _tell_row(row)
    for file, why in unknown:
        _wrapped("", f"{file}: not known, because it is refused: {why}", "  ")
    copies = sum(len(row.copies) for row in rows)
    keys = sum(len(row.touched.keys) for row in rows)
    click.echo(
        printable(
            f"{document}: {len(rows)} of {total} rotors, {keys} keys, "
            f"{sum(len(row.touched.cards) for row in rows)} cards, {copies} copies."
        )
    )
    titles = sorted({listed.title for row in rows for listed in row.touched.documents})
    if len(titles) > 1:
        _wrapped("", f"More than one document goes by this name: {'; '.join(titles)}.", "  ")


def _tell_row(row: _Row) -> None:
    touched = row.touched
    click.echo(printable(f"{touched.set_id}  ({row.file})"))
    for listed in touched.documents:
        _wrapped("document", f"{listed.id}, {listed.title}, revision {listed.revision}, {listed.date}")
    _wrapped("deck", _deck(row))
    _wrapped("keys", "; ".join(f"{each.words} [{each.key}]" for each in touched.keys))
    if touched.unprinted:
        what = (
            f"{len(touched.unprinted)} of these keys stand on no card and decide what is on it: read every card"
        )
        _wrapped("", what)
    _wrapped("cards", ", ".join(title for _, title in touched.cards) or "none")
    _wrapped("copies", "; ".join(row.copies) or "none")
    click.echo()


def _deck(row: _Row) -> str:
    if row.deck is None:
        return "none issued that this register knows"
    same = "" if row.deck.spec_sha256 == row.touched.sha256 else "; the specification has changed since"
    return f"revision {row.deck.revision}, code {row.deck.code}, issued {row.deck.issued}{same}"


def _wrapped(label: str, text: str, hang: str = " " * 12) -> None:
    first = f"  {label:<10}" if hang.strip() == "" and len(hang) > 2 else ""
    click.echo(
        textwrap.fill(
            printable(text), width(), initial_indent=first, subsequent_indent=hang, break_on_hyphens=False
        )
    )
