"""The log as pictures: one PDF set like the cards, and each chart as an SVG that needs no other file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from cardgen.deck.card import Card, Drawing, Items, Paragraph, Section, Words
from cardgen.deck.diagram import Diagram
from cardgen.logbook.charts import track_chart, trend_chart
from cardgen.logbook.fit_report import lines_of
from cardgen.logbook.history import history_of
from cardgen.logbook.keeping import IssuedDeck, LogEntry
from cardgen.logbook.printing import print_beside
from cardgen.logbook.track_learning import learn
from cardgen.logbook.trend import all_series, forecast_words
from cardgen.press.frame import day as in_words
from cardgen.press.screen_page import font_faces
from cardgen.press.svg import to_svg
from cardgen.proof.prove import Against

_KEY = (
    "Runs are numbered in their order.",
    "A black disc was read from video, an open disc by eye.",
    "The bar through a disc is one standard deviation of the reading.",
    "The line is this rotor's own fit; dashed, one standard deviation of it.",
)


def plots(entries: Sequence[LogEntry], deck: IssuedDeck, today: date) -> dict[str, bytes] | Against:
    """Draw everything in the log that can be drawn, by file name; nothing where there is nothing."""
    charts: list[tuple[Diagram, tuple[str, ...]]] = []
    learned = learn(history_of(entries, deck))
    if (track := track_chart(learned)) is not None:
        charts.append((track, (*_KEY, *lines_of(learned))))
    charts += [(trend_chart(each), (forecast_words(each),)) for each in all_series(entries)]
    if not charts:
        return {}
    sections = tuple(_section(*chart, first=chart is charts[0]) for chart in charts)
    about = Section(
        "", (Paragraph((Words(f"Drawn on {in_words(today)} from the log. No card of the deck."),)),)
    )
    card = Card("log", "Charts of the log", "Log", (about, *sections))
    pdf = print_beside(deck, card, {}, "charts of the log: with the records")
    if isinstance(pdf, Against):
        return pdf
    set_id = deck.row.set_id
    files = {f"{set_id}-log.pdf": pdf}
    for diagram, _ in charts:
        files[f"{set_id}-{diagram.name}.svg"] = standalone(diagram, set_id).encode()
    return files


def _section(diagram: Diagram, words: Sequence[str], *, first: bool) -> Section:
    told = Items(tuple((Words(line),) for line in words))
    return Section(diagram.title, (Drawing(diagram), told), over=not first)


def standalone(diagram: Diagram, set_id: str) -> str:
    """Paint a chart as an SVG file of its own, the cards' type inside it."""
    svg = to_svg(diagram, set_id)
    head, _, rest = svg.partition(">")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}><style>{font_faces()}</style>{rest}\n'
