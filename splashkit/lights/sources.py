"""How large and how near a light is: apparent angle, soft shadow, falloff, and two lights placed together."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, checked
from splashkit.exposure import RANGES as EXPOSURE_RANGES
from splashkit.exposure import add_lights, guide_number_power

RANGES = {
    "size": Range("size of the light", "m", 0, 20, "give metres: a 60 cm softbox is 0.6"),
    "distance": Range("distance of the light", "m", 0.005, 200, "give metres: 50 cm is 0.5"),
    "gap": Range("gap behind the edge", "m", 0, 10, "give metres: 2 cm is 0.02"),
    "half_angle": Range(
        "half-angle of the light", "rad", 0, np.pi / 2, "give radians: 30° is 0.524", open_low=True, open_high=True
    ),
    "depth": Range("depth of the scene", "m", 0, 10, "give metres: 10 cm is 0.1"),
    "level": Range("level of a light", "stop", -60, 60, "give stops over correct, such as -1"),
    "unlimited_power": Range("flash power", "1", 0, advice="give the share of full power"),
}


class Penumbra(NamedTuple):
    """Width of a shadow's soft edge [m] and the full angle under which the light is seen [rad]."""

    width: Any
    full_angle: Any


class TwoLights(NamedTuple):
    """Powers for a back light and a front light, their levels [stop], and falloff across the scene [stop].

    A power above 1 means that unit is too weak for the wish.
    """

    back_power: Any
    front_power: Any
    together: Any
    ratio: Any
    back_falloff: Any
    front_falloff: Any


def apparent_half_angle(size: Number, distance: Number) -> Any:
    """Return the half-angle under which a light is seen, in one direction.

    .. math:: \\alpha = \\arctan(S / 2d)

    Parameters
    ----------
    size : float or array
        Width or height of the light [m].
    distance : float or array
        Light to subject [m].

    Returns
    -------
    float or array
        Half-angle [rad].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a flat light seen face on. A strip has two very different half-angles: take each side on its own.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(apparent_half_angle(0.6, 0.5)), 2)
    30.96

    References
    ----------
    Geometry.
    """
    light, away = checked(RANGES, size=size, distance=distance)
    return np.arctan(light / (2 * away))


def distance_for_half_angle(size: Number, half_angle: Number) -> Any:
    """Return how far away a light must stand to be seen under a half-angle.

    .. math:: d = S / (2 \\tan \\alpha)

    Parameters
    ----------
    size : float or array
        Width or height of the light [m].
    half_angle : float or array
        Half-angle wanted [rad].

    Returns
    -------
    float or array
        Light to subject [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a flat light seen face on.

    Examples
    --------
    >>> round(float(distance_for_half_angle(0.6, 0.5404195002705842)), 4)
    0.5

    References
    ----------
    Geometry.
    """
    light, angle = checked(RANGES, size=size, half_angle=half_angle)
    return light / (2 * np.tan(angle))


def penumbra(size: Number, distance: Number, gap: Number) -> Penumbra:
    """Return how soft a shadow's edge is.

    .. math:: w = S g / d

    Parameters
    ----------
    size : float or array
        Width of the light [m].
    distance : float or array
        Light to the thing that throws the shadow [m].
    gap : float or array
        That thing to the surface its shadow falls on [m].

    Returns
    -------
    Penumbra
        Width of the soft edge and full angle of the light [m, rad].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a straight edge and a flat light seen face on.

    Examples
    --------
    >>> round(float(penumbra(0.6, 0.5, 0.02).width) * 1e3, 6)
    24.0

    References
    ----------
    Similar triangles; derived here.
    """
    light, away, behind = checked(RANGES, size=size, distance=distance, gap=gap)
    return Penumbra(light * behind / away, 2 * np.arctan(light / (2 * away)))


def disc_over_point(size: Number, distance: Number) -> Any:
    """Return the light of a round source over what the inverse square law promises.

    .. math:: \\frac{E}{E_{point}} = \\frac{1}{1 + (S/2d)^2}

    Parameters
    ----------
    size : float or array
        Diameter of the source [m].
    distance : float or array
        Source to subject [m].

    Returns
    -------
    float or array
        Share of the inverse square value, at most 1 [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid on the axis of an evenly bright disc. At five diameters the inverse square is 1 % too high.

    Examples
    --------
    >>> round(float(disc_over_point(0.6, 0.5)), 4)
    0.7353

    References
    ----------
    Illuminance of a Lambertian disc, photometry textbooks; derived here.
    """
    light, away = checked(RANGES, size=size, distance=distance)
    return 1 / (1 + (light / (2 * away)) ** 2)


