"""Glycerol and water: the thickener whose viscosity is one honest number."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.liquids.basics import Liquid, band, one_of, percent, room
from splashkit.liquids.water_and_air import water_surface_tension

MASS_FRACTION = Range("glycerol share by mass", "1", 0.0, 1.0, "give a share: 50 % by mass is 0.5")
VOLUME_FRACTION = Range("glycerol share by volume", "1", 0.0, 1.0, "give a share: 50 % by volume is 0.5")
TEMPERATURE = room(0.0, 40.0)
_PURE_TENSION = 0.0634  # N/m at 20 degC, CRC Handbook of Chemistry and Physics, 97th edition


def _pure_densities(t: Any) -> tuple[Any, Any]:
    """Densities of water and glycerol [kg/m3] that belong to the formula of Volk & Kaehler 2018."""
    return 1000 * (1 - np.abs((t - 3.98) / 615) ** 1.71), 1273.3 - 0.6121 * t


def glycerol_density(mass_fraction: Number, temperature: Number = 20.0) -> Any:
    """Return the density of glycerol and water.

    .. math:: \\rho = \\kappa \\left[\\rho_w + \\frac{\\rho_g - \\rho_w}
              {1 + \\frac{\\rho_g}{\\rho_w}\\left(\\frac{1}{C} - 1\\right)}\\right], \\quad
              \\kappa = 1 + A \\sin(\\pi C^{1.31})^{0.81}

    Parameters
    ----------
    mass_fraction : float or array
        Share of glycerol by mass [1].
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    float or array
        Density [kg/m3].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid from 15 to 30 °C, within 0.04 % of measurements at 20 °C; computed from 0 to 40 °C.
    Here A = 1.78e-6 t² - 1.82e-4 t + 1.41e-2.

    Examples
    --------
    >>> round(float(glycerol_density(0.5)), 1)
    1126.2

    References
    ----------
    Volk & Kaehler 2018, Exp. Fluids 59:75.
    """
    c, t = MASS_FRACTION(mass_fraction), TEMPERATURE(temperature)
    broadcast(mass_fraction=c, temperature=t)
    water, glycerol = _pure_densities(t)
    # 1 / C - 1 over 1 / C, so that pure water needs no division by nothing
    share = c / (c + glycerol / water * (1 - c))
    shrink = 1.78e-6 * t**2 - 1.82e-4 * t + 1.41e-2
    # the sine may come out a hair below zero at C = 1, where it is zero
    return (1 + shrink * np.maximum(np.sin(np.pi * c**1.31), 0.0) ** 0.81) * (water + (glycerol - water) * share)


def viscosity_stray(temperature: Any) -> Any:
    """How far Cheng's formula strays from Segur & Oberstar 1951: 2.7 % at 20 degC, up to 3.5 % from 0 to 40 degC."""
    return np.where(np.abs(temperature - 20) <= 3, 0.03, 0.04)[()]


def glycerol_viscosity(mass_fraction: Number, temperature: Number = 20.0) -> Any:
    """Return the viscosity of glycerol and water.

    .. math:: \\mu = \\mu_w^{\\alpha} \\mu_g^{1 - \\alpha}, \\quad
              \\alpha = 1 - C + \\frac{a b C (1 - C)}{a C + b (1 - C)}

    Parameters
    ----------
    mass_fraction : float or array
        Share of glycerol by mass [1].
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    float or array
        Viscosity [Pa s].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid from 0 to 40 °C and 0 to 100 %; within 2.7 % of measurements at 20 °C and 3.5 % at the others. One degree
    changes a 60 % mix by 4 %, so measure the temperature of the bowl.

    Examples
    --------
    >>> round(float(glycerol_viscosity(0.5)) * 1e3, 2)
    6.0

    References
    ----------
    Cheng 2008, Ind. Eng. Chem. Res. 47:3285; checked against Segur & Oberstar 1951, Ind. Eng. Chem. 43:2117.
    """
    c, t = MASS_FRACTION(mass_fraction), TEMPERATURE(temperature)
    broadcast(mass_fraction=c, temperature=t)
    water = 1.790e-3 * np.exp((-1230 - t) * t / (36100 + 360 * t))
    glycerol = 12.1 * np.exp((-1233 + t) * t / (9900 + 70 * t))
    a = 0.705 - 0.0017 * t
    b = (4.9 + 0.036 * t) * a**2.5
    alpha = 1 - c + a * b * c * (1 - c) / (a * c + b * (1 - c))
    return water**alpha * glycerol ** (1 - alpha)


