"""A photocopier, generation after generation, down to black and white.

The edges follow the model of Kanungo, Haralick and Phillips ("Global and local document degradation
models", 1993; from memory): a pixel flips with a probability that falls with the square of its distance
from the edge, and the copy is closed afterwards. Before that the lens blurs, the sensor adds noise,
and one exposure of the whole sheet decides what is ink.
"""

from __future__ import annotations

import numpy as np
from scipy.ndimage import binary_closing, distance_transform_edt, gaussian_filter, rotate

from tests.outside.damage import Chance, Page

#: Spread of the lens in inches: 1.3 pixels of 300 an inch.
_LENS = 1.3 / 300
_NOISE = 12 / 255
#: Chance to flip on the edge itself, and how fast it falls with the distance in pixels squared.
_FLIP, _FALL = 0.35, 1.2


def copied(page: Page, chance: Chance, dpi: float = 300.0, generations: int = 1) -> Page:
    """Copy a page so many times, each time from the copy before; every pixel ends up 0 or 1."""
    for _ in range(generations):
        page = _copy(page, chance, dpi)
    return page


def _copy(page: Page, chance: Chance, dpi: float) -> Page:
    skewed = rotate(page, chance.uniform(-0.4, 0.4), reshape=False, order=1, cval=1.0)
    seen = gaussian_filter(skewed, _LENS * dpi) + chance.normal(0, _NOISE, page.shape)
    ink = seen < chance.uniform(0.42, 0.58)
    inside = np.asarray(distance_transform_edt(ink), dtype=np.float64)
    outside = np.asarray(distance_transform_edt(~ink), dtype=np.float64)
    odds = _FLIP * np.exp(-_FALL * np.where(ink, inside, outside) ** 2)
    flipped = ink ^ (chance.random(page.shape) < odds)
    return np.where(binary_closing(flipped, np.ones((2, 2), dtype=np.bool_)), 0.0, 1.0)
