"""What several places need of the register: it opened, a code read, and a page where neither can be."""

from __future__ import annotations

from typing import NoReturn

from flask import abort

from cardgen.desk.desk import Desk
from cardgen.desk.desk_words import desk_words
from cardgen.register.code import Code, Mistyped, read_code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.open_register import Mode, open_register
from cardgen.spec.safe_text import plain


def end_trouble(found: RegisterTrouble) -> NoReturn:
    """End the request with what is wrong and what to do."""
    abort(409, plain(told(found)))


def told(found: RegisterTrouble) -> str:
    """Say what is wrong with the register and what to do."""
    return f"{found.file}: {found.why}. What to do: {desk_words(found.write)}."


def opened(desk: Desk, mode: Mode) -> Register:
    """Open the register, or end the request. The caller closes it."""
    book = open_register(desk.register, mode)
    if isinstance(book, RegisterTrouble):
        end_trouble(book)
    return book


def code_or_end(text: str) -> Code:
    """Read a code, or end the request where it is mistyped."""
    code = read_code(text)
    if isinstance(code, Mistyped):
        abort(404, plain(f"Mistyped, and so not looked up: {code.why}. Give {code.write}."))
    return code
