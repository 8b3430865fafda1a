"""Registers that earlier versions kept: every command reads them, whatever today's rules would say."""

from __future__ import annotations

import json
import tarfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from cardgen.cli.errors import run
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, Rule
from tests.cli.running import INCH, METRIC
from tests.issuing.decks import read_answer
from tests.issuing.quick import few_cards

KEPT = Path(__file__).resolve().parents[1] / "fixtures"
DAY = "2026-09-02"
#: As printed on the cards, and as the version that made them listed them.
FIRST, SECOND, GONE = "0ZPK-39SW-F", "98HB-ER33-W", "ARQD-QT8V-D"


@dataclass(frozen=True)
class KeptRegister:
    """An unpacked register, and where a command's output is read."""

    folder: Path
    captured: pytest.CaptureFixture[str]

    def run(self, *arguments: str | Path, code: int = 0) -> str:
        """Run a command on the day after the withdrawal; give what it said on standard output."""
        path = ("--register", str(self.folder / "register.sqlite"))
        day = () if arguments[:2] == ("register", "check") else ("--today", DAY)
        ended = run([*map(str, arguments), *path, *day])
        said = self.captured.readouterr()
        assert ended == code, said
        return said.out

    def data(self, *arguments: str | Path, code: int = 0) -> Any:
        """Run a command for its JSON."""
        return json.loads(self.run(*arguments, "--json", code=code))


def _refuse_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    """Add a rule, as a later version may, that no specification of an earlier one passes."""

    def found(_: object) -> Doubts:
        yield Doubt(("rotor",), "no rotor passes this", "nothing")

    rule = Rule("of-tomorrow", "No specification passes.", found, (Reads.of("rotor"),))
    monkeypatch.setattr("cardgen.spec.rules.RULES", (rule,))


def _change_the_shape(monkeypatch: pytest.MonkeyPatch) -> None:
    """Know none of today's groups, as if every one of them had been renamed."""
    monkeypatch.setattr("cardgen.spec.load.group_types", dict)


