"""What a fleet must know of one specification without reading it again: plain values only.

They follow from the file's bytes alone, so they may be remembered under the hash of those bytes.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cardgen.spec.model import RotorSpec
    from cardgen.spec.units import Quantity


@dataclass(frozen=True)
class Part:
    """A part with a serial number, the title of the document that names it, and the key it stands under."""

    serial: str
    document: str
    key: str


@dataclass(frozen=True)
class RotorIdentity:
    """Which rotor a specification claims to be for; readable also where the rest is refused."""

    set_id: str
    hubs: tuple[Part, ...]
    blades: tuple[Part, ...]


@dataclass(frozen=True)
class ComparedValue:
    """A value to compare among like rotors: exact, as a fraction of ``unit``.

    ``shown_in`` is the unit its keeper wrote; ``among`` says which rotors are like this one.
    """

    name: str
    exact: str
    unit: str
    shown_in: str
    among: str


@dataclass(frozen=True)
class RotorFacts:
    """What a clean specification says, as far as the fleet needs it."""

    identity: RotorIdentity
    diameter: str
    paper: str
    use_until: date
    measures: tuple[ComparedValue, ...]
    warnings: int

    def as_data(self) -> dict[str, Any]:
        """Give the facts as plain values for JSON."""
        return {**asdict(self), "use_until": self.use_until.isoformat()}


def facts_from(data: Mapping[str, Any]) -> RotorFacts:
    """Read facts back from `Facts.as_data`. Raises `LookupError`, `TypeError` or `ValueError`."""
    told = data["identity"]
    return RotorFacts(
        RotorIdentity(str(told["set_id"]), _parts(told["hubs"]), _parts(told["blades"])),
        str(data["diameter"]),
        str(data["paper"]),
        date.fromisoformat(data["use_until"]),
        tuple(ComparedValue(**each) for each in data["measures"]),
        int(data["warnings"]),
    )


def _parts(told: Any) -> tuple[Part, ...]:
    return tuple(Part(str(each["serial"]), str(each["document"]), str(each["key"])) for each in told)


def identity_of(text: bytes) -> RotorIdentity | None:
    """Read which rotor a file claims to be for, however much else is wrong with it."""
    # A file that is no TOML is refused with every reason by whoever reads it whole.
    with suppress(ValueError, RecursionError):
        table = tomllib.loads(text.decode("utf-8"))
        hubs = _named(table, "rotor", ("hub_serial",))
        blades = _named(table, "blades", ("serial_a", "serial_b"))
        found = RotorIdentity(_word(_group(table, "rotor"), "set_id"), hubs, blades)
        return found if found.set_id or found.hubs or found.blades else None
    return None


def _named(table: Mapping[str, Any], name: str, keys: tuple[str, ...]) -> tuple[Part, ...]:
    group = _group(table, name)
    sources = group.get("sources")
    own = sources if isinstance(sources, dict) else {}
    return tuple(
        Part(serial, _title(table, _word(own, key) or _word(group, "source")), f"{name}.{key}")
        for key in keys
        if (serial := _word(group, key))
    )


def _title(table: Mapping[str, Any], source: str) -> str:
    documents = table.get("documents")
    for each in documents if isinstance(documents, list) else ():
        name = _word(each, "id") if isinstance(each, dict) else ""
        if name and (source == name or source.startswith(f"{name} ")):
            return _word(each, "title")
    return ""


def _group(table: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    group = table.get(name)
    return group if isinstance(group, dict) else {}


def _word(group: Mapping[str, Any], key: str) -> str:
    value = group.get(key)
    return value if isinstance(value, str) else ""


def facts_of(spec: RotorSpec, warnings: int) -> RotorFacts:
    """Take the facts of a clean specification."""
    from cardgen.spec.typed_quantity import reading_of

    identity = identity_of(spec.text)
    assert identity is not None
    return RotorFacts(
        identity,
        reading_of(spec, ("rotor", "diameter")).shown,
        spec.print.paper if spec.print else "iso",
        spec.authority.use_until,
        tuple(_measures(spec)),
        warnings,
    )


def _measures(spec: RotorSpec) -> list[ComparedValue]:
    from cardgen.spec.rate import TrackRate, track_rate

    kin, found = _kin(spec), []
    rate = track_rate(spec.track, spec.rotor.diameter)
    if isinstance(rate, TrackRate):
        rule = f"{kin}, rule for {spec.track.basis}, read at the {spec.track.rule_reads}"
        found.append(_measure("track rate", rate.rate, "thou/in", rule))
    if spec.balance:
        found.append(_measure("most lead in one tip", spec.balance.max_lead, "g", kin))
    if spec.teeter.play_max if spec.teeter else None:
        assert spec.teeter is not None
        assert spec.teeter.play_max is not None
        found.append(_measure("end play", spec.teeter.play_max, "thou", f"{kin}, {spec.teeter.thrust}"))
    return found


def _measure(name: str, value: Quantity, unit: str, among: str) -> ComparedValue:
    from cardgen.spec.units import magnitude, unit_of

    return ComparedValue(name, str(magnitude(value, unit)), unit, unit_of(value).shown, among)


def _kin(spec: RotorSpec) -> str:
    """Say what makes rotors alike: the hub, and diameter and chord to the inch and the eighth of one."""
    from cardgen.spec.units import magnitude

    diameter = round(magnitude(spec.rotor.diameter, "in"))
    chord = Fraction(round(magnitude(spec.blades.chord, "in") * 8), 8)
    return f"{diameter} in across, {chord} in chord, {spec.rotor.pitch} pitch, {spec.rotor.alignment}"
