"""The deck as plain text, 80 columns wide: for a terminal, a braille line or a poor printer.

Everything is said in words; a drawing is told by its description. A number is never parted from
its unit at the end of a line. What an edition leaves away because it says it elsewhere is
left away here as on the handout.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from cardgen.deck.card import (
    Block,
    Card,
    Deck,
    Drawing,
    Inline,
    Items,
    Paragraph,
    Qr,
    Runs,
    Said,
    Section,
    Step,
    Steps,
    Stop,
    Table,
    Value,
    Was,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.deck.card_warnings import doubt_words
from cardgen.deck.copied import copied_card
from cardgen.deck.shown import shown_on
from cardgen.press.plain_table import GLUE, table_lines
from cardgen.spec.typed_quantity import reading_of

WIDTH = 80
#: The edition that has everything, each thing once; the boxes of it are the cards'.
_AS = "handout"
#: A box for the hand, and one for the second person.
_TICKS = ("", "[_]", "[_][_]")


def to_text(deck: Deck) -> str:
    """Write the whole deck as plain text, in the order of work."""
    lines = [*_front(deck)]
    for card in deck.cards:
        lines += ["", "", *_card(deck, card, _number(deck, card))]
    lines += ["", "", *_sheet(copied_card(deck))]
    return "".join(f"{line.replace(GLUE, ' ').rstrip()}\n" for line in lines)


def _number(deck: Deck, card: Card) -> str:
    return f"{deck.order.index(card.id) + 1} of {len(deck.order)}"


def _front(deck: Deck) -> Iterator[str]:
    spec = deck.spec
    yield "=" * WIDTH
    yield from _wrapped(f"{spec.rotor.set_id}   BENCH CARDS FOR ONE ROTOR   {_diameter(deck)}")
    yield "=" * WIDTH
    if deck.stamp.is_draft:
        yield from _wrapped("No register knows these cards. Do not work from them.")
    yield from _wrapped(_identity(deck))
    yield from _wrapped(f"Blade A, {spec.rotor.mark_a}: {spec.blades.serial_a}")
    yield from _wrapped(f"Blade B, {spec.rotor.mark_b}: {spec.blades.serial_b}")
    yield from _wrapped(f"Hub: {spec.rotor.hub_serial}")
    yield from _wrapped("The maker's instructions win. Compare the code with the register before you start.")
    for absent in deck.left_out:
        yield from _wrapped(f"Not in this deck: {absent.title}: {absent.why}")
    for doubt in deck.warnings:
        yield from _wrapped(f"Doubt about the specification: {doubt_words(spec, doubt)}")
    yield "[_] the hand; [_][_] the hand and a second person."


def _identity(deck: Deck) -> str:
    stamp, until = deck.stamp, deck.spec.authority.use_until.isoformat()
    if stamp.is_draft:
        return f"{deck.spec.rotor.set_id}, DRAFT, NOT ISSUED, use until {until}"
    return f"{deck.spec.rotor.set_id}, revision {stamp.revision}, code {stamp.code}, use until {until}"


def _diameter(deck: Deck) -> str:
    diameter = reading_of(deck.spec, ("rotor", "diameter"))
    return f"{diameter.number} {diameter.unit}".replace(" ", GLUE)


def _card(deck: Deck, card: Card, place: str) -> Iterator[str]:
    yield "=" * WIDTH
    yield from _wrapped(f"CARD {place}   {card.title.upper()}   {card.phase}   {_diameter(deck)}")
    yield from _wrapped(_identity(deck))
    yield from _sections(shown_on(card, _AS))


def sheet_text(sheet: Card) -> str:
    """Write a sheet that is no card of a deck as plain text."""
    return "".join(f"{line.replace(GLUE, ' ').rstrip()}\n" for line in _sheet(sheet))


def _sheet(sheet: Card) -> Iterator[str]:
    yield "=" * WIDTH
    yield from _wrapped(sheet.title.upper())
    yield "=" * WIDTH
    yield from _sections(sheet.sections)


def _sections(sections: Iterable[Section]) -> Iterator[str]:
    for section in sections:
        if section.title:
            yield ""
            yield from _wrapped(section.title.upper())
        for block in section.blocks:
            yield ""
            yield from _block(block)


def _block(block: Block) -> Iterator[str]:
    match block:
        case Steps():
            for place, step in enumerate(block.steps):
                if place:
                    yield ""
                yield from _step(step)
        case Paragraph():
            yield from _wrapped(words(block.says))
        case Items():
            for item in block.items:
                yield from _wrapped(words(item), "- ", "  ")
        case Table():
            yield from table_lines(block, WIDTH, words)
        case Drawing():
            yield from _wrapped(f"Drawing: {block.diagram.title}. {block.diagram.description}")
        case WriteIns():
            for box in block.boxes:
                yield from _wrapped(_box(box))
        case Stop():
            yield from _framed(f"{block.word}: {words(block.says)}")
        case Qr():
            yield f"Log entry: {block.payload}"


def _step(step: Step) -> Iterator[str]:
    for caution in step.cautions:
        yield from _wrapped(f"{caution.signal}: {words(caution.says)}", "     ", "     ")
    yield from _wrapped(_ticked(step.ticks, step.says), f"{step.number:>3}. ", "     ")
    for check in step.checks:
        yield from _wrapped(_ticked(check.ticks, check.says), "     - ", "       ")
    for box in step.write_ins:
        yield from _wrapped(_box(box), "     ", "       ")
    if step.why:
        yield from _wrapped(f"({words(step.why)})", "     ", "     ")


def _ticked(ticks: int, says: Runs) -> str:
    return f"{_TICKS[ticks]} {words(says)}".lstrip()


def _framed(text: str) -> Iterator[str]:
    yield from _wrapped(f"*** {text}", "", "    ")


def words(runs: Runs, letters: bool = True) -> str:
    """Say a line of runs as text; spaces inside a figure do not end a line."""
    return "".join(_inline(run, letters) for run in runs)


def plainly(runs: Runs) -> str:
    """Say a line of runs as text that may be wrapped anywhere."""
    return words(runs).replace(GLUE, " ")


def _inline(run: Inline, letters: bool) -> str:
    match run:
        case Value():
            return _value(run, letters).replace(" ", GLUE)
        case WriteIn():
            return _box(run, in_cell=True)
        case Words() | Said():
            return run.text
        case Was():
            return f" ({run.text.replace(' ', GLUE)})"


def _value(run: Value, letters: bool) -> str:
    parts = run.figure.parts
    said = [parts.number]
    if run.show == "all" and parts.unit:
        said.append(parts.unit)
    if parts.second:
        said.append(f"({parts.second})")
    if letters and run.show == "all" and parts.unit:
        said.append(run.figure.origin.value)
    return " ".join(said)


def _box(box: WriteIn, *, in_cell: bool = False) -> str:
    blank = f"[{'_' * box.digits or ' '}]"
    said = blank if in_cell else f"{box.label}:{GLUE}{blank}"
    if box.unit and not in_cell:
        said += f"{GLUE}{box.unit}"
    limits = "/".join(box.choices) or words(box.limits)
    return f"{said} ({limits})" if limits else said


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=True,
    ) or [first]
