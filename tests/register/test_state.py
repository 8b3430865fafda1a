"""Which of many revisions is current, and since when each of the others is not."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from cardgen.issuing.withdraw_deck import withdraw
from cardgen.register.database import Register
from cardgen.register.state import standing
from tests.issuing.decks import TODAY, USE_UNTIL, issued

DAYS = (TODAY, date(2026, 5, 1), date(2026, 6, 1))


def test_a_deck_is_superseded_by_the_one_after_it_and_not_by_the_newest(
    register: Register, tmp_path: Path
) -> None:
    first, second, third = (issued(register, tmp_path, on=day, reason=day.isoformat()).deck for day in DAYS)
    found = [standing(register, deck, DAYS[2]) for deck in (first, second, third)]
    assert [each.state for each in found] == ["superseded", "superseded", "current"]
    assert [(each.since, each.why) for each in found] == [
        (DAYS[1], "2026-05-01"),
        (DAYS[2], "2026-06-01"),
        (DAYS[2], "2026-06-01"),
    ]
    assert [each.newest for each in found] == [third] * 3
    assert [each.ahead and each.ahead.deck for each in found] == [third, third, None]


def test_a_deck_expires_after_its_last_day_and_an_older_one_is_superseded_all_the_same(
    register: Register, tmp_path: Path
) -> None:
    first, second = (issued(register, tmp_path, on=day).deck for day in DAYS[:2])
    after = date(2027, 12, 1)
    assert standing(register, second, USE_UNTIL).state == "current"
    assert standing(register, second, after).state == "expired"
    assert standing(register, second, after).since == USE_UNTIL
    assert standing(register, first, after).state == "superseded"


def test_a_withdrawn_deck_stays_withdrawn_when_another_follows_it(register: Register, tmp_path: Path) -> None:
    """That it must not be used for what stands on it weighs more than that there is a newer one."""
    first = issued(register, tmp_path, on=DAYS[0]).deck
    withdraw(register, first.code, "wrong torque", DAYS[0])
    second = issued(register, tmp_path, on=DAYS[1]).deck
    found = standing(register, first, DAYS[2])
    assert (found.state, found.since, found.why) == ("withdrawn", DAYS[0], "wrong torque")
    assert found.newest == second
