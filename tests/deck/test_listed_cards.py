"""What is known of the cards is read strictly; what it says of each is what a rotor's keeper meets."""

from __future__ import annotations

from pathlib import Path

import pytest

from cardgen.deck import listed_cards as module
from cardgen.deck.fault import BuildFault
from cardgen.deck.listed_cards import ALIGNMENTS, ListedCard, listed_cards
from cardgen.deck.selection import work_order
from cardgen.layouts_root import layouts_root
from tests.editing import replaced

TEXT = (layouts_root() / "cards.toml").read_text("utf-8")


def read(text: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, ListedCard]:
    (folder / "cards.toml").write_text(text, "utf-8")
    monkeypatch.setattr(module, "layouts_root", lambda: folder)
    return dict(listed_cards.__wrapped__())


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('title   = "Pitch"', 'name    = "Pitch"', "pitch: title: Field required"),
        ('title   = "Pitch"', "title = 7", "pitch: title: Input should be a valid string"),
        ("order   = 180", 'order = "180"', "pitch: order: Input should be a valid integer"),
        ("order   = 180", "order = 80", "pitch: order: balance has this place already"),
        ("order   = 180", "order = { 'self-centring' = 180 }", "pitch: order: a place for each way"),
        ('"self-centring" = 60 }', '"self-centred" = 60 }', "string: order: blades are aligned in these ways"),
        ('needs   = "pitch"', 'needs   = "pitches"', "pitch: needs: \\[pitches\\] is no group"),
        # Every specification has this one: no rotor could ever be without the card.
        ('needs   = "pitch"', 'needs = "rotor"', "pitch: needs: \\[rotor\\] is no group"),
        ('stays   = "the blade angles stay as they are"', "", "pitch: needs and stays go together"),
        ('prints = ["run"]', 'prints = ["runs"]', "run-up: prints: a specification has no group \\[runs\\]"),
        ('is = "none"', 'is = "nothing"', 'second-reading: left_out: "nothing" is no word of track.method'),
        (
            "order  = 30\nworked = true",
            'order  = 30\nworked = "yes"',
            "assembly: worked: Input should be a valid boolean",
        ),
        ("[pitch]", "[pitch", "this is not TOML"),
    ],
)
def test_a_wrong_list_is_refused_by_card_and_key(
    old: str, new: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(BuildFault, match=says) as refused:
        read(replaced(TEXT, old, new), tmp_path, monkeypatch)
    assert refused.value.card == "cards.toml"


def test_a_fault_has_the_line_of_its_card(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(BuildFault) as refused:
        read(replaced(TEXT, 'title   = "Pitch"', ""), tmp_path, monkeypatch)
    assert TEXT.splitlines()[refused.value.line - 1] == "[pitch]"


def test_blades_set_by_string_are_strung_before_the_final_torque_others_after() -> None:
    for alignment, before in (("set by string", True), ("self-centring", False)):
        order = work_order(alignment, listed_cards())
        assert (order.index("string") < order.index("torque")) is before
    assert set(ALIGNMENTS) == {"set by string", "self-centring"}


def test_what_is_named_first_comes_first_and_nothing_that_is_not_held() -> None:
    assert work_order("self-centring", {"torque", "string", "care"}, ("care", "cover")) == (
        "care",
        "torque",
        "string",
    )
