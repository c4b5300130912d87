"""The liquid on the axis against time: crater floor, column, fall back; each with its band."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast, of_kind
from splashkit.estimate import Estimate
from splashkit.splash import constants, forms
from splashkit.splash.impact import Splash

TIME = Range("time after first contact", "s", -10.0, 10.0, "give seconds after the first drop touches")

_STEPS = np.linspace(-1.0, 1.0, 65)  # how early or late the whole splash may run, from low to high band
_WHY = "the bands of the column's times and of its height, together"


def _leaned(estimate: Estimate, lean: Any) -> Any:
    """Return the value pushed towards the low (-1) or high (+1) end of its band."""
    up, down = np.maximum(lean, 0), np.minimum(lean, 0)
    return estimate.value + up * (estimate.high - estimate.value) + down * (estimate.value - estimate.low)


def leaned_curve(splash: Splash, time_lean: Any, height_lean: Any) -> dict[str, Any]:
    """Return the curve's numbers with all times and all sizes pushed inside their bands; leans broadcast.

    Where the bands are widest the earliest top would come before the column's start: then both come together.
    """
    start = _leaned(splash.column_start, time_lean)
    peak = np.maximum(_leaned(splash.column_peak_time, time_lean), start)
    return {
        "depth": _leaned(splash.crater_depth, height_lean),
        "deepest": _leaned(splash.crater_time, time_lean),
        "start": start,
        "height": _leaned(splash.column_peak_height, height_lean),
        "peak": peak,
        "end": np.maximum(_leaned(splash.column_end, time_lean), peak),
        "power": forms.rise_power(splash.weber),
    }


def _envelope(splash: Splash, time: Any, form: Any, leans: Any) -> Estimate:
    value = form(time, **splash.curve())
    low, high = value, value
    for time_lean in leans:
        for height_lean in (-1.0, 1.0):
            other = form(time, **leaned_curve(splash, time_lean, height_lean))
            low, high = np.minimum(low, other), np.maximum(high, other)
    return Estimate(np.asarray(value)[()], np.asarray(low)[()], np.asarray(high)[()], _WHY)


def _height_envelope(splash: Splash, time: Any) -> Estimate:
    """Give the curve with the exact edges of all curves that run from early to late.

    At one time, a later splash is always less far on: so the ends of the band come from the earliest, the latest,
    or from the one that is just at its top, or at its deepest, then. A few curves between would leave dents.
    """
    value, low, high, why = _envelope(splash, time, forms.surface_height, (-1.0, 1.0))
    first, last = (leaned_curve(splash, lean, 0.0) for lean in (-1.0, 1.0))
    for when, size, sign in (("peak", splash.column_peak_height, 1.0), ("deepest", splash.crater_depth, -1.0)):
        there = (first[when] <= time) & (time <= last[when])
        ends = [sign * np.where(there, end, np.nan) for end in (size.low, size.high)]
        low, high = np.fmin(low, np.fmin(*ends)), np.fmax(high, np.fmax(*ends))
    return Estimate(value, np.asarray(low)[()], np.asarray(high)[()], why)


def column_height(splash: Splash, time: Number) -> Estimate:
    r"""Return how high the liquid on the axis stands at a time after first contact.

    .. math:: z = H\left[1-(1-u)^n\right],\quad u = \frac{t-t_{start}}{t_{peak}-t_{start}}

    Parameters
    ----------
    splash : Splash
        From :func:`first_drop` [any].
    time : float or array
        Time after first contact; shapes broadcast with the splash [s].

    Returns
    -------
    Estimate
        Height of the connected liquid above the still level; below zero it is the crater's floor [m].

    Raises
    ------
    ValueError
        If the time is not a finite number within 10 s, or shapes do not fit.

    Notes
    -----
    Valid where :func:`first_drop` is. Before contact and after the column is gone the level is 0.
    A head that pinched off flies on above; it is not part of this height. On the way down a thin column
    loses pieces, so its connected top sinks faster than free fall; there the band is wide.

    Examples
    --------
    >>> from splashkit.splash import first_drop
    >>> float(column_height(first_drop(4e-3, 2.18), 0.0).value)
    0.0

    References
    ----------
    Shape fitted to own simulation (axisymmetric two-phase flow), not published; derived here.
    """
    of_kind(splash, Splash, "splash", "call first_drop and hand on what it returns")
    time = TIME(time)
    broadcast(time=time, diameter=splash.diameter)
    return _height_envelope(splash, time)


def column_speed(splash: Splash, time: Number) -> Estimate:
    r"""Return how fast the liquid on the axis moves at a time after first contact, upward positive.

    .. math:: v = \frac{dz}{dt}

    Parameters
    ----------
    splash : Splash
        From :func:`first_drop` [any].
    time : float or array
        Time after first contact; shapes broadcast with the splash [s].

    Returns
    -------
    Estimate
        Speed of the column's tip or the crater's floor [m/s].

    Raises
    ------
    ValueError
        If the time is not a finite number within 10 s, or shapes do not fit.

    Notes
    -----
    Valid where :func:`first_drop` is. The first moments of the column may be faster than this
    smooth curve says: 1.2-1.8 m/s in our runs.

    Examples
    --------
    >>> from splashkit.splash import first_drop
    >>> splash = first_drop(4e-3, 2.18)
    >>> bool(column_speed(splash, splash.column_start.value * 1.05).value > 0.3)
    True

    References
    ----------
    Slope of :func:`column_height`; derived here.
    """
    of_kind(splash, Splash, "splash", "call first_drop and hand on what it returns")
    time = TIME(time)
    broadcast(time=time, diameter=splash.diameter)
    return _envelope(splash, time, forms.surface_speed, _STEPS)


def crater_width(splash: Splash, time: Number) -> Estimate:
    r"""Return how wide the crater is at the still level at a time after first contact.

    .. math:: w = 2R\left[1-(1-t/t_w)^{n}\right]\;(t < t_w),\qquad t_w = t_{deepest}/0.87

    Parameters
    ----------
    splash : Splash
        From :func:`first_drop` [any].
    time : float or array
        Time after first contact; shapes broadcast with the splash [s].

    Returns
    -------
    Estimate
        Width of the crater, 0 before contact and after the column has started [m].

    Raises
    ------
    ValueError
        If the time is not a finite number within 10 s, or shapes do not fit.

    Notes
    -----
    Valid where :func:`first_drop` is. The crater is taken as a hemisphere: twice as wide as deep at
    its largest. It stays wide while its floor rises. No width was found in numbers in any source
    that could be read, so the band is wide. The crown stands on this edge.

    Examples
    --------
    >>> from splashkit.splash import first_drop
    >>> splash = first_drop(4e-3, 2.18)
    >>> round(crater_width(splash, 0.025).value * 1e3)
    16

    References
    ----------
    Hemisphere: Engel 1966, Pumphrey & Elmore 1990 (abstracts); time of the largest mean radius against
    the deepest: Lherm et al. 2022 (second-hand) and own simulation, not published.
    """
    of_kind(splash, Splash, "splash", "call first_drop and hand on what it returns")
    time = TIME(time)
    broadcast(time=time, diameter=splash.diameter)
    widest = splash.crater_time.value / 0.87
    share = 1 - np.clip(1 - time / widest, 0, 1) ** constants.OPENING
    present = (time > 0) & (time < splash.column_start.value)
    share = np.where(present, share, 0.0)
    size = splash.crater_width
    return Estimate(
        (share * size.value)[()],
        (share * size.low)[()],
        (share * size.high)[()],
        "a hemisphere; no measured widths could be read",
    )
