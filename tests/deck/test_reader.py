"""Card markup is read strictly: anything that is not exactly of the vocabulary stops the build."""

from __future__ import annotations

import re

import pytest

from cardgen.deck.card import Card, Items, Paragraph, Said, Steps, Table, Value, Words, WriteIns
from cardgen.deck.diagram import Diagram
from cardgen.deck.fault import BuildFault
from cardgen.deck.library import CautionWords, Library
from cardgen.deck.reader import Shelf, read_card
from cardgen.deck.walk import walk
from cardgen.deck.write_ins import write_ins
from cardgen.figures.figure import Figure, Origin, Parts
from cardgen.press.plain import plainly
from cardgen.spec.bound import Bound
from cardgen.spec.units import quantity

FIGURE = Figure("a.torque", quantity(160, "in·lbf"), Parts("160", "in·lbf"), Origin.MAKER, "MK p.1")
DRAWING = Diagram("sketch", 10, 10, "A sketch", "A line.", ())
SAYS = {f"limit-{end}": words for end, words in {"least": "at least", "most": "at most"}.items()}
SAYS |= {f"limit-{word}": word for word in ("from", "to", "or")}


def bounding(name: str, torque: int, bound: Bound) -> Figure:
    parts = Parts(str(torque), "in·lbf")
    return Figure(name, quantity(torque, "in·lbf"), parts, Origin.MAKER, "MK p.1", bound=bound)


SHELF = Shelf(
    Library({"sharp": CautionWords("WARNING", "The edge is sharp.")}, {"wins": "The maker wins.", **SAYS}),
    {
        "a.torque": FIGURE,
        "a.low": bounding("a.low", 160, Bound.AT_LEAST),
        "a.high": bounding("a.high", 190, Bound.AT_MOST),
    },
    lambda name: DRAWING if name == "sketch" else None,
    lambda card: f"https://log.example.org/#k={card}",
)
QR = '<section title="Log"><qr>Scan.</qr></section>'


def card(body: str, after: str = "") -> Card:
    markup = f'<card id="try" title="Try" phase="Bench"><section title="Work">{body}</section>{after}</card>'
    return read_card(markup, "try", SHELF)


def fault(body: str, after: str = "") -> str:
    with pytest.raises(BuildFault) as caught:
        card(body, after)
    assert caught.value.card == "try"
    assert caught.value.line >= 1
    return caught.value.reason


def test_steps_are_numbered_through_the_card_and_never_typed() -> None:
    first = '<step>Look.</step><para>Wait.</para><step ticks="2">Look again.</step>'
    read = card(first, '<section title="More"><step ticks="0">Go on.</step></section>')
    steps = [place.step for place in walk(read.sections) if place.step and place.what == "step"]
    assert [(step.number, step.ticks) for step in steps] == [(1, 0), (2, 2), (3, 0)]


def test_cautions_are_bound_to_the_step_they_stand_before() -> None:
    read = card('<step>Look.</step><caution use="sharp"/><caution use="sharp"/><step>Touch.</step>')
    steps = read.sections[0].blocks[0]
    assert isinstance(steps, Steps)
    assert [len(step.cautions) for step in steps.steps] == [0, 2]
    assert steps.steps[1].cautions[0].signal == "WARNING"


@pytest.mark.parametrize(
    "body",
    [
        '<caution use="sharp"/>',
        '<step>Look.</step><caution use="sharp"/>',
        '<caution use="sharp"/><para>Wait.</para><step>Look.</step>',
        '<caution use="sharp"/><stop>Halt.</stop><step>Look.</step>',
    ],
)
def test_a_caution_that_guards_no_step_stops_the_build(body: str) -> None:
    assert "guards no step" in fault(body)


def test_a_figure_is_shown_whole_or_as_its_number() -> None:
    read = card('<para>Set <value id="a.torque"/> or <value id="a.torque" show="number"/>.</para>')
    says = read.sections[0].blocks[0]
    assert isinstance(says, Paragraph)
    values = [run for run in says.says if isinstance(run, Value)]
    assert [(value.figure.id, value.show) for value in values] == [("a.torque", "all"), ("a.torque", "number")]


