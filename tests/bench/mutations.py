"""Finds what may be changed in a module's sums and judgements: one sign, comparison, side or constant.

Not drawn is what no test could tell apart: annotations, decorators, the words of an error, text inside
f-strings, constants that only text uses, sums of words or lists, which would fail at once, and how far in
millimetres a mark of a chart stands from another.
"""

from __future__ import annotations

import ast
import io
import tokenize
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, pairwise

_SIGNS = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.And: ("and", "or"),
    ast.Or: ("or", "and"),
}
_NAMES = {
    "min": "max",
    "max": "min",
    "ceil": "floor",
    "floor": "ceil",
    "AT_LEAST": "AT_MOST",
    "AT_MOST": "AT_LEAST",
    "NEITHER": "AT_LEAST",
}
_WORDS = {"up": "down", "down": "up", "nearest": "up", "at least": "at most", "at most": "at least"}
#: A whole number above this is changed by a tenth, since one more would often be the same trade practice.
_SMALL = 20
#: Calls whose flags check the program itself, never a rotor.
_SELF_CHECKS = {"zip", "dataclass"}
#: Calls that draw: their arguments are places on a board.
_DRAWING = {"Line", "Label", "Disc"}


@dataclass(frozen=True)
class Mutation:
    """One change to a module: ``old`` between two places of its text becomes ``new``.

    ``module`` is a path in the tree, ``code`` the line's text without its margin; ``nth`` counts changes
    alike on lines alike in that module, from 1, so that a change keeps its name when lines move.
    """

    module: str
    line: int
    code: str
    start: int
    end: int
    old: str
    new: str
    nth: int

    @property
    def name(self) -> str:
        """What was changed to what, such as ``< to <=``; a second one alike is numbered."""
        return f"{self.old} to {self.new}" + (f" ({self.nth})" if self.nth > 1 else "")

    def apply(self, source: str) -> str:
        """Give the module's text with this change. Raises `ValueError` where it does not fit the text."""
        if source[self.start : self.end] != self.old:
            raise ValueError(f"{self.module}:{self.line}: not the text that was read")
        return source[: self.start] + self.new + source[self.end :]


def mutations_of(module: str, source: str) -> tuple[Mutation, ...]:
    """List every change that may be drawn in a module, in the order of its text."""
    tree = ast.parse(source)
    finder = _Finder(_Text(source), _only_in_text(tree))
    finder.visit(tree)
    seen: Counter[tuple[str, str, str]] = Counter()
    found = []
    lines = source.splitlines()
    for start, end, new in sorted(finder.found):
        line = source.count("\n", 0, start)
        code, old = lines[line].strip(), source[start:end]
        seen[code, old, new] += 1
        found.append(Mutation(module, line + 1, code, start, end, old, new, seen[code, old, new]))
    return tuple(found)


def _only_in_text(tree: ast.Module) -> set[str]:
    """Name the private constants of a module that nothing but an f-string uses."""
    inside = {id(node) for text in ast.walk(tree) if isinstance(text, ast.JoinedStr) for node in ast.walk(text)}
    read = [node for node in ast.walk(tree) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load)]
    elsewhere = {node.id for node in read if id(node) not in inside}
    return {node.id for node in read if node.id.startswith("_")} - elsewhere


class _Text:
    """A module's text; places in it are counted in characters from its beginning."""

    def __init__(self, source: str) -> None:
        self.source = source
        self._lines = source.splitlines(keepends=True)
        self._starts = [0, *accumulate(map(len, self._lines))]

    def place(self, line: int, column: int) -> int:
        """Turn a line, from 1, and a column in bytes of UTF-8, as `ast` counts, into a place."""
        return self._starts[line - 1] + len(self._lines[line - 1].encode()[:column].decode())

    def begin(self, node: ast.expr) -> int:
        return self.place(node.lineno, node.col_offset)

    def end(self, node: ast.expr | ast.stmt) -> int:
        if node.end_lineno is None or node.end_col_offset is None:
            raise ValueError("a node without an end")
        return self.place(node.end_lineno, node.end_col_offset)

    def operator(self, left: ast.expr, right: ast.expr, sign: str) -> tuple[int, int]:
        """Find an operator between two operands, past brackets and comments."""
        start = self.end(left)
        between = self.source[start : self.begin(right)]
        lines = between.splitlines(keepends=True)
        for token in _tokens(between):
            if token.string == sign:
                place = start + sum(map(len, lines[: token.start[0] - 1])) + token.start[1]
                return place, place + len(sign)
        raise ValueError(f"no {sign} between two operands")


