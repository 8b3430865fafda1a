"""What is done to the marks of a card's sides: words exchanged, gone or hidden, bars and symbols."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from cardgen.press.marks import LineMark, Mark, PolygonMark, QrMark, Side, TextMark
from cardgen.proof.meaning.asked import cautions
from tests.proof.faults import hiding
from tests.proof.faults.decks import printed_of


def _marks(sides: Sequence[Side], edit: Callable[[tuple[Mark, ...]], tuple[Mark, ...]]) -> tuple[Side, ...]:
    return tuple(replace(side, marks=edit(side.marks)) for side in sides)


def _texts(sides: Sequence[Side]) -> list[TextMark]:
    return [mark for side in sides for mark in side.marks if isinstance(mark, TextMark)]


def _nth(sides: Sequence[Side], text: str) -> TextMark:
    """Find a text on the sides; "text#2" is the second of them."""
    wanted, _, place = text.partition("#")
    same = [mark for mark in _texts(sides) if mark.text == wanted]
    assert len(same) >= int(place or 1), f"{text!r} is not on the card: {[mark.text for mark in _texts(sides)]}"
    return same[int(place or 1) - 1]


def _exchange(sides: Sequence[Side], new: Mapping[TextMark, TextMark | None]) -> tuple[Side, ...]:
    def edit(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
        changed = (new.get(mark, mark) if isinstance(mark, TextMark) else mark for mark in marks)
        return tuple(mark for mark in changed if mark is not None)

    return _marks(sides, edit)


def _set(sides: Sequence[Side], how: Sequence[str]) -> tuple[Side, ...]:
    mark = _nth(sides, how[0])
    return _exchange(sides, {mark: mark._replace(text=how[1])})


def _last(sides: Sequence[Side], how: str) -> tuple[Side, ...]:
    """Write the last text of all otherwise."""
    mark = _texts(sides)[-1]
    return _exchange(sides, {mark: mark._replace(text=how)})


def _tone(sides: Sequence[Side], how: Sequence[Any]) -> tuple[Side, ...]:
    """Write a text in another shade."""
    mark = _nth(sides, how[0])
    return _exchange(sides, {mark: mark._replace(tone=how[1])})


def _swap(sides: Sequence[Side], how: Sequence[str]) -> tuple[Side, ...]:
    one, other = (_nth(sides, text) for text in how)
    return _exchange(sides, {one: one._replace(text=other.text), other: other._replace(text=one.text)})


def _drop(sides: Sequence[Side], how: Sequence[str]) -> tuple[Side, ...]:
    """Take away everything from one text to another."""
    texts = _texts(sides)
    first, last = (texts.index(_nth(sides, text)) for text in (how[0], how[-1]))
    assert first <= last
    return _exchange(sides, dict.fromkeys(texts[first : last + 1]))


def _move(sides: Sequence[Side], how: Sequence[Any]) -> tuple[Side, ...]:
    """Move everything from one text to another by points to the right and up."""
    texts = _texts(sides)
    first, last = (texts.index(_nth(sides, text)) for text in how[:2])
    moved = {mark: mark._replace(x=mark.x + how[2], y=mark.y + how[3]) for mark in texts[first : last + 1]}
    return _exchange(sides, moved)


def _again(sides: Sequence[Side], how: Sequence[Any]) -> tuple[Side, ...]:
    """Say everything from one text to another once more, points lower and with another number."""
    texts = _texts(sides)
    first, last = (texts.index(_nth(sides, text)) for text in how[:2])
    said = texts[first : last + 1]
    assert how[2] in [mark.text for mark in said]
    more = [
        mark._replace(y=mark.y - how[4], text=how[3] if mark.text == how[2] else mark.text) for mark in said
    ]
    return _marks(sides, lambda marks: (*marks, *more) if said[0] in marks else marks)


def _caution(sides: Sequence[Side], name: str) -> list[TextMark]:
    """Find a caution by its name: its signal word and the lines of its words."""
    caution, texts = cautions()[name], _texts(sides)
    wanted = f"{caution['signal']} {caution['text']}"
    for first, mark in enumerate(texts):
        if mark.text == caution["signal"]:
            for last in range(first + 1, len(texts)):
                said = " ".join(each.text for each in texts[first : last + 1])
                if said == wanted:
                    return texts[first : last + 1]
                if not wanted.startswith(said):
                    break
    raise AssertionError(f"caution {name} is not on the card")


def _unguard(sides: Sequence[Side], how: str) -> tuple[Side, ...]:
    return _exchange(sides, dict.fromkeys(_caution(sides, how)))


def _lower(sides: Sequence[Side], how: Sequence[Any]) -> tuple[Side, ...]:
    """Set a caution lower by points, behind the step that it guards."""
    return _exchange(sides, {mark: mark._replace(y=mark.y - how[1]) for mark in _caution(sides, how[0])})


def _without_side(sides: Sequence[Side], how: int) -> tuple[Side, ...]:
    return (*sides[: how - 1], *sides[how:])


def _twice(sides: Sequence[Side], how: int) -> tuple[Side, ...]:
    return (*sides[:how], sides[how - 1], *sides[how:])


def _without_card(sides: Sequence[Side], how: str) -> tuple[Side, ...]:
    left = tuple(side for side in sides if side.card_id != how)
    assert len(left) < len(sides)
    return left


def _bar(sides: Sequence[Side], how: float) -> tuple[Side, ...]:
    def edit(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
        return tuple(
            mark._replace(x2=mark.x1 + (mark.x2 - mark.x1) * how)
            if isinstance(mark, LineMark) and abs(mark.x2 - mark.x1 - 283.46) < 0.1
            else mark
            for mark in marks
        )

    return _marks(sides, edit)


def _watermark(sides: Sequence[Side], how: bool) -> tuple[Side, ...]:
    outlines = [
        mark
        for side in printed_of("nr-0306", "draft", "pouch").layouts["pouch.pdf"][:1]
        for mark in side.marks
        if isinstance(mark, PolygonMark) and mark.tone == "watermark"
    ]
    if how:
        return _marks(sides, lambda marks: (*outlines, *marks))
    return _marks(
        sides,
        lambda marks: tuple(m for m in marks if not (isinstance(m, PolygonMark) and m.tone == "watermark")),
    )


def _symbol(sides: Sequence[Side], how: str) -> tuple[Side, ...]:
    """Take the code symbol away, give it another card's, or darken a corner of it."""
    other = next(
        mark
        for side in printed_of("nr-0306", "issued", "pouch").layouts["pouch.pdf"]
        if side.card_id == "balance"
        for mark in side.marks
        if isinstance(mark, QrMark)
    )

    def edit(mark: Mark) -> Mark | None:
        if not isinstance(mark, QrMark):
            return mark
        if how == "other":
            return mark._replace(matrix=other.matrix)
        if how == "corner":
            rows = [(True,) * 16 + row[16:] if at < 16 else row for at, row in enumerate(mark.matrix)]
            return mark._replace(matrix=tuple(rows))
        return None

    return _marks(sides, lambda marks: tuple(new for mark in marks if (new := edit(mark)) is not None))


#: What can be done, by a word for it; each takes the sides and how it is done.
ON_SIDES: Mapping[str, Callable[[Sequence[Side], Any], tuple[Side, ...]]] = MappingProxyType(
    {
        "set": _set,
        "last": _last,
        "swap": _swap,
        "drop": _drop,
        "move": _move,
        "again": _again,
        "unguard": _unguard,
        "lower": _lower,
        "without_side": _without_side,
        "twice": _twice,
        "without_card": _without_card,
        "bar": _bar,
        "watermark": _watermark,
        "symbol": _symbol,
        "over": lambda sides, how: hiding.over(sides, _nth(sides, how[0]), how),
        "strike": lambda sides, how: hiding.strike(sides, _nth(sides, how[0]), how[1]),
        "unband": lambda sides, how: hiding.unband(sides, _nth(sides, how)),
        "tone": _tone,
    }
)
