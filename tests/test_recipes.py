"""The recipes of the contributor's guide, followed in a copy of the tree at the files they name alone."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path

import pypdfium2
import pytest

from tests.cli.running import Ran
from tests.editing import edited, replaced, without_group

TREE = Path(__file__).resolve().parents[1]
GUIDE = (TREE / "DEVELOPERS.md").read_text("utf-8")
SPEC = "tests/spec/complete.toml"
TODAY = ("--today", "2026-07-01")


def named_in(recipe: str) -> set[str]:
    """The paths before the colon of each line of a recipe's list."""
    told = GUIDE.partition(f"**{recipe}.**")[2].partition("\n**")[0]
    heads = re.findall(r"^- (`.*?`(?: and `.*?`)*):", told, re.MULTILINE)
    return {path for head in heads for path in re.findall(r"`(.*?)`", head)}


@dataclass
class CopiedTree:
    """A copy of the tree that knows which of its files were changed by hand."""

    folder: Path
    touched: set[str] = field(default_factory=set)

    def write(self, path: str, text: str) -> None:
        self.touched.add(path)
        (self.folder / path).write_text(text, "utf-8")

    def change(self, path: str, old: str, new: str) -> None:
        self.write(path, replaced((self.folder / path).read_text("utf-8"), old, new))

    def add_behind(self, path: str, beginning: str, line: str) -> None:
        """Add a line behind the one line that begins so."""
        text = (self.folder / path).read_text("utf-8")
        (found,) = re.findall(rf"^{re.escape(beginning)}.*\n", text, re.MULTILINE)
        self.change(path, found, f"{found}{line}\n")

    def python(self, *arguments: str) -> Ran:
        environment = {name: value for name, value in os.environ.items() if name != "CI"}
        done = subprocess.run(
            [sys.executable, *arguments],
            cwd=self.folder,
            env={**environment, "PYTHONPATH": str(self.folder)},
            capture_output=True,
            encoding="utf-8",
            timeout=120,
            check=False,
        )
        return Ran(done.returncode, done.stdout, done.stderr)

    def cardgen(self, *arguments: str) -> Ran:
        return self.python("-W", "error", "-m", "cardgen", *arguments)

    def drafted(self, *arguments: str, spec: str = SPEC) -> Path:
        """Draft some of the deck; the proof must hold."""
        ran = self.cardgen("draft", spec, "--out", "out", *arguments, *TODAY)
        assert ran.code == 0, ran.err
        return self.folder / "out"

    def keeps_to(self, recipe: str) -> None:
        """The recipe names every file that was touched, and none that was not."""
        named = named_in(recipe)
        met = {
            touched: {path for path in named if f"{touched}/".startswith(f"{path}/")}
            for touched in self.touched
        }
        assert [touched for touched, paths in met.items() if not paths] == []
        assert set().union(*met.values()) == named


@pytest.fixture
def copy(tmp_path: Path) -> CopiedTree:
    left = shutil.ignore_patterns("bench")
    for name in ("cardgen", "layouts", "tests"):
        shutil.copytree(TREE / name, tmp_path / name, ignore=left)
    shutil.copy(TREE / "pyproject.toml", tmp_path)
    return CopiedTree(tmp_path)


def test_a_key_is_read_shown_to_a_keeper_and_a_figure_from_then_on(copy: CopiedTree) -> None:
    rest = '    rest: Hours | None = Field(default=None, description="of the bond, before it is loaded")'
    copy.add_behind("cardgen/spec/model/running.py", '    """Washing, waxing', rest)
    copy.add_behind("layouts/starting/rotor.toml.j2", "# interval ", '# rest     = ""')
    copy.write(SPEC, edited((copy.folder / SPEC).read_text("utf-8"), "care.rest", '"36 h"'))
    copy.keeps_to("A key")

    assert copy.cardgen("init", "mine.toml").code == 0
    assert '# rest     = ""' in (copy.folder / "mine.toml").read_text("utf-8")
    # The guide's own words for printing it.
    copy.change("layouts/cards/care.xml.j2", '{{ fig("care.interval") }}', '{{ fig("care.rest") }}')
    out = copy.drafted("--edition", "handout", "--card", "care")
    assert "Look at everything every 36 h" in (out / "cards.txt").read_text("utf-8")
    figures = {each["id"]: each for each in json.loads((out / "deck.json").read_text("utf-8"))["figures"]}
    assert (figures["care.rest"]["shown"], figures["care.rest"]["reference"]) == ("36 h M", "BOOK-A p.17")


