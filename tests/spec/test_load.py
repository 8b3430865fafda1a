"""From a file to a rotor, or to every problem at once."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec.load import FileTrouble, Loaded, load, load_bytes
from cardgen.spec.problem import Problem
from tests.editing import edited, line_of, replaced, without_group

DAY = date(2026, 7, 1)


def _problems(text: str | bytes) -> tuple[Problem, ...]:
    data = text.encode() if isinstance(text, str) else text
    loaded = load_bytes(data, "rotor.toml", DAY)
    assert (loaded.spec is None) == bool(loaded.problems)
    return loaded.problems


def _one(text: str | bytes) -> Problem:
    (problem,) = _problems(text)
    return problem


def test_the_complete_specification_is_read_whole(complete_path: Path, shape_text: str) -> None:
    loaded = load(complete_path, DAY)
    assert isinstance(loaded, Loaded)
    assert loaded.problems == ()
    assert loaded.spec is not None
    assert loaded.spec.text == shape_text.encode()
    assert loaded.spec.rotor.set_id == "TEST-77"
    assert loaded.spec.typed(("fasteners", 0, "torque_min")) == "165 in·lbf"
    assert loaded.spec.source(("fasteners", 1, "drag_max")) == "RULES s.9"
    assert loaded.spec.source(("track", "points", 1, "rule")) == "BOOK-A p.10"


def test_every_sample_is_accepted(sample_paths: list[Path]) -> None:
    assert sample_paths
    for path in sample_paths:
        loaded = load(path, DAY)
        assert isinstance(loaded, Loaded)
        assert loaded.problems == (), path.name


def test_every_optional_group_may_be_left_out(shape_text: str) -> None:
    for group in (
        "hub",
        "aircraft",
        "wrenches",
        "straps",
        "head",
        "shake",
        "care",
        "print",
        "reflectors",
        "run",
    ):
        problems = _problems(without_group(shape_text, group))
        assert not [found for found in problems if found.rule == "group-missing"], group


@pytest.mark.parametrize("group", ["rotor", "blades", "authority", "documents", "fasteners", "track"])
def test_a_required_group_left_out_is_asked_for(shape_text: str, group: str) -> None:
    found = next(found for found in _problems(without_group(shape_text, group)) if found.key == group)
    assert (found.line, found.column, found.rule, found.read) == (0, 0, "group-missing", "nothing")
    assert group in found.write


def test_a_missing_group_is_answered_with_the_keys_it_needs() -> None:
    written = {found.key: found.write for found in _problems("# nothing yet\n")}
    assert written["schema"] == "schema = 2 on the first line, above every group"
    assert written["authority"] == "[authority], with at least jurisdiction, signers, use_until"
    assert written["documents"] == "[[documents]], once for each, with at least id, kind, title, revision, date"


# Trouble with the file itself: nothing is known about what it says.


def test_a_missing_file_is_trouble(tmp_path: Path) -> None:
    trouble = load(tmp_path / "nowhere.toml", DAY)
    assert isinstance(trouble, FileTrouble)
    assert trouble.why == "there is no such file"
    assert isinstance(load(tmp_path / "nowhere" / "rotor.toml", DAY), FileTrouble)


def test_a_folder_is_trouble(tmp_path: Path) -> None:
    trouble = load(tmp_path, DAY)
    assert isinstance(trouble, FileTrouble)
    assert trouble.why == "this is a folder"


def test_an_unreadable_file_is_trouble(tmp_path: Path) -> None:
    circle = tmp_path / "circle.toml"
    circle.symlink_to(circle)
    told = load(circle, DAY)
    assert isinstance(told, FileTrouble)
    assert told.why == "this is a link that leads back to itself"
    assert isinstance(load(tmp_path / ("x" * 5000), DAY), FileTrouble)
    assert isinstance(load(Path("nul\0byte.toml"), DAY), FileTrouble)


def test_a_file_without_the_right_to_read_it_is_trouble(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The tests may run as root, whom no file refuses; the system's own error is raised instead.
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, os.strerror(13))

    (tmp_path / "rotor.toml").write_text("schema = 2")
    monkeypatch.setattr(os, "open", refuse)
    trouble = load(tmp_path / "rotor.toml", DAY)
    assert isinstance(trouble, FileTrouble)
    assert trouble.why == "this file may not be read by you"


def test_a_file_of_two_mebibytes_is_trouble(tmp_path: Path) -> None:
    large = tmp_path / "large.toml"
    large.write_bytes(b"#" * (2 * 1024 * 1024))
    trouble = load(large, DAY)
    assert isinstance(trouble, FileTrouble)
    assert "1 MiB" in trouble.why


# Text that is no TOML: one problem, at its place.


def test_bytes_that_are_not_utf8_are_placed(shape_text: str) -> None:
    bad = shape_text.encode().replace(b"TEST-77", b"ab\xe9", 1)
    found = _one(bad)
    line = line_of(shape_text, "set_id")
    assert (found.line, found.rule, found.read) == (line, "file-not-utf8", "the byte E9")
    assert found.column == shape_text.splitlines()[line - 1].index("TEST") + 3


def test_a_file_in_another_encoding_is_one_problem(shape_text: str) -> None:
    assert "saved as UTF-16" in _one(shape_text.encode("utf-16")).why


# How such files begin is published: ISO 32000-1, 7.5.2 (PDF); ITU-T T.81, B.1.1.3 (JPEG); W3C PNG, 5.2.
@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "this file is empty"),
        (b" \n\n", "this file is empty"),
        (b"%PDF-1.7\n%\xe2\xe3", "a PDF and no specification"),
        (b"\xff\xd8\xff\xe0JFIF", "a picture and no specification"),
        (b"\x89PNG\r\n\x1a\n\0", "a picture and no specification"),
        (b"\x7fELF\x02\x01", "a program and no specification"),
        (b"\x01\x00\xff\xfe", "no text and no specification"),
    ],
)
def test_a_file_of_another_kind_is_named_as_what_it_is(content: bytes, says: str) -> None:
    found = _one(content)
    assert found.rule == "file-kind"
    assert says in found.why


def test_a_key_that_begins_like_a_program_is_read(shape_text: str) -> None:
    assert "file-kind" not in {each.rule for each in _problems(b"MZ = 1\n" + shape_text.encode())}


def test_a_byte_order_mark_is_told_and_hides_nothing(shape_text: str) -> None:
    found = _one(b"\xef\xbb\xbf" + shape_text.encode())
    assert (found.line, found.column, found.rule) == (1, 1, "file-byte-order-mark")
    assert "EF BB BF" in found.write
    both = _problems(b"\xef\xbb\xbf" + edited(shape_text, "rotor.diameter", "7").encode())
    assert [problem.key for problem in both] == ["", "rotor.diameter"]
    assert both[1].line == line_of(shape_text, "diameter")


@pytest.mark.parametrize(
    ("text", "line", "column", "rule", "read"),
    [
        ("schema = 1\nrotor", 2, 6, "toml-statement", "rotor"),
        ("schema = \n", 1, 10, "toml-value", "schema ="),
        ("a = 1\n\nb = 190 in·lbf\n", 3, 9, "toml-statement", "b = 190 in·lbf"),
        ('a = "x\nb = 1\n', 1, 7, "toml-string", 'a = "x'),
        ('a = "x', 1, 7, "toml-string", 'a = "x'),
        ("a = [1, 2\nb = 1\n", 2, 1, "toml-brackets", "b = 1"),
        ("[rotor\na = 1\n", 1, 7, "toml-brackets", "[rotor"),
        ("a = 1\na = 2\n", 2, 1, "toml-twice", "a = 2"),
        ("a = 1\n  a = 2", 2, 3, "toml-twice", "a = 2"),
        ("[a]\nb = 1\n[c]\n[a]\n", 4, 1, "toml-twice", "[a]"),
        ("a = { b = 1, b = 2 }\n", 1, 1, "toml-twice", "a = { b = 1, b = 2 }"),
        ("a = 2027-02-30\n", 1, 5, "toml-date", "a = 2027-02-30"),
        ("a = 1\n\0", 2, 1, "toml-statement", "\\u0000"),
        ("# \0\n", 1, 3, "toml-character", "# \\u0000"),
        ('a = "\\q"\n', 1, 8, "toml-string", 'a = "\\q"'),
        ("a = 1\rb = 2\n", 1, 6, "toml-statement", "a = 1\\u000Db = 2"),
        ('a = "\\ud800"\n', 1, 12, "toml-string", 'a = "\\ud800"'),
        ('a = "\\u12"\n', 1, 8, "toml-string", 'a = "\\u12"'),
        ("[a.]\nb = 1\n", 1, 4, "toml-statement", "[a.]"),
        ("[[a]\nb = 1\n", 1, 4, "toml-brackets", "[[a]"),
        ("a = 1\n[a.b]\n", 2, 1, "toml-twice", "[a.b]"),
        ("a = { b = 1 }\na.c = 2\n", 2, 1, "toml-twice", "a.c = 2"),
        ("a = 1\nb 2\n", 2, 3, "toml-statement", "b 2"),
        ("a = TRUE\n", 1, 5, "toml-value", "a = TRUE"),
        ("a = " + "1" * 1000 + "\n" + "a", 2, 2, "toml-statement", "a"),
        ("x = " + "9" * 3000 + "\n", 1, 1, "file-line-length", "x = " + "9" * 55 + "…"),
    ],
)
def test_text_that_is_no_toml_is_one_problem_at_its_place(
    text: str, line: int, column: int, rule: str, read: str
) -> None:
    found = _one(text)
    assert (found.line, found.column, found.rule, found.read) == (line, column, rule, read)
    assert found.why and found.write


def test_brackets_without_end_are_refused() -> None:
    assert _one("a = " + "[\n" * 100_000).rule == "toml-depth"


def test_a_number_too_large_for_any_machine_is_refused() -> None:
    assert _one("a = 1e" + "9" * 100 + "\n").rule == "toml-number"


@pytest.mark.parametrize("text", ["# only\n# comments\n", "# no end of line"])
def test_a_file_of_comments_alone_is_asked_for_every_required_group(text: str) -> None:
    found = _problems(text)
    assert {problem.rule for problem in found} == {"group-missing"}
    assert [problem.key for problem in found] == sorted(
        ["schema", "rotor", "blades", "authority", "documents", "fasteners", "track"]
    )


# Places and order.


def test_lines_that_end_the_other_way_change_nothing(shape_text: str) -> None:
    assert not _problems(shape_text.replace("\n", "\r\n"))
    bad = edited(edited(shape_text, "rotor.diameter", "7"), "fasteners[3].thread", None)
    assert _problems(bad.replace("\n", "\r\n")) == _problems(bad)


def test_missing_keys_are_placed_at_their_group(shape_text: str) -> None:
    for key, header, nth in [
        ("rotor.diameter", "[rotor]", 1),
        ("fasteners[3].name", "[[fasteners]]", 3),
        ("documents[2].kind", "[[documents]]", 2),
        ("pitch.swap.change", "[pitch.swap]", 1),
    ]:
        text = edited(shape_text, key, None)
        found = next(problem for problem in _problems(text) if problem.key == key)
        assert (found.line, found.column) == (line_of(text, header, nth), 1), key


def test_a_missing_key_of_an_inline_table_is_placed_at_that_table(shape_text: str) -> None:
    text = replaced(shape_text, 'diameter = "26 ft + 0 in", ', "")
    found = _one(text)
    assert found.key == "track.points[2].diameter"
    assert (found.line, found.column) == (line_of(text, '  { chord = "8 in", rule = "23'), 3)


def test_every_problem_of_a_file_comes_in_one_run_and_in_file_order(shape_text: str) -> None:
    text = edited(shape_text, "rotor.diameter", '"24,5 ft"')
    text = edited(text, "rotor.unknown", "1")
    text = edited(text, "reflectors.faces", '""')
    text = edited(text, "fasteners[2].locking", '"glue"')
    text = edited(text, "tightening.order", "[]")
    text = without_group(text, "authority") + "\n[tipp]\n"
    found = _problems(text)
    assert [(problem.key, problem.rule) for problem in found] == [
        ("authority", "group-missing"),
        ("rotor.diameter", "quantity-comma"),
        ("rotor.unknown", "key-unknown"),
        ("fasteners[2].locking", "word-unknown"),
        ("tightening.order", "list-length"),
        ("reflectors.faces", "text-empty"),
        ("tipp", "key-unknown"),
    ]
    assert [problem.line for problem in found] == sorted(problem.line for problem in found)
    assert len(set(found)) == len(found)


def test_two_missing_keys_of_one_group_are_two_problems(shape_text: str) -> None:
    text = edited(edited(shape_text, "head.radial_play", None), "head.bearing_spacing", None)
    assert [problem.key for problem in _problems(text)] == ["head.bearing_spacing", "head.radial_play"]


def test_a_file_of_something_else_is_given_up_and_says_so() -> None:
    found = _problems("[rotor]\n" + "".join(f"a{number} = 1\n" for number in range(3000)))
    assert found[0].rule == "file-problems"
    assert 1000 < len(found) < 1100


# Anything at all may be handed in.


@given(
    st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace")))
)
def test_arbitrary_bytes_are_refused_and_never_raise(data: bytes) -> None:
    assert _problems(data)


@given(st.data())
def test_a_damaged_specification_never_raises(shape_text: str, data: st.DataObject) -> None:
    whole = shape_text.encode()
    start = data.draw(st.integers(0, len(whole) - 1))
    length = data.draw(st.integers(0, 40))
    put = data.draw(st.binary(max_size=8))
    for problem in load_bytes(whole[:start] + put + whole[start + length :], "rotor.toml", DAY).problems:
        assert (problem.key + problem.read + problem.why + problem.write).isprintable()
        assert problem.line >= 0


def test_a_good_file_is_read_without_the_syntax_tree_or_pdf_code(shape_text: str, tmp_path: Path) -> None:
    good = tmp_path / "rotor.toml"
    # Without the override, which is a warning that needs its place.
    text = edited(without_group(shape_text, "overrides"), "aircraft.mass", '"270 kg"')
    good.write_text(text, encoding="utf-8")
    program = (
        "import sys, datetime, pathlib\n"
        "from cardgen.spec.load import load\n"
        f"loaded = load(pathlib.Path({str(good)!r}), datetime.date(2026, 7, 1))\n"
        "assert loaded.spec is not None and not loaded.warnings, loaded\n"
        "heavy = {'tree_sitter', 'tree_sitter_toml', 'reportlab', 'pypdf', 'pypdfium2', 'jinja2', 'qrcode'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert (done.stdout, done.stderr) == ("[]\n", "")
