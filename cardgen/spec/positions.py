"""Where in the file a key stands: line and column for a problem's message.

The standard reader of TOML keeps no places, so the file is read a second time by a syntax
tree, and only when there is a problem to place.
"""

from __future__ import annotations

import tomllib

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from cardgen.spec.problem import Path, key_of

# No known key lies deeper; hostile files go down without end.
_DEEPEST = 8


class Positions:
    """The place of every key, table and list item of one file that is valid TOML."""

    def __init__(self, text: bytes) -> None:
        self._nodes: dict[Path, Node] = {}
        self._last: dict[Path, int] = {}
        self._lines = text.split(b"\n")
        for node in Parser(Language(tree_sitter_toml.language())).parse(text).root_node.named_children:
            self._enter(node)

    def of(self, path: Path) -> tuple[int, int]:
        """Give line and column, counted from 1, of a key or of the nearest place known above it.

        Both are 0 where nothing of the path stands in the file. The column counts characters.
        """
        for depth in range(len(path), 0, -1):
            if node := self._nodes.get(path[:depth]):
                row, column = node.start_point
                return row + 1, len(self._lines[row][:column].decode()) + 1
        return 0, 0

    def lines(self) -> dict[str, int]:
        """Name every key as a keeper would say it, with the line it stands on."""
        return {key_of(path): node.start_point[0] + 1 for path, node in self._nodes.items()}

    def value_of(self, path: Path) -> tuple[int, int]:
        """Give where the value of a key begins and ends, in bytes. Raises `LookupError` where there is none."""
        node = self._nodes[path]
        if node.type == "pair":
            node = [child for child in node.named_children if child.type != "comment"][-1]
        return node.start_byte, node.end_byte

    def _enter(self, node: Node) -> None:
        if node.type == "pair":
            self._pair(node, ())
        elif node.type in {"table", "table_array_element"}:
            head, *pairs = (child for child in node.named_children if child.type != "comment")
            path = self._header(node, head)
            for pair in pairs:
                self._pair(pair, path)

    def _header(self, node: Node, head: Node) -> Path:
        path: Path = ()
        parts = _parts(head)
        for depth, part in enumerate(parts, start=1):
            path = (*path, part)
            self._nodes.setdefault(path, node)
            if node.type == "table_array_element" and depth == len(parts):
                self._last[path] = self._last.get(path, -1) + 1
            if path in self._last:
                path = (*path, self._last[path])
                self._nodes.setdefault(path, node)
        return path

    def _pair(self, node: Node, path: Path) -> None:
        head, *values = (child for child in node.named_children if child.type != "comment")
        for part in _parts(head):
            path = (*path, part)
            self._nodes.setdefault(path, node)
        for value in values:
            self._value(value, path)

    def _value(self, node: Node, path: Path) -> None:
        if len(path) >= _DEEPEST:
            return
        children = [child for child in node.named_children if child.type != "comment"]
        if node.type == "inline_table":
            for pair in children:
                self._pair(pair, path)
        elif node.type == "array":
            for index, child in enumerate(children):
                self._nodes.setdefault((*path, index), child)
                self._value(child, (*path, index))


def _parts(key: Node) -> list[str]:
    """Read a bare, quoted or dotted key by the rules of TOML itself."""
    if key.type == "bare_key":
        return [(key.text or b"").decode()]
    table: object = tomllib.loads(f"{(key.text or b'').decode()} = 0")
    parts: list[str] = []
    while isinstance(table, dict) and len(parts) < _DEEPEST:
        ((part, table),) = table.items()
        parts.append(part)
    return parts
