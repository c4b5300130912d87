"""The sync window: when one flash finds the whole frame open, and what is dark when it does not."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, broadcast, require
from splashkit.sync.ranges import (
    CURTAIN_TRAVEL,
    DELAY,
    EXPOSURE_TIME,
    F_NUMBER,
    FLASH_DURATION,
    FLASH_START,
    GAP,
    ORIENTATION,
    RAMP,
    SLIT_WIDTH,
    TRAVEL,
    check_kind,
    exposure_and_travel,
)
from splashkit.sync.shutter import Shutter

# the bottom edge of the level camera, seen from behind after turning it
_SIDES = {"landscape": "bottom", "inverted": "top", "portrait_grip_up": "right", "portrait_grip_down": "left"}


def fully_open_time(exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL) -> Any:
    """Return how long the whole frame is open at once.

    .. math:: T - t_c

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].

    Returns
    -------
    float or array
        Time; below zero when the frame is never all open [s].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for a focal-plane or electronic shutter, and for a leaf shutter with its opening time as travel.

    Examples
    --------
    >>> round(float(fully_open_time(1 / 250, 3e-3)), 9)
    0.001

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    exposure, travel = exposure_and_travel(exposure_time, curtain_travel)
    return exposure - travel


def sync_limit(curtain_travel: Number, flash_duration: Number, delay: Number = 0.0) -> Any:
    """Return the shortest exposure time at which every row gets the whole flash.

    .. math:: T_{min} = t_c + d + t_{0.1}

    Parameters
    ----------
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    flash_duration : float or array
        Length of the flash, t0.1 [s].
    delay : float or array
        Delay from the trigger to the first light, d [s].

    Returns
    -------
    float or array
        Exposure time [s].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for one flash fired as the first curtain arrives. Light before and after t0.1 is left out: a tenth
    of it in a full exponential flash.

    Examples
    --------
    >>> round(float(sync_limit(3e-3, 0.5e-3)), 9)
    0.0035

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    travel, duration, wait = broadcast(
        curtain_travel=TRAVEL(curtain_travel), flash_duration=FLASH_DURATION(flash_duration), delay=DELAY(delay)
    )
    return (travel + wait + duration)[()]


def dark_band_fraction(exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL, delay: Number = 0.0) -> Any:
    """Return the part of the frame a short flash leaves dark.

    .. math:: b = \\max(0, (t_c + d - T)/t_c)

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    delay : float or array
        Delay from the trigger to the first light, d [s].

    Returns
    -------
    float or array
        Share of the frame, from 0 to 1 [1].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for one short flash fired as the first curtain arrives. The edge of the band is soft over about
    t0.1 / t_c of the frame. The band is the rows shut first.

    Examples
    --------
    >>> round(float(dark_band_fraction(1 / 1000, 3e-3)), 6)
    0.666667

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    exposure, travel, wait = broadcast(
        exposure_time=EXPOSURE_TIME(exposure_time), curtain_travel=TRAVEL(curtain_travel), delay=DELAY(delay)
    )
    return np.clip((travel + wait - exposure) / travel, 0.0, 1.0)[()]


