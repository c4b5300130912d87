"""Ethanol and water: low tension, and a fire risk beside a flash."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.estimate import Estimate
from splashkit.liquids.basics import Liquid, band, one_of, percent, room

MASS_FRACTION = Range("ethanol share by mass", "1", 0.0, 1.0, "give a share: 40 % by mass is 0.4")
VOLUME_FRACTION = Range("ethanol share by volume", "1", 0.0, 1.0, "give a share, as on a bottle: 40 % vol is 0.4")
TEMPERATURE = room(15.0, 30.0)

# Shares by mass, with tension at 20 and 25 degC [N/m]: Vazquez, Alvarez & Navaza 1995, J. Chem. Eng. Data 40:611
# (rows with ethanol from memory)
_TENSION_SHARE = np.array([0, 5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100]) / 100
_TENSION_20 = 1e-3 * np.array(
    [72.75, 56.41, 48.14, 42.72, 38.56, 36.09, 33.53, 30.69, 28.51, 26.72, 25.48, 24.32, 23.23, 22.31]
)
_TENSION_25 = 1e-3 * np.array(
    [72.01, 55.73, 47.53, 42.08, 37.97, 35.51, 32.98, 30.16, 27.96, 26.23, 25.01, 23.82, 22.72, 21.82]
)
# Every tenth by mass at 20 degC: density [kg/m3] and viscosity [Pa s], handbook tables from memory
_TENTHS = np.linspace(0, 1, 11)
_DENSITY = np.array([998.2, 981.9, 968.6, 953.8, 935.2, 913.8, 891.1, 867.7, 843.4, 818.0, 789.3])
_VISCOSITY = 1e-3 * np.array([1.00, 1.50, 2.14, 2.66, 2.87, 2.83, 2.55, 2.21, 1.88, 1.54, 1.20])


def ethanol_water(
    *, mass_fraction: Number | None = None, volume_fraction: Number | None = None, temperature: Number = 20.0
) -> Liquid:
    """Return ethanol and water, by mass or by the strength on the bottle.

    .. math:: C \\rho(C) = \\varphi \\rho_e

    Parameters
    ----------
    mass_fraction : float or array or None
        Share of ethanol by mass [1].
    volume_fraction : float or array or None
        Strength as on a bottle: volume of ethanol in a volume of the mix [1].
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    Liquid
        Density, viscosity and surface tension, each with its band, and the warning about fire.

    Raises
    ------
    ValueError
        If both shares or neither are given, or an input is outside its range.

    Notes
    -----
    Valid from 20 to 25 °C for the tension; from 15 to 30 °C the tables are carried on with a warning and a wider band.
    The tables are read along straight lines.

    Examples
    --------
    >>> ethanol_water(mass_fraction=0.2).surface_tension.text("N/m")
    '38.6 mN/m (37.4 to 39.7 mN/m)'
    >>> ethanol_water(volume_fraction=0.4).name
    'ethanol and water, 33.4 % ethanol by mass'

    References
    ----------
    Vazquez, Alvarez & Navaza 1995, J. Chem. Eng. Data 40:611 (rows with ethanol from memory); density and viscosity:
    handbook tables from memory.
    """
    by_mass = one_of("ethanol share", mass_fraction=mass_fraction, volume_fraction=volume_fraction)
    t = TEMPERATURE(temperature)
    if by_mass:
        c = MASS_FRACTION(mass_fraction)
    else:
        strength = _TENTHS * _DENSITY / _DENSITY[-1]
        c = np.interp(VOLUME_FRACTION(volume_fraction), strength, _TENTHS)
    broadcast(mass_fraction=c, temperature=t)
    outside = np.any((t < 20) | (t > 25))
    at_20, at_25 = np.interp(c, _TENSION_SHARE, _TENSION_20), np.interp(c, _TENSION_SHARE, _TENSION_25)
    tension = at_20 + (at_25 - at_20) * (t - 20) / 5
    density = np.interp(c, _TENTHS, _DENSITY) * (1 - (0.0003 + 0.0008 * c) * (t - 20))
    viscosity = np.interp(c, _TENTHS, _VISCOSITY) * np.exp(-0.03 * (t - 20))
    warnings = []
    if np.any(c > 0):
        warnings.append(
            "Ethanol vapour burns: no flame, heater or flash unit near the bowl, air the room, cover the bottle."
        )
    if outside:
        warnings.append("The tension of ethanol and water is tabled for 20 and 25 °C; here it is extrapolated.")
    return Liquid(
        name=f"ethanol and water, {percent(c)} ethanol by mass",
        density=band(density, 0.005, "handbook table from memory"),
        viscosity=band(viscosity, 0.15 if outside else 0.08, "handbook table from memory; 3 % a degree assumed"),
        surface_tension=_tension_band(tension, c, outside),
        temperature=t,
        notes=("Ethanol leaves the bowl first, so the mix changes while you shoot.",),
        warnings=tuple(warnings),
    )


def _tension_band(tension: Any, share: Any, outside: Any) -> Estimate:
    # between 0 and 10 % the curve is steep and the straight line lies above it
    slack = np.where((share > 0) & (share < 0.1), 0.06, 0.03)[()] * (2 if outside else 1)
    return Estimate(tension, tension * (1 - slack), tension * (1 + slack), "Vazquez et al. 1995, rows from memory")
