"""Exposure values: the light a setting asks for, in lux, in brightness, and on the sensor."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, checked
from splashkit.exposure.ranges import (
    GREY_KINDS,
    INCIDENT_CONSTANT,
    LENS_CONSTANT,
    OUTPUT_CONSTANT,
    RANGES,
    REFLECTED_CONSTANT,
    SATURATION_CONSTANT,
)


def exposure_value(f_number: Number, exposure_time: Number) -> Any:
    """Return the exposure value of a pair of camera settings.

    .. math:: EV = \\log_2(N^2 / t)

    Parameters
    ----------
    f_number : float or array
        F-number [1].
    exposure_time : float or array
        Exposure time [s].

    Returns
    -------
    float or array
        Exposure value; one more is half the light [EV].

    Raises
    ------
    ValueError
        If a setting is out of range.

    Notes
    -----
    Valid for f/0.5 to f/256 and 1 µs to a day. Marks are used as they stand, so f/16 at
    1/125 s gives 14.966 where photographers say 15.

    Examples
    --------
    >>> round(float(exposure_value(16, 1 / 125)), 3)
    14.966

    References
    ----------
    APEX system, ASA PH2.5-1960 as told by Kerr, APEX, issue 7, 2007.
    """
    aperture, time = checked(RANGES, f_number=f_number, exposure_time=exposure_time)
    return 2 * np.log2(aperture) - np.log2(time)


def ev100_from_settings(f_number: Number, exposure_time: Number, iso: Number = 100.0) -> Any:
    """Name the light that a set of camera settings asks for, as the exposure value at ISO 100.

    .. math:: EV_{100} = \\log_2(N^2 / t) - \\log_2(S / 100)

    Parameters
    ----------
    f_number : float or array
        F-number [1].
    exposure_time : float or array
        Exposure time [s].
    iso : float or array
        ISO speed [1].

    Returns
    -------
    float or array
        Exposure value at ISO 100 [EV].

    Raises
    ------
    ValueError
        If a setting is out of range.

    Notes
    -----
    Valid for the ranges of the settings. A metered reading is turned into light this way.

    Examples
    --------
    >>> round(float(ev100_from_settings(8, 1 / 250, 400)), 4)
    11.9658

    References
    ----------
    ISO 2720:1974, through secondary texts.
    """
    aperture, time, speed = checked(RANGES, f_number=f_number, exposure_time=exposure_time, iso=iso)
    return 2 * np.log2(aperture) - np.log2(time) - np.log2(speed / 100)


def ev100_from_illuminance(illuminance: Number) -> Any:
    """Turn the light that falls on the subject into the exposure value at ISO 100.

    .. math:: EV_{100} = \\log_2(100 E / C), \\quad C = 250

    Parameters
    ----------
    illuminance : float or array
        Light falling on the subject [lx].

    Returns
    -------
    float or array
        Exposure value at ISO 100; minus infinity in total darkness [EV].

    Raises
    ------
    ValueError
        If the light is below zero or not a number.

    Notes
    -----
    Valid up to ten million lux. Meters use C from 240 to 400, so two meters may differ by 0.7 stop.

    Examples
    --------
    >>> float(ev100_from_illuminance(320))
    7.0

    References
    ----------
    ISO 2720:1974, through secondary texts; C = 250 is the common value.
    """
    light = RANGES["illuminance"](illuminance)
    with np.errstate(divide="ignore"):
        return np.log2(light * (100 / INCIDENT_CONSTANT))


def illuminance_from_ev100(ev100: Number) -> Any:
    """Turn an exposure value at ISO 100 into the light that falls on the subject.

    .. math:: E = (C / 100) \\, 2^{EV_{100}}

    Parameters
    ----------
    ev100 : float or array
        Exposure value at ISO 100 [EV].

    Returns
    -------
    float or array
        Light falling on the subject [lx].

    Raises
    ------
    ValueError
        If the exposure value is beyond 30 either way.

    Notes
    -----
    Valid from EV -30 to 30, with C = 250.

    Examples
    --------
    >>> float(illuminance_from_ev100(7))
    320.0

    References
    ----------
    ISO 2720:1974, through secondary texts; C = 250 is the common value.
    """
    return INCIDENT_CONSTANT / 100 * np.exp2(RANGES["ev100"](ev100))


def ev100_from_luminance(luminance: Number) -> Any:
    """Turn the brightness of a mid-toned surface into the exposure value at ISO 100.

    .. math:: EV_{100} = \\log_2(100 L / K), \\quad K = 12.5

    Parameters
    ----------
    luminance : float or array
        Brightness of the surface [cd/m2].

    Returns
    -------
    float or array
        Exposure value at ISO 100 [EV].

    Raises
    ------
    ValueError
        If the brightness is not above zero.

    Notes
    -----
    Valid up to ten million cd/m2. Meters use K from 10.6 to 13.4.

    Examples
    --------
    >>> float(ev100_from_luminance(4096))
    15.0

    References
    ----------
    ISO 2720:1974, through secondary texts; K = 12.5 is the common value.
    """
    return np.log2(RANGES["luminance"](luminance) * (100 / REFLECTED_CONSTANT))


def luminance_from_ev100(ev100: Number) -> Any:
    """Turn an exposure value at ISO 100 into the brightness of a mid-toned surface.

    .. math:: L = (K / 100) \\, 2^{EV_{100}}

    Parameters
    ----------
    ev100 : float or array
        Exposure value at ISO 100 [EV].

    Returns
    -------
    float or array
        Brightness of the surface [cd/m2].

    Raises
    ------
    ValueError
        If the exposure value is beyond 30 either way.

    Notes
    -----
    Valid from EV -30 to 30, with K = 12.5.

    Examples
    --------
    >>> float(luminance_from_ev100(0))
    0.125

    References
    ----------
    ISO 2720:1974, through secondary texts; K = 12.5 is the common value.
    """
    return REFLECTED_CONSTANT / 100 * np.exp2(RANGES["ev100"](ev100))


def sensor_exposure(luminance: Number, f_number: Number, exposure_time: Number, loss: Number = 0.0) -> Any:
    """Return the light that reaches the sensor behind a lens.

    .. math:: H = q L t / N^2 \\cdot 2^{-n}

    Parameters
    ----------
    luminance : float or array
        Brightness of the subject [cd/m2].
    f_number : float or array
        F-number set for a far subject [1].
    exposure_time : float or array
        Exposure time [s].
    loss : float or array
        Stops lost by focusing close and by filters [stop].

    Returns
    -------
    float or array
        Exposure of the sensor [lx s].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid near the axis, for a lens that passes 90 % of the light; q = 0.65.

    Examples
    --------
    >>> round(float(sensor_exposure(4000, 8, 1 / 250)), 4)
    0.1625

    References
    ----------
    ISO 12232:2006, as quoted in the colour-hdri library.
    """
    light, aperture, time, lost = checked(
        RANGES,
        luminance=luminance, f_number=f_number, exposure_time=exposure_time, loss=loss,
    )  # fmt: skip
    return LENS_CONSTANT * light * time / aperture**2 * np.exp2(-lost)


def sensor_level(iso: Number, kind: str = "output") -> Any:
    """Return the sensor exposure that an ISO speed ties to white, to mid-grey, or to a meter.

    .. math:: H = 78/S, \\quad 10/S, \\quad q K / S = 8.125/S

    Parameters
    ----------
    iso : float or array
        ISO speed [1].
    kind : str
        ``'saturation'`` (clipped white), ``'output'`` (mid-grey of the file) or ``'metered'``
        (where a K = 12.5 meter puts its reading) [word].

    Returns
    -------
    float or array
        Exposure of the sensor [lx s].

    Raises
    ------
    ValueError
        If the ISO speed is out of range or the word is unknown.

    Notes
    -----
    Valid for cameras that follow ISO 12232. The two mid-greys lie 0.30 stop apart: do not mix them.

    Examples
    --------
    >>> float(sensor_level(100, "saturation")), float(sensor_level(100)), float(sensor_level(100, "metered"))
    (0.78, 0.1, 0.08125)

    References
    ----------
    ISO 12232:2006, through secondary texts; the metered level is derived here.
    """
    constants = {
        "saturation": SATURATION_CONSTANT,
        "output": OUTPUT_CONSTANT,
        "metered": LENS_CONSTANT * REFLECTED_CONSTANT,
    }
    return constants[GREY_KINDS(kind)] / RANGES["iso"](iso)
