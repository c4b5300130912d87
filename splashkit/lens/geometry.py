"""Sizes and distances: what fills the frame, and where the camera stands for it."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, checked, require
from splashkit.lens.ranges import RANGES
from splashkit.units import format_quantity


def field_of_view(format_size: Number, magnification: Number) -> Any:
    """Return how much of the focused plane fills the frame.

    .. math:: F = W / m

    Parameters
    ----------
    format_size : float or array
        Width or height of the sensor [m].
    magnification : float or array
        Image size over subject size [1].

    Returns
    -------
    float or array
        Width or height seen at the focus target [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid in the focused plane, so at the meeting point when the lens is focused there.

    Examples
    --------
    >>> round(float(field_of_view(0.036, 0.5)), 4)
    0.072

    References
    ----------
    Definition of magnification.
    """
    size, scale = checked(RANGES, format_size=format_size, magnification=magnification)
    return size / scale


def field_at_offset(
    format_size: Number, magnification: Number, focal_length: Number, offset: Number, pupil_ratio: Number = 1.0
) -> Any:
    """Return how much fills the frame in a plane before or behind the focused one.

    .. math:: F = \\frac{W}{m} \\left( 1 + \\frac{\\delta}{f (1/m + 1/P)} \\right)

    Parameters
    ----------
    format_size : float or array
        Width or height of the sensor [m].
    magnification : float or array
        Image size over subject size in the focused plane [1].
    focal_length : float or array
        Focal length [m].
    offset : float or array
        Distance behind the focused plane, negative in front [m].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Width or height seen there [m].

    Raises
    ------
    ValueError
        If a value is out of range, or the plane lies behind the entrance pupil.

    Notes
    -----
    Valid for planes in front of the lens. Perspective is drawn from the entrance pupil.

    Examples
    --------
    >>> round(float(field_at_offset(0.036, 0.5, 0.1, 0.05)), 4)
    0.084

    References
    ----------
    Paraxial optics; derived here.
    """
    size, scale, focal, shift, pupils = checked(
        RANGES, format_size=format_size, magnification=magnification, focal_length=focal_length, offset=offset,
        pupil_ratio=pupil_ratio,
    )  # fmt: skip
    reach = focal * (1 / scale + 1 / pupils)
    require_in_front(shift, reach)
    return size / scale * (1 + shift / reach)


def magnification_for_field(format_size: Number, field: Number) -> Any:
    """Return the magnification that makes a wanted width fill the frame.

    .. math:: m = W / F

    Parameters
    ----------
    format_size : float or array
        Width or height of the sensor [m].
    field : float or array
        Width or height wanted in the picture [m].

    Returns
    -------
    float or array
        Magnification [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid in the focused plane.

    Examples
    --------
    >>> float(magnification_for_field(0.036, 0.072))
    0.5

    References
    ----------
    Definition of magnification.
    """
    size, view = checked(RANGES, format_size=format_size, field=field)
    return size / view


def magnification_from_distance(focal_length: Number, distance: Number) -> Any:
    """Return the magnification of a lens focused at a distance.

    .. math:: m = f / (s - f)

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus; many lenses shorten as they focus close [m].
    distance : float or array
        Subject to the lens's front principal plane [m].

    Returns
    -------
    float or array
        Magnification [1].

    Raises
    ------
    ValueError
        If a value is out of range, or the subject lies within the focal length.

    Notes
    -----
    Valid for paraxial optics. Photograph a ruler for a number you can trust.

    Examples
    --------
    >>> round(float(magnification_from_distance(0.1, 0.3)), 6)
    0.5

    References
    ----------
    Newton's lens equation.
    """
    focal, reach = checked(RANGES, focal_length=focal_length, distance=distance)
    short = float(np.min(reach))
    require(
        reach > focal, "distance to the subject", format_quantity(short, "m"), "longer than the focal length",
        "stand farther away or use a shorter lens",
    )  # fmt: skip
    return focal / (reach - focal)


def subject_distance(focal_length: Number, magnification: Number) -> Any:
    """Return the distance from the subject to the lens's front principal plane.

    .. math:: s = f (1 + 1/m)

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    magnification : float or array
        Image size over subject size [1].

    Returns
    -------
    float or array
        Distance [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics. The free room before the lens's front is less.

    Examples
    --------
    >>> round(float(subject_distance(0.1, 0.5)), 6)
    0.3

    References
    ----------
    Newton's lens equation.
    """
    focal, scale = checked(RANGES, focal_length=focal_length, magnification=magnification)
    return focal * (1 + 1 / scale)


def image_distance(focal_length: Number, magnification: Number) -> Any:
    """Return the distance from the lens's rear principal plane to the sensor.

    .. math:: s' = f (1 + m)

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    magnification : float or array
        Image size over subject size [1].

    Returns
    -------
    float or array
        Distance [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics.

    Examples
    --------
    >>> round(float(image_distance(0.1, 0.5)), 6)
    0.15

    References
    ----------
    Newton's lens equation.
    """
    focal, scale = checked(RANGES, focal_length=focal_length, magnification=magnification)
    return focal * (1 + scale)


def subject_to_sensor(focal_length: Number, magnification: Number) -> Any:
    """Return the distance from the subject to the sensor for a thin lens.

    .. math:: s + s' = f (2 + m + 1/m)

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    magnification : float or array
        Image size over subject size [1].

    Returns
    -------
    float or array
        Distance [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a thin lens: a real one adds the gap between its principal planes. Least at m = 1, where it is 4 f.

    Examples
    --------
    >>> round(float(subject_to_sensor(0.1, 1)), 6)
    0.4

    References
    ----------
    Newton's lens equation.
    """
    return subject_distance(focal_length, magnification) + image_distance(focal_length, magnification)


def entrance_pupil_distance(focal_length: Number, magnification: Number, pupil_ratio: Number = 1.0) -> Any:
    """Return the distance from the subject to the entrance pupil, the point perspective is drawn from.

    .. math:: s_e = f (1/m + 1/P)

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Distance [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics.

    Examples
    --------
    >>> round(float(entrance_pupil_distance(0.1, 0.5, 2.0)), 6)
    0.25

    References
    ----------
    Derived here from Newton's lens equation, ray traced.
    """
    focal, scale, pupils = checked(
        RANGES, focal_length=focal_length, magnification=magnification, pupil_ratio=pupil_ratio
    )
    return focal * (1 / scale + 1 / pupils)


def natural_falloff(angle: Number) -> Any:
    """Return how much light is left away from the middle of the picture.

    .. math:: E / E_0 = \\cos^4 \\theta

    Parameters
    ----------
    angle : float or array
        Angle off the lens axis [rad].

    Returns
    -------
    float or array
        Share of the light in the middle [1].

    Raises
    ------
    ValueError
        If the angle is out of range.

    Notes
    -----
    Valid for a simple lens without vignetting by its rims.

    Examples
    --------
    >>> round(float(natural_falloff(0.5235987755982988)), 4)
    0.5625

    References
    ----------
    H. E. Ives, Airplane Photography, 1920.
    """
    return np.cos(RANGES["angle"](angle)) ** 4


def require_in_front(offset: Any, reach: Any) -> None:
    nearest = format_quantity(float(np.min(offset)), "m")
    require(
        reach + offset > 0, "distance behind the focus plane", nearest,
        f"above {format_quantity(-float(np.min(reach)), 'm')}, where the lens's entrance pupil is",
        "give a smaller distance in front of the focus plane",
    )  # fmt: skip
