"""A pulsed burn on a slit: how long it must last, what it costs, and the bands it may leave."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, broadcast, require
from splashkit.flash.burn import DUTY, DUTY_RANGE, FREQUENCY, GLOW, GLOW_RANGE
from splashkit.sync.ranges import BURN, CURTAIN_TRAVEL, EXPOSURE_TIME, SUBJECT_SPEED, exposure_and_travel


class PulseCount(NamedTuple):
    """Pulses seen by a row: on average, at the fewest, at the most."""

    mean: Any
    fewest: Any
    most: Any


def burn_needed(exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL) -> Any:
    """Return how long the lamp must burn for every row to see it all along.

    .. math:: T + t_c

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].

    Returns
    -------
    float or array
        Length of the burn [s].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid from the first row opening to the last row closing; a real unit starts a little before.

    Examples
    --------
    >>> round(float(burn_needed(1 / 1000, 3e-3)), 9)
    0.004

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    exposure, travel = exposure_and_travel(exposure_time, curtain_travel)
    return exposure + travel


def burn_share(exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL, burn: Number | None = None) -> Any:
    """Return the share of a burn that each row uses.

    .. math:: \\eta = T/(T + t_c)

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    burn : float, array or None
        Length of the burn; None for one just long enough [s].

    Returns
    -------
    float or array
        Share of the light of the burn [1].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the burn is too short for the frame.

    Notes
    -----
    Valid for a steady burn, or one of many pulses.

    Examples
    --------
    >>> round(float(burn_share(1 / 500, 3e-3)), 9)
    0.4

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    exposure, travel = exposure_and_travel(exposure_time, curtain_travel)
    needed = exposure + travel
    exposure, needed, length = broadcast(
        exposure_time=exposure, needed=needed, burn=needed if burn is None else BURN(burn)
    )
    require(
        length >= needed * (1 - 1e-12),
        "length of the burn",
        "a burn shorter than exposure time plus curtain travel",
        "at least exposure time plus curtain travel",
        "give a longer burn",
    )
    return (exposure / length)[()]


def burn_stops(exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL, burn: Number | None = None) -> Any:
    """Return the stops of light a burn loses because each row sees only a part of it.

    .. math:: \\log_2 \\eta

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    burn : float, array or None
        Length of the burn; None for one just long enough [s].

    Returns
    -------
    float or array
        Stops, below zero [stop].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the burn is too short for the frame.

    Notes
    -----
    Valid beside the same light given as one flash. What the unit itself loses in a burn comes on top.

    Examples
    --------
    >>> float(burn_stops(1 / 1000, 3e-3))
    -2.0

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    return np.log2(burn_share(exposure_time, curtain_travel, burn))


def burn_guide_number_factor(
    exposure_time: Number, curtain_travel: Number = CURTAIN_TRAVEL, burn: Number | None = None
) -> Any:
    """Return what the guide number is multiplied by in a burn.

    .. math:: \\sqrt{\\eta}

    Parameters
    ----------
    exposure_time : float or array
        Time each row is open, T [s].
    curtain_travel : float or array
        Time a curtain takes over the frame, t_c [s].
    burn : float, array or None
        Length of the burn; None for one just long enough [s].

    Returns
    -------
    float or array
        Factor [1].

    Raises
    ------
    ValueError
        If an input lies out of its range, or the burn is too short for the frame.

    Notes
    -----
    Valid beside the same light given as one flash.

    Examples
    --------
    >>> round(float(burn_guide_number_factor(1 / 8000, 3e-3)), 9)
    0.2

    References
    ----------
    Derived here from two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7).
    """
    return np.sqrt(burn_share(exposure_time, curtain_travel, burn))


def pulses_per_row(frequency: Number, exposure_time: Number) -> PulseCount:
    """Return how many pulses of a burn each row sees.

    .. math:: n = f T, \\quad \\lfloor n \\rfloor \\dots \\lceil n \\rceil

    Parameters
    ----------
    frequency : float or array
        Pulses a second, f [Hz].
    exposure_time : float or array
        Time each row is open, T [s].

    Returns
    -------
    PulseCount
        Mean, fewest and most pulses [1].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for pulses short beside their spacing.

    Examples
    --------
    >>> count = pulses_per_row(20e3, 1 / 8000)
    >>> float(count.mean), float(count.fewest), float(count.most)
    (2.5, 2.0, 3.0)

    References
    ----------
    Derived here.
    """
    mean = _pulses(frequency, exposure_time)
    return PulseCount(mean, np.floor(mean), np.ceil(mean))


def banding(frequency: Number, exposure_time: Number, duty: Number = DUTY, glow: Number = GLOW) -> Any:
    """Return how much the light of the rows differs in a burn of pulses.

    .. math:: \\frac{\\lceil n \\rceil - \\lfloor n \\rfloor}{n}

    Parameters
    ----------
    frequency : float or array
        Pulses a second, f [Hz].
    exposure_time : float or array
        Time each row is open, T [s].
    duty : float or array
        Share of each period at full light, d [1].
    glow : float or array
        Light between the pulses as a share of the peak [1].

    Returns
    -------
    float or array
        Brightest row less darkest row, over the mean [1].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for equal pulses with sharp edges. The formula shown holds while the part of a period left over is
    from d to 1 - d; else the pulse is caught in part and the code counts that part. Glow lessens the bands.

    Examples
    --------
    >>> round(float(banding(20e3, 1 / 8000)), 9)
    0.4

    References
    ----------
    Derived here.
    """
    mean, share, floor = broadcast(
        pulses=_pulses(frequency, exposure_time), duty=DUTY_RANGE(duty), glow=GLOW_RANGE(glow)
    )
    rest = mean - np.floor(mean)
    most, fewest = np.minimum(rest, share), np.maximum(rest + share - 1, 0.0)
    return ((1 - floor) * (most - fewest) / (mean * (floor + (1 - floor) * share)))[()]


def pulse_pitch(speed: Number, frequency: Number) -> Any:
    """Return the spacing of the dots in the trail of a moving highlight.

    .. math:: v/f

    Parameters
    ----------
    speed : float or array
        Speed of the subject, v, or of its image [m/s].
    frequency : float or array
        Pulses a second, f [Hz].

    Returns
    -------
    float or array
        Spacing on the subject, or on the sensor [m].

    Raises
    ------
    ValueError
        If an input lies out of its range.

    Notes
    -----
    Valid for steady motion.

    Examples
    --------
    >>> round(float(pulse_pitch(3, 40e3)) * 1e6, 6)
    75.0

    References
    ----------
    Derived here.
    """
    pace, rate = broadcast(speed=SUBJECT_SPEED(speed), frequency=FREQUENCY(frequency))
    return (pace / rate)[()]


def _pulses(frequency: Number, exposure_time: Number) -> Any:
    rate, exposure = broadcast(frequency=FREQUENCY(frequency), exposure_time=EXPOSURE_TIME(exposure_time))
    mean = rate * exposure
    whole = np.round(mean)
    # 1/4000 s is not exact in a double: do not let its last digit make a band
    return np.where(np.abs(mean - whole) < 1e-9 * np.maximum(whole, 1.0), whole, mean)[()]
