"""Which rotors a desk has: those below its folder, whatever their names, and nothing outside it."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from time import process_time

import pytest

from cardgen.desk.hangar import Hangar
from tests.cli.running import INCH
from tests.desk.browsing import Visitor

HOSTILE = (
    "<script>alert(1)<\u2215script>.toml",
    '"><img src=x onerror=alert(1)>.toml',
    "{{ post_token }}.toml",
    "line\nbreak.toml",
    "\u202ecod.toml",
    "#?%2e%2e&.toml",
)


def test_rotors_are_found_below_the_folder_and_keep_their_ids(folder: Path) -> None:
    (folder / "club").mkdir()
    for name in ("a.toml", "club/a.toml", ".hidden.toml", "notes.txt"):
        (folder / name).write_text("")
    first, again = Hangar(folder).rotors(), Hangar(folder).rotors()
    assert [each.name for each in first] == ["a.toml", "club/a.toml"]
    assert [each.id for each in first] == [each.id for each in again]
    assert len({each.id for each in first}) == 2


def test_what_lies_outside_is_not_of_this_hangar_though_a_link_leads_there(folder: Path) -> None:
    outside = folder.parent / "outside.toml"
    outside.write_text("secret")
    (folder / "link.toml").symlink_to(outside)
    (folder / "round.toml").symlink_to(folder / "round.toml")
    (folder / "away").symlink_to(folder.parent, target_is_directory=True)
    assert Hangar(folder).rotors() == ()


def test_a_file_that_becomes_a_link_out_or_goes_is_there_no_more(folder: Path) -> None:
    (folder / "a.toml").write_text("")
    hangar = Hangar(folder)
    (rotor,) = hangar.rotors()
    assert hangar.rotor(rotor.id) == rotor
    rotor.path.unlink()
    assert hangar.rotor(rotor.id) is None
    rotor.path.symlink_to(INCH)
    assert hangar.rotor(rotor.id) is None


def test_a_rotor_s_page_says_when_its_file_was_moved(visitor: Visitor, folder: Path) -> None:
    (folder / "a.toml").write_text("")
    (rotor,) = Hangar(folder).rotors()
    visitor.text(f"/rotor/{rotor.id}/")
    rotor.path.unlink()
    answer = visitor.get(f"/rotor/{rotor.id}/")
    assert (answer.status_code, "its file was moved" in answer.text) == (404, True)


@pytest.mark.parametrize(
    "name", ["..", "../outside.toml", "..%2Foutside.toml", "%2e%2e%2f", "/etc/passwd", "%00"]
)
def test_no_address_leads_out_of_the_folder(visitor: Visitor, folder: Path, name: str) -> None:
    (folder.parent / "outside.toml").write_text("secret")
    for rest in ("/", "/state", ""):
        answer = visitor.get(f"/rotor/{name}{rest}")
        assert answer.status_code in {404, 308}
        assert "secret" not in answer.text


def test_hostile_names_are_shown_as_text(visitor: Visitor, folder: Path) -> None:
    for name in HOSTILE:
        (folder / name).write_text("")
    Path(os.fsdecode(os.fsencode(folder) + b"/\xff\xfe.toml")).write_text("")
    shown = visitor.text("/")
    assert shown.count("data-state=") == len(HOSTILE) + 1
    assert "<script>alert" not in shown
    assert "<img" not in shown
    assert "{{ post_token }}.toml" in shown
    assert "\u202e" not in shown
    assert "\\u202Ecod.toml" in shown
    for rotor in Hangar(folder).rotors():
        page = visitor.text(f"/rotor/{rotor.id}/") + visitor.text(f"/rotor/{rotor.id}/state")
        assert "<script>alert" not in page
        assert "<img" not in page


def test_an_empty_folder_says_so(visitor: Visitor) -> None:
    assert "there is no rotor here yet" in visitor.text("/")


def test_a_folder_that_is_gone_is_told_in_words(visitor: Visitor, folder: Path) -> None:
    folder.rmdir()
    answer = visitor.get("/")
    assert (answer.status_code, "The system refused" in answer.text) == (500, True)
    assert str(folder) not in answer.text


def test_five_hundred_rotors_open_at_once(visitor: Visitor, folder: Path) -> None:
    shutil.copy(INCH, folder / "000.toml")
    for number in range(1, 500):
        os.link(folder / "000.toml", folder / f"{number:03}.toml")
    began = process_time()
    shown = visitor.text("/")
    # The page before any state, whatever else the machine does; reading them all takes many times longer.
    assert process_time() - began < 1
    assert shown.count("data-state=") == 500
