"""Milk, from skimmed to cream."""

from __future__ import annotations

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.estimate import Estimate
from splashkit.liquids.basics import Liquid, room

FAT = Range(
    "fat content", "1", 0.0, 0.30, "give the share by mass: 3.5 % is 0.035; richer cream is outside the sources"
)
TEMPERATURE = room(0.0, 40.0)


def milk(fat: Number = 0.035, temperature: Number = 20.0) -> Liquid:
    """Return cow's milk of a given fat content.

    .. math:: \\ln(\\mu / \\mathrm{mPa\\,s}) = -8.9 + 0.1 F + 2721.5\\,\\mathrm{K} / T

    Parameters
    ----------
    fat : float or array
        Share of fat by mass: 0.035 is 3.5 % [1].
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    Liquid
        Density, viscosity and surface tension, each with its band and, outside the sources, a warning.

    Raises
    ------
    ValueError
        If the fat or the temperature is outside its range.

    Notes
    -----
    Valid for 0 to 30 % fat: viscosity 0 to 30 °C, surface tension 18 to 40 °C. Outside those temperatures, or above
    5 % fat, the number comes with a warning and a wider band. Surface tension does not depend on fat in the source.

    Examples
    --------
    >>> milk().viscosity.text("Pa s"), milk(0.001).viscosity.text("Pa s")
    ('2.08 mPa s (1.77 to 2.39 mPa s)', '1.48 mPa s (1.26 to 1.70 mPa s)')

    References
    ----------
    Bakshi & Smith 1984, J. Dairy Sci. 67:1157 (viscosity); Bertsch 1983, J. Dairy Res. 50:259 (tension);
    Sherbon 1988 (density formula, extrapolated above 10 °C).
    """
    fat, t = FAT(fat), TEMPERATURE(temperature)
    broadcast(fat=fat, temperature=t)
    percent = 100 * fat
    warnings = []
    cool, rich = np.any(t < 18), np.any(fat > 0.05)
    if rich:
        warnings.append("Above 5 % fat the density and thickness of real cream vary widely; weigh and time your own.")
    if np.any(t > 30):
        warnings.append("The viscosity of milk was measured up to 30 °C; above that it is extrapolated.")
    if cool:
        warnings.append("The surface tension of milk was measured from 18 °C up; below that it is extrapolated.")
    thick = 1e-3 * np.exp(-8.9 + 0.1 * percent + 2721.5 / (t + 273.15))
    wide = 0.30 if rich or np.any(t > 30) else 0.15
    tension = 1e-3 * (1.8e-4 * t**2 - 0.163 * t + 55.6)
    slack = 0.0063 if cool else 0.0042
    # solids other than fat: 8.7 % of the part that is not fat, as in whole milk
    solids = 9.0 * (1 - fat)
    density = 1000 * (1.003073 - 0.000179 * t - 0.000368 * percent + 0.00374 * solids)
    heavy = 0.02 if rich else 0.006
    return Liquid(
        name="milk",
        density=Estimate(
            density, density * (1 - heavy), density * (1 + heavy), "Sherbon 1988; single cows range 1.027 to 1.039"
        ),
        viscosity=Estimate(
            thick, thick * (1 - wide), thick * (1 + wide), f"Bakshi & Smith 1984; real milk taken to vary by {wide:.0%}"
        ),
        surface_tension=Estimate(
            tension, tension - slack, tension + slack, "Bertsch 1983; twice his scatter of 2.1 mN/m"
        ),
        temperature=t,
        notes=("Milk spoils and films over: change it within the hour, and skim the surface between frames.",),
        warnings=tuple(warnings),
    )
