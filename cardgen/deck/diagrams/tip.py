"""A blade tip from above, cut open: both screws, the slug with the screw through it, and the breather's gap."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, DrawnShape, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, box, note
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_END = 84.0


def tip_section(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw the tip as an example; words of the maker stand on the card."""
    slug = spec.balance is not None
    drilled = spec.balance is not None and spec.balance.screw_hole is not None
    gap = spec.tip is not None and "screw" in str(spec.tip.breather_at)
    lines = [
        "From above. Leading edge at the top, tip at the right.",
        "Two screws; only their thread ends carry threadlocker.",
    ]
    if slug:
        how = "with the screw through it" if drilled else "behind its screw"
        lines.append(
            f"The lead lies in the front cavity, {how}. Place: {spec.balance.place}." if spec.balance else ""
        )
    return Diagram(
        name="tip-section",
        width=BOARD,
        height=52.0,
        title="Tip, cut open: an example",
        description="\n".join(lines),
        shapes=tuple(_tip(slug=slug, drilled=drilled, gap=gap)),
    )


def _tip(*, slug: bool, drilled: bool, gap: bool) -> Iterator[DrawnShape]:
    yield Polygon(((0.6, 10.0), (_END, 10.0), (_END, 43.0), (0.6, 43.0)), "none", HEAVY)
    yield note(2.5, 45.5, "leading edge", "start", bold=True)
    yield note(2.5, 13.0, "blade", "start")
    for y, front in ((34.0, True), (18.5, False)):
        yield box(34.0, y - 4.0, _END, y + 4.0, FINE)
        if front and slug:
            yield box(38.0, y - 3.4, 58.0, y + 3.4, NORMAL, "tint")
        start = 34.0 if front and drilled else 62.0
        yield box(start + 4.0, y - 1.3, _END, y + 1.3, NORMAL, "white")
        for x in range(int(start) + 12, int(_END) - 2, 4):
            yield Line(x, y - 1.3, x + 1.6, y + 1.3, FINE)
        yield box(start + 4.0, y - 1.3, start + 9.0, y + 1.3, FINE, "black")
        yield box(_END, y - 3.2, _END + 2.6, y + 3.2, NORMAL, "black")
    yield note(90.0, 17.0, "screw", "start")
    yield note(90.0, 32.5, "screw", "start")
    if slug:
        yield note(36.0, 45.5, "lead, screw through it" if drilled else "lead", "start", bold=True)
        yield Line(56.0, 44.5, 52.0, 37.5, FINE, arrow=True)
    yield note(38.0, 2.0, "threadlocker: thread ends only", "start")
    yield Line(56.0, 6.4, 68.0, 16.9, FINE, arrow=True)
    if gap:
        yield Line(112.0, 29.4, 87.5, 29.4, NORMAL, arrow=True)
        yield Line(87.5, 39.0, 112.0, 39.0, NORMAL, arrow=True)
        yield note(90.0, 41.0, "air", "start", bold=True)
        yield note(90.0, 23.6, "air", "start", bold=True)