def disc_falloff_stops(near: Number, far: Number, size: Number) -> Any:
    """Return the stops lost between two distances from a round source of real size.

    .. math:: n = \\log_2 \\frac{d_2^2 + (S/2)^2}{d_1^2 + (S/2)^2}

    Parameters
    ----------
    near : float or array
        First distance [m].
    far : float or array
        Second distance [m].
    size : float or array
        Diameter of the source; 0 gives the inverse square law [m].

    Returns
    -------
    float or array
        Stops lost; negative when the second place is nearer [stop].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid on the axis of an evenly bright disc. A large light near by falls off more gently.

    Examples
    --------
    >>> round(float(disc_falloff_stops(0.5, 1.0, 0.0)), 6), round(float(disc_falloff_stops(0.5, 1.0, 0.6)), 2)
    (2.0, 1.68)

    References
    ----------
    Illuminance of a Lambertian disc, photometry textbooks; derived here.
    """
    first, second, light = checked(
        {**RANGES, "near": RANGES["distance"], "far": RANGES["distance"]}, near=near, far=far, size=size
    )
    square = (light / 2) ** 2
    return np.log2((second**2 + square) / (first**2 + square))


def two_light_plan(
    back_guide_number: Number,
    back_distance: Number,
    front_guide_number: Number,
    front_distance: Number,
    f_number: Number,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    back_level: Number = 0.0,
    front_level: Number = -1.0,
    back_loss: Number = 0.0,
    front_loss: Number = 0.0,
    back_size: Number = 0.0,
    front_size: Number = 0.0,
    depth: Number = 0.1,
) -> TwoLights:
    """Return the powers that give a back light and a front light their wanted levels.

    .. math:: p = 2^{n} \\left( \\frac{d N (1 + m/P)}{G} \\right)^2 \\frac{100}{S} \\, 2^{\\mathrm{loss}}

    Parameters
    ----------
    back_guide_number : float or array
        Guide number of the unit behind, at full power and ISO 100 [m].
    back_distance : float or array
        Back light to subject [m].
    front_guide_number : float or array
        Guide number of the unit in front, at full power and ISO 100 [m].
    front_distance : float or array
        Front light to subject [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    back_level : float or array
        Level wanted of the back light, over correct [stop].
    front_level : float or array
        Level wanted of the front light, over correct [stop].
    back_loss : float or array
        Stops lost in the back light's diffuser, measured with a test frame [stop].
    front_loss : float or array
        Stops lost in the front light's softbox [stop].
    back_size : float or array
        Diameter of the back light [m].
    front_size : float or array
        Diameter of the front light [m].
    depth : float or array
        Depth of the scene, from the subject away from each light [m].

    Returns
    -------
    TwoLights
        Powers, level of both together, front below back, and falloff across the scene [1, stop].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid where the guide number is. A diffuser seen by the camera is itself the picture's background, so
    the back light's loss must come from a test frame.

    Examples
    --------
    >>> plan = two_light_plan(40, 0.6, 40, 0.5, 11, iso=200, magnification=0.5)
    >>> round(1 / float(plan.back_power), 1), round(1 / float(plan.front_power), 1), float(plan.ratio)
    (32.6, 94.0, -1.0)

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); derived here.
    """
    back = guide_number_power(back_guide_number, back_distance, f_number, iso, magnification, pupil_ratio, back_loss)
    front = guide_number_power(
        front_guide_number, front_distance, f_number, iso, magnification, pupil_ratio, front_loss
    )
    power, level = RANGES["unlimited_power"], RANGES["level"]
    distance, size, scene = EXPOSURE_RANGES["distance"], RANGES["size"], RANGES["depth"]
    back, front, high, low, back_at, front_at, back_wide, front_wide, deep = checked(
        {"back": power, "front": power, "back_level": level, "front_level": level, "back_distance": distance,
         "front_distance": distance, "back_size": size, "front_size": size, "depth": scene},
        back=back, front=front, back_level=back_level, front_level=front_level, back_distance=back_distance,
        front_distance=front_distance, back_size=back_size, front_size=front_size, depth=depth,
    )  # fmt: skip
    return TwoLights(
        back * np.exp2(high),
        front * np.exp2(low),
        add_lights(high, low),
        low - high,
        disc_falloff_stops(back_at, back_at + deep, back_wide),
        disc_falloff_stops(front_at, front_at + deep, front_wide),
    )
