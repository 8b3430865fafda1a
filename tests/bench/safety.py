"""Mistakes that can hurt somebody, each with the one rule that must catch it."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from cardgen.spec.toml import parse

BASE = Path(__file__).parents[1] / "spec" / "rules" / "base.toml"

#: Where a value stands in a parsed file.
Place = tuple[str | int, ...]


def at(table: Any, place: Place) -> Any:
    """Give the value at a place."""
    for part in place:
        table = table[part]
    return table


@dataclass(frozen=True)
class Safety:
    """A mistake that can hurt somebody, made on the rotor of the tests, and the rule that must catch it."""

    mistake: str
    changes: tuple[tuple[Place, Any], ...]
    rule: str

    def table(self) -> dict[str, Any]:
        """The spoilt table; a change to None takes the key out."""
        parsed = parse(BASE.read_bytes()).table
        spoilt: dict[str, Any] = deepcopy(dict(parsed or {}))
        for place, value in self.changes:
            parent = at(spoilt, place[:-1])
            if value is None:
                del parent[place[-1]]
            else:
                parent[place[-1]] = value
        return spoilt


def _bolt(key: str, *values: Any) -> tuple[tuple[Place, Any], ...]:
    return tuple((("fasteners", place, key), value) for place, value in enumerate(values))


def _move(**move: str) -> tuple[tuple[Place, Any], ...]:
    return ((("track", "to_lower", "a"), move),)


def _track(**values: Any) -> tuple[tuple[Place, Any], ...]:
    return tuple((("track", key), value) for key, value in values.items())


def _point(diameter: str, rule: str) -> dict[str, str]:
    return {"diameter": diameter, "chord": "7+1/2 in", "rule": rule}


_OWN = "24 ft + 0 in"

SAFETY = (
    Safety(
        "foot-pounds for inch-pounds",
        _bolt("torque_min", "165 ft·lbf", "165 ft·lbf")
        + _bolt("torque_max", "190 ft·lbf", "190 ft·lbf")
        + _bolt("drag_max", "25 ft·lbf", "25 ft·lbf"),
        "torque-thread-bounds",
    ),
    Safety(
        "newton metres for inch-pounds",
        _bolt("torque_min", "165 N·m", "165 N·m")
        + _bolt("torque_max", "190 N·m", "190 N·m")
        + _bolt("drag_max", "25 N·m", "25 N·m"),
        "torque-thread-bounds",
    ),
    Safety("foot-pounds at one end of a window", _bolt("torque_max", "190 ft·lbf"), "torque-two-units"),
    Safety("a digit too many in a torque", _bolt("torque_max", "1900 in·lbf"), "torque-thread-bounds"),
    Safety("a digit lost from a torque", _bolt("torque_min", "16 in·lbf"), "torque-thread-bounds"),
    Safety("least and most torque swapped", _bolt("torque_min", "200 in·lbf"), "torque-order"),
    Safety("no word on running drag", _bolt("drag", None), "drag-missing"),
    Safety("a strap bolt left out of the order", ((("tightening", "order"), [1]),), "order-incomplete"),
    Safety("a maker's bolt in the order", _bolt("fitted_by", "maker"), "order-maker-bolt"),
    Safety("a wrench too inexact", ((("wrenches", 0, "error"), 9),), "wrench-cannot"),
    Safety(
        "a wrench past its calibration",
        ((("wrenches", 0, "calibrated_until"), date(2026, 5, 31)),),
        "wrench-calibration-past",
    ),
    Safety(
        "an extension on a wrench of no length", ((("wrenches", 0, "length"), None),), "wrench-length-missing"
    ),
    Safety(
        "a self-locking nut that does not drag",
        _bolt("locking", "self-locking nut") + _bolt("drag", "none"),
        "drag-none-self-locking",
    ),
    Safety("a castle nut turned at the head", _bolt("turned_at", "head"), "pin-turned-at-head"),
    Safety("a torque among the words", ((("fasteners", 2, "fit"), "25 in·lbf, then pinned"),), "fit-number"),
    Safety("a stage that the drag alone reaches", ((("tightening", "stages"), [10, 100]),), "stage-below-drag"),
    Safety(
        "bolts on a circle counted from nowhere", ((("tightening", "pattern"), "circle"),), "circle-key-missing"
    ),
    Safety("no order for bolts that are tightened", ((("tightening",), None),), "tightening-missing"),
    Safety(
        "a digit too many on a metric thread",
        _bolt("thread", "M10x1.25") + _bolt("torque_max", "1900 in·lbf"),
        "torque-stress",
    ),
    Safety("threadlocker on dry threads", _bolt("locking", "threadlocker"), "threadlocker-dry"),
    Safety("a card of another diameter", ((("rotor", "diameter"), "25 ft + 0 in"),), "track-diameter-outside"),
    Safety(
        "a rule carried between points without leave",
        _track(
            points=[_point("23 ft + 0 in", "28 thou/in"), _point("25 ft + 0 in", "24 thou/in")],
            interpolate=False,
        ),
        "track-diameter-between",
    ),
    Safety(
        "rules of two kinds of hub mixed",
        _track(
            points=[_point("23 ft + 0 in", "12 thou/in"), _point("25 ft + 0 in", "24 thou/in")],
            interpolate=True,
        ),
        "track-points-unlike",
    ),
    Safety(
        "the track rule twelve times too large",
        _track(points=[_point(_OWN, "312 thou/in")]),
        "bounds-track-rule",
    ),
    Safety("the track rule a twelfth", _track(points=[_point(_OWN, "2.2 thou/in")]), "track-rule-physics"),
    Safety("no word on how a split is counted", _track(split=None), "track-split-missing"),
    Safety("no word on one blade or both", _track(basis=None), "track-basis-missing"),
    Safety("no word on where the rule is read", _track(rule_reads=None), "track-rule-reads-missing"),
    Safety("both blades moved, one direction known", _track(basis="total of both"), "track-raise-missing"),
    Safety(
        "a mark that no adjuster has",
        _move(loosen="one notch", tighten="tow notches"),
        "track-move-mark",
    ),
    Safety(
        "one adjuster loosened and tightened",
        _move(loosen="one notch", tighten="one notch"),
        "track-move-twice",
    ),
    Safety("a turn, and nobody knows seen from where", _move(turn="clockwise"), "track-move-form"),
    Safety("the dial stands on what it touches", _track(dial_base="pitch block"), "track-dial-same"),
    Safety(
        "a dial that cannot be told from the rule",
        _track(rule_reads="adjuster", lever=None),
        "track-lever-missing",
    ),
    Safety(
        "no word on dial or adjuster for the total",
        _track(max_total_reads=None),
        "track-max-total-reads-missing",
    ),
    Safety("a total below the first correction", _track(max_total="6 thou"), "track-total-below-row"),
    Safety("serial numbers that look alike", ((("blades", "serial_b"), "24-OOO1"),), "serial-look-alike"),
    Safety("a mark drawn as the other one", ((("rotor", "drawn_a"), "dots 2"),), "mark-drawn-unlike"),
    Safety("a flag let pass for another value", ((("rotor", "normal_speed"), "230 rpm"),), "tip-speed"),
    Safety("a torque said to be not given", _bolt("not_given", ["torque_min"]), "not-given-unknown"),
    Safety("a shared bar lowers both", _track(basis="whole bar"), "track-lower-same"),
    Safety("blade marks alike", ((("rotor", "mark_b"), "one dot"),), "same-mark"),
    Safety("reflectors alike", ((("reflectors", "pattern_b"), "solid square"),), "same-pattern"),
    Safety("ounces for grams of lead", ((("balance", "max_lead"), "60 oz"),), "bounds-lead"),
    Safety("more lead than the cavity holds", ((("balance", "max_lead"), "150 g"),), "lead-too-long"),
    Safety("more trial mass than lead allowed", ((("shake", "trial_mass"), "90 g"),), "trial-mass"),
    Safety("tips opened, closing unknown", ((("tip",), None),), "balance-without-tip"),
    Safety("rotor speed of the engine", ((("rotor", "normal_speed"), "5200 rpm"),), "bounds-rotor-speed"),
    Safety("people within reach of the blades", ((("run", "clear_radius"), "6 m"),), "clear-radius"),
    Safety("cards used out of date", ((("authority", "use_until"), date(2026, 5, 31)),), "use-until-past"),
    Safety("a figure without a document", ((("track", "source"), "somebody said so"),), "source-unknown"),
    Safety(
        "a form on another road", ((("log", "form_url"), "http://log.example.org/bx-2400/"),), "form-url-https"
    ),
    Safety("a torque without unit", _bolt("torque_max", "190"), "quantity-unit-missing"),
    Safety("a decimal comma", _bolt("torque_max", "19,0 in·lbf"), "quantity-comma"),
    Safety("a refusal overridden", ((("overrides", 0, "rule"), "drag-missing"),), "override-not-allowed"),
)
