"""Falls that close in one line: without air, and with a drag coefficient that never changes."""

from __future__ import annotations

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.drops.drag import AIR_DENSITY, DIAMETER, LIQUID_DENSITY, WATER_DENSITY
from splashkit.drops.falling import HEIGHT, Fall
from splashkit.drops.numbers import GRAVITY, STANDARD_GRAVITY

COEFFICIENT = Range("drag coefficient", "1", 0.01, 10.0, "0.45 is usual for a drop; without air use fall_in_vacuum")
# closed forms have no fitted range, so any push a nozzle can give will do
START = Range("release speed", "m/s", 0.0, 50.0, "give metres a second, downwards")
AIR = Range("air density", "kg/m3", 1e-3, 2.0, "give kg/m³: 1.2 in a room; without air use fall_in_vacuum")


def fall_in_vacuum(height: Number, release_speed: Number = 0.0, gravity: Number = STANDARD_GRAVITY) -> Fall:
    """Return the fall that a drop would make without air.

    .. math:: v = \\sqrt{v_0^2 + 2 g h}, \\quad t = \\frac{2 h}{v_0 + v}

    Parameters
    ----------
    height : float or array
        Vertical distance travelled by the drop's centre [m].
    release_speed : float or array
        Downward speed at release [m/s].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    Fall
        ``time`` [s] and ``speed`` [m/s].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid without air only. Air makes a 4 mm drop 9 ms late from 1 m, and 0.5 ms late from 10 cm.

    Examples
    --------
    >>> time, speed = fall_in_vacuum(1.0)
    >>> float(time), float(speed)
    (0.4516, 4.429)

    References
    ----------
    Derived here; any mechanics text.
    """
    height, start, gravity = HEIGHT(height), START(release_speed), GRAVITY(gravity)
    broadcast(height=height, release_speed=start, gravity=gravity)
    speed = np.sqrt(start**2 + 2 * gravity * height)
    with np.errstate(invalid="ignore"):  # from rest through nothing: 0/0, put right below
        time = 2 * height / (start + speed)
    return Fall(np.where(start + speed > 0, time, 0.0)[()], speed)


def fall_constant_drag(
    height: Number,
    diameter: Number,
    drag_coefficient: Number = 0.45,
    *,
    liquid_density: Number = WATER_DENSITY,
    air_density: Number = AIR_DENSITY,
    gravity: Number = STANDARD_GRAVITY,
) -> Fall:
    """Return the fall from rest with one drag coefficient all the way down.

    .. math:: v = v_t \\sqrt{1 - e^{-2h/L}}, \\quad t = \\frac{v_t}{g'} \\operatorname{arcosh} e^{h/L}, \\quad
              v_t^2 = \\frac{4 g' \\rho d}{3 \\rho_a C_d}, \\quad L = v_t^2 / g'

    Parameters
    ----------
    height : float or array
        Vertical distance travelled by the drop's centre [m].
    diameter : float or array
        Drop diameter [m].
    drag_coefficient : float or array
        Drag coefficient [1].
    liquid_density : float or array
        Density of the drop [kg/m3].
    air_density : float or array
        Density of the air [kg/m3].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    Fall
        ``time`` [s] and ``speed`` [m/s].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid as a teaching form and a check; the real coefficient falls as the drop speeds up, see `fall`. Here g' is
    gravity less the lift of the air, g (1 - air density / liquid density).

    Examples
    --------
    >>> time, speed = fall_constant_drag(1.0, 0.004)
    >>> float(time), float(speed)
    (0.4596, 4.210)

    References
    ----------
    Derived here; any mechanics text.
    """
    height, diameter, coefficient = HEIGHT(height), DIAMETER(diameter), COEFFICIENT(drag_coefficient)
    density, air, gravity = LIQUID_DENSITY(liquid_density), AIR(air_density), GRAVITY(gravity)
    broadcast(height=height, diameter=diameter, coefficient=coefficient, density=density, air=air, gravity=gravity)
    pull = gravity * (1 - air / density)
    terminal = np.sqrt(4 * pull * density * diameter / (3 * air * coefficient))
    lengths = height * pull / terminal**2
    grown = np.expm1(lengths)  # arcosh(1 + grown) written so that short falls keep their digits
    time = terminal / pull * np.log1p(grown + np.sqrt(grown * (grown + 2)))
    return Fall(time, terminal * np.sqrt(-np.expm1(-2 * lengths)))
