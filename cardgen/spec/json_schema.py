"""The JSON Schema of a specification, for editors and for checkers of others.

It says what a file may look like. It cannot say what the rules know: a file that passes the
schema may still be refused.
"""

from __future__ import annotations

import json
from typing import Any

from cardgen.spec.everyday_words import EVERYDAY
from cardgen.spec.fields import expected
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> dict[str, Any]:
    """Build the schema of the whole file, in the 2020-12 dialect."""
    made = RotorSpec.model_json_schema(by_alias=True)
    kinds: dict[str, Any] = {name: _group(kind) for name, kind in made.pop("$defs").items()}
    whole = _group(made)
    for key, place in whole["properties"].items():
        place.setdefault("description", _about(place, kinds) or f"{key} of this file")
    return {
        "$schema": DIALECT,
        "title": "Rotor specification",
        "description": "One two-blade teetering gyroplane rotor, from which its bench cards are made.",
        **{name: value for name, value in whole.items() if name not in {"title", "description"}},
        "$defs": kinds,
    }


def schema_text() -> str:
    """Write the schema as the text of a file."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"


def _group(kind: dict[str, Any]) -> dict[str, Any]:
    places = {key: _place(place) for key, place in kind["properties"].items()}
    if "sources" in places:
        places["sources"] |= {"properties": _sources(places), "additionalProperties": False}
        places["not_given"] |= _not_given(kind["title"])
    about = " ".join(kind.get("description", "").replace("``", "").split())
    return {**kind, "description": about, "properties": places}


def _place(place: dict[str, Any]) -> dict[str, Any]:
    """Say of one key only what a keeper needs; TOML has no null, so left out means left out."""
    arms = [arm for arm in place.get("anyOf", ()) if arm != {"type": "null"}]
    inside: dict[str, Any] = place
    if arms:
        inside = {"anyOf": arms} if len(arms) > 1 else arms[0]
    about = "; ".join(filter(None, [place.get("description"), inside.get("$comment")]))
    said = {**inside, **{name: value for name, value in place.items() if name not in {"anyOf", "default"}}}
    kept = {name: value for name, value in said.items() if name not in {"title", "default", "$comment"}}
    if "enum" in kept:
        others = [word for choice in kept["enum"] for word in EVERYDAY.get(choice, ())]
        kept["enum"] = [*kept["enum"], *others]
    if "items" in kept:
        kept["items"] = _place(kept["items"])
    return {**kept, "description": about} if about else kept


def _sources(places: dict[str, Any]) -> dict[str, Any]:
    source = {"type": "string", "minLength": 1, "maxLength": 60}
    own = (key for key in places if key not in {"source", "sources", "not_given"})
    return {key: {**source, "description": f"document id and place that {key} comes from"} for key in own}


def _not_given(kind: str) -> dict[str, Any]:
    """Say which keys of a group's type may be listed as not given."""
    for group, keys in MAY_BE_NOT_GIVEN.items():
        place = expected((group, 0)) or expected((group,))
        if place is not None and place.type.__name__ == kind:
            return {"items": {"enum": list(keys)}, "uniqueItems": True}
    return {"maxItems": 0}


def _about(place: dict[str, Any], kinds: dict[str, Any]) -> str:
    reference = place.get("$ref") or place.get("items", {}).get("$ref", "")
    about: str = kinds.get(reference.rpartition("/")[2], {}).get("description", "")
    return about
