"""The check of a specification: every value changes it, no comment does, and no set code passes for one."""

from __future__ import annotations

import re
import tomllib

import pytest

from cardgen.register.code import Mistyped, code_of, read_code
from cardgen.spec.read_check import NoReadCheck, read_check, typed_check
from tests.cli.running import INCH

TEXT = INCH.read_text("utf-8")
CHECK = read_check(TEXT.encode())


def test_comments_blank_lines_and_the_order_of_groups_do_not_matter() -> None:
    bare = re.sub(r"(?m)^#.*$|\s+#.*$", "", TEXT)
    assert tomllib.loads(bare) == tomllib.loads(TEXT)
    assert bare != TEXT
    assert read_check(bare.encode()) == CHECK
    head, group = TEXT.split("[head]", 1)
    body, rest = group.split("\n\n", 1)
    assert read_check(f"{head}{rest}\n[head]{body}\n".encode()) == CHECK


def test_any_value_or_word_that_differs_changes_it() -> None:
    """Every line that gives a value is changed by one character within its quotation or number."""
    seen = {CHECK}
    lines = TEXT.splitlines()
    changed = 0
    for at, line in enumerate(lines):
        found = re.match(r'(\w+\s*=\s*")(.)', line)
        if found is None:
            continue
        other = "x" if found[2] != "x" else "y"
        text = "\n".join([*lines[:at], found[1] + other + line[found.end() :], *lines[at + 1 :]])
        check = read_check(text.encode())
        assert check not in seen, line
        seen.add(check)
        changed += 1
    assert changed > 150


def test_it_is_read_as_people_type_it() -> None:
    assert re.fullmatch(r"[0-9A-Z]{3}-[0-9A-Z]{3}-[0-9A-Z]{3}", CHECK)
    assert typed_check(CHECK.lower().replace("-", " ")) == CHECK


@pytest.mark.parametrize("number", [0, 1, 2**40 - 1])
def test_a_set_code_is_no_check_and_a_check_no_set_code(number: int) -> None:
    found = typed_check(code_of(number))
    assert isinstance(found, NoReadCheck)
    assert "code of a deck" in found.why
    assert isinstance(read_code(CHECK), Mistyped)


def test_a_slip_is_found() -> None:
    for place, character in enumerate(CHECK):
        if character != "-":
            other = "2" if character != "2" else "3"
            assert isinstance(typed_check(CHECK[:place] + other + CHECK[place + 1 :]), NoReadCheck)
