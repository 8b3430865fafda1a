"""Faults planted between the figures and the finished file: each stops the issue, and nothing is kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TypeAlias

import pikepdf
import pytest

from cardgen.deck.card import Deck
from cardgen.figures import Figures, compute
from cardgen.figures.figure import Figure, Parts
from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Issued, IssueRefused
from cardgen.issuing.pipeline import Pipeline, request_of
from cardgen.press import publish as publishing
from cardgen.press.canvas import paint
from cardgen.press.edition import Edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import Side, TextMark
from cardgen.register.database import Register
from cardgen.spec.load import Loaded, load_bytes
from cardgen.spec.model import RotorSpec
from tests.cli.running import INCH
from tests.editing import replaced
from tests.issuing.decks import with_reading

#: The faults are planted on these cards, or in a figure that stands on them.
pytestmark = pytest.mark.usefixtures("few_cards")

TODAY = date(2026, 11, 25)
LEAST = "fasteners[1].torque_min"
SETTING = "torque.fasteners[1].TW-4.drag.1.low"
DIAL = "track.row.2.dial"

# Where both blades move, the specification also says what raises each, and what the largest total counts.
RAISING = """
to_raise.a   = { loosen = "two grooves", tighten = "one groove" }
to_raise.b   = { loosen = "two grooves", tighten = "one groove" }
max_total_of = "one blade"
"""

Spoil: TypeAlias = Callable[[bytes, Sequence[Side]], bytes]


def loaded(*changes: tuple[str, str]) -> RotorSpec:
    """The sample in one edition, so that each issue is quick, and with further changes."""
    text = re.sub(r"copies = \[.*?\n\]", 'editions = ["pouch"]', INCH.read_text("utf-8"), flags=re.DOTALL)
    for old, new in changes:
        text = replaced(text, old, new)
    read = load_bytes(text.encode(), "rotor.toml", TODAY)
    assert isinstance(read, Loaded)
    assert read.spec is not None, read.problems
    return read.spec


@cache
def sample() -> tuple[RotorSpec, Figures]:
    spec = loaded()
    return spec, compute(spec)


@dataclass
class Desk:
    """A register and a folder to issue into, and a look at what came of it."""

    register: Register
    out: Path

    def issue(self, figures: Figures | None = None) -> Issued | IssueRefused:
        spec, right = sample()
        request = with_reading(request_of(spec, TODAY, "inspector", "first issue"))
        made = issue(
            self.register,
            request,
            Pipeline(spec, figures or right, (), TODAY, "rotor.toml", "inspector"),
            self.out,
        )
        assert isinstance(made, Issued | IssueRefused), made
        return made

    def caught(self, figures: Figures | None = None) -> str:
        """Issue, see that it is refused by the proof and that nothing is left of it, and give what was said."""
        made = self.issue(figures)
        assert isinstance(made, IssueRefused)
        assert {problem.rule for problem in made.problems} == {"proof"}
        assert list(self.register.decks()) == []
        assert self.register.store.is_empty()
        assert not self.out.exists()
        return "\n".join(problem.why for problem in made.problems)


@pytest.fixture
def desk(register: Register, tmp_path: Path) -> Desk:
    return Desk(register, tmp_path / "out")


def spoiled(figures: Figures, name: str, **parts: str) -> Figures:
    """The figures with one of them printed otherwise."""
    right = figures.all[name]
    wrong: Figure = replace(right, parts=replace(right.parts, **parts))
    return replace(figures, all={**figures.all, name: wrong})


def place_of(sides: Sequence[Side], figure: str) -> tuple[int, TextMark]:
    """The page, from 0, and the mark of a figure's number."""
    number = sample()[1].all[figure].parts.number
    return next(
        (page, mark)
        for page, side in enumerate(sides)
        for mark in side.marks
        if isinstance(mark, TextMark) and mark.figure == figure and mark.text == number
    )


def edited(pdf: bytes, edit: Callable[[pikepdf.Pdf], None]) -> bytes:
    with pikepdf.open(BytesIO(pdf)) as file:
        edit(file)
        out = BytesIO()
        file.save(out)
    return out.getvalue()


def wrapped(pdf: bytes, page: int, before: str = "", after: str = "") -> bytes:
    def edit(file: pikepdf.Pdf) -> None:
        content = file.pages[page].Contents.read_bytes()
        file.pages[page].Contents = file.make_stream(before.encode() + b"\n" + content + b"\n" + after.encode())

    return edited(pdf, edit)


def painted_over(pdf: bytes, sides: Sequence[Side]) -> bytes:
    page, mark = place_of(sides, LEAST)
    wide = mark.width / len(mark.text)
    return wrapped(pdf, page, after=f"1 g {mark.x:.2f} {mark.y - 2:.2f} {wide:.2f} {mark.size:.2f} re f")


