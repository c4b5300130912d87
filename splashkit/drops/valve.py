"""How much liquid leaves a valve in one opening."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.drops.numbers import GRAVITY, STANDARD_GRAVITY, VOLUME
from splashkit.estimate import Estimate

OPENING = Range("valve opening", "s", 0.0, 1.0, "give seconds: 30 ms is 0.03", open_low=True)
BORE = Range("valve bore", "m", 0.2e-3, 10e-3, "give metres: 1.5 mm is 0.0015")
HEAD = Range("head of liquid above the valve", "m", 1e-3, 2.0, "give metres: 20 cm is 0.2")
NO_FEED = 1e-9  # m; a tube shorter than this is none, and dividing by it overflows
FEED = Range("feed tube length", "m", 0.0, 2.0, "give metres: 5 cm is 0.05; 0 leaves the start-up out")
DISCHARGE = Range("discharge coefficient", "1", 0.0, 1.0, "0.61 is a sharp hole; weigh drops for yours", open_low=True)


def _valve(bore: Number, head: Number, discharge: Number, gravity: Number) -> tuple[Any, Any]:
    """Return the effective hole [m2] and the final speed of the liquid [m/s]."""
    bore, head, discharge, gravity = BORE(bore), HEAD(head), DISCHARGE(discharge), GRAVITY(gravity)
    broadcast(bore=bore, head=head, discharge=discharge, gravity=gravity)
    return discharge * np.pi / 4 * bore**2, np.sqrt(2 * gravity * head)


def _grown(hole: Any, final: Any, feed: Any, opening: Any) -> Any:
    """Volume out of a valve whose feed tube starts from rest: hole 2L ln cosh(U t / 2L)."""
    some = np.where(feed > NO_FEED, feed, 1.0)
    reach = final * opening / (2 * some)
    # ln cosh x without losing digits when x is small, nor overflowing when it is large
    log_cosh = np.where(reach < 10, 0.5 * np.log1p(np.sinh(np.minimum(reach, 10.0)) ** 2), reach - np.log(2))
    return np.where(feed > NO_FEED, hole * 2 * some * log_cosh, hole * final * opening)[()]


def valve_drop_volume(
    opening: Number,
    bore: Number,
    head: Number,
    feed_length: Number = 0.05,
    discharge_coefficient: Number = 0.61,
    gravity: Number = STANDARD_GRAVITY,
) -> Any:
    """Return the volume that leaves a valve in one opening.

    .. math:: V = C_d \\frac{\\pi}{4} b^2\\, 2 L \\ln\\cosh\\frac{U t}{2 L}, \\quad U = \\sqrt{2 g h}

    Parameters
    ----------
    opening : float or array
        Time the valve is open [s].
    bore : float or array
        Inner diameter of the valve [m].
    head : float or array
        Height of the liquid surface above the valve [m].
    feed_length : float or array
        Length of liquid-filled tube, of the same bore, that must start to move; 0 leaves start-up out [m].
    discharge_coefficient : float or array
        Share of the ideal flow that comes out [1].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    float or array
        Volume [m3].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for thin liquids and a bore of a millimetre or more; rubbing in the tube and the valve's own motion are left
    out. Speed x time (feed length 0) overestimates short openings, because the liquid must first get going: with
    5 cm of tube and 20 cm of head, 50 ms gives less than half of it. See `valve_drop_estimate` for the band.

    Examples
    --------
    >>> round(float(valve_drop_volume(0.05, 0.001, 0.2)) * 1e9, 1)
    20.4
    >>> round(float(valve_drop_volume(0.05, 0.001, 0.2, feed_length=0.0)) * 1e9, 1)
    47.4

    References
    ----------
    Torricelli's law with unsteady start-up, derived here; 0.61 for a sharp hole: Encyclopaedia Britannica 1911,
    "Hydraulics". No published coefficient was found for bores of 1 to 2 mm.
    """
    opening, feed = OPENING(opening), FEED(feed_length)
    hole, final = _valve(bore, head, discharge_coefficient, gravity)
    broadcast(opening=opening, feed_length=feed, bore=hole, head=final)
    return _grown(hole, final, feed, opening)


def valve_drop_estimate(
    opening: Number, bore: Number, head: Number, feed_length: Number = 0.05, gravity: Number = STANDARD_GRAVITY
) -> Estimate:
    """Return the volume that leaves a valve in one opening, with the band of an unweighed valve.

    .. math:: V(C_d = 0.61), \\quad V(0.45) \\ldots V(0.82, L = 0)

    Parameters
    ----------
    opening : float or array
        Time the valve is open [s].
    bore : float or array
        Inner diameter of the valve [m].
    head : float or array
        Height of the liquid surface above the valve [m].
    feed_length : float or array
        Length of liquid-filled tube that must start to move [m].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    Estimate
        Volume [m3].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid as `valve_drop_volume`. The band is wide on purpose: low with a poor hole, high with a short smooth tube and
    no start-up at all. Weigh a hundred drops (`weigh_drops`) and it shrinks to a per cent.

    Examples
    --------
    >>> estimate = valve_drop_estimate(0.05, 0.001, 0.2)
    >>> estimate.text("m3")
    '20.4 µL (15.1 to 63.8 µL)'

    References
    ----------
    0.82 for a short tube: from memory; 0.45 as a low end: common practice, no source; the rest derived here.
    """
    value = valve_drop_volume(opening, bore, head, feed_length, 0.61, gravity)
    low = valve_drop_volume(opening, bore, head, feed_length, 0.45, gravity)
    high = valve_drop_volume(opening, bore, head, 0.0, 0.82, gravity)
    return Estimate(value, low, high, "hole of unknown quality, with and without start-up; weigh your own drops")


def valve_opening(
    volume: Number,
    bore: Number,
    head: Number,
    feed_length: Number = 0.05,
    discharge_coefficient: Number = 0.61,
    gravity: Number = STANDARD_GRAVITY,
) -> Any:
    """Return how long to open a valve for a wanted volume.

    .. math:: t = \\frac{2 L}{U} \\operatorname{arcosh}\\exp\\frac{V}{2 L C_d \\frac{\\pi}{4} b^2}

    Parameters
    ----------
    volume : float or array
        Wanted volume [m3].
    bore : float or array
        Inner diameter of the valve [m].
    head : float or array
        Height of the liquid surface above the valve [m].
    feed_length : float or array
        Length of liquid-filled tube that must start to move [m].
    discharge_coefficient : float or array
        Share of the ideal flow that comes out [1].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    float or array
        Valve opening [s].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid as `valve_drop_volume`, whose exact inverse it is.

    Examples
    --------
    >>> round(float(valve_opening(20.43e-9, 0.001, 0.2)), 4)
    0.05

    References
    ----------
    Derived here.
    """
    volume, feed = VOLUME(volume), FEED(feed_length)
    hole, final = _valve(bore, head, discharge_coefficient, gravity)
    broadcast(volume=volume, feed_length=feed, bore=hole, head=final)
    some = np.where(feed > NO_FEED, feed, 1.0)
    share = volume / (2 * some * hole)
    # arcosh(e^x) = x + ln(1 + sqrt(1 - e^-2x)), sound for small and large x
    started = 2 * some / final * (share + np.log1p(np.sqrt(-np.expm1(-2 * share))))
    return np.where(feed > NO_FEED, started, volume / (hole * final))[()]
