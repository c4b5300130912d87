"""What a water surface does with light: bends it, and reflects a little."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, checked

WATER_INDEX = 1.333  # water against air, yellow light, 20 °C: IAPWS R9-97
RANGES = {
    "angle": Range("angle of incidence", "rad", 0, np.pi / 2, "give radians from the upright: 45° is 0.785"),
    "index": Range("refractive index", "1", 1, 4, "give a number such as 1.333 for water", open_low=True),
    "any_index": Range("refractive index", "1", 0.2, 5, "give a number such as 1.333 for water, 1 for air"),
}


class Reflectance(NamedTuple):
    """Share of light reflected: across the plane of incidence (s), in it (p), and of unpolarised light."""

    s: Any
    p: Any
    unpolarised: Any


def refraction_angle(angle: Number, index: Number = WATER_INDEX) -> Any:
    """Return the angle of a ray inside the water.

    .. math:: \\sin r = \\sin i / n

    Parameters
    ----------
    angle : float or array
        Angle of incidence in air, from the upright to the surface [rad].
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    float or array
        Angle inside [rad].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for clear liquids in air.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(refraction_angle(math.radians(60))), 4)
    40.5176

    References
    ----------
    Snell's law.
    """
    incidence, medium = checked(RANGES, angle=angle, index=index)
    return np.arcsin(np.sin(incidence) / medium)


def critical_angle(index: Number = WATER_INDEX) -> Any:
    """Return the angle inside the water from which no light gets out.

    .. math:: i_c = \\arcsin(1/n)

    Parameters
    ----------
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    float or array
        Critical angle [rad].

    Raises
    ------
    ValueError
        If the index is not above 1.

    Notes
    -----
    Valid for clear liquids in air.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(critical_angle()), 2)
    48.61

    References
    ----------
    Snell's law.
    """
    return np.arcsin(1 / RANGES["index"](index))


def brewster_angle(index: Number = WATER_INDEX) -> Any:
    """Return the angle at which a polarising filter can take the whole reflection away.

    .. math:: i_B = \\arctan n

    Parameters
    ----------
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    float or array
        Angle of incidence from the upright [rad].

    Raises
    ------
    ValueError
        If the index is not above 1.

    Notes
    -----
    Valid for clear liquids in air. For water it means a camera looking down by 37°.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(brewster_angle()), 2)
    53.12

    References
    ----------
    Fresnel's equations.
    """
    return np.arctan(RANGES["index"](index))


def reflectance(angle: Number, index: Number = WATER_INDEX) -> Reflectance:
    """Return the share of light that a liquid surface reflects.

    .. math:: R_s = \\left( \\frac{\\cos i - n \\cos r}{\\cos i + n \\cos r} \\right)^2, \\quad
              R_p = \\left( \\frac{n \\cos i - \\cos r}{n \\cos i + \\cos r} \\right)^2

    Parameters
    ----------
    angle : float or array
        Angle of incidence from the upright [rad].
    index : float or array
        Index of the far side over the near side: 1.333 into water, 1/1.333 out of it [1].

    Returns
    -------
    Reflectance
        Reflected share of s, p and unpolarised light [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for clear liquids with a smooth surface. Beyond the critical angle all light is reflected.
    Front light makes a highlight of only 2 % of the source, but near a drop's edge it nears 100 %.

    Examples
    --------
    >>> round(float(reflectance(0.0).unpolarised), 6)
    0.020373

    References
    ----------
    Fresnel's equations, as in any optics text.
    """
    incidence, medium = checked({"angle": RANGES["angle"], "index": RANGES["any_index"]}, angle=angle, index=index)
    inside = 1 - (np.sin(incidence) / medium) ** 2
    total = inside <= 0
    near, far = np.cos(incidence), np.sqrt(np.where(total, 0.0, inside))
    # at exactly 90° into an equal medium both cosines vanish: nothing is there to reflect
    sum_s, sum_p = near + medium * far, medium * near + far
    s = np.where(total, 1.0, (near - medium * far) ** 2 / np.where(sum_s == 0, 1.0, sum_s) ** 2)[()]
    p = np.where(total, 1.0, (medium * near - far) ** 2 / np.where(sum_p == 0, 1.0, sum_p) ** 2)[()]
    return Reflectance(s, p, (s + p) / 2)