def test_quotations_keep_their_key_and_their_characters() -> None:
    read = card('<para><said key="rotor.mark_a">1 &lt; 2 &amp; "3"</said></para>')
    assert read.sections[0].blocks[0] == Paragraph((Said('1 < 2 & "3"', "rotor.mark_a"),))


def test_terms_become_words_and_white_space_one_space() -> None:
    read = card("<para>\n  Mind:\n  <term use='wins'/>\n</para>")
    assert read.sections[0].blocks[0] == Paragraph((Words("Mind: "), Words("The maker wins.")))


def test_strong_words_stay_apart_from_their_neighbours() -> None:
    read = card("<items><item>Do <strong>not</strong> turn.</item></items>")
    assert read.sections[0].blocks[0] == Items(((Words("Do "), Words("not", strong=True), Words(" turn.")),))


def test_boxes_in_a_row_stand_together_and_in_tables_are_found() -> None:
    box = '<write-in id="{}" label="Drag" unit="in·lbf" digits="3"><limits>at most ten</limits></write-in>'
    table = (
        '<table id="t" caption="Drag"><column head="Bolt"/><column head="Drag"/>'
        f"<row><cell>inner</cell><cell>{box.format('c')}</cell></row></table>"
    )
    step = f"<step>Read.{box.format('d')}</step>"
    read = card(box.format("a") + box.format("b") + table + step, QR)
    assert isinstance(read.sections[0].blocks[0], WriteIns)
    assert [found.id for found in write_ins(read.sections)] == ["a", "b", "c", "d"]
    assert write_ins(read.sections)[0].digits == 3


LIMITED = '<write-in id="a" label="Torque" unit="{}">{}</write-in>'
LOW, HIGH = '<value id="a.low"/>', '<value id="a.high"/>'


@pytest.mark.parametrize(
    ("limits", "said", "bounds"),
    [
        (LOW, "at least 160", {Bound.AT_LEAST: 160}),
        (f"{HIGH} off", "at most 190 off", {Bound.AT_MOST: 190}),
        (f"{LOW} {HIGH}", "from 160 to 190", {Bound.AT_LEAST: 160, Bound.AT_MOST: 190}),
        ("as the maker says", "as the maker says", {}),
    ],
)
def test_the_words_of_a_limit_come_from_its_figures(limits: str, said: str, bounds: dict[Bound, int]) -> None:
    (box,) = write_ins(card(LIMITED.format("in·lbf", f"<limits>{limits}</limits>"), QR).sections)
    assert plainly(box.limits).replace(" in·lbf M", "") == said
    assert box.bounds == bounds


def test_the_choices_of_a_box_are_said_in_words_and_kept_as_data() -> None:
    (box,) = write_ins(card('<write-in id="a" label="Blade" choices="A,B"/>', QR).sections)
    assert (box.limits, box.choices) == ((Words("A or B"),), ("A", "B"))


@pytest.mark.parametrize(
    ("unit", "limits", "reason"),
    [
        ("in·lbf", '<value id="a.torque"/>', "a.torque bounds nothing"),
        ("in·lbf", f"at most {HIGH}", "the words before a limit follow from its bound"),
        ("in·lbf", f"{HIGH} {LOW}", "two limits are a least and then a most"),
        ("in", HIGH, "a limit of a box in in measures something else"),
        ("", HIGH, "a limit of a box in no unit measures something else"),
    ],
)
def test_a_limit_that_binds_nothing_or_another_measure_stops_the_build(
    unit: str, limits: str, reason: str
) -> None:
    assert fault(LIMITED.format(unit, f"<limits>{limits}</limits>")).startswith(reason)


def test_a_stop_row_spans_its_table() -> None:
    read = card(
        '<table id="t" caption="Rows" repeat-key="yes"><column head="Split"/><column head="Dial" strong="yes"/>'
        '<row><cell>small</cell><cell>little</cell></row><row stop="yes"><cell>More: stop.</cell></row></table>'
    )
    table = read.sections[0].blocks[0]
    assert isinstance(table, Table)
    assert [row.stop for row in table.rows] == [False, True]
    assert table.repeat_key
    assert [column.strong for column in table.columns] == [False, True]


_TABLE = '<table id="t" caption="x"><column head="x"/><column head="y"/>{}</table>'
_BOX = '<write-in id="a" label="x"/>'


