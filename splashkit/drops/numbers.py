"""The plain numbers that compare forces in a splash, spheres, and local gravity.

The length in every number is the drop's DIAMETER. With the radius instead, We, Re halve, Bo is a
quarter and Oh is 1.41 times larger: always ask which one a book means.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast

STANDARD_GRAVITY = 9.80665  # 3rd CGPM 1901

SPEED = Range("speed", "m/s", 0.0, 50.0, "give metres a second: drops land at 1 to 5 m/s")
LENGTH = Range("diameter", "m", 0.0, 0.1, "give metres: a 4 mm drop is 0.004", open_low=True)
DENSITY = Range("density", "kg/m3", 0.0, 20000.0, "give kg/m³: water is 998", open_low=True)
VISCOSITY = Range("viscosity", "Pa s", 0.0, 1e3, "give Pa s: water is 0.001", open_low=True)
TENSION = Range("surface tension", "N/m", 0.0, 1.0, "give N/m: water is 0.0727", open_low=True)
GRAVITY = Range("gravity", "m/s2", 1.0, 30.0, "give m/s²: 9.81 on Earth")
VOLUME = Range("volume", "m3", 0.0, 1e-3, "give cubic metres: 1 mL is 1e-6", open_low=True)
LATITUDE = Range("latitude", "rad", -np.pi / 2, np.pi / 2, "give radians: 45 degrees is 0.785")
ALTITUDE = Range("height above sea level", "m", -500.0, 9000.0, "give metres")

# Somigliana's formula on WGS84 (from memory; checked against the boule library in tests)
_EQUATOR, _FORMULA_K, _ECCENTRICITY_SQUARED, _FREE_AIR = 9.7803253359, 0.00193185265241, 0.00669437999014, 3.086e-6


def weber(speed: Number, diameter: Number, density: Number, surface_tension: Number) -> Any:
    """Return the Weber number: inertia against surface tension.

    .. math:: We = \\rho v^2 d / \\sigma

    Parameters
    ----------
    speed : float or array
        Speed [m/s].
    diameter : float or array
        Drop diameter [m].
    density : float or array
        Density, of the liquid for an impact or of the air for flattening in flight [kg/m3].
    surface_tension : float or array
        Surface tension [N/m].

    Returns
    -------
    float or array
        Weber number [1].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for any speed and diameter. Liquid Weber numbers of a splash are hundreds; those of the air are about 1.

    Examples
    --------
    >>> float(weber(2.378, 0.004, 998.2, 0.07274))
    310.4

    References
    ----------
    Definition, as in the fluids library.
    """
    v, d, rho, sigma = SPEED(speed), LENGTH(diameter), DENSITY(density), TENSION(surface_tension)
    broadcast(speed=v, diameter=d, density=rho, surface_tension=sigma)
    return rho * v**2 * d / sigma


def reynolds(speed: Number, diameter: Number, density: Number, viscosity: Number) -> Any:
    """Return the Reynolds number: inertia against viscosity.

    .. math:: Re = \\rho v d / \\mu

    Parameters
    ----------
    speed : float or array
        Speed [m/s].
    diameter : float or array
        Drop diameter [m].
    density : float or array
        Density [kg/m3].
    viscosity : float or array
        Viscosity [Pa s].

    Returns
    -------
    float or array
        Reynolds number [1].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for liquids of one viscosity; a thickened liquid has a different one at every rate of shear.

    Examples
    --------
    >>> float(reynolds(2.378, 0.004, 998.2, 1.0016e-3))
    9479.7

    References
    ----------
    Definition, as in the fluids library.
    """
    v, d, rho, mu = SPEED(speed), LENGTH(diameter), DENSITY(density), VISCOSITY(viscosity)
    broadcast(speed=v, diameter=d, density=rho, viscosity=mu)
    return rho * v * d / mu


def froude(speed: Number, diameter: Number, gravity: Number = STANDARD_GRAVITY) -> Any:
    """Return the Froude number in its squared form: inertia against weight.

    .. math:: Fr = v^2 / (g d)

    Parameters
    ----------
    speed : float or array
        Speed [m/s].
    diameter : float or array
        Drop diameter [m].
    gravity : float or array
        Gravity [m/s2].

    Returns
    -------
    float or array
        Froude number, squared form [1].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for any speed and diameter. Many books mean the square root of this number by the same name.

    Examples
    --------
    >>> float(froude(2.378, 0.004))
    144.2

    References
    ----------
    Definition, as Froude(squared=True) in the fluids library.
    """
    v, d, g = SPEED(speed), LENGTH(diameter), GRAVITY(gravity)
    broadcast(speed=v, diameter=d, gravity=g)
    return v**2 / (g * d)


def ohnesorge(diameter: Number, density: Number, viscosity: Number, surface_tension: Number) -> Any:
    """Return the Ohnesorge number: how much viscosity matters to a drop of this size.

    .. math:: Oh = \\mu / \\sqrt{\\rho \\sigma d} = \\sqrt{We} / Re

    Parameters
    ----------
    diameter : float or array
        Drop diameter [m].
    density : float or array
        Liquid density [kg/m3].
    viscosity : float or array
        Liquid viscosity [Pa s].
    surface_tension : float or array
        Surface tension [N/m].

    Returns
    -------
    float or array
        Ohnesorge number [1].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for liquids of one viscosity.

    Examples
    --------
    >>> float(ohnesorge(0.004, 998.2, 1.0016e-3, 0.07274))
    0.001859

    References
    ----------
    Definition, as in the fluids library.
    """
    d, rho, mu, sigma = LENGTH(diameter), DENSITY(density), VISCOSITY(viscosity), TENSION(surface_tension)
    broadcast(diameter=d, density=rho, viscosity=mu, surface_tension=sigma)
    return mu / np.sqrt(rho * sigma * d)


def bond(diameter: Number, density: Number, surface_tension: Number, gravity: Number = STANDARD_GRAVITY) -> Any:
    """Return the Bond number: weight against surface tension.

    .. math:: Bo = \\rho g d^2 / \\sigma

    Parameters
    ----------
    diameter : float or array
        Drop diameter [m].
    density : float or array
        Liquid density, less that of the air if it matters [kg/m3].
    surface_tension : float or array
        Surface tension [N/m].
    gravity : float or array
        Gravity [m/s2].

    Returns
    -------
    float or array
        Bond number [1].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for any diameter. Below about 1 a resting drop is nearly a ball.

    Examples
    --------
    >>> float(bond(0.004, 998.2 - 1.204, 0.07274))
    2.151

    References
    ----------
    Definition, as in the fluids library.
    """
    d, rho, sigma, g = LENGTH(diameter), DENSITY(density), TENSION(surface_tension), GRAVITY(gravity)
    broadcast(diameter=d, density=rho, surface_tension=sigma, gravity=g)
    return rho * g * d**2 / sigma


def sphere_volume(diameter: Number) -> Any:
    """Return the volume of a ball.

    .. math:: V = \\pi d^3 / 6

    Parameters
    ----------
    diameter : float or array
        Diameter [m].

    Returns
    -------
    float or array
        Volume [m3].

    Raises
    ------
    ValueError
        If the diameter is not above zero.

    Notes
    -----
    Valid for every ball; a wobbling drop keeps its volume, so its diameter here is that of the equal ball.

    Examples
    --------
    >>> round(float(sphere_volume(0.004)) * 1e9, 2)
    33.51

    References
    ----------
    Geometry; derived here.
    """
    return np.pi / 6 * LENGTH(diameter) ** 3


def sphere_diameter(volume: Number) -> Any:
    """Return the diameter of a ball of a given volume.

    .. math:: d = (6 V / \\pi)^{1/3}

    Parameters
    ----------
    volume : float or array
        Volume [m3].

    Returns
    -------
    float or array
        Diameter [m].

    Raises
    ------
    ValueError
        If the volume is not above zero.

    Notes
    -----
    Valid for every ball.

    Examples
    --------
    >>> float(sphere_diameter(33.51e-9))
    0.004

    References
    ----------
    Geometry; derived here.
    """
    return np.cbrt(6 / np.pi * VOLUME(volume))


def normal_gravity(latitude: Number, altitude: Number = 0.0) -> Any:
    """Return local gravity from latitude and height above the sea.

    .. math:: g = g_e \\frac{1 + k \\sin^2\\varphi}{\\sqrt{1 - e^2 \\sin^2\\varphi}} - 3.086 \\times 10^{-6} h

    Parameters
    ----------
    latitude : float or array
        Latitude, north or south [rad].
    altitude : float or array
        Height above sea level [m].

    Returns
    -------
    float or array
        Gravity [m/s2].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for heights up to 9 km, to 0.0005 m/s² or so; rocks underfoot change the last digit. From equator to pole a
    one metre fall gets 1.2 ms shorter.

    Examples
    --------
    >>> round(float(normal_gravity(np.radians(45.0))), 4), round(float(normal_gravity(0.0, 1000.0)), 4)
    (9.8062, 9.7772)

    References
    ----------
    Somigliana's formula on WGS84 with the free-air correction (constants from memory).
    """
    latitude, altitude = LATITUDE(latitude), ALTITUDE(altitude)
    broadcast(latitude=latitude, altitude=altitude)
    square = np.sin(latitude) ** 2
    return _EQUATOR * (1 + _FORMULA_K * square) / np.sqrt(1 - _ECCENTRICITY_SQUARED * square) - _FREE_AIR * altitude
