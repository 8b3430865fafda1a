"""What a fleet makes, leaves as it is, and refuses; its index; what a document touches."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pypdfium2
import pytest

from cardgen.issuing.fleet.already import all_already
from cardgen.issuing.fleet.impact import Impact, NotReadable, Touched, Untouched
from cardgen.issuing.fleet.index import HEADS, Index, index_of_issued, to_text
from cardgen.issuing.fleet.index_sheet import print_index
from cardgen.issuing.fleet.pool import Pool
from cardgen.issuing.fleet.rotor_facts import RotorFacts, RotorIdentity
from cardgen.issuing.fleet.run import Fleet, FleetRotor, find
from cardgen.issuing.fleet.tasks import DraftTask, Issue, Outcome
from cardgen.issuing.withdraw_deck import withdraw
from cardgen.press.edition import PaperKind
from cardgen.register.database import Register
from cardgen.register.rows import DeckRow
from tests.bench.generate import Made, generate
from tests.bench.issued import issue_small
from tests.cli.running import INCH, METRIC
from tests.issuing.decks import TODAY, opened

#: Its processes are asked about in `test_fleet_pool`.
pytestmark = pytest.mark.usefixtures("workers_in_threads")

DAY = date(2026, 11, 25)


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "out"


@pytest.fixture
def made(tmp_path: Path, out: Path) -> list[Made]:
    """Three specifications with an issued deck each."""
    specs = generate(tmp_path / "specs", 3)
    issue_small(specs, out, "1")
    return specs


@pytest.fixture
def book(made: list[Made], out: Path) -> Iterator[Register]:
    with opened(out / "register.sqlite") as register:
        yield register


def surveyed(folder: Path) -> Fleet:
    with Pool(1) as pool:
        fleet = Fleet(TODAY, find(folder), pool)
        assert len(list(fleet.survey())) == len(fleet.rotors)
    return fleet


def already(book: Register, rotor: FleetRotor, made_with: str, out: Path) -> Outcome | None:
    told = list(all_already(book, [rotor], made_with, out, TODAY))
    return told[0][1] if told else None


def newest(book: Register, rotor: FleetRotor) -> DeckRow:
    deck = book.newest(rotor.name)
    assert deck is not None
    return deck


def test_files_are_found_below_a_folder_hidden_ones_and_the_output_left_out(tmp_path: Path) -> None:
    for name in ("b.toml", "B.TOML", "a/c.toml", "a/.hidden.toml", ".git/d.toml", "out/e.toml", "notes.txt"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text("")
    assert [rotor.short for rotor in find(tmp_path, tmp_path / "out")] == ["B.TOML", "a/c.toml", "b.toml"]


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        find(tmp_path / "nowhere")


def test_the_same_bytes_made_in_the_same_way_are_left_as_they_are(
    tmp_path: Path, book: Register, out: Path
) -> None:
    for rotor in surveyed(tmp_path / "specs").rotors:
        told = already(book, rotor, "1", out)
        assert isinstance(told, Outcome)
        assert (told.state, told.revision, told.code) == ("unchanged", 1, newest(book, rotor).code)


def test_other_bytes_or_another_way_of_making_ask_for_a_new_deck(
    tmp_path: Path, made: list[Made], book: Register, out: Path
) -> None:
    made[0].path.write_bytes(made[0].path.read_bytes() + b"# a word more\n")
    by_path = {rotor.path: rotor for rotor in surveyed(tmp_path / "specs").rotors}
    assert already(book, by_path[made[0].path], "1", out) is None
    assert already(book, by_path[made[1].path], "2", out) is None


def test_a_folder_that_was_cut_off_after_its_deck_was_issued_is_placed_again(
    tmp_path: Path, book: Register, out: Path
) -> None:
    rotor = surveyed(tmp_path / "specs").rotors[0]
    folder = out / newest(book, rotor).folder
    before = {file.name: file.read_bytes() for file in folder.iterdir()}
    folder.rename(tmp_path / "gone")
    told = already(book, rotor, "1", out)
    assert isinstance(told, Outcome)
    assert told.state == "placed again"
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == before


@pytest.mark.parametrize("harm", ["a changed byte", "gone", "a pipe"])
def test_a_placed_file_that_is_not_as_issued_is_named_although_its_size_is_right(
    tmp_path: Path, book: Register, out: Path, harm: str
) -> None:
    rotor = surveyed(tmp_path / "specs").rotors[0]
    folder = out / newest(book, rotor).folder
    file = sorted(folder.glob("*.pdf"))[0]
    content = file.read_bytes()
    file.unlink()
    if harm == "a changed byte":
        file.write_bytes(content[:-1] + bytes([content[-1] ^ 1]))
    elif harm == "a pipe":
        os.mkfifo(file)
    told = already(book, rotor, "1", out)
    assert told is not None
    assert (told.state, told.stops) == ("failed", False)
    assert file.name in told.trouble


def test_what_is_wrong_with_one_kept_deck_stops_no_other(tmp_path: Path, book: Register, out: Path) -> None:
    rotors = surveyed(tmp_path / "specs").rotors
    (told,) = (row for row in book.files(newest(book, rotors[0]).id) if row.name == "deck.json")
    book.store.place(told.sha256).unlink()
    found = [(rotor.name, each.state, each.stops) for rotor, each in all_already(book, rotors, "1", out, TODAY)]
    assert found[0] == (rotors[0].name, "failed", False)
    assert [state for _, state, _ in found[1:]] == ["unchanged"] * (len(rotors) - 1)
    assert len(rotors) > 1
    text = rotors[0].path.read_bytes() + b"# a word more\n"
    made = Issue("specs/a.toml", text, DAY, out, book.path, "keeper", "again")()
    assert (made.state, made.stops) == ("failed", False)
    assert "a kept file is gone" in made.trouble


def test_a_withdrawn_deck_is_not_brought_back_while_its_specification_is_the_same(
    tmp_path: Path, book: Register, out: Path
) -> None:
    rotor = surveyed(tmp_path / "specs").rotors[0]
    withdraw(book, newest(book, rotor).code, "bulletin on the strap bolts", TODAY)
    for way in ("1", "2"):
        told = already(book, rotor, way, out)
        assert isinstance(told, Outcome)
        assert told.state == "refused"
        assert "bulletin on the strap bolts" in told.problems[0].why


def test_a_file_that_changes_between_reading_and_making_is_not_made(tmp_path: Path, out: Path) -> None:
    (made,) = generate(tmp_path / "specs", 1)
    with Pool(1) as pool:
        fleet = Fleet(TODAY, find(tmp_path / "specs"), pool)
        list(fleet.survey())
        made.path.write_bytes(made.path.read_bytes() + b"\n")
        (rotor,) = fleet.draft(out)
    assert rotor.outcome is not None
    assert rotor.outcome.state == "failed"
    assert "changed during this run" in rotor.outcome.trouble
    assert not out.exists()


def test_a_file_that_cannot_be_read_fails_alone(tmp_path: Path) -> None:
    generate(tmp_path, 1)
    (tmp_path / "broken.toml").symlink_to(tmp_path / "nowhere")
    (tmp_path / "large.toml").write_bytes(b"#" * (1024 * 1024 + 1))
    states = {rotor.short: rotor.outcome for rotor in surveyed(tmp_path).rotors}
    assert [bool(each and each.trouble) for each in states.values()] == [True, True, False]


def test_a_serial_number_in_two_files_is_shown_at_its_line_in_each(tmp_path: Path) -> None:
    text = INCH.read_text("utf-8")
    other = text.replace("NR-0306", "NR-0307").replace("HB-306-14", "HB-307-1").replace("W-0518-A", "W-0519-A")
    for name, content in (("a.toml", text), ("b.toml", other)):
        (tmp_path / name).write_text(content, "utf-8")
    line = next(at for at, each in enumerate(text.splitlines(), 1) if each.startswith("serial_b"))
    for rotor in surveyed(tmp_path).rotors:
        assert rotor.outcome is not None
        (problem,) = rotor.outcome.problems
        assert (problem.key, problem.line, problem.column) == ("blades.serial_b", line, 1)


@pytest.mark.usefixtures("few_cards")
def test_a_draft_takes_the_place_of_an_earlier_one_and_of_nothing_else(tmp_path: Path) -> None:
    (made,) = generate(tmp_path / "specs", 1, pouch_only=True)
    task = DraftTask("a.toml", made.path.read_bytes(), TODAY, tmp_path)
    folder = tmp_path / f"{made.set_id}-draft"
    folder.mkdir()
    (folder / "deck.json").write_text('{"draft": false}')
    refused = task()
    assert refused.state == "failed"
    assert not refused.stops
    (folder / "deck.json").write_text('{"draft": true}')
    done = task()
    assert done.state == "drafted", done
    assert done.files is not None
    assert {file.name: file.stat().st_size for file in folder.iterdir()} == done.files
    assert sorted(path.name for path in tmp_path.iterdir()) == [folder.name, "specs"]


def test_a_fleet_stops_at_a_day_before_the_newest_entry(made: list[Made], book: Register, out: Path) -> None:
    text = made[0].path.read_bytes() + b"# a word more\n"
    early = date(2026, 4, 1)
    assert early < TODAY
    told = Issue("specs/a.toml", text, early, out, book.path, "keeper", "too early")()
    assert (told.state, told.stops) == ("failed", True)
    assert "2026-04-01" in told.trouble


def test_the_index_lists_each_rotor_and_the_copies_replaced_for_this_reason(
    tmp_path: Path, made: list[Made], book: Register, out: Path
) -> None:
    issue_small(made[:1], out, "1", reason="new track limit")
    withdraw(
        book,
        newest(book, FleetRotor(made[1].path, "", identity=RotorIdentity(made[1].set_id, (), ()))).code,
        "x",
        TODAY,
    )
    rotors = surveyed(tmp_path / "specs").rotors
    index = index_of_issued(book, rotors, [], "new track limit", TODAY)
    assert isinstance(index, Index)
    rows = {row[0]: row for row in index.rows}
    assert rows[made[0].set_id][2] == "2"
    assert rows[made[1].set_id][3] == "none"
    assert rows[made[2].set_id][5] == "current"
    # Two copies of the deck that was replaced, two of the one that was withdrawn.
    assert [line.split()[0] for line in index.recall] == sorted([made[0].set_id] * 2 + [made[1].set_id] * 2)
    other = index_of_issued(book, rotors, [], "another reason", TODAY)
    assert isinstance(other, Index)
    assert [line.split()[0] for line in other.recall] == [made[1].set_id] * 2


def long_index(rows: int) -> Index:
    row = ("RB-2041", "25 ft + 6 in", "3", "7KM2-9QXD-P", "2027-10-31", "current")
    recall = tuple(f"RB-{number}: wall copy 1 at hangar {number}" for number in range(rows))
    why = "folder/with/a/very/long/name/" * 6 + "rotor.toml: ʬ has no place in the type"
    return Index("Current bench cards", ("Compare.",), (row,) * rows, recall, (why,), ("odd",))


def printed(index: Index, paper: PaperKind = "iso") -> list[str]:
    """Print an index and read each sheet's text."""
    made = print_index(index, paper)
    assert isinstance(made, bytes), made
    document = pypdfium2.PdfDocument(made)
    texts = [page.get_textpage().get_text_range() for page in document]
    document.close()
    return texts


