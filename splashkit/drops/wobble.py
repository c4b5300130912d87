"""How a falling drop wobbles, how long it goes on, and its shape when it lands."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, broadcast, require
from splashkit.drops.drag import DIAMETER, WATER_DENSITY, WATER_SURFACE_TENSION, terminal_speed
from splashkit.drops.numbers import DENSITY, LENGTH, SPEED, TENSION, VISCOSITY
from splashkit.units import format_number

WATER_VISCOSITY = 1.0016e-3  # at 20 degC, IAPWS R12-08
MODE = Range("wobble mode", "1", 2, 12, "give 2 for the long-and-flat wobble, 3 for the pear shape")
AMPLITUDE = Range("wobble amplitude at release", "1", 0.0, 0.3, "give the share of the radius: 0.1 is ten per cent")
TIME = Range("time since release", "s", 0.0, 10.0, "give seconds since the drop let go: 250 ms is 0.25")
PHASE = Range("wobble phase at release", "rad", -2 * np.pi, 2 * np.pi, "give radians; 0 starts long, pi starts flat")
FLATTENING_DIAMETER = Range("drop diameter", "m", 1e-3, 7e-3, DIAMETER.advice)
OUTER_DENSITY = Range("air density", "kg/m3", 0.0, 2.0, "give kg/m³: 1.2 in a room, 0 to leave the air out")

# Below this, the long-and-flat wobble creeps back without swinging (Chandrasekhar 1959, from memory)
_APERIODIC = 3.69


class Wobble(NamedTuple):
    """A wobble at one moment: ``cycles`` made since release, ``phase`` [rad] (0 longest, pi flattest), ``share`` of
    the amplitude left, ``aspect_ratio`` height/width, and ``reach`` of the lowest point below that of a ball [m]."""

    cycles: Any
    phase: Any
    share: Any
    aspect_ratio: Any
    reach: Any


def _whole(mode: Number) -> Any:
    mode = MODE(mode)
    require(
        mode == np.round(mode),
        "wobble mode",
        format_number(float(np.asarray(mode).flat[0])),
        "a whole number from 2 to 12",
        "give 2 for the long-and-flat wobble",
    )
    return mode


def wobble_frequency(
    diameter: Number,
    density: Number = WATER_DENSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    mode: Number = 2,
    air_density: Number = 0.0,
) -> Any:
    """Return how often a drop swings between long and flat.

    .. math:: f_n = \\frac{1}{2\\pi} \\sqrt{\\frac{n (n - 1)(n + 1)(n + 2) \\sigma}{[(n + 1) \\rho + n \\rho_a] R^3}}

    Parameters
    ----------
    diameter : float or array
        Drop diameter [m].
    density : float or array
        Liquid density [kg/m3].
    surface_tension : float or array
        Surface tension [N/m].
    mode : int or array
        2 for long-and-flat, 3 for pear-shaped, and so on [1].
    air_density : float or array
        Density of the air; 0 gives Rayleigh's formula [kg/m3].

    Returns
    -------
    float or array
        Frequency [Hz].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for small swings of a thin liquid, up to about a tenth of the radius; larger swings are slower. Air changes
    it by 0.04 %.

    Examples
    --------
    >>> round(float(wobble_frequency(0.004)), 2)
    42.96

    References
    ----------
    Rayleigh 1879, Proc. R. Soc. 29:71; Lamb 1932, Hydrodynamics, art. 275 (with air: from memory).
    """
    d, rho, sigma, n = LENGTH(diameter), DENSITY(density), TENSION(surface_tension), _whole(mode)
    air = OUTER_DENSITY(air_density)
    broadcast(diameter=d, density=rho, surface_tension=sigma, mode=n, air_density=air)
    stiffness = n * (n - 1) * (n + 1) * (n + 2) * sigma
    return np.sqrt(stiffness / (((n + 1) * rho + n * air) * (d / 2) ** 3)) / (2 * np.pi)


def wobble_damping_time(
    diameter: Number,
    density: Number = WATER_DENSITY,
    viscosity: Number = WATER_VISCOSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    mode: Number = 2,
) -> Any:
    """Return the time in which a drop's wobble fades to 37 %.

    .. math:: \\tau_n = \\frac{R^2 \\rho}{(n - 1)(2 n + 1) \\mu}

    Parameters
    ----------
    diameter : float or array
        Drop diameter [m].
    density : float or array
        Liquid density [kg/m3].
    viscosity : float or array
        Viscosity [Pa s].
    surface_tension : float or array
        Surface tension, used to tell whether the drop swings at all [N/m].
    mode : int or array
        2 for long-and-flat, 3 for pear-shaped, and so on [1].

    Returns
    -------
    float or array
        Damping time [s].

    Raises
    ------
    ValueError
        If an input is outside its range, or the liquid is too thick to swing.

    Notes
    -----
    Valid for liquids of one viscosity, thin enough to swing many times. Refused when the drop creeps back without
    swinging. Dirt on the surface and stirring inside make real wobbles fade faster.

    Examples
    --------
    >>> round(float(wobble_damping_time(0.004)), 3)
    0.797

    References
    ----------
    Lamb 1932, Hydrodynamics, art. 355 (from memory); limit of swinging from Chandrasekhar 1959 (from memory).
    """
    d, rho, mu, sigma, n = (
        LENGTH(diameter),
        DENSITY(density),
        VISCOSITY(viscosity),
        TENSION(surface_tension),
        _whole(mode),
    )
    broadcast(diameter=d, density=rho, viscosity=mu, surface_tension=sigma, mode=n)
    radius = d / 2
    swing = np.sqrt(8 * sigma * rho * radius) / mu
    require(
        swing > _APERIODIC,
        "viscosity",
        f"{format_number(float(np.max(mu)) * 1e3)} mPa s",
        "low enough for the drop to swing",
        "choose a thinner liquid or a larger drop; this one creeps back to a ball without wobbling",
    )
    return radius**2 * rho / ((n - 1) * (2 * n + 1) * mu)


def wobble_at(
    time: Number,
    diameter: Number,
    amplitude: Number = 0.1,
    phase: Number = 0.0,
    *,
    density: Number = WATER_DENSITY,
    viscosity: Number = WATER_VISCOSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
) -> Wobble:
    """Return the shape of a wobbling drop at a time since release, such as at contact.

    .. math:: r(\\theta, t) = R \\left[1 + a\\, e^{-t/\\tau_2} \\cos(2 \\pi f_2 t + \\varphi) P_2(\\cos\\theta)\\right]

    Parameters
    ----------
    time : float or array
        Time since release [s].
    diameter : float or array
        Drop diameter [m].
    amplitude : float or array
        Swing of the poles at release, as a share of the radius; 0.1 is a guess, look at your own drops [1].
    phase : float or array
        Phase at release; 0 starts long, as a drop pulled off a nozzle does [rad].
    density : float or array
        Liquid density [kg/m3].
    viscosity : float or array
        Viscosity [Pa s].
    surface_tension : float or array
        Surface tension [N/m].

    Returns
    -------
    Wobble
        Cycles, phase, amplitude share, aspect ratio and reach.

    Raises
    ------
    ValueError
        If an input is outside its range, or the liquid is too thick to swing.

    Notes
    -----
    Valid for small swings of the long-and-flat kind, in a liquid of one viscosity. The phase is only as good as the
    frequency: after 20 swings an error of 1 % in the diameter is 100 degrees. Measure it from a frame, then keep
    everything else the same.

    Examples
    --------
    >>> landing = wobble_at(0.461, 0.004)
    >>> round(float(landing.cycles), 1), round(float(landing.share), 2)
    (19.8, 0.56)

    References
    ----------
    Rayleigh 1879; Lamb 1932, arts. 275 and 355 (from memory).
    """
    t, d, a, start = TIME(time), LENGTH(diameter), AMPLITUDE(amplitude), PHASE(phase)
    broadcast(time=t, diameter=d, amplitude=a, phase=start)
    frequency = wobble_frequency(d, density, surface_tension)
    damping = wobble_damping_time(d, density, viscosity, surface_tension)
    broadcast(time=t, diameter=d, amplitude=a, phase=start, frequency=frequency, damping=damping)
    cycles = frequency * t
    angle = 2 * np.pi * cycles + start
    share = np.exp(-t / damping)
    swing = a * share * np.cos(angle)
    turned = np.mod(angle, 2 * np.pi)
    turned = np.where(turned < 2 * np.pi, turned, 0.0)[()]  # an angle just below 0 would round up to a whole turn
    return Wobble(cycles, turned, share, (1 + swing) / (1 - swing / 2), swing * d / 2)


def air_flattening(diameter: Number, speed: Number | None = None) -> Any:
    """Return the height of a falling water drop over its width, when air alone flattens it.

    .. math:: q = 1 - (1 - q_t) (v / v_t)^2, \\quad q_t = 1.0048 + 5.7 \\times 10^{-4} D - 2.628 \\times 10^{-2} D^2
              + 3.682 \\times 10^{-3} D^3 - 1.677 \\times 10^{-4} D^4

    Parameters
    ----------
    diameter : float or array
        Drop diameter; D is the same in millimetres [m].
    speed : float or array or None
        Speed through the air; None means terminal speed, as in rain [m/s].

    Returns
    -------
    float or array
        Height over width [1].

    Raises
    ------
    ValueError
        If an input is outside its range or the speed is above terminal speed.

    Notes
    -----
    Valid for water drops of 1 to 7 mm in a room; at terminal speed this is the published curve. Slower drops flatten
    in step with speed squared, which is derived here and not published. The wobble comes on top.

    Examples
    --------
    >>> round(float(air_flattening(0.005)), 2), round(float(air_flattening(0.005, 2.7)), 2)
    (0.71, 0.97)

    References
    ----------
    Beard & Chuang 1987, J. Atmos. Sci. 44:1509; the share at lower speed derived here.
    """
    d = FLATTENING_DIAMETER(diameter)
    ratio = np.polyval([-1.677e-4, 3.682e-3, -2.628e-2, 5.7e-4, 1.0048], d * 1e3)
    if speed is None:
        return ratio
    v, limit = SPEED(speed), terminal_speed(d)
    broadcast(diameter=d, speed=v)
    require(
        v <= limit * 1.001,
        "speed",
        f"{format_number(float(np.max(v)))} m/s",
        f"at most the terminal speed, {format_number(float(np.min(limit)))} m/s",
        "give the speed the drop has in free fall",
    )
    return 1 - (1 - ratio) * (v / limit) ** 2
