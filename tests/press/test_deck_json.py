from __future__ import annotations

import json
from fractions import Fraction
from hashlib import sha256
from typing import Any

import jsonschema

from cardgen import __version__
from cardgen.press.deck_json import figure_shape, to_json
from tests.press.screen_deck import CODE, SPEC, deck, draft, figures, spec

# What a reader of the file may rely on, written down by hand.
TEXT, NUMBER = {"type": "string"}, {"type": "number"}
FIGURE = {
    "type": "object",
    "additionalProperties": False,
    "required": ["id", "shown", "value", "exact", "unit", "origin", "reference", "formula", "inputs"],
    "properties": {
        **dict.fromkeys(("id", "shown", "number", "second", "unit", "reference", "formula"), TEXT),
        "value": NUMBER,
        "exact": {"type": "string", "pattern": r"^-?\d+(/\d+)?$"},
        "origin": {"enum": ["M", "K", "R", "C", "L", "G"]},
        "inputs": {"type": "array", "items": TEXT},
    },
}
SHAPE = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": [
        *("schema", "tool", "set_id", "draft", "revision", "code", "issued", "register", "use_until", "spec"),
        *("figures", "cards", "left_out", "warnings", "files"),
    ],
    "properties": {
        "schema": {"const": 1},
        "draft": {"type": "boolean"},
        "revision": {"type": ["integer", "null"]},
        "code": {"type": ["string", "null"]},
        "figures": {"type": "array", "items": FIGURE, "minItems": 1},
    },
}


def shape(issued: bool = True) -> dict[str, Any]:
    read = json.loads(to_json(deck() if issued else draft()))
    assert isinstance(read, dict)
    return read


def test_the_file_has_the_shape_its_readers_rely_on() -> None:
    jsonschema.validate(shape(), SHAPE)
    jsonschema.validate(shape(issued=False), SHAPE)


def test_an_issued_deck_names_its_revision_and_code() -> None:
    read = shape()
    assert (read["set_id"], read["revision"], read["code"], read["draft"]) == ("TX-19", 3, CODE, False)
    assert (read["issued"], read["use_until"]) == ("2030-03-09", "2031-05-31")
    assert read["tool"] == {"name": "cardgen", "version": __version__}


def test_a_draft_has_no_revision_and_no_code() -> None:
    read = shape(issued=False)
    assert (read["revision"], read["code"], read["issued"], read["draft"]) == (None, None, None, True)


def test_the_specification_is_kept_byte_for_byte() -> None:
    kept = shape()["spec"]
    assert kept["text"] == SPEC
    assert kept["sha256"] == sha256(SPEC.encode()).hexdigest()


def test_every_figure_is_there_once_in_order() -> None:
    ids = [figure["id"] for figure in shape()["figures"]]
    assert ids == sorted(deck().figures)


def test_a_figure_is_exact_in_its_own_unit() -> None:
    found = {figure["id"]: figure for figure in shape()["figures"]}
    assert found["fasteners[1].torque_min"]["exact"] == "160"
    assert found["fasteners[1].torque_min"]["shown"] == "160 in·lbf (18.1 N·m) M"
    # 30 thou/in at a quarter inch is 7.5 thou, and 7.5 thou on 24 threads an inch is 1.08 flats.
    assert found["track.row.1.dial"]["exact"] == "15/2"
    assert Fraction(found["track.row.1.flats"]["exact"]) == Fraction(108, 100)
    assert found["track.row.1.flats"]["value"] == 1.08
    # Feet and inches are held in inches: 24 ft 6 in.
    assert found["rotor.diameter"]["exact"] == "294"


def test_a_figure_names_what_it_was_made_from() -> None:
    made = figure_shape(figures(spec())["track.row.2.dial"])
    assert made["inputs"] == ["track.points[1].rule"]
    assert made["formula"] and made["origin"] == "C"


def test_the_boxes_of_each_card_are_listed_in_reading_order() -> None:
    boxes = {card["id"]: [box["id"] for box in card["write_ins"]] for card in shape()["cards"]}
    assert boxes == {
        "torque": ["drag_1"],
        "track": ["dial_1", "dial_2", "dial_3", "dial_4", "gap", "side"],
    }


def test_what_is_left_out_and_what_is_doubted_is_told() -> None:
    read = shape()
    assert read["left_out"] == [
        {"id": "string", "title": "String", "why": "the specification has no string group"}
    ]
    assert [doubt["rule"] for doubt in read["warnings"]] == ["rate-mass-missing"]


def test_hashes_of_the_printed_files_are_kept_by_name() -> None:
    assert json.loads(to_json(deck(), {"wall.pdf": "ab"}))["files"] == {"wall.pdf": "ab"}
