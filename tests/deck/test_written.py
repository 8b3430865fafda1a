"""However a specification is written, its cards are the same to the last sign."""

from __future__ import annotations

import re
import tomllib

from cardgen.proof.recheck import check_second_path
from tests.deck.conftest import Builder

# Every unit and joint of the sample in another spelling of the same.
_AS_PEOPLE_WRITE = (
    (r'"(\d+) ft \+ (\S+) in"', "'''\\1'\\2\"'''"),
    (r'"(\d+) deg \+ (\S+) arcmin"', r'"\1°\2′"'),
    (r'"([-\d./+]+) in"', r'"\1\u2009inches"'),
    (r'"([-\d./+]+) in·lbf"', r'"\1 in-lb"'),
    (r'"([-\d./+]+) N·m"', r'"\1Nm"'),
    (r'"([-\d./+]+) deg"', r'"\1°"'),
    (r'"([-\d./+]+) lb"', r'"\1 lbs"'),
    (r'"([-\d./+]+) g"', r'"\1 grams"'),
    (r'"([-\d./+]+) rpm"', r'"\1 RPM"'),
    (r'"([-\d./+]+) kt"', r'"\1 knots"'),
    (r'"([-\d./+]+) thou"', r'"\1 thousandths"'),
    (r'"([-\d./+]+) thou/in"', r'"\1 thou per inch"'),
    (r'"([-\d./+]+) °C"', r'"\1C"'),
    (r'"([-\d./+]+) h"', r'"\1 hours"'),
    (r'"(\d+/\d+)-(\d+)"', "'\\1\"–\\2 UNF'"),
    (r'"cotter pin"', '"split pin"'),
    (r'"counter-clockwise"', '"anticlockwise"'),
)


def _written(text: str) -> str:
    for strict, other in _AS_PEOPLE_WRITE:
        text = re.sub(strict, other.replace(r"\u2009", "\u2009"), text)
    return re.sub(r"(\d)\+(\d+/\d)", r"\1-\2", text)


def test_cards_and_figures_do_not_depend_on_the_spelling(build: Builder, shape_text: str) -> None:
    written = _written(shape_text)
    assert tomllib.loads(written) != tomllib.loads(shape_text)
    for sign in ("in·lbf", " ft + ", ' deg"', ' rpm"', "cotter pin"):
        assert not re.search(rf'= "[^"]*{re.escape(sign)}', written), sign
    strict, other = build(shape_text), build(written)
    assert other.figures == strict.figures
    assert [card.id for card in other.cards] == [card.id for card in strict.cards]
    for one, two in zip(other.cards, strict.cards, strict=True):
        assert one == two
    assert check_second_path(other.spec.text, other.figures) == ()
