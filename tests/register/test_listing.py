"""The list of decks and the sheet for a hangar."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

from cardgen.issuing.withdraw_deck import withdraw
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.listing import listing, sheet_of, to_text
from tests.issuing.decks import TODAY, Maker, issued


def test_the_list_shows_the_newest_deck_of_each_rotor_or_every_one(register: Register, tmp_path: Path) -> None:
    for set_id in ("RB-9", "RB-1", "RB-9"):
        issued(register, tmp_path, set_id=set_id)
    newest, every = listing(register, TODAY), listing(register, TODAY, every=True)
    assert not isinstance(newest, RegisterTrouble)
    assert not isinstance(every, RegisterTrouble)
    assert [(each.deck.set_id, each.deck.revision) for each in newest] == [("RB-1", 1), ("RB-9", 2)]
    assert [each.state for each in every] == ["superseded", "current", "current"]


def test_the_sheet_gives_codes_of_current_decks_only_and_tells_what_happened_to_the_others(
    register: Register, tmp_path: Path
) -> None:
    first = issued(register, tmp_path, set_id="RB-1").deck
    second = issued(register, tmp_path, Maker("RB-2"), set_id="RB-2").deck
    withdraw(register, second.code, "blade damaged", date(2026, 5, 1))
    sheet = sheet_of(register, date(2026, 5, 1))
    assert not isinstance(sheet, RegisterTrouble)
    text = to_text(sheet)
    assert "Current bench cards on 2026-05-01" in text
    assert first.code in text
    assert second.code not in text
    assert "Do not use: withdrawn on 2026-05-01: blade damaged" in text
    assert "wall copy 1: hangar, north wall" in text


def test_the_sheet_of_a_register_with_a_changed_row_is_not_given(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    register.connection.execute("UPDATE decks SET use_until = '2030-01-01'")
    assert isinstance(sheet_of(register, TODAY), RegisterTrouble)


def test_looking_up_a_code_loads_nothing_heavy() -> None:
    program = (
        "import sys; import cardgen.register.currency, cardgen.register.open_register; "
        "print(sorted({'pydantic', 'pint', 'reportlab', 'jinja2', 'pypdf', 'pypdfium2'} & set(sys.modules)))"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", program], cwd=root, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
