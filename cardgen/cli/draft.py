"""``cardgen draft``: every card, marked NOT ISSUED, proved against its figures before it is written."""

from __future__ import annotations

import os
import shlex
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Refused, Trouble
from cardgen.cli.open_spec import Opened, computed, layouts_blamed, opened
from cardgen.cli.options import card_ids, cards_called, spec_argument, today_option
from cardgen.layouts_root import edition_names

if TYPE_CHECKING:
    from cardgen.deck.card import Deck
    from cardgen.press.edition import Edition
    from cardgen.spec.model import RotorSpec

_AGAINST = {
    "fit": "Text does not fit, and is never made smaller",
    "proof": "The proof stands against this deck",
}
_EDITIONS = edition_names()
#: Every file that a draft may write.
_FILES = (
    *(f"{name}{sheet}.pdf" for name in _EDITIONS for sheet in ("", "-2up", "-halves")),
    "copied.pdf",
    *("cards.html", "cards.txt", "log-entry.html", "deck.json"),
)


@click.command(name="draft")
@spec_argument
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Folder to write into.")
@click.option("--edition", "names", type=click.Choice(_EDITIONS), multiple=True, help="Only this edition.")
@click.option(
    "--card", "cards", metavar="CARD", multiple=True, help="Only this card, by id or title; again for more."
)
@click.option("--text", is_flag=True, help="Print the cards here as plain text; write no file.")
@today_option
def command(
    spec: Path, out: Path | None, names: tuple[str, ...], cards: tuple[str, ...], text: bool, today: date
) -> None:
    """Make the cards, marked NOT ISSUED.

    A draft is for reading and correcting, never for the bench: no register knows it. Each printed
    number is read back from its place on the paper and computed a second time; if one differs,
    nothing is written.
    """
    if not text and out is None:
        raise click.UsageError("Say where to write with --out DIR, or ask for --text.")
    if text and out is not None:
        raise click.UsageError("--text prints here and writes nothing; leave out --out.")
    if text and names:
        raise click.UsageError("--text is the same for every edition; leave out --edition.")
    if out is not None:
        _keep_issued(out)
    source = opened(spec, today)
    with layouts_blamed():
        cards = card_ids(cards)
    deck = _deck(source, cards)
    if out is not None:
        _has_each(deck, source, names, cards)
    if out is None:
        from cardgen.press.plain import to_text

        click.echo(to_text(deck), nl=False)
        return
    _place(out, _printed(deck, _editions(source, names)), source, spec)


def _keep_issued(out: Path) -> None:
    """Refuse a folder that holds an issued deck: a draft among its files would pass for part of it."""
    if _is_draft(out) is False:
        raise Trouble(f"{out} holds an issued deck, and stays as it is. Name another folder.")


def _is_draft(out: Path) -> bool | None:
    """Whether a folder says of itself that it holds a draft; nothing where it says neither."""
    import json

    from cardgen.plain_file import read_plain

    try:
        told = json.loads(read_plain(out / "deck.json"))
    except (OSError, ValueError):
        # Then nothing in this folder is taken for a draft, and nothing of it is replaced.
        return None
    draft = told.get("draft") if isinstance(told, dict) else None
    return draft if isinstance(draft, bool) else None


def _leftovers(out: Path, files: Collection[str]) -> tuple[str, ...]:
    """Name what an earlier draft has left that this one does not write; it has to go.

    Read beside this draft, another rotor's wall sheet would pass for part of it. A file that nothing
    says to be a draft's is not removed, and so stops this one.
    """
    left = tuple(name for name in _FILES if name not in files and os.path.lexists(out / name))
    if left and not _is_draft(out):
        raise Trouble(
            f"{out} holds {', '.join(left)}, which this draft does not write and which would pass for part of "
            "it. Name another folder, or move that away. No card was made."
        )
    return left


