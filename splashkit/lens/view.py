"""What the camera's height angle does: how the surface is foreshortened and how focus crosses the splash.

The focus target is a point, best put where the meeting will be. Elevation is the angle by which
the lens looks down on it: 0 is level with the water.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, checked
from splashkit.lens.ranges import RANGES


class View(NamedTuple):
    """How lengths look from the camera: shares of their true length in the picture, and depth toward the camera.

    ``surface`` is how far open a circle on the water looks (0 a line, 1 a circle); ``upright`` what is left
    of a height; ``nearer_by_height`` how much nearer to the camera a point comes for each metre it rises.
    """

    surface: Any
    upright: Any
    nearer_by_height: Any


def view_from(elevation: Number) -> View:
    """Say how the surface and the splash look from a camera that looks down at an angle.

    .. math:: \\mathrm{surface} = \\sin e, \\quad \\mathrm{upright} = \\cos e

    Parameters
    ----------
    elevation : float or array
        Angle by which the lens looks down [rad].

    Returns
    -------
    View
        Opening of circles on the water, share left of heights, nearness gained by height [1].

    Raises
    ------
    ValueError
        If the angle is not from 0° to 90°.

    Notes
    -----
    Valid for a camera far from the splash compared with its size.

    Examples
    --------
    >>> view = view_from(0.2617993877991494)
    >>> round(float(view.surface), 3), round(float(view.upright), 3)
    (0.259, 0.966)

    References
    ----------
    Geometry; derived here.
    """
    angle = RANGES["elevation"](elevation)
    return View(np.sin(angle), np.cos(angle), np.sin(angle))


def focus_offset(height: Number, behind: Number, elevation: Number) -> Any:
    """Return how far a point lies behind the focused plane.

    .. math:: \\delta = y \\cos e - h \\sin e

    Parameters
    ----------
    height : float or array
        Height of the point above the focus target, negative below [m].
    behind : float or array
        Horizontal distance of the point behind the target, negative in front [m].
    elevation : float or array
        Angle by which the lens looks down [rad].

    Returns
    -------
    float or array
        Distance behind the focused plane, negative in front [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a lens without tilt movement. Feed the answer to ``defocus_blur``.

    Examples
    --------
    >>> round(float(focus_offset(0.03, 0.0, 0.2617993877991494)) * 1e3, 2)
    -7.76

    References
    ----------
    Geometry; derived here.
    """
    rise, back, angle = checked(RANGES, height=height, behind=behind, elevation=elevation)
    return back * np.cos(angle) - rise * np.sin(angle)


def focus_lean(height: Number, elevation: Number) -> Any:
    """Return how far the focused plane leans away from the upright through the target.

    .. math:: y = h \\tan e

    Parameters
    ----------
    height : float or array
        Height above the focus target, negative below [m].
    elevation : float or array
        Angle by which the lens looks down [rad].

    Returns
    -------
    float or array
        Horizontal distance behind the target at which that height is in focus [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid below 90°. From a raised camera the plane leans away at the top and comes forward at the water.

    Examples
    --------
    >>> round(float(focus_lean(-0.04, 0.2617993877991494)) * 1e3, 2)
    -10.72

    References
    ----------
    Geometry; derived here.
    """
    rise, angle = checked({**RANGES, "elevation": RANGES["leaning"]}, height=height, elevation=elevation)
    return rise * np.tan(angle)


def depth_span(height: Number, radius: Number, elevation: Number) -> Any:
    """Return the depth that must be sharp to hold a whole splash.

    .. math:: Z = 2 r \\cos e + h \\sin e

    Parameters
    ----------
    height : float or array
        Height of the splash from the water to its top [m].
    radius : float or array
        Radius of its widest part; 0 for a thin column [m].
    elevation : float or array
        Angle by which the lens looks down [rad].

    Returns
    -------
    float or array
        Depth along the lens axis from the nearest to the farthest part [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for an upright cylinder of that height and radius, the worst case. A level camera sees only the width.

    Examples
    --------
    >>> round(float(depth_span(0.04, 0.0, 0.2617993877991494)) * 1e3, 2)
    10.35

    References
    ----------
    Geometry; derived here.
    """
    tall, wide, angle = checked({**RANGES, "height": RANGES["tall"]}, height=height, radius=radius, elevation=elevation)
    return 2 * wide * np.cos(angle) + tall * np.sin(angle)


def surface_in_frame(field: Number, elevation: Number) -> Any:
    """Return how much of the water, from front to back, the height of the frame takes in.

    .. math:: Y = F / \\sin e

    Parameters
    ----------
    field : float or array
        Height of the view at the focus target [m].
    elevation : float or array
        Angle by which the lens looks down [rad].

    Returns
    -------
    float or array
        Length of water from the bottom to the top of the frame [m].

    Raises
    ------
    ValueError
        If a value is out of range, or the camera is level.

    Notes
    -----
    Valid for a camera far from the splash. If it exceeds the bowl, the frame shows what is behind the bowl.

    Examples
    --------
    >>> round(float(surface_in_frame(0.048, 0.2617993877991494)), 3)
    0.185

    References
    ----------
    Geometry; derived here.
    """
    view, angle = checked({**RANGES, "elevation": RANGES["tilted"]}, field=field, elevation=elevation)
    return view / np.sin(angle)


def hidden_by_rim(height: Number, elevation: Number) -> Any:
    """Return how much of the water the near rim of the bowl hides.

    .. math:: y = h / \\tan e

    Parameters
    ----------
    height : float or array
        Height of the rim above the water [m].
    elevation : float or array
        Angle by which the lens looks down [rad].

    Returns
    -------
    float or array
        Length of water hidden behind the near rim [m].

    Raises
    ------
    ValueError
        If a value is out of range, or the camera is level.

    Notes
    -----
    Valid for a camera far from the bowl. A bowl filled to the brim hides nothing.

    Examples
    --------
    >>> round(float(hidden_by_rim(0.01, 0.17453292519943295)) * 1e3, 1)
    56.7

    References
    ----------
    Geometry; derived here.
    """
    rim, angle = checked({"height": RANGES["tall"], "elevation": RANGES["tilted"]}, height=height, elevation=elevation)
    return rim / np.tan(angle)


def meeting_in_frame(height: Number, field: Number, elevation: Number, target_height: Number) -> Any:
    """Return where a height above the water falls in the frame, when the frame is centred on the focus target.

    .. math:: u = \\tfrac12 + (h - h_t) \\cos e / F

    Parameters
    ----------
    height : float or array
        Height of the point above the water, over the middle of the bowl [m].
    field : float or array
        Height of the view at the focus target [m].
    elevation : float or array
        Angle by which the lens looks down [rad].
    target_height : float or array
        Height of the focus target above the water, best the meeting height [m].

    Returns
    -------
    float or array
        Place in the frame: 0 is its bottom, 1 its top; beyond that it is out of the picture [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a camera far from the splash.

    Examples
    --------
    >>> round(float(meeting_in_frame(0.0, 0.08, 0.1, 0.03)), 3)
    0.127

    References
    ----------
    Geometry; derived here.
    """
    point, view, angle, target = checked(
        {**RANGES, "target_height": RANGES["height"]},
        height=height, field=field, elevation=elevation, target_height=target_height,
    )  # fmt: skip
    return 0.5 + (point - target) * np.cos(angle) / view