def mass_from_volume_fraction(volume_fraction: Number, temperature: Number = 20.0) -> Any:
    """Return the share by mass of glycerol measured out by volume.

    .. math:: C = \\frac{\\varphi \\rho_g}{\\varphi \\rho_g + (1 - \\varphi) \\rho_w}

    Parameters
    ----------
    volume_fraction : float or array
        Volume of glycerol over the volumes of glycerol and water before mixing [1].
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    float or array
        Share by mass [1].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid from 0 to 40 °C for volumes measured before they are mixed; the mix shrinks by about 1 %.

    Examples
    --------
    >>> round(float(mass_from_volume_fraction(0.5)), 3)
    0.558

    References
    ----------
    Derived here from the densities of Volk & Kaehler 2018.
    """
    share, t = VOLUME_FRACTION(volume_fraction), TEMPERATURE(temperature)
    broadcast(volume_fraction=share, temperature=t)
    water, glycerol = _pure_densities(t)
    return share * glycerol / (share * glycerol + (1 - share) * water)


def glycerol_water(
    *, mass_fraction: Number | None = None, volume_fraction: Number | None = None, temperature: Number = 20.0
) -> Liquid:
    """Return glycerol and water, measured out by mass or by volume.

    .. math:: \\sigma = (1 - C) \\sigma_w + C \\sigma_g

    Parameters
    ----------
    mass_fraction : float or array or None
        Share of glycerol by mass, as weighed on a scale [1].
    volume_fraction : float or array or None
        Share of glycerol by volume, as measured with a jug [1].
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    Liquid
        Density, viscosity and surface tension, each with its band.

    Raises
    ------
    ValueError
        If both shares or neither are given, or an input is outside its range.

    Notes
    -----
    Valid from 0 to 40 °C; density is measured from 15 to 30 °C, and outside that it carries a warning and a wider
    band. The surface tension is a straight line between the pure liquids. Say by mass or by volume: 50 % by volume is
    55.8 % by mass, 40 % thicker.

    Examples
    --------
    >>> glycerol_water(mass_fraction=0.5).viscosity.text("Pa s")
    '6 mPa s (5.82 to 6.18 mPa s)'
    >>> glycerol_water(volume_fraction=0.5).viscosity.text("Pa s")
    '8.37 mPa s (8.12 to 8.62 mPa s)'

    References
    ----------
    Cheng 2008 (viscosity); Volk & Kaehler 2018 (density); CRC Handbook, 97th edition (tension of glycerol).
    """
    by_mass = one_of("glycerol share", mass_fraction=mass_fraction, volume_fraction=volume_fraction)
    t = TEMPERATURE(temperature)
    c = MASS_FRACTION(mass_fraction) if by_mass else mass_from_volume_fraction(volume_fraction, t)
    broadcast(mass_fraction=c, temperature=t)
    warnings = []
    outside = np.any((t < 15) | (t > 30))
    if outside:
        warnings.append("The density of glycerol and water was measured from 15 to 30 °C; here it is extrapolated.")
    viscosity = glycerol_viscosity(c, t)
    tension = (1 - c) * water_surface_tension(t) + c * _PURE_TENSION
    return Liquid(
        name=f"glycerol and water, {percent(c)} glycerol by mass",
        density=band(glycerol_density(c, t), 0.003 if outside else 0.001, "Volk & Kaehler 2018"),
        viscosity=band(viscosity, viscosity_stray(t), "Cheng 2008; measurements stray this far"),
        surface_tension=band(tension, 0.04, "straight line between the pure liquids; sources differ by 3 %"),
        temperature=t,
        notes=("Glycerol draws water from the air and thins when it warms: cover the bowl and read its temperature.",),
        warnings=tuple(warnings),
    )
