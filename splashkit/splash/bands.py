"""How wide the bands are, and the plain sentences that go with them.

Inside the cases the forms were fitted to, a band is the one in :mod:`splashkit.splash.constants`.
Outside, it stretches with the distance (in log) from the nearest case, and a sentence says so.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.estimate import Estimate
from splashkit.splash.constants import BANDS, CALIBRATED, SWITCH_GAP

DEEP_BOWL = 0.025  # m; Hobbs & Osheroff 1967: below 25 mm the jet feels the bottom
SHALLOW_BOWL = 0.007  # m; jet height falls sharply below
CROWN_BOWL = 0.005  # m; crown less stable below
EMPTY_BOWL = 0.003  # m; no jet drops below
CLOSING_WEBER = 800.0  # none closed up to 757 (own simulation) and about 770 (Worthington 1908, 7.36 mm from 40 cm)
GENTLE_WEBER = 100.0  # below the lowest case by a third: our own caution, no source

_WORDS = {
    "weber": ("impact is gentler", "impact is harder"),
    "froude": ("drop is slower for its size", "drop is faster for its size"),
    "bond": ("drop is smaller", "drop is larger"),
    "reynolds": ("liquid is thicker", "liquid is thinner"),
}


def outside(numbers: dict[str, Any]) -> Any:
    """Return the summed log distance from the fitted cases, 0 inside."""
    total: Any = 0.0
    for name, (low, high) in CALIBRATED.items():
        value = numbers[name]
        total = total + np.maximum(np.log(low / value), 0)
        if np.isfinite(high):
            total = total + np.maximum(np.log(value / high), 0)
    return total


def entrains_bubble(weber: Any, froude: Any) -> Any:
    """Tell whether a bubble is caught regularly under the crater (thin, very fast, short column)."""
    return (weber > 41.3 * froude**0.179) & (weber < 48.3 * froude**0.247)


def between_kinds(weber: Any) -> Any:
    """Tell whether the splash lies where nobody knows if the column is thin or thick."""
    return (weber > SWITCH_GAP[0]) & (weber < SWITCH_GAP[1])


def estimate(name: str, value: Any, stretch: Any, shifts: tuple[Any, Any], why: str) -> Estimate:
    """Put the band of one quantity around its value.

    ``shifts`` are the values at the low and the high end of the liquid's surface tension; they add
    to the band in quadrature.
    """
    low, high = BANDS[name]
    ratios = np.log(np.asarray(shifts) / value)
    down = np.sqrt((low * stretch) ** 2 + np.minimum(ratios.min(axis=0), 0) ** 2)
    up = np.sqrt((high * stretch) ** 2 + np.maximum(ratios.max(axis=0), 0) ** 2)
    return Estimate(value, value * np.exp(-down), value * np.exp(up), why)


def outside_sentences(numbers: dict[str, Any]) -> list[str]:
    """Say in plain words on which side a splash leaves the fitted cases."""
    said = []
    for name, (low, high) in CALIBRATED.items():
        for beyond, words in zip((numbers[name] < low, numbers[name] > high), _WORDS[name], strict=True):
            if np.any(beyond):
                limits = f"{low:g} to {high:g}" if np.isfinite(high) else f"{low:g} and up"
                said.append(
                    f"This {words} than in the cases behind the model ({name.title()} number {limits}). "
                    "Take the numbers as a guess; their bands are wider."
                )
    if np.any(numbers["weber"] < GENTLE_WEBER):
        said.append("So gentle an impact may leave no column at all. Raise the nozzle or make the drop larger.")
    return said
