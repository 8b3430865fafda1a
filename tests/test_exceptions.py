"""No exception is swallowed: each is told, or a comment beside it says why its end here is harmless."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PRODUCT = Path(__file__).resolve().parents[1] / "cardgen"


def _is_silent(node: ast.AST) -> bool:
    """Whether exceptions end here without a word: suppressed, or answered with nothing."""
    if isinstance(node, ast.With):
        calls = [item.context_expr for item in node.items if isinstance(item.context_expr, ast.Call)]
        return any(isinstance(call.func, ast.Name) and call.func.id == "suppress" for call in calls)
    if not isinstance(node, ast.ExceptHandler) or len(node.body) != 1:
        return False
    (only,) = node.body
    if isinstance(only, ast.Return):
        return only.value is None or _says_nothing(only.value)
    return isinstance(only, ast.Pass | ast.Continue | ast.Break)


def _says_nothing(value: ast.expr) -> bool:
    return isinstance(value, ast.Constant | ast.Tuple | ast.List | ast.Dict) and not any(
        isinstance(each, ast.Name | ast.Call) for each in ast.walk(value)
    )


def _silent(path: Path) -> Iterator[str]:
    text = path.read_text("utf-8")
    lines = text.splitlines()
    for node in ast.walk(ast.parse(text)):
        if _is_silent(node):
            assert isinstance(node, ast.With | ast.ExceptHandler)
            end = node.body[0].lineno
            near = lines[node.lineno - 2 : end] if isinstance(node, ast.With) else lines[node.lineno - 1 : end]
            if not any("# " in line for line in near):
                yield f"{path.relative_to(PRODUCT).as_posix()}:{node.lineno}: {lines[node.lineno - 1].strip()}"


def test_every_exception_is_told_or_said_to_be_harmless() -> None:
    files = sorted(PRODUCT.rglob("*.py"))
    assert len(files) > 100
    assert [found for path in files for found in _silent(path)] == []


@pytest.mark.parametrize(
    ("written", "silent"),
    [
        ("with suppress(OSError):\n    f()", True),
        ("try:\n    f()\nexcept OSError:\n    pass", True),
        ("try:\n    f()\nexcept OSError:\n    return ''", True),
        ("try:\n    f()\nexcept OSError as error:\n    return told(error)", False),
        ("try:\n    f()\nexcept OSError:\n    raise Trouble() from None", False),
        ("with held():\n    f()", False),
    ],
)
def test_what_counts_as_swallowed(written: str, silent: bool) -> None:
    tree = ast.parse(f"def g():\n{' ' * 4}" + written.replace("\n", f"\n{' ' * 4}"))
    assert any(map(_is_silent, ast.walk(tree))) == silent
