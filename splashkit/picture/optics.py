"""Water's optics in closed form: what it mirrors, how far a drop fills with light; and the screen's curve."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.checks import Number, Range

WATER_INDEX = 1.333  # 20 degC, 589.3 nm, against air: IAPWS R9-97
HALF_ANGLE = Range("backlight half-angle", "rad", 0.01, np.pi / 2, "give half the angle the drop sees, 0.5 is 29 deg")
INDEX = Range("refractive index", "1", 1.0001, 2.0, "water has 1.333")
INCIDENCE = Range("angle of incidence", "rad", 0, np.pi / 2, "give radians between 0 and a right angle")


def fresnel(incidence: Number, index: Number = WATER_INDEX) -> Any:
    r"""Return the share of unpolarised light that a water surface reflects, coming from air.

    .. math:: R = \tfrac12\left[\left(\frac{\cos i - n\cos r}{\cos i + n\cos r}\right)^2
              + \left(\frac{n\cos i - \cos r}{n\cos i + \cos r}\right)^2\right], \quad \sin i = n\sin r

    Parameters
    ----------
    incidence : float or array
        Angle between the ray and the normal [rad].
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    float or array
        Reflected share, 0 to 1.

    Raises
    ------
    ValueError
        If the angle lies outside 0 to a right angle, or the index outside its range.

    Notes
    -----
    Valid for a smooth surface of a clear liquid.

    Examples
    --------
    >>> round(float(fresnel(0.0)), 6)
    0.020373

    References
    ----------
    Fresnel equations (any optics text).
    """
    i, n = INCIDENCE(incidence), INDEX(index)
    cos_i = np.cos(i)
    cos_r = np.sqrt(1 - (np.sin(i) / n) ** 2)
    s = (cos_i - n * cos_r) / (cos_i + n * cos_r)
    p = (n * cos_i - cos_r) / (n * cos_i + cos_r)
    return 0.5 * (s * s + p * p)


def bright_radius(half_angle: Number, index: Number = WATER_INDEX) -> Any:
    r"""Return how far out a drop is filled by a backlight, as a share of the drop's radius.

    .. math:: \alpha = 2(i - r), \quad b/R = \sin i = n \sin r

    Parameters
    ----------
    half_angle : float or array
        Half of the angle under which the drop sees the backlight [rad].
    index : float or array
        Refractive index of the drop [1].

    Returns
    -------
    float or array
        b/R; beyond it the rim is dark.

    Raises
    ------
    ValueError
        If the angle or the index lies outside its range.

    Notes
    -----
    Valid for a round drop and a camera far away. Past 82.8 degrees for water, no panel fills more: 1 is returned.

    Examples
    --------
    >>> round(float(bright_radius(np.radians(30))), 5)
    0.76814

    References
    ----------
    Snell's law on a sphere; derived here.
    """
    half, n = HALF_ANGLE(half_angle), INDEX(index)
    # i - r = half/2 =: d gives tan i = n sin d / (n cos d - 1): closed form
    d = half / 2
    slope = n * np.cos(d) - 1
    i = np.where(slope > 0, np.arctan2(n * np.sin(d), slope), np.pi / 2)
    limit = 2 * (np.pi / 2 - np.arcsin(1 / n))
    return np.where(half >= limit, 1.0, np.sin(i))[()]


def display_curve(linear: Number) -> Any:
    r"""Turn light on the sensor into the brightness of a screen pixel.

    .. math:: V = 1.055\,L^{1/2.4} - 0.055 \quad (L > 0.0031308), \qquad V = 12.92\,L

    Parameters
    ----------
    linear : float or array
        Light, 0 is black and 1 is where the sensor is full [1].

    Returns
    -------
    float or array
        Screen value, 0 to 1.

    Raises
    ------
    ValueError
        If a value is not a number.

    Notes
    -----
    Valid for any amount of light. Light beyond 1 stays at 1: a full sensor records no more.

    Examples
    --------
    >>> round(float(display_curve(0.18)), 3), float(display_curve(3.0))
    (0.461, 1.0)

    References
    ----------
    IEC 61966-2-1 (the usual screen curve), from memory.
    """
    light = np.clip(Range("light on the sensor", "1", advice="give a share of a full sensor")(linear), 0, 1)
    return np.where(light > 0.0031308, 1.055 * light ** (1 / 2.4) - 0.055, 12.92 * light)[()]


@lru_cache(maxsize=1)
def screen_table() -> Any:
    """Return the 8-bit screen value of 4 096 steps of light."""
    return np.round(255 * display_curve(np.linspace(0, 1, 4096))).astype(np.uint8)
