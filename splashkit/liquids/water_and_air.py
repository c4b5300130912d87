"""Water and the air round it."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.liquids.basics import Liquid, band, room

TEMPERATURE = room(0.0, 60.0)
AIR_TEMPERATURE = room(-20.0, 60.0)
PRESSURE = Range("air pressure", "Pa", 5e4, 1.1e5, "give pascal: 101325 at sea level")
_ZERO_CELSIUS = 273.15


def water_density(temperature: Number = 20.0) -> Any:
    """Return the density of pure water at sea-level pressure.

    .. math:: \\rho = \\frac{999.83952 + 16.945176 t - 7.9870401 \\times 10^{-3} t^2 - 46.170461 \\times 10^{-6} t^3
              + 105.56302 \\times 10^{-9} t^4 - 280.54253 \\times 10^{-12} t^5}{1 + 16.879850 \\times 10^{-3} t}

    Parameters
    ----------
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    float or array
        Density [kg/m3].

    Raises
    ------
    ValueError
        If the temperature is outside 0 to 60 °C.

    Notes
    -----
    Valid from 0 to 60 °C, within 0.01 % of IAPWS-95.

    Examples
    --------
    >>> round(float(water_density(20.0)), 2)
    998.2

    References
    ----------
    Kell 1975, J. Chem. Eng. Data 20:97 (from memory); checked against IAPWS R6-95.
    """
    t = TEMPERATURE(temperature)
    top = np.polyval([-280.54253e-12, 105.56302e-9, -46.170461e-6, -7.9870401e-3, 16.945176, 999.83952], t)
    return top / (1 + 16.879850e-3 * t)


def water_viscosity(temperature: Number = 20.0) -> Any:
    """Return the viscosity of pure water at sea-level pressure.

    .. math:: \\mu = 10^{-6} (280.68 x^{-1.9} + 511.45 x^{-7.7} + 61.131 x^{-19.6} + 0.45903 x^{-40}),
              \\quad x = T / 300\\,\\mathrm{K}

    Parameters
    ----------
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    float or array
        Viscosity [Pa s].

    Raises
    ------
    ValueError
        If the temperature is outside 0 to 60 °C.

    Notes
    -----
    Valid from 0 to 60 °C, within 0.1 % of IAPWS R12-08. Old handbooks print values 0.7 % higher.

    Examples
    --------
    >>> round(float(water_viscosity(20.0)) * 1e3, 3)
    1.002

    References
    ----------
    IAPWS SR6-08(2011), liquid water at 0.1 MPa (from memory); checked against IAPWS R12-08.
    """
    x = (TEMPERATURE(temperature) + _ZERO_CELSIUS) / 300.0
    return 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40.0)


def water_surface_tension(temperature: Number = 20.0) -> Any:
    """Return the surface tension of clean water.

    .. math:: \\sigma = 0.2358\\,\\tau^{1.256} (1 - 0.625 \\tau), \\quad \\tau = 1 - T / 647.096\\,\\mathrm{K}

    Parameters
    ----------
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    float or array
        Surface tension [N/m].

    Raises
    ------
    ValueError
        If the temperature is outside 0 to 60 °C.

    Notes
    -----
    Valid from 0 to 60 °C for clean water; fingers, dust and soap lower it.

    Examples
    --------
    >>> round(float(water_surface_tension(20.0)) * 1e3, 2)
    72.74

    References
    ----------
    IAPWS R1-76(2014).
    """
    tau = 1 - (TEMPERATURE(temperature) + _ZERO_CELSIUS) / 647.096
    return 0.2358 * tau**1.256 * (1 - 0.625 * tau)


def water(temperature: Number = 20.0) -> Liquid:
    """Return clean water at a temperature.

    .. math:: \\rho(t),\\ \\mu(t),\\ \\sigma(t)

    Parameters
    ----------
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    Liquid
        Density, viscosity and surface tension, each with its band.

    Raises
    ------
    ValueError
        If the temperature is outside 0 to 60 °C.

    Notes
    -----
    Valid from 0 to 60 °C for clean water.

    Examples
    --------
    >>> water(20.0).viscosity.text("Pa s")
    '1 mPa s (0.992 to 1.01 mPa s)'

    References
    ----------
    As `water_density`, `water_viscosity` and `water_surface_tension`.
    """
    t = TEMPERATURE(temperature)
    return Liquid(
        name="water",
        density=band(water_density(t), 0.001, "Kell 1975 against IAPWS-95, with room for dissolved air and salts"),
        viscosity=band(water_viscosity(t), 0.01, "IAPWS SR6-08; old handbooks differ by 0.7 %"),
        surface_tension=band(
            water_surface_tension(t), 0.01, "IAPWS R1-76 for clean water; measurements agree to 0.1 %"
        ),
        temperature=t,
        notes=("A trace of soap, skin grease or dust lowers the surface tension; rinse the bowl with clean water.",),
    )


def air_density(temperature: Number = 20.0, pressure: Number = 101325.0) -> Any:
    """Return the density of dry air.

    .. math:: \\rho_a = p M / (Z R T), \\quad Z = 0.99964

    Parameters
    ----------
    temperature : float or array
        Temperature [degC].
    pressure : float or array
        Air pressure [Pa].

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
    Valid for dry air from -20 to 60 °C, within 0.1 % (0.05 % from 5 to 40 °C). Air half full of moisture is 0.4 %
    lighter at 20 °C. Z is how far air strays from an ideal gas.

    Examples
    --------
    >>> round(float(air_density(20.0)), 3)
    1.204

    References
    ----------
    Gas law with the molar mass of Lemmon et al. 2000, J. Phys. Chem. Ref. Data 29:331, and Z fitted here to it.
    """
    t, p = AIR_TEMPERATURE(temperature), PRESSURE(pressure)
    broadcast(temperature=t, pressure=p)
    return p * 0.02895855 / (0.99964 * 8.314462618 * (t + _ZERO_CELSIUS))


def air_viscosity(temperature: Number = 20.0) -> Any:
    """Return the viscosity of air.

    .. math:: \\mu_a = 18.206 \\times 10^{-6} (T / 293.15\\,\\mathrm{K})^{0.782}

    Parameters
    ----------
    temperature : float or array
        Temperature [degC].

    Returns
    -------
    float or array
        Viscosity [Pa s].

    Raises
    ------
    ValueError
        If the temperature is outside -20 to 60 °C.

    Notes
    -----
    Valid from -20 to 60 °C at any everyday pressure, within 0.3 %; within 0.05 % from 5 to 40 °C.

    Examples
    --------
    >>> float(air_viscosity(20.0))
    1.82e-05

    References
    ----------
    Power law fitted here to Lemmon & Jacobsen 2004.
    """
    return 18.206e-6 * ((AIR_TEMPERATURE(temperature) + _ZERO_CELSIUS) / 293.15) ** 0.782
