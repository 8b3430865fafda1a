"""Eyes that see less: colour-vision deficiency and contrast, by their published formulas."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tests.outside.damage import Page

#: Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color vision
#: deficiency" (2009), severity 1.0, for linear light (from memory; each row sums to one, so that a grey
#: stays the grey it was).
MACHADO: Mapping[str, Page] = {
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}


def linear(colour: Page) -> Page:
    """Turn sRGB values of 0 to 255 into linear light of 0 to 1 (IEC 61966-2-1, as WCAG 2.2 writes it)."""
    value = np.asarray(colour, dtype=np.float64) / 255
    light = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return np.asarray(light, dtype=np.float64)


def encoded(light: Page) -> Page:
    """Turn linear light back into sRGB values of 0 to 255."""
    value = np.clip(light, 0.0, 1.0)
    coded = np.where(value <= 0.0031308, value * 12.92, 1.055 * value ** (1 / 2.4) - 0.055)
    return np.asarray(coded * 255, dtype=np.float64)


def seen_by(colours: Page, deficiency: str) -> Page:
    """Show colours, in rows of red, green and blue, as somebody with a deficiency sees them."""
    return encoded(linear(colours) @ MACHADO[deficiency].T)


def luminance(colour: Page) -> Page:
    """Relative luminance of colours: WCAG 2.2, glossary."""
    return np.asarray(linear(colour) @ np.array([0.2126, 0.7152, 0.0722]), dtype=np.float64)


def contrast(one: Page, other: Page) -> float:
    """Contrast ratio of two colours: WCAG 2.2, glossary; 1 to 21."""
    lights = sorted((float(luminance(one)), float(luminance(other))))
    return (lights[1] + 0.05) / (lights[0] + 0.05)
