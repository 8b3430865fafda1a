"""From markup nodes to a `Card`: ids are resolved, steps numbered, cautions bound to what they guard."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, NoReturn, cast, get_args

from pint import DimensionalityError

from cardgen.deck.card import (
    Block,
    Card,
    Caution,
    Check,
    Column,
    Drawing,
    Inline,
    Items,
    Paragraph,
    Qr,
    Role,
    Row,
    Runs,
    Said,
    Section,
    Step,
    Steps,
    Stop,
    Table,
    Value,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.deck.diagram import Diagram
from cardgen.deck.fault import BuildFault
from cardgen.deck.library import Library
from cardgen.deck.limits import limit_runs
from cardgen.deck.markup import Node, read_markup
from cardgen.deck.walk import walk
from cardgen.figures.figure import Figure
from cardgen.layouts_root import edition_names

_SPACE = re.compile(r"[ \t\r\n]+")
_DIGIT = re.compile(r"\d")


@dataclass(frozen=True)
class Shelf:
    """What the ids of a card's markup may name, and where its code leads."""

    library: Library
    figures: Mapping[str, Figure]
    diagram: Callable[[str], Diagram | None]
    payload: Callable[[str], str]


def read_card(markup: str, name: str, shelf: Shelf) -> Card:
    """Read rendered markup into a card.

    Raises `BuildFault` where the markup is not of the vocabulary, names what does not exist,
    has a caution that guards no step, or prints a digit that no figure and no quotation answers for.
    """
    node = read_markup(markup, name)
    if node.attributes["id"] != name:
        raise BuildFault(name, node.line, f"its id is {node.attributes['id']}")
    reader = _CardReader(name, shelf)
    sections = tuple(reader.section(child) for child in node.elements)
    reader.check_qr(sections, node)
    return Card(name, node.attributes["title"], node.attributes["phase"], sections)