def clipped(pdf: bytes, sides: Sequence[Side]) -> bytes:
    """Cut the first digit away with a hole in the page's clip path."""
    page, mark = place_of(sides, SETTING)
    wide = mark.width / len(mark.text)
    hole = f"{mark.x:.2f} {mark.y - 2:.2f} {wide:.2f} {mark.size:.2f} re"
    return wrapped(pdf, page, before=f"0 0 {sides[page].width} {sides[page].height} re {hole} W* n")


def without_a_page(pdf: bytes, sides: Sequence[Side]) -> bytes:
    page, _ = place_of(sides, DIAL)
    return edited(pdf, lambda file: file.pages.__delitem__(page))


def exchanged_glyphs(pdf: bytes, sides: Sequence[Side]) -> bytes:
    """Exchange two characters of a text in the page's content, as an editor of PDF files would."""
    page, _ = place_of(sides, LEAST)

    def edit(file: pikepdf.Pdf) -> None:
        content = file.pages[page].Contents.read_bytes()
        texts = [found for found in re.finditer(rb"\((\w\w)\) Tj", content) if found[1][:1] != found[1][1:]]
        text = texts[-1]
        other = content[: text.start(1)] + text[1][::-1] + content[text.end(1) :]
        file.pages[page].Contents = file.make_stream(other)

    return edited(pdf, edit)


def test_without_a_fault_the_sample_is_issued(desk: Desk) -> None:
    assert isinstance(desk.issue(), Issued)


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (painted_over, "of its ink"),
        (clipped, "clipped"),
        (without_a_page, "pages"),
        (exchanged_glyphs, "expected"),
    ],
)
def test_a_finished_file_that_is_not_as_it_was_laid_out_is_never_issued(
    spoil: Spoil, said: str, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def faulty(sides: Sequence[Side], deck: Deck, edition: Edition) -> bytes:
        pdf = paint(sides, deck, edition)
        return spoil(pdf, sides) if sides[0].card_id else pdf

    monkeypatch.setattr(publishing, "paint", faulty)
    assert said in desk.caught()


@pytest.mark.parametrize(
    ("name", "other"),
    [(LEAST, "185"), (SETTING, "999"), (DIAL, "71")],
)
def test_a_number_that_a_painter_takes_from_elsewhere_is_never_issued(
    name: str, other: str, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:

    def faulty(deck: Deck, edition: Edition) -> tuple[Side, ...]:
        sides = tuple(side for side in lay_out(deck, edition) if isinstance(side, Side))
        page, right = place_of(sides, name)
        marks = tuple(mark._replace(text=other) if mark is right else mark for mark in sides[page].marks)
        return (*sides[:page], replace(sides[page], marks=marks), *sides[page + 1 :])

    monkeypatch.setattr(publishing, "lay_out", faulty)
    assert name in desk.caught()


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        pytest.param(LEAST, {"unit": "ft·lbf"}, id="swapped unit, as stated"),
        pytest.param(SETTING, {"unit": "ft·lbf"}, id="swapped unit, on a wrench"),
        pytest.param(DIAL, {"unit": "mm"}, id="swapped unit, on the dial"),
        pytest.param(LEAST, {"number": "157"}, id="changed figure, as stated"),
        pytest.param(SETTING, {"number": "150"}, id="changed figure, on a wrench"),
        pytest.param("track.max_split", {"number": "3"}, id="changed figure, the largest split"),
    ],
)
def test_a_figure_that_is_printed_otherwise_than_it_was_stated_or_computed_is_never_issued(
    name: str, parts: dict[str, str], desk: Desk
) -> None:
    assert name in desk.caught(spoiled(sample()[1], name, **parts))


@pytest.mark.parametrize(("name", "step"), [(SETTING, -2.0), (DIAL, 0.5)])
def test_a_figure_rounded_to_the_dangerous_side_is_never_issued(name: str, step: float, desk: Desk) -> None:
    """A least torque one mark lower, a dial reading half a thousandth higher."""
    right: Parts = sample()[1].all[name].parts
    assert name in desk.caught(spoiled(sample()[1], name, number=f"{float(right.number) + step:g}"))


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ('basis               = "one blade"', RAISING + 'basis = "total of both"'),
        ('split               = "total"', 'split = "half"'),
        ('rule_reads          = "dial"', 'rule_reads = "adjuster"'),
    ],
)
def test_a_track_table_on_another_basis_than_the_specification_states_is_never_issued(
    right: str, wrong: str, desk: Desk
) -> None:
    figures, other = sample()[1], compute(loaded((right, wrong))).all
    said = desk.caught(
        replace(figures, all={**figures.all, **{k: v for k, v in other.items() if k in figures.all}})
    )
    assert "track." in said
    assert "second calculation" in said
