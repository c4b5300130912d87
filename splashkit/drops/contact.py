"""When a drop touches the water: the contact convention, and the fall from the nozzle with its band.

The contact convention of the whole library lives here, in :func:`fall_height`: a drop lets go
with its top at the nozzle tip, and contact is the moment its lowest point reaches the still surface.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, broadcast, require
from splashkit.drops.drag import (
    AIR_DENSITY,
    AIR_VISCOSITY,
    DIAMETER,
    WATER_DENSITY,
    WATER_SURFACE_TENSION,
    conditions,
)
from splashkit.drops.falling import RELEASE_SPEED, fall
from splashkit.drops.numbers import STANDARD_GRAVITY, weber
from splashkit.estimate import Estimate
from splashkit.units import format_quantity

NOZZLE_HEIGHT = Range("nozzle height", "m", 0.0, 30.0, "give metres: 40 cm is 0.4", open_low=True)
WOBBLE = Range("wobble amplitude", "1", 0.0, 0.3, "give the share of the radius: 0.05 is five per cent")

# Spread of the five published drag laws over 0.1 to 1.5 m and 2 to 6 mm: 0.2 % in time, 0.4 % in speed, to which
# this closed form adds 0.1 %. Smaller drops are slower, where the laws, and this one with them, part as 1 / d².
_TIME_SPREAD, _SPEED_SPREAD, _SMALL_DROP = 0.003, 0.005, 1.9e-3


class FallEstimate(NamedTuple):
    """A fall with its band: ``time`` [s] and ``speed`` [m/s] are Estimates, ``warnings`` plain sentences."""

    time: Estimate
    speed: Estimate
    warnings: tuple[str, ...] = ()


def fall_height(nozzle_height: Number, diameter: Number) -> Any:
    """Return the distance a drop's centre travels from release to contact.

    .. math:: h = H - d

    Parameters
    ----------
    nozzle_height : float or array
        Height of the nozzle tip above the still surface [m].
    diameter : float or array
        Drop diameter [m].

    Returns
    -------
    float or array
        Distance travelled by the centre [m].

    Raises
    ------
    ValueError
        If an input is outside its range, or the nozzle is lower than one drop diameter.

    Notes
    -----
    Valid for nozzle heights of more than one diameter. This is the contact convention of the library:
    the drop is released with its centre half a diameter below the tip, and contact is the moment its
    lowest point touches, with its centre half a diameter above the surface. A hanging drop is longer
    than a ball, so real release may be up to half a diameter lower; `fall_estimate` carries that in its band.

    Examples
    --------
    >>> float(fall_height(0.4, 0.004))
    0.396

    References
    ----------
    Convention of this library; derived here.
    """
    nozzle_height, diameter = NOZZLE_HEIGHT(nozzle_height), DIAMETER(diameter)
    broadcast(nozzle_height=nozzle_height, diameter=diameter)
    distance = nozzle_height - diameter
    require(
        distance > 0,
        "nozzle height",
        format_quantity(np.min(nozzle_height), "m"),
        f"above one drop diameter ({format_quantity(np.max(diameter), 'm')})",
        "raise the nozzle or choose a smaller drop",
    )
    return distance


def fall_estimate(
    nozzle_height: Number,
    diameter: Number,
    release_speed: Number = 0.0,
    wobble: Number = 0.05,
    *,
    liquid_density: Number = WATER_DENSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    air_density: Number = AIR_DENSITY,
    air_viscosity: Number = AIR_VISCOSITY,
    gravity: Number = STANDARD_GRAVITY,
) -> FallEstimate:
    """Return fall time and landing speed from the nozzle, each with its band.

    .. math:: t = t_{fall}(H - d) \\; \\pm \\; 0.3\\% \\; \\pm \\; \\frac{a d}{2 v}

    Parameters
    ----------
    nozzle_height : float or array
        Height of the nozzle tip above the still surface [m].
    diameter : float or array
        Drop diameter [m].
    release_speed : float or array
        Downward speed at release [m/s].
    wobble : float or array
        Wobble amplitude left at contact, as a share of the radius; 0.05 is a guess [1].
    liquid_density : float or array
        Density of the drop [kg/m3].
    surface_tension : float or array
        Surface tension of the drop [N/m].
    air_density : float or array
        Density of the air [kg/m3].
    air_viscosity : float or array
        Viscosity of the air [Pa s].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    FallEstimate
        ``time`` and ``speed`` as Estimates, and ``warnings``.

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid as `fall`. The band holds the spread of published drag laws, a release up to half a diameter lower than the
    convention of `fall_height` (a hanging drop is longer than a ball), and a drop that is long or short at contact.
    Drops above 5.8 mm, and drops about to break up, get a warning and three times the drag spread; below 1.9 mm the
    spread grows as 1 / d² (14 times at half a millimetre). The spread of your
    own valve is not in it, nor is a push: even a drop that only drips moves a little as its neck breaks. That is the
    release speed; each centimetre a second of it takes a millisecond off the fall.

    Examples
    --------
    >>> fall_estimate(0.4, 0.004).time.text("s")
    '287 ms (285 to 288 ms)'

    References
    ----------
    Spread of drag laws computed with the fluids library; the rest derived here.
    """
    distance = fall_height(nozzle_height, diameter)
    diameter, wobble = DIAMETER(diameter), WOBBLE(wobble)
    broadcast(distance=distance, release_speed=RELEASE_SPEED(release_speed), wobble=wobble)
    around = conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity)
    names = ("liquid_density", "surface_tension", "air_density", "air_viscosity", "gravity")
    surroundings = dict(zip(names, around, strict=True))
    time, speed = fall(distance, diameter, release_speed, **surroundings)
    early, slow = fall(np.maximum(distance - diameter / 2, 0.0), diameter, release_speed, **surroundings)
    shape = wobble * diameter / 2 / speed
    squeeze = weber(speed, diameter, around[2], around[1])
    unsure = (diameter > 5.8e-3) | (squeeze > 8)
    warnings = []
    if np.any(diameter > 5.8e-3):
        warnings.append("Falling drops were measured up to 5.8 mm; the flattening of larger ones is extrapolated.")
    if np.any(squeeze > 8):
        warnings.append("At this speed the air flattens the drop so much that it may break up in flight.")
    times = np.where(unsure, 3.0, np.maximum(1.0, (_SMALL_DROP / diameter) ** 2))
    share, speed_share = times * _TIME_SPREAD, times * _SPEED_SPREAD
    return FallEstimate(
        Estimate(
            time,
            early * (1 - share) - shape,
            time * (1 + share) + shape,
            "drag laws differ by 0.2 %, more for small drops; release up to half a drop lower; "
            "the drop may be long or short at contact",
        ),
        Estimate(
            speed,
            slow * (1 - speed_share),
            speed * (1 + speed_share),
            "drag laws differ by 0.4 %, more for small drops; release up to half a drop lower",
        ),
        tuple(warnings),
    )
