"""What an extension does to a wrench's reading, in words."""

from __future__ import annotations

from cardgen.spec.model.hardware import Wrench
from cardgen.spec.units import magnitude
from cardgen.spec.windows import lever_ratio


def lever_words(wrench: Wrench) -> str:
    """Say what the extension does to the reading."""
    if wrench.extension is None:
        return "no extension: the wrench shows what the nut gets"
    if lever_ratio(wrench) == 1:
        return "extension square to the handle: the wrench shows what the nut gets"
    if wrench.angle is None or magnitude(wrench.angle, "deg") == 0:
        return "extension in line with the handle: the nut gets more than the wrench shows"
    if lever_ratio(wrench) > 1:
        return "extension turned back along the handle: the nut gets less than the wrench shows"
    return "extension at an angle to the handle: the nut gets more than the wrench shows"
