"""Makes plausible specifications of rotors that do not exist, the same ones for the same seed.

    python -m tests.bench.generate --count 200 --bad 10 DIR

They are variations of the samples: names, numbers, diameters with their track rule, wrenches,
places. Some can be spoilt, each in one of the ways that files are spoilt.
"""

from __future__ import annotations

import argparse
import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

SAMPLES = Path(__file__).resolve().parents[2] / "sample_inputs"

_CLUBS = ("North Ridge", "Long Marsh", "Three Mills", "Alder Field", "Old Quarry", "West Dyke")
_PLACES = ("north wall", "beside the bench", "tool locker", "inside the door", "office board", "end bay")
#: Diameter, and the rule that goes with it: a longer blade needs less at the adjuster for an inch.
_INCH_SIZES = (("25 ft + 0 in", "36 thou/in"), ("25 ft + 6 in", "35 thou/in"), ("26 ft + 0 in", "34 thou/in"))
_METRIC_SIZES = ("7.30 m", "7.40 m", "7.50 m", "7.60 m")


@dataclass(frozen=True)
class Made:
    """A made specification: its file, its set id, and whether it was spoilt."""

    path: Path
    set_id: str
    bad: bool


def inch(number: int, chance: random.Random) -> str:
    """Vary the sample in inches."""
    text = (SAMPLES / "nr-0306.toml").read_text("utf-8")
    diameter, rule = chance.choice(_INCH_SIZES)
    return _changed(
        text,
        ("NR-0306", f"NR-{number:04}"),
        ("nr-0306", f"nr-{number:04}"),
        ("HB-306-14", f"HB-{number}-14"),
        ("W-0518-A", f"W-{number:04}-A"),
        ("W-0518-B", f"W-{number:04}-B"),
        ("X-NRD", f"X-N{number:04}"),
        ('"25 ft + 6 in"', f'"{diameter}"'),
        ("35 thou/in", rule),
        ("North Ridge", chance.choice(_CLUBS)),
        ("north wall", chance.choice(_PLACES)),
        ('max_lead        = "80 g"', f'max_lead        = "{chance.randint(76, 84)} g"'),
        ('max_split           = "1+1/2 in"', f'max_split           = "{chance.choice(("1+1/4", "1+1/2"))} in"'),
        ("720 lb", f"{chance.randint(690, 740)} lb"),
    )


def metric(number: int, chance: random.Random) -> str:
    """Vary the metric sample."""
    text = (SAMPLES / "ft-7400.toml").read_text("utf-8")
    return _changed(
        text,
        ("FT-7400", f"FT-{number:04}"),
        ('"T-031"', f'"T-{number:04}"'),
        ("74-1187", f"74-{number:04}A"),
        ("74-1188", f"74-{number:04}B"),
        ("X-FTM", f"X-F{number:04}"),
        ('diameter     = "7.40 m"', f'diameter     = "{chance.choice(_METRIC_SIZES)}"'),
        ("blister hangar", f"{chance.choice(_CLUBS)} hangar"),
        ("seat-back pocket", chance.choice(_PLACES)),
        ("0.03 mm", f"0.0{chance.randint(2, 4)} mm"),
    )


def _changed(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert old in text, f"{old!r} is not in the sample any more"
        text = text.replace(old, new)
    return text


def _cut(text: str, chance: random.Random) -> bytes:
    whole = text.encode()
    return whole[: chance.randint(len(whole) // 4, len(whole) // 2)] + b"\n[rotor"


def _no_unit(text: str, _: random.Random) -> bytes:
    return text.replace(' in·lbf"', '"', 1).replace(' N·m"', '"', 1).encode()


def _no_group(text: str, _: random.Random) -> bytes:
    before, _heading, after = text.partition("[authority]")
    return (before + after[after.index("\n[") :]).encode()


def _past(text: str, _: random.Random) -> bytes:
    return text.replace("use_until    = 2027", "use_until    = 2021").encode()


def _other_letters(text: str, _: random.Random) -> bytes:
    return text.encode().replace("·".encode(), b"\xb7")


def _slip(text: str, _: random.Random) -> bytes:
    return text.replace("counter-clockwise", "left", 1).replace('"clockwise"', '"right"', 1).encode()


SPOILT: tuple[Callable[[str, random.Random], bytes], ...] = (
    _cut,
    _no_unit,
    _no_group,
    _past,
    _other_letters,
    _slip,
)


def generate(folder: Path, count: int, seed: int = 1, bad: int = 0, pouch_only: bool = False) -> list[Made]:
    """Write so many specifications below a folder, ``bad`` of them spoilt.

    ``pouch_only`` leaves out the other editions, so that a deck takes less time.
    """
    chance = random.Random(seed)
    spoilt = set(chance.sample(range(count), bad))
    made = []
    for number in range(count):
        kind, vary = ("nr", inch) if chance.random() < 0.6 else ("ft", metric)
        text = vary(number, chance)
        if pouch_only:
            text = _in_pouch_only(text)
        is_bad = number in spoilt
        content = chance.choice(SPOILT)(text, chance) if is_bad else text.encode()
        # As keepers have them: a folder for every fifty or so.
        path = folder / f"shelf-{number // 50:02}" / f"{kind}-{number:04}.toml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
        made.append(Made(path, f"{kind.upper()}-{number:04}", is_bad))
    return made


def _in_pouch_only(text: str) -> str:
    """Keep of the listed copies the one that is a pouch card, and make that edition alone."""
    listed = re.search(r"copies +?= \[.*?\n\]", text, re.DOTALL)
    assert listed
    pouch = re.search(r"\{ edition = \"pouch\"[^}]*\}", listed[0])
    assert pouch
    return text.replace(listed[0], f'editions = ["pouch"]\ncopies   = [{pouch[0]}]')


def main() -> None:
    """Write and count."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--bad", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    made = generate(asked.folder, asked.count, asked.seed, asked.bad)
    print(f"{len(made)} specifications, {sum(each.bad for each in made)} of them spoilt")


if __name__ == "__main__":
    main()
