"""The words for what an extension does, by the geometry of the lever (FAA AC 43.13-1B, 7-40h)."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from cardgen.figures.setting_rows import WrenchSettings
from tests.figures.specs import spec_of


@pytest.mark.parametrize(
    ("extension", "words"),
    [
        ("", "no extension: the wrench shows what the nut gets"),
        ('extension = "4 in"\n', "extension in line with the handle: the nut gets more than the wrench shows"),
        (
            'extension = "4 in"\nangle = "0 deg"\n',
            "extension in line with the handle: the nut gets more than the wrench shows",
        ),
        (
            'extension = "4 in"\nangle = "1 deg"\n',
            "extension at an angle to the handle: the nut gets more than the wrench shows",
        ),
        (
            'extension = "4 in"\nangle = "90 deg"\n',
            "extension square to the handle: the wrench shows what the nut gets",
        ),
        (
            'extension = "4 in"\nangle = "120 deg"\n',
            "extension turned back along the handle: the nut gets less than the wrench shows",
        ),
    ],
)
def test_the_words_follow_the_geometry(extension: str, words: str) -> None:
    (found,) = compute(spec_of(('length = "10 in"\n', f'length = "10 in"\n{extension}'))).fastening[0].wrenches
    assert isinstance(found, WrenchSettings)
    assert found.lever == words


@pytest.mark.parametrize(
    ("length", "extension", "arm"),
    # 10 + 4 cos 60 degrees = 12; 250 + 100 cos 60 degrees = 300; a foot and 4 in; 10 + 4 cos 30 = 13.464.
    [
        ("10 in", 'extension = "4 in"\nangle = "60 deg"\n', "12.00 in"),
        ("10 in", 'extension = "4 in"\nangle = "30 deg"\n', "13.46 in"),
        ("1 ft", 'extension = "4 in"\n', "1.33 ft"),
        ("250 mm", 'extension = "100 mm"\nangle = "60 deg"\n', "300.0 mm"),
        ("250 mm", 'extension = "100 mm"\nangle = "30 deg"\n', "336.6 mm"),
    ],
)
def test_the_effective_length_is_given_in_the_wrenchs_own_unit(length: str, extension: str, arm: str) -> None:
    change = ('length = "10 in"\n', f'length = "{length}"\n{extension}')
    (found,) = compute(spec_of(change)).fastening[0].wrenches
    assert isinstance(found, WrenchSettings)
    assert found.arm is not None
    assert f"{found.arm.parts.number} {found.arm.parts.unit}" == arm