@pytest.mark.parametrize("paper", ["iso", "ansi"])
def test_the_index_on_paper_says_what_the_text_says_and_repeats_its_heads(paper: PaperKind) -> None:
    texts = printed(long_index(60), paper)
    assert len(texts) >= 3
    assert sum(text.count("7KM2-9QXD-P") for text in texts) == 60
    assert [all(head in text for head in HEADS) for text in texts[:2]] == [True, True]
    assert f"sheet {len(texts)} of {len(texts)}" in texts[-1]
    assert to_text(long_index(60)).count("7KM2-9QXD-P") == 60
    assert to_text(long_index(60)).count("[ ] RB-") == 60


def test_an_index_of_nothing_is_still_a_sheet() -> None:
    assert "Drafts" in printed(Index("Drafts", ("None.",), (), (), (), ()), "ansi")[0]


@pytest.mark.parametrize("before", range(5))
def test_a_file_name_that_breaks_at_a_hyphen_is_printed(before: int) -> None:
    # Wherever a line ends in the words, one of these names has a hyphen there.
    name = "x" * before + "-the" * 60
    text = "".join(printed(Index("Drafts", (), (), (), (f"{name}.toml: refused",), ())))
    # The library reads a hyphen that ends a line as one that joins (U+0002, U+FFFE).
    letters = "".join(text.translate({0x02: "-", 0xFFFE: "-"}).split())
    assert f"{name}.toml:refused" in letters


