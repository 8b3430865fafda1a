"""What happens to a printed symbol on a card in use, and two readers that know nothing of each other.

A page is a two-dimensional array, 0.0 for ink and 1.0 for paper; ``module`` is the side of one
module in pixels. Each effect names its model. They are models: a printed, laminated and
photographed set is the proof.
"""

from __future__ import annotations

from io import BytesIO
from typing import TypeAlias

import numpy as np
import zxingcpp
from numpy.typing import NDArray
from PIL import Image
from pyzbar.pyzbar import ZBarSymbol, decode
from scipy.ndimage import gaussian_filter, map_coordinates, uniform_filter1d

Page: TypeAlias = NDArray[np.float64]
Chance: TypeAlias = np.random.Generator


def picture(page: Page) -> Image.Image:
    """Make a grey picture of 8 bits, as a camera or a scanner gives it."""
    return Image.fromarray(np.round(np.clip(page, 0.0, 1.0) * 255).astype(np.uint8))


def zxing_reads(page: Page) -> frozenset[str]:
    """Read every QR symbol with zxing-cpp."""
    return frozenset(code.text for code in zxingcpp.read_barcodes(picture(page)))


def zbar_reads(page: Page) -> frozenset[str]:
    """Read every QR symbol with zbar."""
    return frozenset(code.data.decode() for code in decode(picture(page), symbols=[ZBarSymbol.QRCODE]))


def both_read(page: Page) -> frozenset[str]:
    """Give what both readers read."""
    return zxing_reads(page) & zbar_reads(page)


def blurred(page: Page, modules: float, module: float) -> Page:
    """Set out of focus: a Gaussian of so many modules, the usual model of a lens out of focus."""
    return np.asarray(gaussian_filter(page, modules * module), dtype=np.float64)


def blot(page: Page, share: float, side: float, chance: Chance) -> Page:
    """Put one opaque round spot of grease on a symbol of a side in pixels that fills the middle of the page.

    It covers a share of the symbol's area and keeps away from its three finders, which no level of
    error correction protects (ISO/IEC 18004).
    """
    high, wide = page.shape
    radius = (share / np.pi) ** 0.5 * side
    left, top = (wide - side) / 2, (high - side) / 2
    middle = np.array([wide / 2, high / 2])
    for _ in range(200):
        if radius < 0.25 * side:
            place = np.array([left, top]) + chance.uniform(radius, side - radius, 2)
        else:
            place = middle + chance.uniform(0, 0.08 * side, 2)
        finder = 0.21 * side
        corners = [(left, top), (left + side - finder, top), (left, top + side - finder)]
        if not any(
            _from_square((float(place[0]), float(place[1])), corner, finder) < radius for corner in corners
        ):
            break
    rows, columns = np.mgrid[0:high, 0:wide]
    spot = (columns - place[0]) ** 2 + (rows - place[1]) ** 2 <= radius**2
    return np.where(spot, 0.05, page)


def _from_square(place: tuple[float, float], corner: tuple[float, float], side: float) -> float:
    """Distance of a place from a square, by its upper left corner and its side."""
    across, along = (max(low - at, 0.0, at - low - side) for at, low in zip(place, corner, strict=True))
    return float(np.hypot(across, along))


def glare(page: Page, share: float, side: float, chance: Chance) -> Page:
    """Add the image of a lamp in the laminate: a Gaussian spot on top of the light, clipped at white.

    Its diameter, between the places of half its height, is a share of the symbol's side.
    """
    high, wide = page.shape
    sigma = share * side / 2.355
    place = np.array([wide, high]) / 2 + chance.uniform(-0.1, 0.1, 2) * side
    rows, columns = np.mgrid[0:high, 0:wide]
    far = (columns - place[0]) ** 2 + (rows - place[1]) ** 2
    return np.asarray(np.clip(page + np.exp(-far / (2 * sigma**2)), 0.0, 1.0), dtype=np.float64)


def veiled(page: Page, light: float) -> Page:
    """Lay stray light over the whole page: a share of white added, then exposed for the brightest place."""
    return np.asarray((page + light) / (1.0 + light), dtype=np.float64)


def worn(page: Page, ink: float, chance: Chance, middle: float = 0.5) -> Page:
    """Take toner away: ink multiplied by a share, with two light streaks of 1 to 3 pixels in the middle.

    ``middle`` is the part of the width the streaks stay in; with 1 they may cross a finder too.
    """
    thin = 1.0 - (1.0 - page) * ink
    low = page.shape[1] * (1 - middle) / 2
    for _ in range(2):
        at, wide = int(chance.uniform(low, page.shape[1] - low - 3)), int(chance.integers(1, 4))
        thin[:, at : at + wide] = 0.5 + thin[:, at : at + wide] / 2
    return np.asarray(np.clip(thin + chance.normal(0, 0.02, page.shape), 0.0, 1.0), dtype=np.float64)


def folded(page: Page, module: float, chance: Chance) -> Page:
    """Fold the card along or across, within ten degrees: toner flakes off in a line one module wide."""
    high, wide = page.shape
    angle = chance.integers(0, 2) * np.pi / 2 + np.radians(chance.uniform(-10, 10))
    middle = np.array([wide, high]) * chance.uniform(0.35, 0.65, 2)
    rows, columns = np.mgrid[0:high, 0:wide]
    far = np.abs((columns - middle[0]) * np.sin(angle) - (rows - middle[1]) * np.cos(angle))
    return np.where(far <= module / 2, np.maximum(page, 0.9), page)


def photographed(page: Page, scale: float, module: float, chance: Chance, tilt: float = 25.0) -> Page:
    """Photograph the page with a telephone: tilted, shaken, compressed.

    The pinhole model turns the page about two axes by up to ``tilt`` degrees, seen from three times
    its size, and samples it ``scale`` times as fine; the hand shakes by up to half a module of the
    page (uniform blur along the rows); JPEG of quality 50.
    """
    across, along = np.radians(chance.uniform(-tilt, tilt, 2))
    about = np.radians(chance.uniform(-8.0, 8.0))
    high, wide = page.shape
    size = int(max(high, wide) * scale * 1.1)
    far = 3.0 * max(high, wide)
    turn = _about("x", across) @ _about("y", along) @ _about("z", about)
    rows, columns = np.mgrid[0:size, 0:size]
    rays = np.stack([(columns - size / 2) / scale, (rows - size / 2) / scale, np.full((size, size), far)])
    # A ray from the eye meets the turned plane through the page's middle.
    normal, middle = turn[:, 2], np.array([0.0, 0.0, far])
    reach = (normal @ middle) / np.tensordot(normal, rays, axes=1)
    on_plane = turn.T @ (rays * reach - middle[:, None, None]).reshape(3, -1)
    places = [on_plane[1] + high / 2, on_plane[0] + wide / 2]
    fine = gaussian_filter(page, max(0.0, 0.4 / scale - 0.3))
    seen = map_coordinates(fine, places, order=1, cval=1.0).reshape(size, size)
    shake = max(1, round(chance.uniform(0, 0.5) * module * scale))
    return _compressed(uniform_filter1d(seen, shake, axis=1))


def _about(axis: str, angle: float) -> Page:
    c, s = np.cos(angle), np.sin(angle)
    if axis == "x":
        return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
    if axis == "y":
        return np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


def _compressed(page: Page) -> Page:
    file = BytesIO()
    picture(page).save(file, "JPEG", quality=50)
    return np.asarray(Image.open(file), dtype=np.float64) / 255
