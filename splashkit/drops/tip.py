"""How big a drop drips off a tip, and how to weigh drops."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, broadcast, require
from splashkit.drops.drag import LIQUID_DENSITY, SURFACE_TENSION, WATER_DENSITY, WATER_SURFACE_TENSION
from splashkit.drops.numbers import GRAVITY, STANDARD_GRAVITY, sphere_diameter
from splashkit.estimate import Estimate
from splashkit.units import format_number

TIP_RADIUS = Range("wetted tip radius", "m", 0.1e-3, 10e-3, "give metres: a tip 4 mm wide has a radius of 0.002")
FACTOR_X = Range(
    "tip radius over the cube root of the drop volume",
    "1",
    0.3,
    1.2,
    "for water use a tip 2 to 12 mm wide; a finer or wider one is outside the published correction",
)
MASS = Range("mass of the drops", "kg", 0.0, 1.0, "give kilograms: 3.4 g is 0.0034", open_low=True)
MASS_ERROR = Range("uncertainty of the mass", "kg", 0.0, 1.0, "give kilograms: a scale that shows 0.01 g gives 1e-5")
DENSITY_ERROR = Range("uncertainty of the density", "1", 0.0, 0.5, "give a share: 0.002 is 0.2 %")
COUNT = Range("number of drops", "1", 1, 1e6, "count whole drops; a hundred is a good number")


class Weighed(NamedTuple):
    """What weighing tells: the mean ``volume`` [m3] and ``diameter`` [m] of a drop, as Estimates."""

    volume: Estimate
    diameter: Estimate


def drop_weight_factor(ratio: Number) -> Any:
    """Return the share of Tate's weight that really falls off a tip.

    .. math:: f = \\frac{1}{2 \\pi (0.14782 + 0.27896 x - 0.1662 x^2)}, \\quad x = r / V^{1/3}

    Parameters
    ----------
    ratio : float or array
        Wetted tip radius over the cube root of the drop volume [1].

    Returns
    -------
    float or array
        Factor [1].

    Raises
    ------
    ValueError
        If the ratio is outside 0.3 to 1.2.

    Notes
    -----
    Valid for ratios from 0.3 to 1.2, within 1.3 % of the measured table and 0.6 % above 0.4.

    Examples
    --------
    >>> round(float(drop_weight_factor(0.5)), 4)
    0.6476

    References
    ----------
    Quadratic fit credited to Heertjes et al. 1971; table of Harkins & Brown 1919, J. Am. Chem. Soc. 41:499
    (table from memory).
    """
    return _factor(FACTOR_X(ratio))


def _factor(x: Any) -> Any:
    return 1 / (2 * np.pi * (0.14782 + 0.27896 * x - 0.1662 * x**2))


def tip_drop_volume(
    tip_radius: Number,
    density: Number = WATER_DENSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    gravity: Number = STANDARD_GRAVITY,
) -> Any:
    """Return the volume of a drop that drips slowly off a tip.

    .. math:: \\rho g V = 2 \\pi r \\sigma f(r / V^{1/3})

    Parameters
    ----------
    tip_radius : float or array
        Radius of the tip that is wetted: the outer radius if the liquid spreads over its end [m].
    density : float or array
        Liquid density [kg/m3].
    surface_tension : float or array
        Surface tension [N/m].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    float or array
        Volume [m3].

    Raises
    ------
    ValueError
        If an input is outside its range, or the tip is too fine or too wide for the published correction.

    Notes
    -----
    Valid for slow dripping, where the ratio of tip radius to the cube root of the volume is 0.3 to 1.2: for water,
    tips from 2 to 12 mm wide. About 1.5 % of band from the correction; fast dripping makes other sizes.

    Examples
    --------
    >>> round(float(tip_drop_volume(0.002)) * 1e9, 1)
    60.2

    References
    ----------
    Tate 1864 with the correction of `drop_weight_factor`; solved here.
    """
    r, rho, sigma, g = (
        TIP_RADIUS(tip_radius),
        LIQUID_DENSITY(density),
        SURFACE_TENSION(surface_tension),
        GRAVITY(gravity),
    )
    broadcast(tip_radius=r, density=rho, surface_tension=sigma, gravity=g)
    # with x = r / V^(1/3), the balance reads  r^2 rho g / (2 pi sigma) = x^3 f(x), whose right side grows with x
    wanted = rho * g * r**2 / (2 * np.pi * sigma)
    low, high = np.full_like(wanted, FACTOR_X.low), np.full_like(wanted, FACTOR_X.high)

    def side(x: Any) -> Any:
        return x**3 * _factor(x)

    fits = (wanted >= side(FACTOR_X.low)) & (wanted <= side(FACTOR_X.high))
    if not np.all(fits):
        outer = np.asarray(r + 0 * wanted)[~np.asarray(fits)].flat[0]
        unit = np.sqrt(2 * np.pi * sigma / (rho * g))
        least, most = np.max(unit) * np.sqrt(side(FACTOR_X.low)), np.min(unit) * np.sqrt(side(FACTOR_X.high))
        require(
            False,
            "wetted tip radius",
            f"{format_number(float(outer) * 1e3)} mm",
            f"from {format_number(float(least) * 1e3)} to {format_number(float(most) * 1e3)} mm for this liquid",
            "choose a tip in that range, or weigh the drops: the correction was not measured beyond it",
        )
    for _ in range(50):  # halving: 50 times leaves nothing of the first interval
        middle = (low + high) / 2
        above = side(middle) > wanted
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return (r / ((low + high) / 2)) ** 3


def tip_drop_estimate(
    tip_radius: Number,
    density: Number = WATER_DENSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    gravity: Number = STANDARD_GRAVITY,
) -> Estimate:
    """Return the volume of a drop that drips slowly off a tip, with its band.

    .. math:: \\rho g V = 2 \\pi r \\sigma f(r / V^{1/3}) \\; (1 \\pm 0.03)

    Parameters
    ----------
    tip_radius : float or array
        Radius of the tip that is wetted [m].
    density : float or array
        Liquid density [kg/m3].
    surface_tension : float or array
        Surface tension [N/m].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    Estimate
        Volume [m3].

    Raises
    ------
    ValueError
        As `tip_drop_volume`.

    Notes
    -----
    Valid as `tip_drop_volume`. The band is twice the spread of the published corrections, which are 1.3 % apart.

    Examples
    --------
    >>> tip_drop_estimate(0.002).text("m3")
    '60.2 µL (58.4 to 62 µL)'

    References
    ----------
    As `tip_drop_volume`.
    """
    volume = tip_drop_volume(tip_radius, density, surface_tension, gravity)
    return Estimate(volume, volume * 0.97, volume * 1.03, "published corrections differ by 1.3 %, doubled")


def weigh_drops(
    mass: Number,
    count: Number,
    density: Number = WATER_DENSITY,
    mass_uncertainty: Number = 2e-5,
    density_uncertainty: Number = 0.002,
) -> Weighed:
    """Return the volume and diameter of a drop from the mass of many.

    .. math:: V = \\frac{m}{N \\rho}, \\quad d = \\left(\\frac{6 V}{\\pi}\\right)^{1/3}, \\quad
              \\frac{u_d}{d} = \\frac{1}{3} \\sqrt{\\left(\\frac{u_m}{m}\\right)^2 + u_\\rho^2}

    Parameters
    ----------
    mass : float or array
        Mass of all the drops together, cup taken off [kg].
    count : int or array
        How many drops [1].
    density : float or array
        Liquid density [kg/m3].
    mass_uncertainty : float or array
        Uncertainty of the mass; 0.02 g suits a scale that shows 0.01 g, read twice [kg].
    density_uncertainty : float or array
        Uncertainty of the density, as a share [1].

    Returns
    -------
    Weighed
        ``volume`` and ``diameter`` as Estimates; the band is plus and minus the uncertainty.

    Raises
    ------
    ValueError
        If an input is outside its range, the count is not whole, or the uncertainty is as large as the mass.

    Notes
    -----
    Valid for the mean drop, not for the spread between drops; water that dries off in the cup must be kept small.

    Examples
    --------
    >>> weigh_drops(3.35e-3, 100).diameter.text("m")
    '4 mm (3.99 to 4.01 mm)'

    References
    ----------
    Derived here; sum of squares as in the Guide to the Expression of Uncertainty in Measurement (from memory).
    """
    m, n, rho = MASS(mass), COUNT(count), LIQUID_DENSITY(density)
    doubt, density_doubt = MASS_ERROR(mass_uncertainty), DENSITY_ERROR(density_uncertainty)
    broadcast(mass=m, count=n, density=rho, mass_uncertainty=doubt, density_uncertainty=density_doubt)
    require(
        n == np.round(n),
        "number of drops",
        format_number(float(np.asarray(n).flat[0])),
        "a whole number",
        "count again",
    )
    share = np.sqrt((doubt / m) ** 2 + density_doubt**2)
    require(
        share < 1,
        "uncertainty of the mass",
        f"{format_number(float(np.max(doubt)) * 1e3)} g",
        "well below the mass itself",
        "weigh more drops at once",
    )
    volume = m / (n * rho)
    diameter = sphere_diameter(volume)
    why = f"scale and density; mean of {format_number(float(np.min(n)))} drops, not their spread"
    return Weighed(
        Estimate(volume, volume * (1 - share), volume * (1 + share), why),
        Estimate(diameter, diameter * (1 - share / 3), diameter * (1 + share / 3), why),
    )