def test_a_unit_is_read_printed_with_the_other_system_beside_it_and_proved(copy: CopiedTree) -> None:
    # The yard is 0.9144 m exactly: NIST SP 811, appendix B.8.
    copy.add_behind("cardgen/spec/units.py", "foot = ", "yard = 3 * foot")
    copy.add_behind(
        "cardgen/spec/units.py", '    Unit("ft", ', '    Unit("yd", "yard", "inch", ("m", 1), ("distance",)),'
    )
    copy.add_behind("cardgen/proof/recheck_input.py", '    "ft": ', '    "yd": 0.9144,')
    copy.add_behind("cardgen/proof/recheck.py", '    "ft": ', '    "yd": ("m", 0.1),')
    published = "tests/outside/test_units.py"
    copy.add_behind(published, '    "ft": ("m", ', '    "yd": ("m", Fraction("0.9144")),')
    copy.add_behind(published, '    "ft": "foot"', '    "yd": "yard",')
    copy.keeps_to("A unit")

    tested = copy.python("-m", "pytest", "-q", "-p", "no:cacheprovider", published)
    assert tested.code == 0, tested.out
    (copy.folder / "yards.toml").write_text(
        edited((copy.folder / SPEC).read_text("utf-8"), "run.clear_radius", '"35 yd"'), "utf-8"
    )
    out = copy.drafted("--edition", "handout", "--card", "run-up", spec="yards.toml")
    # 35 yd are 32.004 m, and nobody may stand nearer: up to the next tenth.
    assert "35 yd (32.1 m)" in (out / "cards.txt").read_text("utf-8")


CARD = """\
<card id="storage" title="{{ card.title }}" phase="{{ card.phase }}">
<section title="Between two days">
  <step ticks="2">Hang both blades level.<why>A blade that hangs from its tip sets in that bend.</why></step>
  <para>Care is due every {{ fig("care.interval") }}.</para>
</section>
</card>
"""
LISTED = """
[storage]
title = "Storage"
phase = "After"
order = 165
needs = "care"
stays = "the rotor is stored as its maker says"
worked = true
"""


def test_a_card_takes_its_place_in_the_deck_and_in_the_day_or_is_left_out_with_its_reason(
    copy: CopiedTree,
) -> None:
    copy.write("layouts/cards/storage.xml.j2", CARD)
    copy.write("layouts/cards.toml", (copy.folder / "layouts/cards.toml").read_text("utf-8") + LISTED)
    assert copy.python("-m", "tests.deck.golden").code == 0
    copy.touched.add("tests/deck/golden/storage.txt")
    copy.keeps_to("A card")

    golden = (copy.folder / "tests/deck/golden/storage.txt").read_text("utf-8")
    assert "Hang both blades level. ( )( )" in golden
    out = copy.drafted("--edition", "handout", "--card", "storage", "--card", "flow")
    text = (out / "cards.txt").read_text("utf-8")
    assert re.search(r"^CARD 16 of 20   STORAGE", text, re.MULTILINE)
    assert "Care is due every 20 h M." in text
    assert re.search(r"In order: .*Care, Storage\.", " ".join(text.split()))
    without = without_group((copy.folder / SPEC).read_text("utf-8"), "care")
    (copy.folder / "without.toml").write_text(without, "utf-8")
    refused = copy.cardgen("draft", "without.toml", "--text", "--card", "storage", *TODAY)
    assert refused.code == 1
    why = "the specification has no care group; the rotor is stored as its maker says"
    assert why in " ".join(refused.err.split())


def test_an_edition_is_offered_printed_and_listed_with_its_copies(copy: CopiedTree) -> None:
    pouch = (copy.folder / "layouts/editions/pouch.toml").read_text("utf-8")
    field_cards = replaced(replaced(pouch, '"pouch card"', '"field card"'), '"pouch cards"', '"field cards"')
    cards = replaced(field_cards, 'without = ["flow", "newcomer"]', 'only = ["cover", "torque"]')
    copy.write("layouts/editions/field.toml", cards)
    copy.keeps_to("An edition")

    text = replaced((copy.folder / SPEC).read_text("utf-8"), '"handout"]', '"handout", "field"]')
    text = replaced(text, "copies   = [\n", 'copies   = [\n  { edition = "field", place = "glove box" },\n')
    (copy.folder / "field.toml").write_text(text, "utf-8")
    out = copy.drafted("--edition", "field", spec="field.toml")
    assert (out / "field-2up.pdf").is_file()
    first = pypdfium2.PdfDocument(out / "field.pdf")[0].get_textpage().get_text_range()
    assert "card 1 of" in " ".join(first.split())
    assert "- Field cards: glove box" in (out / "cards.txt").read_text("utf-8")


@pytest.mark.parametrize("recipe", ["A key", "A unit", "A card", "An edition"])
def test_a_recipe_names_files_that_are_there(recipe: str) -> None:
    named = named_in(recipe)
    assert named
    assert [path for path in named if not (TREE / path).exists()] == []