def _is_all_draft(out: Path) -> bool:
    """Whether a folder may be exchanged as a whole: it is new, or there is nothing in it but a draft."""
    real = Path(os.path.realpath(out))
    if real == Path.cwd() or real.is_mount() or not os.access(real.parent, os.W_OK) or out.is_symlink():
        return False
    if not os.path.lexists(out):
        return real.parent.is_dir()
    if not out.is_dir():
        return False
    kept = [each.name for each in out.iterdir() if each.name not in _FILES or each.is_dir()]
    return _is_draft(out) is True and not kept


def _deck(source: Opened, cards: Collection[str]) -> Deck:
    from cardgen.deck.build import build_deck
    from cardgen.deck.card import Stamp

    with layouts_blamed():
        _known(source.spec, cards)
        return build_deck(source.spec, computed(source.spec), source.warnings, Stamp(), only=cards)


def _known(spec: RotorSpec, cards: Iterable[str]) -> None:
    """End the command where a rotor has no such card."""
    from cardgen.deck.selection import cards_of, left_out

    known = cards_of(spec)
    absent = {each.id: each.why for each in left_out(spec)}
    for card in cards:
        if card in absent:
            raise Refused(f'Card "{card}" is not in this deck: {absent[card]}')
        if card not in known:
            raise click.UsageError(f'There is no card "{card}". This deck has: {cards_called(known)}.')


def _editions(source: Opened, names: Sequence[str]) -> tuple[Edition, ...]:
    from cardgen.press.edition import editions_of

    with layouts_blamed():
        if not names:
            return editions_of(source.spec)
        wanted = [name for name in _EDITIONS if name in names]
        return tuple(each for name in wanted for each in editions_of(source.spec, name))


def _has_each(deck: Deck, source: Opened, names: Sequence[str], cards: Collection[str]) -> None:
    """End the command where a card or an edition that was asked for would be missing without a word."""
    from cardgen.press.layout import chosen

    held: dict[str, set[str]] = {
        each.name: {card.id for card in chosen(deck, each)} for each in _editions(source, _EDITIONS)
    }
    wanted = [each.name for each in _editions(source, names)]
    for card in cards:
        on = [name for name, ids in held.items() if card in ids]
        if not set(on).intersection(wanted):
            way = f"name --edition {' or '.join(on)}" if on else "no edition has it, and --text shows it"
            raise click.UsageError(f'Card "{card}" is not on {" or ".join(wanted)}: {way}.')
    for name in names:
        if not held[name]:
            raise click.UsageError(f"None of these cards is on {name}. Leave out --edition {name}.")


def _printed(deck: Deck, editions: tuple[Edition, ...]) -> Mapping[str, bytes]:
    from cardgen.proof.fork import free_cores
    from cardgen.proof.prove import Against, print_proved

    printed = print_proved(deck, editions, free_cores())
    if isinstance(printed, Against):
        lines = "\n".join(f"  {line}" for line in printed.lines)
        raise Refused(f"{_AGAINST[printed.kind]}:\n{lines}\nNo card was made.")
    return printed


def _place(out: Path, files: Mapping[str, bytes], source: Opened, spec: Path) -> None:
    from cardgen.cli.files import place, swap
    from cardgen.cli.report import printable, show_warnings

    gone = _leftovers(out, files)
    if _is_all_draft(out):
        swap(out, files)
    else:
        place(out, files, gone)
    show_warnings(source.warnings)
    for name in files:
        click.echo(printable(str(out / name)))
    if gone:
        click.echo(f"Removed what an earlier draft had left there: {', '.join(gone)}.", err=True)
    rotor = source.spec.rotor.set_id
    sheet = printable(str(out / "copied.pdf"))
    click.echo(f"Draft of {rotor}, NOT ISSUED.", err=True)
    click.echo(
        f"Have a second person read it against the maker's paper, on {sheet}.\n"
        "Then, with the check from its last page:\n"
        f"  cardgen read {shlex.quote(printable(str(spec)))} --by NAME --check CHECK",
        err=True,
    )
