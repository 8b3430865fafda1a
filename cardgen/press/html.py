"""The deck for screens: one page that says everything the printed cards say.

It needs no script and asks nothing of any network; it can be read aloud, enlarged, printed and
copied to a phone. Every figure on it carries its id, so that it can be compared with the cards.
"""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from cardgen.deck.card import Deck
from cardgen.deck.card_warnings import doubt_words
from cardgen.deck.diagram import Diagram
from cardgen.deck.walk import walk
from cardgen.press.qr import matrix
from cardgen.press.screen_page import environment, font_faces, screen_folder, source_hash
from cardgen.press.svg import qr_to_svg, to_svg
from cardgen.spec.typed_quantity import reading_of

#: Pixels for a millimetre of drawing board: lettering of 4.5 mm is then 11.7 px, and 20 px at most.
_LEAST, _MOST = 2.6, 4.5


def to_html(deck: Deck) -> str:
    """Write the whole deck as one self-contained page."""
    style = font_faces() + (screen_folder() / "twin.css").read_text("utf-8") + _board_widths(deck)
    diameter = reading_of(deck.spec, ("rotor", "diameter"))
    return (
        environment()
        .get_template("twin.html.j2")
        .render(
            deck=deck,
            spec=deck.spec,
            stamp=deck.stamp,
            diameter=diameter,
            style=Markup(style),
            style_hash=source_hash(style),
            drawing=_drawing,
            board_class=_board_class,
            qr=_qr,
            doubts=[doubt_words(deck.spec, doubt) for doubt in deck.warnings],
        )
    )


def _drawing(diagram: Diagram, place: str) -> Markup:
    return Markup(to_svg(diagram, place))


def _qr(payload: str) -> Markup:
    return Markup(qr_to_svg(matrix(payload), "QR symbol that opens the log-entry form"))


def _board_class(diagram: Diagram) -> str:
    return f"board-{round(diagram.width)}"


def _board_widths(deck: Deck) -> str:
    # Widths go by class: the security policy allows no style attribute.
    return "".join(
        f".board-{width} svg{{min-width:{round(width * _LEAST)}px;max-width:{round(width * _MOST)}px}}\n"
        for width in sorted({round(diagram.width) for diagram in _diagrams(deck)})
    )


def _diagrams(deck: Deck) -> Iterator[Diagram]:
    for card in deck.cards:
        yield from (place.diagram for place in walk(card.sections) if place.diagram)