@pytest.fixture(params=["today", "another rule", "another shape"])
def kept(
    request: pytest.FixtureRequest,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> KeptRegister:
    with tarfile.open(KEPT / "register-1" / "register.tar.xz") as packed:
        packed.extractall(tmp_path, filter="data")
    if request.param == "another rule":
        _refuse_everything(monkeypatch)
    elif request.param == "another shape":
        _change_the_shape(monkeypatch)
    return KeptRegister(tmp_path, capsys)


@pytest.fixture
def as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> KeptRegister:
    """An unpacked register, with today's rules and shape."""
    with tarfile.open(KEPT / "register-1" / "register.tar.xz") as packed:
        packed.extractall(tmp_path, filter="data")
    return KeptRegister(tmp_path, capsys)


def told(name: str) -> Any:
    """What the version that kept the register said."""
    return json.loads((KEPT / "register-1" / name).read_text("utf-8"))


def test_a_kept_register_is_listed_and_sound(kept: KeptRegister) -> None:
    listed = kept.data("register", "list", "--all")
    assert [(each["code"], each["state"]) for each in listed] == [
        (FIRST, "superseded"),
        (GONE, "withdrawn"),
        (SECOND, "current"),
    ]
    assert kept.run("register", "check") == "3 decks, 18 files: sound.\n"
    sheet = kept.run("register", "sheet")
    assert "25 ft 6 in" in sheet
    assert SECOND in sheet
    assert FIRST not in sheet


def test_a_kept_deck_verifies_by_code_and_by_file(kept: KeptRegister) -> None:
    assert kept.data("verify", SECOND)["state"] == "current"
    old = kept.data("verify", FIRST, code=4)
    assert (old["state"], old["newest_code"]) == ("superseded", SECOND)
    assert any("55 thou" in line for line in old["changes"])
    assert kept.data("verify", GONE, code=4)["why"] == "the rotor was sold"
    kept.run("reprint", SECOND, "--out", kept.folder / "again")
    assert kept.data("verify", kept.folder / "again" / "NR-0306-r2" / "pouch.pdf")["code"] == SECOND


def test_a_kept_deck_is_explained_down_to_the_line_that_was_typed(kept: KeptRegister) -> None:
    assert "track.rate  34 thou/in" in kept.run("explain", SECOND)
    tree = kept.run("explain", FIRST, "track.row.4.dial", code=4)
    # 35 thou for each inch, 1 inch of split.
    assert "track.row.4.dial  35.0 thou" in tree
    assert "typed: line" in tree
    assert "  sum:   55 thou is stated in CLUB-2 s.4.\n" in kept.run("explain", SECOND, "55")


def test_the_table_of_a_kept_deck_is_the_one_on_its_cards(kept: KeptRegister) -> None:
    """At 1 inch of split 35 thou a blade on the superseded cards, and 34 on those that hold."""
    for code, thou, ended in ((FIRST, 35, 4), (SECOND, 34, 0)):
        found = kept.data("table", code, code=ended)
        assert [row["dial_thou"] for row in found["rows"] if row["split_in"] == 1] == [thou]
        assert (found["set_id"], found["diameter"], found["moves"]) == ("NR-0306", "25 ft 6 in", "one blade")
        assert found["source"] == "MAKER-1 p.18"
    gone = kept.data("table", GONE, code=4)
    # 0.027 mm/mm for the first change and 0.0305 after it, half of it on each of two blades.
    assert [rows[3]["adjust_mm"] for rows in (gone["first_rows"], gone["rows"])] == [0.27, 0.305]


def test_kept_decks_are_compared(kept: KeptRegister) -> None:
    found = kept.data("compare", FIRST, SECOND)
    rate = next(each for each in found["numbers"] if each["figure"] == "track.points[1].rule")
    assert (rate["old"], rate["new"]) == ("35 thou/in", "34 thou/in")
    assert {"track", "torque"} <= set(found["changed"])
    assert found["rotors"]["old"] == {"set_id": "NR-0306", "diameter": "25 ft 6 in"}


def test_a_kept_log_says_what_the_version_that_kept_it_said(kept: KeptRegister) -> None:
    """That version showed the boxes by the names of their keys; now they stand in the order of work."""
    before, now = told("show-NR-0306.json"), kept.data("log", "show", SECOND)

    def values(entry: Any) -> list[tuple[str, str]]:
        return sorted((line["value"], line["unit"]) for line in entry["lines"])

    assert list(map(values, now)) == list(map(values, before))
    assert "Play along the teeter bolt: 0.021 mm" in kept.run("log", "show", GONE)
    assert kept.data("log", "show", METRIC) == kept.data("log", "show", GONE)
    for form in ("--csv", "--html"):
        assert "W-0518-A" in kept.run("log", "show", SECOND, form)


@pytest.mark.parametrize(("code", "rotor"), [(SECOND, "NR-0306"), (FIRST, "NR-0306"), (GONE, "FT-7400")])
def test_a_kept_log_is_fitted_to_the_numbers_that_it_was_fitted_to(
    kept: KeptRegister, code: str, rotor: str
) -> None:
    before, now = told(f"fit-{rotor}.json"), kept.data("log", "fit", code)
    for name in ("rule", "net_thou", "doubts", "rate"):
        assert now[name] == before[name], name
    runs = [{name: value for name, value in run.items() if name != "at_speeds_in"} for run in now["runs"]]
    assert runs == before["runs"]


def test_a_kept_log_is_drawn(kept: KeptRegister) -> None:
    names = kept.run("log", "plot", GONE, "--out", kept.folder / "charts").split()
    assert [Path(name).name for name in names] == [
        "FT-7400-log.pdf",
        "FT-7400-log-track.svg",
        "FT-7400-log-teeter.svg",
    ]
    pdf = pypdfium2.PdfDocument(kept.folder / "charts" / "FT-7400-log.pdf")
    page = pdf[0].get_textpage().get_text_bounded()
    pdf.close()
    for said in ("7.40 m", "74-1187", "letter A", "T-031", "30 Jun 2027", GONE):
        assert said in page


def test_the_next_step_of_a_kept_log_is_printed(kept: KeptRegister) -> None:
    sheet = kept.folder / "step.pdf"
    kept.run("log", "fit", SECOND, "--sheet", sheet)
    pdf = pypdfium2.PdfDocument(sheet)
    text = " ".join(" ".join(pdf[at].get_textpage().get_text_bounded() for at in range(len(pdf))).split())
    pdf.close()
    # The dial of 17 thou and the most of 55 thou are those of the version that kept it.
    assert "17.0" in text
    assert "55 thou" in text
    assert "one punch mark" in text


def test_an_entry_is_added_to_a_kept_log(kept: KeptRegister) -> None:
    entry = kept.folder / "entry.json"
    made = {"kind": "cardgen log entry", "schema": 1, "set_id": "NR-0306", "revision": 2, "code": SECOND}
    entry.write_text(
        json.dumps({**made, "record": {"date": DAY, "work": "Looked at it."}, "values": {}}), "utf-8"
    )
    assert "Entry 8 of NR-0306 revision 2" in kept.run("log", "add", SECOND, entry)


def test_a_kept_deck_is_placed_again_and_taken_out_of_use(kept: KeptRegister) -> None:
    kept.run("reprint", FIRST, "--out", kept.folder / "old", code=4)
    kept.run("reprint", FIRST, "--out", kept.folder / "old", "--for-records")
    assert (kept.folder / "old" / "NR-0306-r1" / "deck.json").is_file()
    assert "is withdrawn" in kept.run("withdraw", SECOND, "--reason", "for a test")


def test_a_deck_of_today_s_shape_follows_a_kept_one(as_it_is: KeptRegister) -> None:
    """The strap torque of the kept deck ends at 200 in·lbf, the sample's at 205."""
    who = ("--approved-by", "inspector", "--reason", "written anew")
    with few_cards():
        issued = as_it_is.run("issue", INCH, "--out", as_it_is.folder / "out", *who, *read_answer(INCH))
    assert "NR-0306 revision 3" in issued
    assert f"Take down and destroy, NR-0306 revision 2, code {SECOND}" in issued
    old = as_it_is.data("verify", SECOND, code=4)
    assert old["state"] == "superseded"
    assert any("200 in·lbf is now 205 in·lbf" in line for line in old["changes"])
    # The log stays one log, and what was measured with the kept cards is still shown.
    assert as_it_is.data("log", "show", INCH) == as_it_is.data("log", "show", FIRST)


def test_a_specification_of_the_first_shape_gets_one_problem(as_it_is: KeptRegister) -> None:
    as_it_is.run("reprint", SECOND, "--out", as_it_is.folder / "again")
    kept = json.loads((as_it_is.folder / "again" / "NR-0306-r2" / "deck.json").read_text("utf-8"))
    path = as_it_is.folder / "old.toml"
    path.write_text(kept["spec"]["text"], "utf-8")
    for command in (("check", path, "--json"), ("draft", path, "--text"), ("letter", path)):
        assert run([*map(str, command), "--today", DAY]) == 1
    said = as_it_is.captured.readouterr()
    assert len(json.loads(said.out)["problems"]) == 1
    assert said.err.count("[schema-first]") == 2