def touched(path: Path, document: str) -> Touched:
    found = Impact(path.name, path.read_bytes(), DAY, document)()
    assert isinstance(found, Touched)
    return found


def test_a_document_touches_the_cards_and_copies_that_rest_on_it() -> None:
    # The sample takes nothing but the cure times from its adhesive's data sheet.
    found = touched(INCH, "GLUE-1")
    assert [each.key for each in found.keys] == [
        "tip.cure[1].temperature",
        "tip.cure[1].time",
        "tip.cure[2].temperature",
        "tip.cure[2].time",
    ]
    assert [name for name, _ in found.cards] == ["sealing"]
    assert [copy.split()[0] for copy in found.copies] == ["pouch", "handout"]
    assert found.documents[0].revision == "2024-11"


def test_a_document_is_found_by_its_title_and_in_any_case() -> None:
    title = "Data sheet of the threadlocker"
    assert touched(INCH, title.upper()).keys == touched(INCH, "glue-1").keys


def test_what_follows_from_a_value_is_touched_with_it() -> None:
    # The club's largest split ends the track table, whose rows are computed.
    found = touched(METRIC, "GROUP-1")
    assert "track.max_split" in [each.key for each in found.keys]
    assert any(name.startswith("track.row.") for name in found.computed)
    assert "track" in [name for name, _ in found.cards]


