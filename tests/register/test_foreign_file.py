"""Searching foreign files apart: with the libraries of whoever asks, bounded, and honest about its end."""

from __future__ import annotations

import resource
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from cardgen.register import child
from cardgen.register.code import code_of
from cardgen.register.foreign_file import (
    Searched,
    attached_specification,
    claimed_cards,
    claimed_codes,
    claimed_heads,
)
from cardgen.register.head import Head

TREE = Path(__file__).resolve().parents[2]
SPEC = b"schema = 1\n"


def carrying(attached: bytes) -> bytes:
    """A PDF of one empty page with a file attached, as a general library writes it."""
    pdf, out = pikepdf.new(), BytesIO()
    pdf.add_blank_page()
    pdf.attachments["rotor.toml"] = attached
    pdf.save(out)
    return out.getvalue()


def bare_python() -> str:
    """The interpreter that the environment of these tests was made from; it has none of its libraries."""
    assert sys.base_prefix != sys.prefix
    return str(Path(sys.base_prefix) / "bin" / f"python{sys.version_info.major}.{sys.version_info.minor}")


def test_what_a_file_carries_is_found_where_the_libraries_are_those_of_one_user(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Outside a virtual environment an isolated process does not see what its user has installed."""
    monkeypatch.setattr(sys, "executable", bare_python())
    assert attached_specification(carrying(SPEC)) == Searched(SPEC)


def test_a_library_that_is_not_there_is_told_and_not_taken_for_nothing_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "executable", bare_python())
    own = [folder for folder in sys.path if "site-packages" not in folder]
    monkeypatch.setattr(sys, "path", [str(TREE), *own])
    assert attached_specification(carrying(SPEC)).cut_short == (
        "what reads it is not installed: No module named 'pypdf'"
    )
    # What stands in the bytes themselves is found without any library.
    claims = claimed_codes(code_of(7).encode())
    assert claims.codes == (code_of(7),)
    assert "pypdfium2" in claims.cut_short


def test_a_reader_that_cannot_be_started_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(sys, "executable", str(tmp_path / "nothing"))
    assert "cannot be started" in attached_specification(carrying(SPEC)).cut_short


def test_a_damaged_file_is_told_as_such_and_one_without_a_specification_is_not() -> None:
    assert attached_specification(b"no such thing").cut_short.startswith("it cannot be read as a PDF: ")
    empty = BytesIO()
    pdf = pikepdf.new()
    pdf.add_blank_page()
    pdf.save(empty)
    assert attached_specification(empty.getvalue()) == Searched(b"")


def test_the_titles_of_a_foreign_outline_are_found_in_order_and_no_flood_of_them() -> None:
    pdf, out = pikepdf.new(), BytesIO()
    pdf.add_blank_page()
    written = [f"Card {number}" for number in range(70)]
    with pdf.open_outline() as outline:
        outline.root.extend(pikepdf.OutlineItem(title, 0) for title in written)
    pdf.save(out)
    found = claimed_cards(out.getvalue())
    assert found == tuple(written[:60])  # no deck has sixty cards


def test_a_flood_of_chain_ends_is_cut_short_and_each_is_told_once() -> None:
    heads = [Head("0123-4567-89AB-CDEF", number, "0123456789abcdef") for number in range(30)]
    told = "\n".join(head.words() for head in heads for _ in range(2))
    assert claimed_heads(told.encode()).heads == tuple(heads[:20])


@pytest.mark.parametrize("refused", ["RLIMIT_CPU", "RLIMIT_AS", "RLIMIT_CORE", "RLIMIT_FSIZE"])
def test_a_limit_that_a_system_refuses_keeps_no_other_from_being_set(
    refused: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """POSIX lets a system refuse any of them: setrlimit, ERRORS."""
    names = {
        getattr(resource, name): name for name in ("RLIMIT_CPU", "RLIMIT_AS", "RLIMIT_CORE", "RLIMIT_FSIZE")
    }
    tried: list[str] = []

    def setrlimit(which: int, _: tuple[int, int]) -> None:
        tried.append(names[which])
        if names[which] == refused:
            raise ValueError("current limit exceeds maximum limit")

    monkeypatch.setattr(resource, "setrlimit", setrlimit)
    child.limit()
    assert sorted(tried) == sorted(names.values())


def test_a_search_that_asks_for_more_than_a_gibibyte_gives_up() -> None:
    """Asked of a process of its own, since a limit stays. A gibibyte is 1024 times 1024 times 1024 bytes."""
    asking = (
        "import sys\n"
        "from cardgen.register.child import answer\n"
        "sys.exit(answer(lambda _: iter([bytes(int(sys.argv[1])) and b'held'])))"
    )

    def asked(held: int) -> tuple[int, bytes]:
        # Started elsewhere would find another tree, or none.
        done = subprocess.run(
            [sys.executable, "-c", asking, str(held)], cwd=TREE, input=b"", capture_output=True, check=False
        )
        return done.returncode, done.stdout

    assert asked(1 << 28) == (child.ENDED, b"held")
    assert asked(1 << 30) == (child.GIVEN_UP, b"")
