"""Every diagram of the cards, by name: pure functions from a specification and its figures to shapes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from cardgen.deck.diagram import Diagram
from cardgen.deck.diagrams.adjusters import dial_set_up
from cardgen.deck.diagrams.bench_work import balance_bench, match_marks, string_line
from cardgen.deck.diagrams.day import day_flow
from cardgen.deck.diagrams.field import keep_out, rotor_names
from cardgen.deck.diagrams.hub import hub_block, shim_swap
from cardgen.deck.diagrams.nut import nut_slot
from cardgen.deck.diagrams.pins import pin_direction
from cardgen.deck.diagrams.reflectors import reflector_fold
from cardgen.deck.diagrams.strap_map import strap_map
from cardgen.deck.diagrams.tip import tip_section
from cardgen.deck.diagrams.track_moves import high_blade
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

DIAGRAMS: Mapping[str, Callable[[RotorSpec, Figures], Diagram]] = MappingProxyType(
    {
        "balance-bench": balance_bench,
        "day-flow": day_flow,
        "dial-set-up": dial_set_up,
        "high-blade": high_blade,
        "hub-block": hub_block,
        "keep-out": keep_out,
        "match-marks": match_marks,
        "nut-slot": nut_slot,
        "pin-direction": pin_direction,
        "reflector-fold": reflector_fold,
        "rotor-names": rotor_names,
        "shim-swap": shim_swap,
        "strap-map": strap_map,
        "string-line": string_line,
        "tip-section": tip_section,
    }
)


def diagram(spec: RotorSpec, figures: Figures, name: str) -> Diagram | None:
    """Draw a diagram for this rotor, or give nothing where no diagram has the name."""
    draw = DIAGRAMS.get(name)
    return draw(spec, figures) if draw else None
