"""What a drop does with light: a bright middle in a dark rim, a focus behind it, and a small mirror image."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, checked
from splashkit.lights import sources, surface
from splashkit.lights.sources import apparent_half_angle
from splashkit.lights.surface import WATER_INDEX, critical_angle

RANGES = {
    **sources.RANGES,
    "index": surface.RANGES["index"],
    "half_angle": Range("half-angle of the backlight", "rad", 0, np.pi / 2, "give radians: 30° is 0.524"),
    "bright_share": Range("bright part of the drop's radius", "1", 0, 1, "give a share from 0 to 1, such as 0.8"),
    "drop_diameter": Range("drop diameter", "m", 1e-4, 0.05, "give metres: a 4 mm drop is 0.004"),
}


class BallLens(NamedTuple):
    """Where a drop focuses far light: from its centre and from its back surface [m]."""

    from_centre: Any
    from_surface: Any


class RimZones(NamedTuple):
    """Bright and dark parts of a backlit drop's radius, sideways and upward: shares, and dark widths [m]."""

    bright_across: Any
    bright_upright: Any
    dark_across: Any
    dark_upright: Any
    dark_width_across: Any
    dark_width_upright: Any


def full_backlight_angle(index: Number = WATER_INDEX) -> Any:
    """Return the half-angle past which a larger backlight no longer thins the rim.

    .. math:: \\alpha = 2 (90° - i_c)

    Parameters
    ----------
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    float or array
        Half-angle of the backlight [rad].

    Raises
    ------
    ValueError
        If the index is not above 1.

    Notes
    -----
    Valid for a round drop and a far camera.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(full_backlight_angle()), 2)
    82.79

    References
    ----------
    Snell's law through a sphere; derived here.
    """
    return np.pi - 2 * critical_angle(index)


def bright_radius(half_angle: Number, index: Number = WATER_INDEX) -> Any:
    """Return how far out a backlit drop is bright, as a share of its radius.

    .. math:: \\frac{b}{R} = \\frac{n \\sin(\\alpha/2)}{\\sqrt{n^2 + 1 - 2 n \\cos(\\alpha/2)}}

    Parameters
    ----------
    half_angle : float or array
        Half-angle under which the drop sees the backlight [rad].
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    float or array
        Bright radius over drop radius; the rim outside it is dark [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a round drop, a far camera and a backlight centred behind the drop; light reflected off
    the outside is left out. A smaller backlight draws a thicker dark edge.

    Examples
    --------
    >>> import math
    >>> round(float(bright_radius(math.radians(20))), 4)
    0.5949

    References
    ----------
    Snell's law through a sphere: a ray to a far camera came in turned by 2(i - r); derived here.
    """
    alpha, medium = checked(RANGES, half_angle=half_angle, index=index)
    half = alpha / 2
    share = medium * np.sin(half) / np.sqrt(medium**2 + 1 - 2 * medium * np.cos(half))
    return np.where(medium * np.cos(half) <= 1, 1.0, share)[()]


def half_angle_for_rim(bright_share: Number, index: Number = WATER_INDEX) -> Any:
    """Return the half-angle of backlight that makes a drop bright out to a wanted share of its radius.

    .. math:: \\alpha = 2 (\\arcsin b - \\arcsin(b/n))

    Parameters
    ----------
    bright_share : float or array
        Bright radius over drop radius [1].
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    float or array
        Half-angle of the backlight [rad].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`bright_radius` is.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(half_angle_for_rim(0.594908)), 3)
    20.0

    References
    ----------
    Snell's law through a sphere; derived here.
    """
    share, medium = checked(RANGES, bright_share=bright_share, index=index)
    return 2 * (np.arcsin(share) - np.arcsin(share / medium))


def rim_zones(
    width: Number, height: Number, distance: Number, drop_diameter: Number, index: Number = WATER_INDEX
) -> RimZones:
    """Return the bright and dark zones on a drop in front of a softbox, a strip or a window of any sides.

    .. math:: \\alpha = \\arctan(S / 2d) \\quad \\text{in each direction}

    Parameters
    ----------
    width : float or array
        Width of the backlight [m].
    height : float or array
        Height of the backlight [m].
    distance : float or array
        Backlight to drop [m].
    drop_diameter : float or array
        Diameter of the drop [m].
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    RimZones
        Bright and dark shares of the radius sideways and upward, and the dark widths [1, m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`bright_radius` is, along the two middle lines of the drop. An upright strip draws
    thick dark edges left and right and thin ones above and below.

    Examples
    --------
    >>> zones = rim_zones(0.2, 0.6, 0.5, 0.004)
    >>> round(float(zones.dark_across), 3), round(float(zones.dark_upright), 3)
    (0.627, 0.219)

    References
    ----------
    Snell's law through a sphere; derived here.
    """
    wide, tall, away, drop, medium = checked(
        {**RANGES, "width": RANGES["size"], "height": RANGES["size"]},
        width=width, height=height, distance=distance, drop_diameter=drop_diameter, index=index,
    )  # fmt: skip
    across = bright_radius(apparent_half_angle(wide, away), medium)
    upright = bright_radius(apparent_half_angle(tall, away), medium)
    radius = drop / 2
    return RimZones(across, upright, 1 - across, 1 - upright, (1 - across) * radius, (1 - upright) * radius)


def ball_lens(drop_diameter: Number, index: Number = WATER_INDEX) -> BallLens:
    """Return where a round drop focuses what lies far behind it.

    .. math:: f = \\frac{n R}{2 (n - 1)}

    Parameters
    ----------
    drop_diameter : float or array
        Diameter of the drop [m].
    index : float or array
        Refractive index of the liquid [1].

    Returns
    -------
    BallLens
        Distance of the focus from the drop's centre and from its surface [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for rays near the axis. The background stands in the drop tiny and upside down, in front of it.

    Examples
    --------
    >>> focus = ball_lens(0.004)
    >>> round(float(focus.from_centre) * 1e3, 3), round(float(focus.from_surface) * 1e3, 3)
    (4.003, 2.003)

    References
    ----------
    Paraxial optics of a sphere; checked by ray tracing.
    """
    drop, medium = checked(RANGES, drop_diameter=drop_diameter, index=index)
    centre = medium * drop / 2 / (2 * (medium - 1))
    return BallLens(centre, centre - drop / 2)


def highlight_size(drop_diameter: Number, size: Number, distance: Number) -> Any:
    """Return how large a front light's mirror image is on a drop.

    .. math:: h = S \\, \\frac{R/2}{d + R/2}

    Parameters
    ----------
    drop_diameter : float or array
        Diameter of the drop [m].
    size : float or array
        Width or height of the light [m].
    distance : float or array
        Light to the drop's surface [m].

    Returns
    -------
    float or array
        Width or height of the highlight on the drop [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a light small in angle, near the camera's side. It holds 2 % of the light's own brightness.

    Examples
    --------
    >>> round(float(highlight_size(0.004, 0.6, 0.5)) * 1e3, 2)
    1.2

    References
    ----------
    Convex mirror of focal length R/2; derived here.
    """
    drop, light, away = checked(RANGES, drop_diameter=drop_diameter, size=size, distance=distance)
    focus = drop / 4
    return light * focus / (away + focus)