def test_a_document_that_names_the_diameter_touches_every_card() -> None:
    from cardgen.deck.build import build_deck
    from cardgen.deck.card import Stamp
    from cardgen.figures import compute
    from cardgen.spec.load import Loaded, load

    loaded = load(INCH, DAY)
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None
    deck = build_deck(loaded.spec, compute(loaded.spec), (), Stamp())
    assert [name for name, _ in touched(INCH, "MAKER-1").cards] == [card.id for card in deck.cards]


def test_a_rotor_that_takes_nothing_from_it_and_one_that_is_refused_are_told_apart() -> None:
    text = INCH.read_bytes()
    untouched = Impact("a", text, DAY, "MAKER-4")()
    assert isinstance(untouched, Untouched)
    assert (untouched.set_id, untouched.lists) == ("NR-0306", False)
    assert [each.id for each in untouched.documents] == ["MAKER-1", "CLUB-2", "GLUE-1"]
    unknown = Impact("a", text.replace(b'"335 rpm"', b'"335"'), DAY, "MAKER-1")()
    assert isinstance(unknown, NotReadable)
    assert unknown.problems == 1


def test_facts_are_small(tmp_path: Path) -> None:
    import pickle

    generate(tmp_path, 1)
    (rotor,) = surveyed(tmp_path).rotors
    assert isinstance(rotor.facts, RotorFacts)
    # What a fleet keeps of each rotor: two thousand of them stay below 10 MB.
    assert len(pickle.dumps(rotor)) < 5_000
