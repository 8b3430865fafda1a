"""The card markup: a small XML vocabulary, known exactly, and the reading of it into plain nodes.

Reading stops at the first element, attribute or stray word that the vocabulary does not have.
What the elements mean is for `cardgen.deck.reader`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NoReturn, TypeAlias
from xml.parsers import expat

from cardgen.deck.fault import BuildFault


@dataclass(frozen=True)
class ElementRule:
    """What one element carries: attributes it needs and may have, elements inside, words or not."""

    needs: frozenset[str] = frozenset()
    may: frozenset[str] = frozenset()
    holds: frozenset[str] = frozenset()
    words: bool = False


def _rule(needs: str = "", may: str = "", holds: str = "", words: bool = False) -> ElementRule:
    return ElementRule(frozenset(needs.split()), frozenset(may.split()), frozenset(holds.split()), words)


_INLINE = "value said strong term"

#: Every element of the card markup.
VOCABULARY: dict[str, ElementRule] = {
    "card": _rule("id title phase", holds="section"),
    "section": _rule(
        may="title not-on over role span phase",
        holds="caution step guarded para items table diagram write-in stop hold qr",
    ),
    "caution": _rule("use"),
    "guarded": _rule(holds="caution step"),
    "step": _rule(may="ticks not-on", holds=f"{_INLINE} check why write-in", words=True),
    "check": _rule(may="ticks", holds=_INLINE, words=True),
    "why": _rule(holds=_INLINE, words=True),
    "para": _rule(may="not-on", holds=_INLINE, words=True),
    "stop": _rule(may="not-on", holds=_INLINE, words=True),
    "hold": _rule(may="not-on", holds=_INLINE, words=True),
    "qr": _rule(holds=_INLINE, words=True),
    "items": _rule(may="not-on", holds="item"),
    "item": _rule(holds=_INLINE, words=True),
    "table": _rule("id caption", may="repeat-key not-on", holds="column row"),
    "column": _rule("head", may="unit strong origin group not-on"),
    "row": _rule(may="stop", holds="cell"),
    "cell": _rule(holds=f"{_INLINE} write-in", words=True),
    "diagram": _rule("name", may="not-on"),
    "write-in": _rule("id label", may="unit digits choices none", holds="limits"),
    "limits": _rule(holds=_INLINE, words=True),
    "strong": _rule(holds="value said term", words=True),
    "term": _rule("use"),
    "value": _rule("id", may="show"),
    "said": _rule(may="key", words=True),
}


@dataclass
class Node:
    """One element as it was read: its attributes, and words and elements in their order."""

    tag: str
    attributes: dict[str, str]
    line: int
    children: list[Child] = field(default_factory=list)

    @property
    def elements(self) -> list[Node]:
        """The elements inside, without the white space between them."""
        return [child for child in self.children if isinstance(child, Node)]


Child: TypeAlias = Node | str


class _Reader:
    """Builds nodes while expat reads, and keeps to the vocabulary."""

    def __init__(self, card: str) -> None:
        self.card = card
        self.root: Node | None = None
        self.open: list[Node] = []
        self.expat = expat.ParserCreate()
        self.expat.buffer_text = True
        self.expat.StartElementHandler = self.start
        self.expat.EndElementHandler = self.end
        self.expat.CharacterDataHandler = self.text
        self.expat.StartDoctypeDeclHandler = self.declaration
        self.expat.ProcessingInstructionHandler = self.declaration

    def stop(self, reason: str) -> NoReturn:
        raise BuildFault(self.card, self.expat.CurrentLineNumber, reason)

    def declaration(self, *_: object) -> None:
        self.stop("a declaration has no place in card markup")

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        rule = VOCABULARY.get(tag)
        if rule is None:
            self.stop(f"there is no element <{tag}>")
        if self.open and tag not in VOCABULARY[self.open[-1].tag].holds:
            self.stop(f"<{tag}> cannot stand in <{self.open[-1].tag}>")
        if not self.open and tag != "card":
            self.stop(f"a card begins with <card>, not <{tag}>")
        if missing := rule.needs - attributes.keys():
            self.stop(f"<{tag}> lacks {', '.join(sorted(missing))}")
        if unknown := attributes.keys() - rule.needs - rule.may:
            self.stop(f"<{tag}> has no attribute {', '.join(sorted(unknown))}")
        if empty := sorted(name for name in attributes if name in rule.needs and not attributes[name].strip()):
            self.stop(f"<{tag}> has nothing in {', '.join(empty)}")
        node = Node(tag, dict(attributes), self.expat.CurrentLineNumber)
        if self.open:
            self.open[-1].children.append(node)
        else:
            self.root = node
        self.open.append(node)

    def end(self, _: str) -> None:
        self.open.pop()

    def text(self, text: str) -> None:
        node = self.open[-1]
        if VOCABULARY[node.tag].words:
            node.children.append(text)
        elif text.strip():
            self.stop(f"stray words in <{node.tag}>: {text.strip()[:40]}")


def read_markup(markup: str, card: str) -> Node:
    """Read card markup into nodes.

    ``card`` names the card in a fault. Lines are those of the rendered markup. Raises `BuildFault`
    for text that is not well formed and for anything that is not in the vocabulary.
    """
    reader = _Reader(card)
    try:
        reader.expat.Parse(markup.encode("utf-8"), True)
    except expat.ExpatError as error:
        raise BuildFault(card, error.lineno, f"not well formed: {expat.ErrorString(error.code)}") from error
    if reader.root is None:
        raise BuildFault(card, 1, "there is no card in it")
    return reader.root
