"""What lower layers say is said at the desk without a terminal: every message of theirs is looked at."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest

from cardgen.desk.desk_words import at_desk, desk_words
from cardgen.spec.problem import Problem
from tests.cli.running import TREE

#: A command, an option, a name in the quotes of a command.
OF_A_TERMINAL = re.compile(
    r"\bcardgen (?:read|issue|draft|check|log (?!entry)|register|withdraw|reprint|verify|letter|fleet)\b"
    r"|(?<![\w-])--[a-z]|`(?!cardgen desk)[a-z]+ [a-z]+`"
)
#: What speaks at a terminal alone, and why.
NOT_AT_THE_DESK = {
    "cli": "the command line itself",
    "desk/desk_words.py": "the tables that are looked at here",
    "register/export.py": "exporting a register has no place at the desk",
    "issuing/correct_days.py": "nor has correcting a day",
}


def messages() -> Iterator[tuple[str, str]]:
    """Every text in the program that is no docstring, with the values that stand in it by name."""
    for path in sorted((TREE / "cardgen").rglob("*.py")):
        short = path.relative_to(TREE / "cardgen").as_posix()
        if any(short == each or short.startswith(f"{each}/") for each in NOT_AT_THE_DESK):
            continue
        text = path.read_text("utf-8")
        if not OF_A_TERMINAL.search(text):
            continue
        tree = ast.parse(text)
        documents = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        inside = {
            id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values
        }
        for node in ast.walk(tree):
            if id(node) in documents | inside:
                continue
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield short, node.value
            elif isinstance(node, ast.JoinedStr):
                yield short, "".join(_part(part, path) for part in node.values)


def _part(part: ast.expr, path: Path) -> str:
    if isinstance(part, ast.Constant):
        return str(part.value)
    name = part.value.id if isinstance(part, ast.FormattedValue) and isinstance(part.value, ast.Name) else ""
    if not name.isupper():
        return "X"
    module = import_module(".".join(path.relative_to(TREE).with_suffix("").parts))
    return str(getattr(module, name, "X"))


def test_no_message_that_the_desk_can_show_names_a_command() -> None:
    met = [(where, text) for where, text in messages() if OF_A_TERMINAL.search(text)]
    # They are there in lower layers, and are found: reading, register, store, comparison.
    assert {"issuing/reading.py", "register/errors.py", "register/store.py"} <= {where for where, _ in met}
    left = [(where, desk_words(text)) for where, text in met]
    assert [each for each in left if OF_A_TERMINAL.search(each[1])] == []


@pytest.mark.parametrize(
    ("key", "why", "write", "said"),
    [
        (
            "rotor.marks_at",
            "nothing stands between the quotes, and nothing is assumed in its place",
            'where they are; or not_given = ["marks_at"] and this line taken out, if the papers do not say',
            'nothing is filled in, and nothing is assumed in its place|where they are; or tick "The paper does '
            'not say", if the papers do not say',
        ),
        (
            "documents[1].date",
            "this key is needed, and nothing is assumed in its place",
            'date = its date; year, month and day without quotes, such as 2027-11-30, or "2027-11", or "2027"',
            "this is needed, and nothing is assumed in its place|its date; year, month and day, such as "
            "2027-11-30, or 2027-11, or 2027",
        ),
        (
            "teeter.contact",
            "a washer takes the thrust",
            'thrust = "adjustable" if the block is; if not, leave this key out',
            'a washer takes the thrust|thrust = "adjustable" if the block is; if not, leave this box empty',
        ),
    ],
)
def test_a_problem_is_said_as_the_form_asks(key: str, why: str, write: str, said: str) -> None:
    found = at_desk(Problem("rotor.toml", 3, 1, key, "rule", "", why, write))
    assert f"{found.why}|{found.write}" == said
