"""The sheet: what the second drop makes of itself on the column's head."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.estimate import Estimate
from splashkit.splash import constants, forms
from splashkit.splash.given import liquid_or_water
from splashkit.splash.impact import DENSITY, DIAMETER, TENSION

CLOSING_SPEED = Range("closing speed", "m/s", 0.2, 10.0, "use the second drop's speed plus the column tip's")
OFFSET = Range("offset of the second drop from the axis", "m", 0.0, 0.02, "give metres: 1 mm is 0.001")
COLUMN_RADIUS = Range("column radius", "m", 1e-4, 0.02, "give metres: a 1 mm radius is 0.001")
TIME = Range("time after the drops touch", "s", -1.0, 1.0, "give seconds after drop and column touch")

_OUTCOMES = ("round", "tilted", "one-sided", "graze", "miss")


@dataclass(frozen=True)
class Sheet:
    """The umbrella of the collision. Times count from the touch of drop and column; all SI.

    ``tilt`` is the angle of the sheet from level [rad]; ``look`` is one of round, tilted,
    one-sided, graze, miss.
    """

    weber: Any
    start_radius: Any
    capillary_time: Any
    radius_max: Estimate
    full_time: Estimate
    end_time: Estimate
    thickness: Estimate
    fingers: Estimate
    tilt: Any
    look: Any
    warnings: tuple[str, ...]

    def radius(self, time: Number) -> Estimate:
        """Return the sheet's radius at a time after the touch, with its band [m]."""
        time = TIME(time)
        value = forms.sheet_shape(time, self.full_time.value, self.start_radius, self.radius_max.value)
        low, high = value, value
        for full in np.linspace(self.full_time.low, self.full_time.high, 5):
            for largest in (self.radius_max.low, self.radius_max.high):
                other = forms.sheet_shape(time, full, self.start_radius, largest)
                low, high = np.minimum(low, other), np.maximum(high, other)
        return Estimate(value, low, high, "the sources differ by a factor of three in size")


def sheet(
    diameter: Number,
    closing_speed: Number,
    liquid: Any = None,
    offset: Number = 0.0,
    column_radius: Number | None = None,
) -> Sheet:
    r"""Predict the sheet of a drop that lands on the column's head.

    .. math:: R_{max} = d\left(\tfrac12 + 0.0833\sqrt{We_n}\right),\quad t_{full} = 0.557\,\tau,
              \quad \tau = \sqrt{\rho d^3/6\sigma}

    Parameters
    ----------
    diameter : float or array
        Diameter of the second drop [m].
    closing_speed : float or array
        Its speed against the tip: falling speed plus the tip's speed upward [m/s].
    liquid : Liquid or None
        The drop's liquid; None is water at 20 degC [any].
    offset : float or array
        Distance of the drop's path from the column's axis [m].
    column_radius : float, array or None
        Radius of the column's head; None is half the drop's diameter [m].

    Returns
    -------
    Sheet
        Largest radius, time of fullest, end, thickness, fingers, tilt and look.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid for closing Weber numbers of 150-900 and columns of a quarter to one and a half of the drop's
    radius; beyond that a warning is given. The size rests on four runs, two of them lower bounds, and
    theory constants from memory that differ by a factor of three: trust the trend, not the digits.
    Off the axis only the part of the speed along the line of centres spreads the drop (derived here).
    Rim break-up is left out, so a real sheet is fullest a little earlier.

    Examples
    --------
    >>> made = sheet(4e-3, 2.1)
    >>> round(made.radius_max.value * 1e3), round(made.full_time.value * 1e3), str(made.look)
    (7, 7, 'round')

    References
    ----------
    Shape and time scale: Villermaux & Bossa, J. Fluid Mech. 668, 2011 (from memory, re-derived here);
    size: own simulation, not published, against Villermaux & Bossa 2011, Rozhkov et al. 2002 and Wang &
    Bourouiba 2017 (from memory). Labels of the look: our own, no source.
    """
    liquid = liquid_or_water(liquid)
    diameter, closing_speed, offset = DIAMETER(diameter), CLOSING_SPEED(closing_speed), OFFSET(offset)
    radius = 0.5 * diameter if column_radius is None else COLUMN_RADIUS(column_radius)
    d, v, b, r = (
        array[()]
        for array in broadcast(diameter=diameter, closing_speed=closing_speed, offset=offset, column_radius=radius)
    )
    density, tension = DENSITY(liquid.density.value), TENSION(liquid.surface_tension.value)
    sine = 2 * b / (d + 2 * r)
    hit = sine < 1
    cosine_squared = 1 - np.minimum(sine, 1) ** 2
    full_weber = density * v**2 * d / tension
    weber = full_weber * cosine_squared
    tau = forms.capillary_time(d, density, tension)
    shift = abs(np.log(liquid.surface_tension.high / liquid.surface_tension.low)) / 4

    largest = np.where(hit, forms.sheet_radius_max(d, weber), 0.5 * d)[()]
    spread = largest - 0.5 * d
    distance = np.maximum(np.log(150 / full_weber), 0) + np.maximum(np.log(full_weber / 900), 0)
    wide = 1 + 0.5 * distance + shift
    radius_max = Estimate(
        largest,
        0.5 * d + spread * np.exp(-constants.SHEET_BAND[0] * wide),
        0.5 * d + spread * np.exp(constants.SHEET_BAND[1] * wide),
        "two clean runs and two lower bounds; theories differ by a factor of three",
    )
    full = constants.SHEET_FULL * tau
    full_time = Estimate(
        full,
        full * np.exp(-constants.SHEET_FULL_BAND[0] * (1 + shift)),
        full * np.exp(constants.SHEET_FULL_BAND[1] * (1 + shift)),
        "a third of the capillary time in theory, up to 0.9 of it in our runs, which cannot shed drops",
    )
    end_time = Estimate(3 * full, 3 * full_time.low, 3 * full_time.high, "back at three times the fullest, by the form")
    thick = Estimate(
        d**3 / (6 * largest**2), d**3 / (6 * radius_max.high**2), d**3 / (6 * radius_max.low**2), "volume over area"
    )
    # a rim that holds half of the drop pinches into waves nine rim radii long
    rim = np.sqrt(d**3 / (24 * np.pi * largest))
    count = 2 * np.pi * largest / (9 * rim)
    fingers = Estimate(count, count / 2, count * 2, "rim waves of nine rim radii; the rim taken to hold half the drop")
    steps = np.select([sine < 0.1, sine < 0.3, sine < 0.7, hit], [0, 1, 2, 3], 4)
    warnings = []
    if np.any(distance > 0):
        warnings.append(
            "The closing speed lies outside the few collisions behind this model (closing Weber number 150 to 900): "
            "take the size as a guess; its band is wider."
        )
    if np.any((2 * r < 0.25 * d) | (2 * r > 1.5 * d)):
        warnings.append(
            "Column and drop differ much in size: too thin a column turns little of the drop outwards, "
            "too thick a one swallows it. Expect a smaller sheet."
        )
    if np.any(~hit):
        warnings.append("The drop passes beside the column: no sheet. Bring the offset below the sum of both radii.")
    return Sheet(
        weber, 0.5 * d, tau, radius_max, full_time, end_time, thick, fingers,
        np.arcsin(np.minimum(sine, 1)), np.asarray(_OUTCOMES)[steps], tuple(warnings),
    )  # fmt: skip
