"""Check a code: typed, from a printed file, or from a photograph: may this card be used, and why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from flask import Blueprint, request

from cardgen.desk.desk_words import desk_words
from cardgen.desk.pages import Place, page, the_desk
from cardgen.desk.photograph import code_in_picture, is_picture
from cardgen.desk.shared_words import opened, told
from cardgen.issuing.card_answer import Found, answer_lines, deck_name, found_in_file, rotor_called
from cardgen.issuing.draft_files import DRAFT, is_drafts_file
from cardgen.register.code import Code, Mistyped, read_code
from cardgen.register.currency import UnknownCode, verify_code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.state import state_words
from cardgen.spec.safe_text import plain, shortened

_PAGES = Blueprint("check", __name__, url_prefix="/check")
PLACE = Place("Check a code", _PAGES, "check.show")


@dataclass(frozen=True)
class _Told:
    """The answer in two words that are read from afar, and why in lines."""

    is_current: bool
    lines: tuple[str, ...]


@_PAGES.get("/")
def show() -> str:
    """Ask for a code or a file."""
    return _page(None, "")


@_PAGES.post("/")
def check() -> str:
    """Answer whether the card may be used."""
    given = request.files.get("file")
    typed = request.form.get("code", "").strip()
    if given is not None and given.filename:
        return _page(_of_file(shortened(plain(given.filename)), given.read()), "")
    return _page(_of_code(typed) if typed else None, typed)


def _page(told: _Told | None, typed: str) -> str:
    return page("check.html.j2", "Check a code", told=told, typed=typed)


def _no(*lines: str) -> _Told:
    return _Told(False, tuple(map(plain, lines)))


def _of_code(typed: str) -> _Told:
    code = read_code(typed)
    with opened(the_desk(), "read") as book:
        if not isinstance(code, Mistyped):
            return _answered(verify_code(book, code, the_desk().today()), book)
        newest = rotor_called(book, typed, the_desk().today())
    if newest is None:
        return _no(f"Mistyped, and so not looked up: {code.why}. Give {code.write}.")
    return _no(
        f"{newest.deck.set_id} is the name of a rotor, and not the code of a card.",
        f"Its newest deck is {deck_name(newest.deck)}: {state_words(newest)}.",
    )


def _of_file(name: str, content: bytes) -> _Told:
    if is_picture(content):
        code = code_in_picture(content)
        if not isinstance(code, Code):
            return _no(f"{code}. Take it again from nearer, or type the code from the foot of the card.")
        return _of_code(code)
    with TemporaryDirectory() as folder, opened(the_desk(), "read") as book:
        ending = Path(name).suffix.lower()
        path = Path(folder) / f"file{ending if ending.strip('.').isalnum() else ''}"
        path.write_bytes(content)
        found = found_in_file(book, path, the_desk().today())
        if isinstance(found, Found) and isinstance(found.what, UnknownCode) and is_drafts_file(path):
            return _no(f"{name}: {desk_words(DRAFT)}.")
        told = _answered(found, book)
    return _Told(told.is_current, tuple(each.replace(plain(str(path)), name) for each in told.lines))


def _answered(found: object, book: Register) -> _Told:
    if isinstance(found, RegisterTrouble):
        return _no(told(found), "Nothing is called current.")
    answer = found if isinstance(found, Found) else Found(found)  # type: ignore[arg-type]
    return _lines(answer.is_current, answer_lines(answer, book))


def _lines(is_current: bool, lines: Iterable[str]) -> _Told:
    return _Told(is_current, tuple(map(plain, lines)))
