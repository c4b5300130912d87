"""What a moving slit does to a moving thing: slant, squash, stretch and streak.

A falling drop moves up on the sensor, where the image stands on its head. With the camera level it meets the
slit (against: squashed); in portrait it moves across (slanted); upside down it runs with it (stretched).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, broadcast, require
from splashkit.sync.ranges import (
    CURTAIN_TRAVEL,
    DIRECTION,
    EXPOSURE_TIME,
    FRAME_HEIGHT,
    HEIGHT,
    IMAGE_SPEED,
    SLIT_SPEED,
    TRAVEL,
)


def slit_speed(curtain_travel: Number, frame_height: Number = FRAME_HEIGHT) -> Any:
    """Return the speed at which the slit runs over the sensor.

    .. math:: w = H/t_c

    Parameters
    ----------
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    frame_height : float or array
        Frame height along the travel, H [m].

    Returns
    -------
    float or array
        Speed [m/s].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for curtains of even speed; they run alike at every exposure time.

    Examples
    --------
    >>> round(float(slit_speed(3e-3)), 9)
    8.0

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    travel, height = broadcast(curtain_travel=TRAVEL(curtain_travel), frame_height=HEIGHT(frame_height))
    return (height / travel)[()]


def slit_width(
    exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL, frame_height: Number = FRAME_HEIGHT
) -> Any:
    """Return the width of the slit between the curtains.

    .. math:: a = \\min(w T, H)

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    frame_height : float or array
        Frame height along the travel, H [m].

    Returns
    -------
    float or array
        Width; the frame height once the frame is all open [m].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for curtains of even speed.

    Examples
    --------
    >>> round(float(slit_width(1 / 1000)) * 1e3, 9)
    8.0

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    exposure, travel, height = broadcast(
        exposure_time=EXPOSURE_TIME(exposure_time),
        curtain_travel=TRAVEL(curtain_travel),
        frame_height=HEIGHT(frame_height),
    )
    return (height * np.minimum(exposure / travel, 1.0))[()]


def slant_angle(image_speed: Number, slit_speed: Number) -> Any:
    """Return how far an upright line leans when it moves across the travel of the slit.

    .. math:: \\arctan(u/w)

    Parameters
    ----------
    image_speed : float or array
        Speed of the image on the sensor: subject speed times magnification, u [m/s].
    slit_speed : float or array
        Speed of the slit on the sensor, w [m/s].

    Returns
    -------
    float or array
        Angle [rad].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for motion square to the travel: a falling drop with the camera in portrait.

    Examples
    --------
    >>> round(float(np.degrees(slant_angle(1.5, 8))), 4)
    10.6197

    References
    ----------
    Derived here. That moving things are deformed by a slit: Abney (1893), through a dictionary.
    """
    image, slit = _speeds(image_speed, slit_speed)
    return np.arctan(image / slit)[()]


def squash(image_speed: Number, slit_speed: Number) -> Any:
    """Return the height of a thing moving against the slit, over its true height.

    .. math:: 1/(1 + u/w)

    Parameters
    ----------
    image_speed : float or array
        Speed of the image on the sensor: subject speed times magnification, u [m/s].
    slit_speed : float or array
        Speed of the slit on the sensor, w [m/s].

    Returns
    -------
    float or array
        Factor, at most 1 [1].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for motion against the travel: a falling drop with the camera level.

    Examples
    --------
    >>> round(float(squash(1.5, 8)), 4)
    0.8421

    References
    ----------
    Derived here.
    """
    image, slit = _speeds(image_speed, slit_speed)
    return (1 / (1 + image / slit))[()]


def stretch(image_speed: Number, slit_speed: Number) -> Any:
    """Return the height of a thing moving with the slit, over its true height.

    .. math:: 1/(1 - u/w)

    Parameters
    ----------
    image_speed : float or array
        Speed of the image on the sensor: subject speed times magnification, u [m/s].
    slit_speed : float or array
        Speed of the slit on the sensor, w [m/s].

    Returns
    -------
    float or array
        Factor, at least 1 [1].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the image is not slower than the slit.

    Notes
    -----
    Valid for motion with the travel, slower than the slit: a falling drop with the camera upside down.

    Examples
    --------
    >>> round(float(stretch(1.5, 8)), 4)
    1.2308

    References
    ----------
    Derived here.
    """
    image, slit = _speeds(image_speed, slit_speed)
    _slower(image, slit)
    return (1 / (1 - image / slit))[()]


def length_factor(image_speed: Number, slit_speed: Number, direction: str) -> Any:
    """Return what a slit does to lengths along its travel, for any of the three directions.

    .. math:: 1/(1 + u/w),\\ 1/(1 - u/w),\\ 1

    Parameters
    ----------
    image_speed : float or array
        Speed of the image on the sensor: subject speed times magnification, u [m/s].
    slit_speed : float or array
        Speed of the slit on the sensor, w [m/s].
    direction : str
        ``'against'``, ``'with'`` or ``'across'`` the travel of the slit [word].

    Returns
    -------
    float or array
        Recorded over true length [1].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the image is not slower than a slit it runs with.

    Notes
    -----
    Valid for even speeds. The time for which a point of the thing is lit changes by the same factor.

    Examples
    --------
    >>> float(length_factor(1.5, 8, "across"))
    1.0

    References
    ----------
    Derived here.
    """
    direction = DIRECTION(direction)
    if direction == "against":
        return squash(image_speed, slit_speed)
    if direction == "with":
        return stretch(image_speed, slit_speed)
    image, slit = _speeds(image_speed, slit_speed)
    return np.ones_like(image / slit)[()]


def blur_in_slit(image_speed: Number, exposure_time: Number, slit_speed: Number, direction: str) -> Any:
    """Return the length of the streak a moving point leaves in a burn.

    .. math:: u T,\\ uT/(1 + u/w),\\ uT/(1 - u/w)

    Parameters
    ----------
    image_speed : float or array
        Speed of the image on the sensor: subject speed times magnification, u [m/s].
    exposure_time : float or array
        Time each row is open, T [s].
    slit_speed : float or array
        Speed of the slit on the sensor, w [m/s].
    direction : str
        ``'against'``, ``'with'`` or ``'across'`` the travel of the slit [word].

    Returns
    -------
    float or array
        Streak on the sensor [m].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the image is not slower than a slit it runs with.

    Notes
    -----
    Valid for a steady burn. What freezes is the exposure time T of a row, not the length of a pulse.

    Examples
    --------
    >>> round(float(blur_in_slit(1.5, 1 / 1000, 8, "against")) * 1e3, 5)
    1.26316

    References
    ----------
    Derived here.
    """
    image, exposure = broadcast(image_speed=IMAGE_SPEED(image_speed), exposure_time=EXPOSURE_TIME(exposure_time))
    factor = length_factor(image_speed, slit_speed, direction)
    return (broadcast(blur=image * exposure, factor=factor)[0] * factor)[()]


def frame_shift(image_speed: Number, curtain_travel: Number = CURTAIN_TRAVEL) -> Any:
    """Return how far a thing moves on the sensor while the slit crosses the frame.

    .. math:: u t_c

    Parameters
    ----------
    image_speed : float or array
        Speed of the image on the sensor: subject speed times magnification, u [m/s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].

    Returns
    -------
    float or array
        Distance [m].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for even speeds.

    Examples
    --------
    >>> round(float(frame_shift(1.5, 3e-3)) * 1e3, 9)
    4.5

    References
    ----------
    Derived here.
    """
    image, travel = broadcast(image_speed=IMAGE_SPEED(image_speed), curtain_travel=TRAVEL(curtain_travel))
    return (image * travel)[()]


def _speeds(image_speed: Number, slit_speed: Number) -> tuple[Any, Any]:
    image, slit = broadcast(image_speed=IMAGE_SPEED(image_speed), slit_speed=SLIT_SPEED(slit_speed))
    return image, slit


def _slower(image: Any, slit: Any) -> None:
    require(
        image < slit,
        "image speed on the sensor",
        "a speed not below that of the slit",
        "below the slit speed when both run the same way",
        "give a lower speed or magnification",
    )
