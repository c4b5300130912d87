"""The flash unit: guide number, distance, aperture and power, each from the others."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, checked
from splashkit.exposure.close_up import close_up_factor
from splashkit.exposure.ranges import INCIDENT_CONSTANT, RANGES


def guide_number_at(guide_number: Number, power: Number = 1.0, iso: Number = 100.0) -> Any:
    """Return the guide number at a power and an ISO speed.

    .. math:: G = G_{100} \\sqrt{p \\, S / 100}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].

    Returns
    -------
    float or array
        Guide number [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a unit whose light follows its power setting. Every stop is a factor of 1.414.

    Examples
    --------
    >>> float(guide_number_at(40, 1 / 16))
    10.0

    References
    ----------
    ISO 1230:1992 (from memory).
    """
    number, share, speed = checked(RANGES, guide_number=guide_number, power=power, iso=iso)
    return number * np.sqrt(share * speed / 100)


def guide_number_from_light(candela_seconds: Number, iso: Number = 100.0) -> Any:
    """Turn the light a flash sends along its axis into a guide number.

    .. math:: G = \\sqrt{Q S / C}

    Parameters
    ----------
    candela_seconds : float or array
        Light sent along the axis [cd s].
    iso : float or array
        ISO speed [1].

    Returns
    -------
    float or array
        Guide number [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a source small against its distance; C = 250. An older rule in feet comes out 0.22 stop higher.

    Examples
    --------
    >>> float(guide_number_from_light(4000))
    40.0

    References
    ----------
    Derived here from ISO 2720:1974.
    """
    light, speed = checked(RANGES, candela_seconds=candela_seconds, iso=iso)
    return np.sqrt(light * speed / INCIDENT_CONSTANT)


def flash_stops(
    guide_number: Number,
    distance: Number,
    f_number: Number,
    power: Number = 1.0,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Say how many stops over correct the flash alone makes the frame.

    .. math:: n = 2 \\log_2 \\frac{G \\sqrt{p S/100}}{d N (1 + m/P)} - \\mathrm{loss}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    distance : float or array
        Flash to subject [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters, as you measured them [stop].

    Returns
    -------
    float or array
        Stops over correct; negative is too dark [stop].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a unit that is small against its distance, lighting a matt subject from the front.
    Close up, bare, or as a backlight it misses: take a test frame and put the difference in the loss.

    Examples
    --------
    >>> round(float(flash_stops(40, 0.5, 11, 1 / 32, 100, 0.5)), 2)
    -0.44

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    distance, aperture, number, factor, lost = checked(
        {**RANGES, "number": RANGES["amount"], "factor": RANGES["amount"]},
        distance=distance, f_number=f_number, number=guide_number_at(guide_number, power, iso),
        factor=close_up_factor(magnification, pupil_ratio), loss=loss,
    )  # fmt: skip
    return 2 * np.log2(number / (distance * aperture * factor)) - lost


def guide_number_aperture(
    guide_number: Number,
    distance: Number,
    power: Number = 1.0,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Return the f-number to set so that the flash exposes correctly.

    .. math:: N = \\frac{G \\sqrt{p S/100} \\, 2^{-\\mathrm{loss}/2}}{d (1 + m/P)}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    distance : float or array
        Flash to subject [m].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters [stop].

    Returns
    -------
    float or array
        F-number to set [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`flash_stops` is. The answer may lie beyond what a lens offers.

    Examples
    --------
    >>> round(float(guide_number_aperture(45, 5)), 6)
    9.0

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    over = flash_stops(guide_number, distance, 1.0, power, iso, magnification, pupil_ratio, loss)
    return np.exp2(over / 2)


def guide_number_distance(
    guide_number: Number,
    f_number: Number,
    power: Number = 1.0,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Return the distance at which the flash exposes correctly.

    .. math:: d = \\frac{G \\sqrt{p S/100} \\, 2^{-\\mathrm{loss}/2}}{N (1 + m/P)}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    power : float or array
        Share of full power [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters [stop].

    Returns
    -------
    float or array
        Flash to subject [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`flash_stops` is. Very near, the unit is no longer a point and the answer is too bright a promise.

    Examples
    --------
    >>> round(float(guide_number_distance(40, 11, 1 / 32, 100, 0.5)), 3)
    0.429

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    over = flash_stops(guide_number, 1.0, f_number, power, iso, magnification, pupil_ratio, loss)
    return np.exp2(over / 2)


def guide_number_power(
    guide_number: Number,
    distance: Number,
    f_number: Number,
    iso: Number = 100.0,
    magnification: Number = 0.0,
    pupil_ratio: Number = 1.0,
    loss: Number = 0.0,
) -> Any:
    """Return the share of full power that exposes correctly.

    .. math:: p = \\left( \\frac{d N (1 + m/P)}{G} \\right)^2 \\frac{100}{S} \\, 2^{\\mathrm{loss}}

    Parameters
    ----------
    guide_number : float or array
        Guide number at full power and ISO 100 [m].
    distance : float or array
        Flash to subject [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    iso : float or array
        ISO speed [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    loss : float or array
        Stops lost in diffuser, softbox and filters [stop].

    Returns
    -------
    float or array
        Share of full power; above 1 means the unit is too weak [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as :func:`flash_stops` is. A share above 1 is an honest answer, not a setting.

    Examples
    --------
    >>> float(guide_number_power(40, 0.5, 20))
    0.0625

    References
    ----------
    Guide number of ISO 1230:1992 (from memory); close-up factor derived here and ray traced.
    """
    return np.exp2(-flash_stops(guide_number, distance, f_number, 1.0, iso, magnification, pupil_ratio, loss))