def lit_rows(shutter: Shutter, flash_start: Number) -> tuple[Any, Any]:
    """Return the first and the last row that a very short flash lights.

    .. math:: r_{first} = (t_f - T)/t_c, \\quad r_{last} = t_f/t_c

    Parameters
    ----------
    shutter : Shutter
        The shutter [shutter].
    flash_start : float or array
        Time of the flash after the first curtain starts, t_f [s].

    Returns
    -------
    tuple
        First and last row, 0 uncovered first, to 1; first above last when no row is lit [1].

    Raises
    ------
    ValueError
        If the shutter is something else, or the time lies out of range.

    Notes
    -----
    Valid for a flash much shorter than the curtain travel, at any time: too early and the far rows are still
    covered, too late and the near ones are shut again.

    Examples
    --------
    >>> first, last = lit_rows(Shutter(0.001, 0.003), 0.003)
    >>> round(float(first), 6), float(last)
    (0.666667, 1.0)

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    start = FLASH_START(flash_start)
    check_kind(shutter, Shutter, "shutter", "sync.Shutter(0.004)")
    opens, closes = shutter.open_interval(0.0)
    if shutter.kind in ("leaf", "open"):
        hit = (start >= opens) & (start <= closes)
        return np.where(hit, 0.0, 1.0)[()], np.where(hit, 1.0, 0.0)[()]
    first = (start - closes) / shutter.curtain_travel
    last = start / shutter.curtain_travel
    dark = (last < 0) | (first > 1)
    return np.where(dark, 1.0, np.maximum(first, 0.0))[()], np.where(dark, 0.0, np.minimum(last, 1.0))[()]


def dark_band_side(orientation: str) -> str:
    """Return the side of the picture where the dark band lies.

    .. math:: \\text{rows shut first} = \\text{bottom of a level picture}

    Parameters
    ----------
    orientation : str
        ``'landscape'``, ``'inverted'``, ``'portrait_grip_up'`` or ``'portrait_grip_down'`` [word].

    Returns
    -------
    str
        ``'bottom'``, ``'top'``, ``'right'`` or ``'left'`` of the picture as the scene stands.

    Raises
    ------
    ValueError
        If the orientation is another word.

    Notes
    -----
    Valid for curtains that run so that a level picture is exposed from bottom to top, and a flash fired as the
    first curtain arrives. An electronic shutter may run either way: try yours. The grip is at the right hand
    when the camera is level.

    Examples
    --------
    >>> dark_band_side("landscape")
    'bottom'

    References
    ----------
    Direction of travel: Simon, Vakulya and Ratosi, Sensors 22(5) 1871 (2022), figure 11. The rest derived here.
    """
    return _SIDES[ORIENTATION(orientation)]


def soft_edge_fraction(flash_duration: Number, curtain_travel: Number = CURTAIN_TRAVEL) -> Any:
    """Return how much of the frame the edge of the dark band is spread over.

    .. math:: t_{0.1}/t_c

    Parameters
    ----------
    flash_duration : float or array
        Length of the flash, t0.1 [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].

    Returns
    -------
    float or array
        Share of the frame; above 1 for a flash longer than the travel [1].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid as a size, not a shape: the edge follows the light of the flash, see :func:`row_light_share`.

    Examples
    --------
    >>> round(float(soft_edge_fraction(0.3e-3, 3e-3)), 6)
    0.1

    References
    ----------
    Derived here.
    """
    duration, travel = broadcast(flash_duration=FLASH_DURATION(flash_duration), curtain_travel=TRAVEL(curtain_travel))
    return (duration / travel)[()]


def leaf_efficiency(total_time: Number, opening_time: Number, closing_time: Number) -> Any:
    """Return the share of its open time for which a leaf shutter counts as fully open.

    .. math:: 1 - (t_o + t_s)/2T

    Parameters
    ----------
    total_time : float or array
        Time from the first light to the last, T [s].
    opening_time : float or array
        Time the blades take to open, t_o [s].
    closing_time : float or array
        Time they take to shut, t_s [s].

    Returns
    -------
    float or array
        Effective over total time [1].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the blades cannot open fully.

    Notes
    -----
    Valid for blades that open evenly, at full aperture. A small aperture is cleared sooner and raises it.

    Examples
    --------
    >>> round(float(leaf_efficiency(0.01, 0.004, 0.004)), 6)
    0.6

    References
    ----------
    Definition: a photographic dictionary; even ramps are derived here.
    """
    total, opening, closing = broadcast(
        total_time=EXPOSURE_TIME(total_time), opening_time=RAMP(opening_time), closing_time=RAMP(closing_time)
    )
    require(
        opening + closing <= total,
        "total time",
        "a time shorter than opening and closing together",
        "at least the two together",
        "give a longer total time",
    )
    return (1 - (opening + closing) / (2 * total))[()]


def slit_efficiency(slit_width: Number, gap: Number, f_number: Number) -> Any:
    """Return the efficiency of a slit that runs at a distance from the sensor.

    .. math:: E = a / (a + g/N)

    Parameters
    ----------
    slit_width : float or array
        Width of the slit, a [m].
    gap : float or array
        Distance from curtain to sensor, g [m].
    f_number : float or array
        The f-number, N [1].

    Returns
    -------
    float or array
        Share of the time a point is lit for which it counts as fully lit [1].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for a slit narrower than the frame and a lens far from it. The lit time grows by g / (N w).

    Examples
    --------
    >>> round(float(slit_efficiency(1e-3, 4e-3, 6)), 6)
    0.6

    References
    ----------
    H. E. Ives, Airplane Photography (1920).
    """
    width, space, aperture = broadcast(slit_width=SLIT_WIDTH(slit_width), gap=GAP(gap), f_number=F_NUMBER(f_number))
    return (width / (width + space / aperture))[()]