@pytest.mark.parametrize(
    ("body", "reason"),
    [
        ("<picture/>", "there is no element <picture>"),
        ('<step colour="red">Look.</step>', "<step> has no attribute colour"),
        ("<caution/><step>Look.</step>", "<caution> lacks use"),
        ('<caution use=" "/><step>Look.</step>', "<caution> has nothing in use"),
        ("Look.", "stray words in <section>: Look."),
        ("<items>Look.<item>x</item></items>", "stray words in <items>: Look."),
        ("<para><step>Look.</step></para>", "<step> cannot stand in <para>"),
        ("<step>Look.<step>Again.</step></step>", "<step> cannot stand in <step>"),
        ("<row><cell>x</cell></row>", "<row> cannot stand in <section>"),
        ('<caution use="blunt"/><step>Look.</step>', "there is no caution blunt"),
        ('<para><term use="loses"/></para>', "there is no term loses"),
        ('<para><value id="a.drag"/></para>', "there is no figure a.drag"),
        (
            '<para><value id="a.torque" show="unit"/></para>',
            "a figure is shown whole or as its number, not as unit",
        ),
        ('<diagram name="plan"/>', "there is no diagram plan"),
        ("<para>Set 160.</para>", "a digit without a figure: Set 160."),
        ("<step>Turn ٣ times.</step>", "a digit without a figure: Turn ٣ times."),
        ("<para>  </para>", "<para> says nothing"),
        ("<step><why>Because.</why></step>", "<step> says nothing"),
        ('<step ticks="3">Look.</step>', "a step has no, one or two ticks, not 3"),
        ("<step>Look.<why>So.</why><why>Or so.</why></step>", "a step has one reason at most"),
        ("<items></items>", "an empty list"),
        (_TABLE.format(""), "a table needs columns and rows"),
        (_TABLE.format("<row><cell>x</cell></row>"), "a row of 1 cells where 2 are wanted"),
        (_TABLE.format('<row stop="maybe"><cell>x</cell></row>'), "stop is yes or no, not maybe"),
        (f"{_BOX}{_BOX}", "the id a is given twice"),
        ('<write-in id="a" label="x" digits="many"/>', "a box takes 1 to 24 characters, not many"),
        ('<write-in id="a" label="x" choices="A"/>', "a box has limits, or two choices and more"),
        ("", "an empty section"),
    ],
)
def test_what_is_not_of_the_vocabulary_stops_the_build(body: str, reason: str) -> None:
    assert fault(body) == reason


@pytest.mark.parametrize("markup", ["<card", "<card></section>", "", "<para>x</para>", "<card>&nbsp;</card>"])
def test_what_is_no_card_at_all_stops_the_build(markup: str) -> None:
    with pytest.raises(BuildFault):
        read_card(markup, "try", SHELF)


def test_a_document_type_declaration_stops_the_build() -> None:
    """Entities could otherwise put words on a card that stand nowhere in a template."""
    with pytest.raises(BuildFault, match="a declaration has no place"):
        read_card('<!DOCTYPE card [<!ENTITY a "b">]><card/>', "try", SHELF)


def test_a_card_under_another_name_stops_the_build() -> None:
    with pytest.raises(BuildFault, match="its id is other"):
        read_card(
            '<card id="other" title="x" phase="x"><section title="x"><para>x</para></section></card>',
            "try",
            SHELF,
        )


def test_a_section_that_is_kept_from_an_edition_that_is_not_there_stops_the_build() -> None:
    attic = '<section title="x" not-on="attic"><para>x</para></section>'
    assert fault("<para>x</para>", attic) == "there is no edition attic"


def test_boxes_need_no_code_to_scan() -> None:
    assert [box.id for box in write_ins(card(_BOX).sections)] == ["a"]


def test_a_code_that_does_not_end_the_card_stops_the_build() -> None:
    assert fault("<qr>Scan.</qr>", '<section title="x"><para>x</para></section>').startswith(
        "the code to scan stands once"
    )
    assert fault("<qr>Scan.</qr><qr>Scan.</qr>").startswith("the code to scan stands once")


def test_a_fault_names_card_line_and_reason() -> None:
    with pytest.raises(BuildFault, match=re.escape("card try, line 3: there is no element <picture>")):
        card("\n\n<picture/>")
