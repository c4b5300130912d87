"""The room's own light under the flash: how dark the frame is without it, and who leaves a ghost."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, checked
from splashkit.exposure.light import ev100_from_illuminance, ev100_from_settings
from splashkit.exposure.ranges import DARK_ENOUGH, INCIDENT_CONSTANT, RANGES


def ambient_under_flash(
    illuminance: Number, f_number: Number, exposure_time: Number, iso: Number = 100.0, loss: Number = 0.0
) -> Any:
    """Say how many stops too dark the frame is with the flash off.

    .. math:: n = \\log_2(N^2/t) - \\log_2(S/100) - \\log_2(100 E / C) + \\mathrm{loss}

    Parameters
    ----------
    illuminance : float or array
        Room light falling on the subject [lx].
    f_number : float or array
        F-number set [1].
    exposure_time : float or array
        Exposure time [s].
    iso : float or array
        ISO speed [1].
    loss : float or array
        Stops lost by filters and by focusing close [stop].

    Returns
    -------
    float or array
        Stops under; negative when the room alone is too bright, infinite in total darkness [stop].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a subject that stays put while the shutter is open. When the flash is set to be
    correct in spite of the close-up loss, the room is under by that loss too.

    Examples
    --------
    >>> round(float(ambient_under_flash(320, 11, 1 / 250)), 2), round(float(ambient_under_flash(320, 11, 1.0)), 2)
    (7.88, -0.08)

    References
    ----------
    ISO 2720:1974, through secondary texts; derived here.
    """
    light, aperture, time, speed, lost = checked(
        RANGES, illuminance=illuminance, f_number=f_number, exposure_time=exposure_time, iso=iso, loss=loss
    )
    return ev100_from_settings(aperture, time, speed) - ev100_from_illuminance(light) + lost


def ambient_under_reading(
    metered_f_number: Number,
    metered_time: Number,
    metered_iso: Number,
    f_number: Number,
    exposure_time: Number,
    iso: Number = 100.0,
) -> Any:
    """Say how many stops too dark the room is at your settings, from what the camera's meter asked for.

    .. math:: n = EV_{100}(\\mathrm{set}) - EV_{100}(\\mathrm{metered})

    Parameters
    ----------
    metered_f_number : float or array
        F-number of the metered reading [1].
    metered_time : float or array
        Exposure time of the metered reading [s].
    metered_iso : float or array
        ISO speed of the metered reading [1].
    f_number : float or array
        F-number set for the picture [1].
    exposure_time : float or array
        Exposure time set [s].
    iso : float or array
        ISO speed set [1].

    Returns
    -------
    float or array
        Stops under [stop].

    Raises
    ------
    ValueError
        If a setting is out of range.

    Notes
    -----
    Valid when the reading was taken through the same lens, focused at the same distance, so that
    the close-up loss is in both.

    Examples
    --------
    >>> round(float(ambient_under_reading(2.8, 1 / 30, 800, 11, 1 / 125, 100)), 1)
    9.0

    References
    ----------
    Derived here from the exposure value.
    """
    chosen, asked = checked(
        {"chosen": RANGES["stops"], "asked": RANGES["stops"]},
        chosen=ev100_from_settings(f_number, exposure_time, iso),
        asked=ev100_from_settings(metered_f_number, metered_time, metered_iso),
    )
    return chosen - asked


def ambient_to_flash_ratio(stops_under: Number, flash_stops: Number = 0.0) -> Any:
    """Return how much light the room adds, as a share of the flash's.

    .. math:: r = 2^{-n - f}

    Parameters
    ----------
    stops_under : float or array
        Stops by which the room alone is under [stop].
    flash_stops : float or array
        Stops by which the flash alone is over correct [stop].

    Returns
    -------
    float or array
        Room light over flash light [1].

    Raises
    ------
    ValueError
        If a value is not a number.

    Notes
    -----
    Valid for a subject that stays put. At 6 stops under the room adds 1.6 %.

    Examples
    --------
    >>> float(ambient_to_flash_ratio(6))
    0.015625

    References
    ----------
    Derived here.
    """
    under = Range("stops under", "stop", -60, np.inf, "give stops, such as 6", infinite=True)
    dark, flash = checked({"under": under, "flash": RANGES["stops"]}, under=stops_under, flash=flash_stops)
    return np.exp2(-dark - flash)


def longest_open_time(
    illuminance: Number, f_number: Number, iso: Number = 100.0, stops_under: Number = DARK_ENOUGH
) -> Any:
    """Say how long the shutter may stay open before the room shows.

    .. math:: t = C N^2 / (E S \\, 2^{n})

    Parameters
    ----------
    illuminance : float or array
        Room light falling on the subject [lx].
    f_number : float or array
        F-number set [1].
    iso : float or array
        ISO speed [1].
    stops_under : float or array
        How far under the room must stay [stop].

    Returns
    -------
    float or array
        Longest exposure time [s].

    Raises
    ------
    ValueError
        If a value is out of range, or the light is zero.

    Notes
    -----
    Valid for a still background; a falling drop passes a spot far more quickly.

    Examples
    --------
    >>> round(float(longest_open_time(1, 11, 100, 6)), 2)
    4.73

    References
    ----------
    Derived here from ISO 2720:1974; six stops is common practice, no source.
    """
    light, aperture, speed, under = checked(
        {**RANGES, "illuminance": RANGES["bright_illuminance"], "stops_under": RANGES["stops"]},
        illuminance=illuminance, f_number=f_number, iso=iso, stops_under=stops_under,
    )  # fmt: skip
    return INCIDENT_CONSTANT * aperture**2 / (light * speed * np.exp2(under))


def ghost_ratio(size: Number, speed: Number, exposure_time: Number) -> Any:
    """Return how strongly a moving thing's ghost shows, against a still thing in the same room light.

    .. math:: r = \\min(1, \\; d / (v T))

    Parameters
    ----------
    size : float or array
        Length of the thing along its motion [m].
    speed : float or array
        Its speed [m/s].
    exposure_time : float or array
        Time the shutter is open [s].

    Returns
    -------
    float or array
        Share of a still thing's ambient light, 1 at rest [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a thing that crosses the spot at steady speed. The background gathers room light for
    the whole exposure, so it decides how dark the room must be.

    Examples
    --------
    >>> round(1 / float(ghost_ratio(0.005, 3, 1.0)))
    600

    References
    ----------
    Derived here.
    """
    length, pace, time = checked(RANGES, size=size, speed=speed, exposure_time=exposure_time)
    return length / np.maximum(pace * time, length)