def _tokens(part: str) -> Iterator[tokenize.TokenInfo]:
    try:
        yield from tokenize.generate_tokens(io.StringIO(part).readline)
    except (tokenize.TokenError, IndentationError):
        # A part of an expression need not close its brackets.
        return


@dataclass
class _Finder(ast.NodeVisitor):
    text: _Text
    only_in_text: set[str]
    found: list[tuple[int, int, str]] = field(default_factory=list)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        for default in (*node.args.defaults, *node.args.kw_defaults):
            if default is not None:
                self.visit(default)
        self._each(node.body)

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        self._each(node.body)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        alias = isinstance(node.annotation, ast.Name) and node.annotation.id == "TypeAlias"
        if node.value is not None and not alias and not self._is_only_text(node.target):
            self.visit(node.value)

    def visit_Assign(self, node: ast.Assign) -> None:
        if not all(self._is_only_text(target) for target in node.targets):
            self.visit(node.value)

    def visit_AugAssign(self, node: ast.AugAssign) -> None:
        if type(node.op) in _SIGNS and not _is_list_or_text(node.value):
            old, new = (f"{sign}=" for sign in _SIGNS[type(node.op)])
            target = node.target
            self._put(self.text.operator(target, node.value, old), new)
        self.visit(node.value)

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        """Words for a reader."""

    def visit_Raise(self, node: ast.Raise) -> None:
        """Words for a reader."""

    def visit_Call(self, node: ast.Call) -> None:
        called = node.func.id if isinstance(node.func, ast.Name) else ""
        if called in _DRAWING:
            return
        self.visit(node.func)
        self._each(node.args)
        if called not in _SELF_CHECKS:
            self._each([keyword.value for keyword in node.keywords])

    def visit_BinOp(self, node: ast.BinOp) -> None:
        if type(node.op) in _SIGNS and not _is_list_or_text(node.left) and not _is_list_or_text(node.right):
            old, new = _SIGNS[type(node.op)]
            self._put(self.text.operator(node.left, node.right, old), new)
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        old, new = _SIGNS[type(node.op)]
        for left, right in pairwise(node.values):
            self._put(self.text.operator(left, right, old), new)
        self.generic_visit(node)

    def visit_Compare(self, node: ast.Compare) -> None:
        for (left, right), sign in zip(pairwise((node.left, *node.comparators)), node.ops, strict=True):
            if type(sign) in _SIGNS:
                old, new = _SIGNS[type(sign)]
                self._put(self.text.operator(left, right, old), new)
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        start = self.text.begin(node)
        if isinstance(node.op, ast.Not):
            self._put((start, start + len("not ")), "")
        elif isinstance(node.op, ast.USub):
            self._put((start, start + 1), "+")
        self.generic_visit(node)

    def visit_Name(self, node: ast.Name) -> None:
        if node.id in _NAMES and isinstance(node.ctx, ast.Load):
            self._put((self.text.begin(node), self.text.end(node)), _NAMES[node.id])

    def visit_Attribute(self, node: ast.Attribute) -> None:
        if node.attr in _NAMES and isinstance(node.ctx, ast.Load):
            end = self.text.end(node)
            self._put((end - len(node.attr), end), _NAMES[node.attr])
        self.visit(node.value)

    def visit_Constant(self, node: ast.Constant) -> None:
        place = (self.text.begin(node), self.text.end(node))
        match node.value:
            case bool():
                self._put(place, str(not node.value))
            case int() | float():
                self._put(place, _next(node.value))
            case str() if node.value in _WORDS:
                self._put(place, f'"{_WORDS[node.value]}"')

    def _put(self, place: tuple[int, int], new: str) -> None:
        self.found.append((*place, new))

    def _each(self, nodes: Sequence[ast.AST]) -> None:
        for node in nodes:
            self.visit(node)

    def _is_only_text(self, target: ast.expr) -> bool:
        return isinstance(target, ast.Name) and target.id in self.only_in_text


def _is_list_or_text(node: ast.expr) -> bool:
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str | bytes)
    return isinstance(node, ast.JoinedStr | ast.List | ast.Tuple | ast.ListComp)


def _next(number: int | float) -> str:
    if isinstance(number, int) and abs(number) < _SMALL:
        return str(number + 1)
    larger = number * 1.1 if number else 0.1
    return str(round(larger)) if isinstance(number, int) else repr(float(f"{larger:.6g}"))