@dataclass
class _CardReader:
    """Keeps count of the steps and of the ids given so far in one card."""

    card: str
    shelf: Shelf
    steps: int = 0
    given: set[str] = field(default_factory=set)

    def stop(self, node: Node, reason: str) -> NoReturn:
        raise BuildFault(self.card, node.line, reason)

    # Blocks

    def section(self, node: Node) -> Section:
        blocks: list[Block] = []
        guards: list[Node] = []
        for child in node.elements:
            if guards and child.tag not in {"caution", "step"}:
                self.stop(guards[0], f"caution {guards[0].attributes['use']} guards no step")
            if child.tag == "caution":
                guards.append(child)
            elif child.tag == "step":
                self._gather_step(blocks, self.step(child, guards))
                guards = []
            elif child.tag == "guarded":
                self._gather_guarded(blocks, child)
            elif child.tag == "write-in":
                self._gather_box(blocks, self.write_in(child))
            else:
                blocks.append(self.block(child))
        if guards:
            self.stop(guards[0], f"caution {guards[0].attributes['use']} guards no step")
        if not blocks:
            self.stop(node, "an empty section")
        role = node.attributes.get("role", "work")
        if role not in get_args(Role):
            self.stop(node, f"a section is {', '.join(get_args(Role))}, not {role}")
        return Section(
            node.attributes.get("title", ""),
            tuple(blocks),
            self.not_on(node),
            self.yes(node, "over"),
            cast(Role, role),
            self.yes(node, "span"),
            self.yes(node, "phase"),
        )

    def _gather_guarded(self, blocks: list[Block], node: Node) -> None:
        """Read cautions that stand once above several steps."""
        guards = [child for child in node.elements if child.tag == "caution"]
        steps = node.elements[len(guards) :]
        if not guards or not steps or any(child.tag == "caution" for child in steps):
            self.stop(node, "cautions come first, and guard one step at least")
        for place, child in enumerate(steps):
            self._gather_step(blocks, replace(self.step(child, [] if place else guards), joined=place > 0))

    @staticmethod
    def _gather_step(blocks: list[Block], step: Step) -> None:
        if blocks and isinstance(last := blocks[-1], Steps):
            blocks[-1] = Steps((*last.steps, step))
        else:
            blocks.append(Steps((step,)))

    @staticmethod
    def _gather_box(blocks: list[Block], box: WriteIn) -> None:
        if blocks and isinstance(last := blocks[-1], WriteIns):
            blocks[-1] = WriteIns((*last.boxes, box))
        else:
            blocks.append(WriteIns((box,)))

    def block(self, node: Node) -> Block:
        match node.tag:
            case "para":
                return Paragraph(self.runs(node), self.not_on(node))
            case "stop" | "hold":
                return Stop(self.runs(node), "HOLD" if node.tag == "hold" else "STOP", self.not_on(node))
            case "items":
                return self.items(node)
            case "table":
                return self.table(node)
            case "diagram":
                return self.drawing(node)
            case _:
                return Qr(self.shelf.payload(self.card), self.runs(node))

    def step(self, node: Node, guards: list[Node]) -> Step:
        whys = [child for child in node.elements if child.tag == "why"]
        if len(whys) > 1:
            self.stop(node, "a step has one reason at most")
        cautions = tuple(self.caution(guard) for guard in guards)
        boxes = tuple(self.write_in(child) for child in node.elements if child.tag == "write-in")
        self.steps += 1
        return Step(
            number=self.steps,
            says=self.runs(node, beside={"why", "write-in", "check"}),
            why=self.runs(whys[0]) if whys else (),
            ticks=self.ticks(node, "0"),
            cautions=cautions,
            write_ins=boxes,
            checks=tuple(
                Check(self.runs(child), self.ticks(child, "1"))
                for child in node.elements
                if child.tag == "check"
            ),
            not_on=self.not_on(node),
        )

    def ticks(self, node: Node, unsaid: str) -> int:
        ticks = node.attributes.get("ticks", unsaid)
        if ticks not in {"0", "1", "2"}:
            self.stop(node, f"a {node.tag} has no, one or two ticks, not {ticks}")
        return int(ticks)

    def not_on(self, node: Node) -> tuple[str, ...]:
        named = tuple(node.attributes.get("not-on", "").split())
        if unknown := set(named).difference(edition_names()):
            self.stop(node, f"there is no edition {min(unknown)}")
        return named

    def caution(self, node: Node) -> Caution:
        use = node.attributes["use"]
        words = self.shelf.library.cautions.get(use)
        if words is None:
            self.stop(node, f"there is no caution {use}")
        return Caution(use, words.signal, (Words(words.text),), words.brief)

    def items(self, node: Node) -> Items:
        if not node.elements:
            self.stop(node, "an empty list")
        return Items(tuple(self.runs(item) for item in node.elements), self.not_on(node))

    def table(self, node: Node) -> Table:
        self.take_id(node, node.attributes["id"])
        columns = tuple(self.column(child) for child in node.elements if child.tag == "column")
        rows = tuple(self.row(child, len(columns)) for child in node.elements if child.tag == "row")
        if not columns or not rows:
            self.stop(node, "a table needs columns and rows")
        return Table(
            id=node.attributes["id"],
            caption=node.attributes["caption"],
            columns=columns,
            rows=rows,
            repeat_key=self.yes(node, "repeat-key"),
            not_on=self.not_on(node),
        )

    def column(self, node: Node) -> Column:
        unit, origin, group = (node.attributes.get(name, "") for name in ("unit", "origin", "group"))
        return Column(node.attributes["head"], unit, self.yes(node, "strong"), origin, group, self.not_on(node))

    def row(self, node: Node, columns: int) -> Row:
        stop = self.yes(node, "stop")
        wanted = 1 if stop else columns
        if len(node.elements) != wanted:
            self.stop(node, f"a row of {len(node.elements)} cells where {wanted} are wanted")
        return Row(tuple(self.runs(cell, empty=True) for cell in node.elements), stop)

    def drawing(self, node: Node) -> Drawing:
        diagram = self.shelf.diagram(node.attributes["name"])
        if diagram is None:
            self.stop(node, f"there is no diagram {node.attributes['name']}")
        return Drawing(diagram, self.not_on(node))

    def write_in(self, node: Node) -> WriteIn:
        self.take_id(node, node.attributes["id"])
        digits = node.attributes.get("digits", "4")
        if digits not in {str(count) for count in range(1, 25)}:
            self.stop(node, f"a box takes 1 to 24 characters, not {digits}")
        if len(node.elements) > 1:
            self.stop(node, "a box has one set of limits")
        runs = self.runs(node.elements[0]) if node.elements else ()
        choices = tuple(filter(None, node.attributes.get("choices", "").split(",")))
        unit = node.attributes.get("unit", "")
        try:
            limits = limit_runs(runs, choices, self.shelf.library.terms)
            box = WriteIn(
                id=node.attributes["id"],
                label=node.attributes["label"],
                unit=unit,
                limits=limits,
                digits=int(digits),
                choices=choices,
                none=self.yes(node, "none"),
            )
            _ = box.bounds
        except ValueError as error:
            self.stop(node, str(error))
        except (LookupError, DimensionalityError):
            self.stop(node, f"a limit of a box in {unit or 'no unit'} measures something else")
        return box

    # Words

    def runs(
        self, node: Node, *, beside: Iterable[str] = (), empty: bool = False, strong: bool = False
    ) -> Runs:
        """Read words and the elements among them; white space is one space, none at the ends."""
        found: list[Inline] = []
        for child in node.children:
            if isinstance(child, str):
                self._add_words(node, found, _SPACE.sub(" ", child), strong)
            elif child.tag not in set(beside):
                found.extend(self.inline(child, strong))
        runs = _trimmed(found)
        if not runs and not empty:
            self.stop(node, f"<{node.tag}> says nothing")
        return runs

    def _add_words(self, node: Node, found: list[Inline], text: str, strong: bool) -> None:
        if _DIGIT.search(text):
            self.stop(node, f"a digit without a figure: {text.strip()[:40]}")
        if found and isinstance(last := found[-1], Words) and last.strong == strong:
            found[-1] = Words(_SPACE.sub(" ", last.text + text), strong)
        elif text:
            found.append(Words(text, strong))

    def inline(self, node: Node, strong: bool) -> Runs:
        match node.tag:
            case "strong":
                return self.runs(node, strong=True)
            case "term":
                use = node.attributes["use"]
                if use not in self.shelf.library.terms:
                    self.stop(node, f"there is no term {use}")
                return (Words(self.shelf.library.terms[use], strong),)
            case "said":
                text = "".join(child for child in node.children if isinstance(child, str))
                return (Said(text, node.attributes.get("key", ""), strong),)
            case "value":
                return (self.value(node),)
        return (self.write_in(node),)

    def value(self, node: Node) -> Value:
        id_, show = node.attributes["id"], node.attributes.get("show", "all")
        if id_ not in self.shelf.figures:
            self.stop(node, f"there is no figure {id_}")
        if show not in {"all", "number"}:
            self.stop(node, f"a figure is shown whole or as its number, not as {show}")
        return Value(self.shelf.figures[id_], cast(Literal["all", "number"], show))

    # Rules of the card as a whole

    def take_id(self, node: Node, id_: str) -> None:
        if id_ in self.given:
            self.stop(node, f"the id {id_} is given twice")
        self.given.add(id_)

    def yes(self, node: Node, name: str) -> bool:
        said = node.attributes.get(name, "no")
        if said not in {"yes", "no"}:
            self.stop(node, f"{name} is yes or no, not {said}")
        return said == "yes"

    def check_qr(self, sections: tuple[Section, ...], node: Node) -> None:
        """A card has one code at most, and it ends the card, where every box is filled."""
        places = list(walk(sections))
        codes = [place for place in places if place.what == "code"]
        if len(codes) > 1 or (codes and places[-1].what != "code"):
            self.stop(node, "the code to scan stands once, at the end")
        if not places:
            self.stop(node, "an empty card")


def _trimmed(found: list[Inline]) -> Runs:
    runs = list(found)
    if runs and isinstance(first := runs[0], Words):
        runs[0] = Words(first.text.lstrip(), first.strong)
    if runs and isinstance(last := runs[-1], Words):
        runs[-1] = Words(last.text.rstrip(), last.strong)
    return tuple(run for run in runs if not (isinstance(run, Words) and not run.text))
