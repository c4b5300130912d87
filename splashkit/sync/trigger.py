"""Who fires whom: front curtain, rear curtain, open flash, and the trail the room light leaves."""

from __future__ import annotations

from typing import Any, NamedTuple

from splashkit.checks import Number, broadcast, require
from splashkit.sync.ranges import (
    CURTAIN_TRAVEL,
    DELAY,
    EXPOSURE_TIME,
    LAG,
    MARGIN,
    MODE,
    REAR_MARGIN,
    RELEASE_LAG,
    SUBJECT_SPEED,
    TIME_IN_EXPOSURE,
    TRAVEL,
)


class Ghost(NamedTuple):
    """Lengths of the trail behind and ahead of the sharp image [m]."""

    behind: Any
    ahead: Any


def flash_time(
    mode: str,
    exposure_time: Number,
    curtain_travel: Number = CURTAIN_TRAVEL,
    lag: Number = RELEASE_LAG,
    delay: Number = 0.0,
    margin: Number = REAR_MARGIN,
) -> Any:
    """Return the time from the trigger signal to the light.

    .. math:: t_{lag} + t_c + d, \\quad t_{lag} + T - m + d, \\quad d

    Parameters
    ----------
    mode : str
        ``'front'`` curtain, ``'rear'`` curtain, or ``'open'`` flash in the dark [word].
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    lag : float or array
        Release lag, from the signal to the first curtain starting, t_lag [s].
    delay : float or array
        Delay from the trigger to the first light, d [s].
    margin : float or array
        How long before the second curtain starts a rear flash fires, m [s].

    Returns
    -------
    float or array
        Time from the signal to the first light [s].

    Raises
    ------
    ValueError
        If an input lies out of its range, the mode is another word, or the margin exceeds the exposure time.

    Notes
    -----
    Valid while the exposure time is set. On bulb a rear flash comes whenever the shutter is let go. With open
    flash the timer fires the flash itself: lag and curtains drop out. The lag of 50 ms is assumed: measure yours.

    Examples
    --------
    >>> round(float(flash_time("front", 1 / 250)) * 1e3, 6), round(float(flash_time("rear", 1 / 250)) * 1e3, 6)
    (53.0, 53.5)

    References
    ----------
    Derived here; that a front flash waits for the first curtain is common practice, no source.
    """
    mode = MODE(mode)
    exposure, travel, release, wait, early = broadcast(
        exposure_time=EXPOSURE_TIME(exposure_time),
        curtain_travel=TRAVEL(curtain_travel),
        lag=LAG(lag),
        delay=DELAY(delay),
        margin=MARGIN(margin),
    )
    if mode == "front":
        return (release + travel + wait)[()]
    if mode == "open":
        return (wait + 0.0 * (exposure + travel + release + early))[()]
    require(
        early <= exposure,
        "rear-curtain margin",
        "a margin longer than the exposure time",
        "at most the exposure time",
        "give a shorter margin or a longer exposure time",
    )
    return (release + exposure - early + wait)[()]


def rear_less_front(
    exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL, margin: Number = REAR_MARGIN
) -> Any:
    """Return how much later a rear-curtain flash fires than a front-curtain one.

    .. math:: T - t_c - m

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    margin : float or array
        How long before the second curtain starts a rear flash fires, m [s].

    Returns
    -------
    float or array
        Time; half a millisecond at a usual sync speed [s].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the margin exceeds the exposure time.

    Notes
    -----
    Valid while the exposure time is set. Below zero, the rear flash leaves rows dark that are still covered.

    Examples
    --------
    >>> round(float(rear_less_front(1 / 60)) * 1e3, 4)
    13.1667

    References
    ----------
    Derived here.
    """
    rear = flash_time("rear", exposure_time, curtain_travel, 0.0, 0.0, margin)
    return rear - flash_time("front", exposure_time, curtain_travel, 0.0, 0.0, margin)


def ghost_lengths(speed: Number, exposure_time: Number, flash_after: Number) -> Ghost:
    """Return how long a trail the room light draws behind and ahead of the sharp image.

    .. math:: v t_f, \\quad v (T - t_f)

    Parameters
    ----------
    speed : float or array
        Speed of the subject, v; or of its image [m/s].
    exposure_time : float or array
        Time each row is open, T [s].
    flash_after : float or array
        Time from the opening of the row to the flash, t_f [s].

    Returns
    -------
    Ghost
        Length behind and length ahead, on the subject, or on the sensor [m].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the flash falls outside the exposure.

    Notes
    -----
    Valid for even speed. For a falling drop behind is above and ahead is below. A front flash draws the trail
    ahead, a rear flash behind.

    Examples
    --------
    >>> ghost = ghost_lengths(3, 1 / 60, 3e-3)
    >>> round(float(ghost.behind) * 1e3, 6), round(float(ghost.ahead) * 1e3, 6)
    (9.0, 41.0)

    References
    ----------
    Derived here.
    """
    pace, exposure, before = broadcast(
        speed=SUBJECT_SPEED(speed),
        exposure_time=EXPOSURE_TIME(exposure_time),
        flash_after=TIME_IN_EXPOSURE(flash_after),
    )
    require(
        before <= exposure,
        "time from opening to flash",
        "a time after the row has closed",
        "at most the exposure time",
        "give a time inside the exposure",
    )
    return Ghost((pace * before)[()], (pace * (exposure - before))[()])
