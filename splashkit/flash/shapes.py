"""Flash pulses of simple shape, each with its light summed in closed form."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from splashkit.checks import Number, Range, require
from splashkit.flash.curve import LEFT_OUT, LightCurve, one

SHORTEST = 1e-15  # s; below it the sums lose their digits
WIDTH = Range("pulse length", "s", SHORTEST, 10, "give seconds: 1 ms is 0.001")
DECAY = Range("decay time of the light", "s", SHORTEST, 10, "give seconds: 1 ms is 0.001")
RISE = Range("rise time of the light", "s", SHORTEST, 10, "give seconds: 20 µs is 0.00002")
CUT = Range("time of the cut", "s", 0, 100, "give seconds after the first light, or leave it out", open_low=True)
AFTERGLOW = Range("afterglow time", "s", 0, 0.1, "give seconds: 5 µs is 0.000005, or 0 for none")

_GAUSS_REACH = 5.0  # sigmas each side: 6e-7 of the light lies beyond
_erf = np.frompyfunc(math.erf, 1, 1)


def exponential(decay: float) -> LightCurve:
    """Make a flash that starts at once and dies away by the same share in each moment.

    .. math:: i(t) = e^{-t/\\tau}

    Parameters
    ----------
    decay : float
        Time to fall to 1/e, tau [s].

    Returns
    -------
    LightCurve
        t0.5 = tau ln 2, t0.1 = tau ln 10.

    Raises
    ------
    ValueError
        If the time is not above 0 and at most 10 s.

    Notes
    -----
    Valid as a shape; a real lamp needs time to light up, and its tail is not exponential.

    Examples
    --------
    >>> pulse = exponential(0.001)
    >>> round(pulse.t01 / pulse.t05, 4)
    3.3219

    References
    ----------
    Derived here; t0.5 and t0.1 as in ISO 2827:1988, quoted by a secondary text.
    """
    tau = one(DECAY, decay)
    return LightCurve(
        "exponential",
        end=-tau * math.log(LEFT_OUT),
        peak_time=0.0,
        area=tau,
        intensity_function=lambda t: np.where(t < 0, 0.0, np.exp(-np.maximum(t, 0) / tau)),
        cumulative_function=lambda t: -np.expm1(-np.maximum(t, 0) / tau),
    )


def rectangular(length: float) -> LightCurve:
    """Make a flash of steady brightness between two instants.

    .. math:: i(t) = 1 \\quad 0 \\le t \\le T

    Parameters
    ----------
    length : float
        Length of the pulse, T [s].

    Returns
    -------
    LightCurve
        t0.5 = t0.1 = T.

    Raises
    ------
    ValueError
        If the length is not above 0 and at most 10 s.

    Notes
    -----
    Valid as a shape; a quenched flash at half power comes near it.

    Examples
    --------
    >>> float(rectangular(0.001).share_inside(0.5))
    1.0

    References
    ----------
    Derived here.
    """
    width = one(WIDTH, length)
    return LightCurve(
        "rectangular",
        end=width,
        peak_time=0.0,
        peak_end=width,
        area=width,
        intensity_function=lambda t: np.where((t >= 0) & (t <= width), 1.0, 0.0),
        cumulative_function=lambda t: np.clip(t / width, 0, 1),
    )


def sawtooth(length: float) -> LightCurve:
    """Make a flash that rises evenly and stops short.

    .. math:: i(t) = t/T \\quad 0 \\le t \\le T

    Parameters
    ----------
    length : float
        Length of the pulse, T [s].

    Returns
    -------
    LightCurve
        t0.5 = T/2, t0.1 = 0.9 T.

    Raises
    ------
    ValueError
        If the length is not above 0 and at most 10 s.

    Notes
    -----
    Valid as a shape; a quenched flash at its lowest powers comes near it.

    Examples
    --------
    >>> round(sawtooth(0.001).t01, 7)
    0.0009

    References
    ----------
    Derived here.
    """
    width = one(WIDTH, length)
    return LightCurve(
        "sawtooth",
        end=width,
        peak_time=width,
        area=width / 2,
        intensity_function=lambda t: np.where((t >= 0) & (t <= width), np.clip(t, 0, width) / width, 0.0),
        cumulative_function=lambda t: np.square(np.clip(t, 0, width) / width),
    )


def triangle(length: float) -> LightCurve:
    """Make a flash that rises evenly and falls evenly.

    .. math:: i(t) = 1 - |2t/T - 1| \\quad 0 \\le t \\le T

    Parameters
    ----------
    length : float
        Length of the base, T [s].

    Returns
    -------
    LightCurve
        t0.5 = T/2, t0.1 = 0.9 T.

    Raises
    ------
    ValueError
        If the length is not above 0 and at most 10 s.

    Notes
    -----
    Valid as a shape only.

    Examples
    --------
    >>> round(float(triangle(0.001).share_inside(0.5)), 6)
    0.75

    References
    ----------
    Derived here.
    """
    width = one(WIDTH, length)

    def cumulative(t: Any) -> Any:
        x = np.clip(t, 0, width) / width
        return np.where(x <= 0.5, 2 * np.square(x), 1 - 2 * np.square(1 - x))

    return LightCurve(
        "triangle",
        end=width,
        peak_time=width / 2,
        area=width / 2,
        intensity_function=lambda t: 1 - np.abs(2 * np.clip(t, 0, width) / width - 1),
        cumulative_function=cumulative,
    )


def gaussian(sigma: float) -> LightCurve:
    """Make a bell-shaped flash, its peak five sigmas after the start.

    .. math:: i(t) = e^{-(t - 5\\sigma)^2 / 2\\sigma^2}

    Parameters
    ----------
    sigma : float
        Spread of the bell [s].

    Returns
    -------
    LightCurve
        t0.5 = 2.355 sigma, t0.1 = 4.292 sigma.

    Raises
    ------
    ValueError
        If sigma is not above 0 and at most 10 s.

    Notes
    -----
    Valid as a shape only. The bell has no first light; time 0 is five sigmas before its peak.

    Examples
    --------
    >>> round(gaussian(1.0).t05, 5)
    2.35482

    References
    ----------
    Derived here.
    """
    spread = one(WIDTH, sigma)
    middle = _GAUSS_REACH * spread

    def cumulative(t: Any) -> Any:
        return 0.5 + 0.5 * np.asarray(_erf((t - middle) / (spread * math.sqrt(2))), dtype=float)

    return LightCurve(
        "gaussian",
        end=2 * middle,
        peak_time=middle,
        area=spread * math.sqrt(2 * math.pi),
        intensity_function=lambda t: np.exp(-0.5 * np.square((t - middle) / spread)),
        cumulative_function=cumulative,
    )


def critically_damped(time_unit: float) -> LightCurve:
    """Make the flash of a capacitor, a coil and a plain resistor, damped so that it just does not swing.

    .. math:: i(t) \\propto (x e^{-x})^2, \\quad x = t/\\sqrt{LC}

    Parameters
    ----------
    time_unit : float
        The circuit's time, root of L times C [s].

    Returns
    -------
    LightCurve
        t0.5 = 1.697, t0.1 = 3.232 of the circuit's time.

    Raises
    ------
    ValueError
        If the time is not above 0 and at most 10 s.

    Notes
    -----
    Valid for a resistor. A flash lamp is not one: see :func:`splashkit.flash.lamp_pulse`.

    Examples
    --------
    >>> round(critically_damped(1.0).t05, 5)
    1.69734

    References
    ----------
    Derived here.
    """
    unit = one(WIDTH, time_unit)

    def intensity(t: Any) -> Any:
        x = np.clip(t / unit, 0, 700)  # beyond 700 the light is nought in a double anyway
        return np.square(x * np.exp(1 - x))

    def cumulative(t: Any) -> Any:
        x = np.clip(t / unit, 0, 700)
        return 1 - np.exp(-2 * x) * (1 + 2 * x + 2 * np.square(x))

    return LightCurve(
        "critically damped circuit",
        end=10 * unit,  # 4.6e-7 of the light is left
        peak_time=unit,
        area=unit * math.exp(2) / 4,
        intensity_function=intensity,
        cumulative_function=cumulative,
    )


def lamp_law(tau: float, cut: float | None = None) -> LightCurve:
    """Make the flash of a capacitor emptying through a xenon lamp, which may go out before the end.

    .. math:: i(t) = (1 + t/\\tau)^{-3}

    Parameters
    ----------
    tau : float
        The lamp's time, K0 squared times C over V0 [s].
    cut : float or None
        Time at which the lamp goes out or is switched off; None for never [s].

    Returns
    -------
    LightCurve
        t0.5 = 0.26 tau, t0.1 = 1.154 tau; its energy is the share of the light out before the cut.

    Raises
    ------
    ValueError
        If tau is not above 0 and at most 10 s, or the cut not above 0 and at most 100 s.

    Notes
    -----
    Valid where the coil is small and the capacitor large, so that the rise is short beside tau.
    Uncut, the tail is long: a millionth of the light is left after 999 tau.

    Examples
    --------
    >>> pulse = lamp_law(0.002)
    >>> round(pulse.t05 * 1e6, 1), round(pulse.t01 * 1e6, 1)
    (519.8, 2308.9)

    References
    ----------
    Lamp voltage as the root of the current: Goncz (1965), from memory; the time law is derived here.
    """
    unit = one(DECAY, tau)
    last = unit * (LEFT_OUT**-0.5 - 1) if cut is None else one(CUT, cut)
    stop = math.inf if cut is None else last
    total = 1 - (1 + stop / unit) ** -2

    # products rather than powers, which differ in the last digit between a number and an array
    def intensity(t: Any) -> Any:
        y = 1 / (1 + np.maximum(t, 0) / unit)
        return np.where((t < 0) | (t > stop), 0.0, y * y * y)

    def cumulative(t: Any) -> Any:
        y = 1 / (1 + np.clip(t, 0, stop) / unit)
        return (1 - y * y) / total

    return LightCurve(
        "lamp law",
        end=last,
        peak_time=0.0,
        area=unit / 2 * total,
        intensity_function=intensity,
        cumulative_function=cumulative,
        energy=total,
    )


def double_exponential(rise: float, decay: float, cut: float | None = None, afterglow: float = 0.0) -> LightCurve:
    """Make a flash that lights up in one time, dies away in another, and may be cut short.

    .. math:: i(t) \\propto (1 - e^{-t/\\tau_r}) e^{-t/\\tau_d}, \\quad i(t > t_c) = i(t_c) e^{-(t - t_c)/\\tau_a}

    Parameters
    ----------
    rise : float
        Rise time, tau_r [s].
    decay : float
        Decay time, tau_d [s].
    cut : float or None
        Time at which the lamp is switched off, t_c; None for never [s].
    afterglow : float
        Time in which the gas glows on after the cut, tau_a; 0 for none [s].

    Returns
    -------
    LightCurve
        Its energy is its share of the light of the same flash left uncut.

    Raises
    ------
    ValueError
        If a time lies out of range, or the afterglow is not shorter than the decay.

    Notes
    -----
    Valid as a teaching shape for rise and decay above 0. An afterglow after a cut near the peak adds
    tau_a ln 2 to t0.5 and tau_a ln 10 to t0.1.

    Examples
    --------
    >>> round(double_exponential(0.05, 1.0).t05, 6)
    0.866906

    References
    ----------
    Derived here.
    """
    tau_r, tau_d, tau_a = one(RISE, rise), one(DECAY, decay), one(AFTERGLOW, afterglow)
    check_afterglow(tau_a, tau_d)
    stop = math.inf if cut is None else one(CUT, cut)
    peak_time = float(min(tau_r * math.log1p(tau_d / tau_r), stop))
    peak = float(unit_brightness(peak_time, tau_r, tau_d))
    full = tau_d**2 / (tau_r + tau_d)
    glow = 0.0 if cut is None else tau_a * float(unit_brightness(stop, tau_r, tau_d))
    total = (full if cut is None else float(unit_light(stop, tau_r, tau_d))) + glow

    def intensity(t: Any) -> Any:
        lit = unit_brightness(np.clip(t, 0, stop), tau_r, tau_d) / peak
        if tau_a == 0 or cut is None:
            return np.where(t <= stop, lit, 0.0)
        return lit * np.exp(-np.maximum(t - stop, 0) / tau_a)

    def cumulative(t: Any) -> Any:
        light = unit_light(np.clip(t, 0, stop), tau_r, tau_d)
        if glow:
            light = light - glow * np.expm1(-np.maximum(t - stop, 0) / tau_a)
        return light / total

    tail = tau_d * math.log((1 + tau_r / tau_d) / LEFT_OUT) if cut is None else stop - tau_a * math.log(LEFT_OUT)
    return LightCurve(
        "double exponential",
        end=tail,
        peak_time=peak_time,
        area=total / peak,
        intensity_function=intensity,
        cumulative_function=cumulative,
        energy=min(total / full, 1.0),
    )


def check_afterglow(afterglow: float, decay: float) -> None:
    """Refuse an afterglow that outlasts the lamp's own decay: a cut would then add light."""
    require(
        afterglow < decay,
        "afterglow time",
        f"{afterglow:g} s with a decay of {decay:g} s",
        "shorter than the decay",
        "give a few microseconds, or 0 for none",
    )


def unit_brightness(time: Number, rise: float, decay: float) -> Any:
    """Brightness of the uncut double exponential at times of 0 and later, not scaled to its peak."""
    return -np.expm1(-time / rise) * np.exp(-time / decay)


def unit_light(time: Number, rise: float, decay: float) -> Any:
    """Light of the uncut double exponential by a time of 0 or later [s at unit brightness]."""
    quick = rise * decay / (rise + decay)
    return quick * np.expm1(-time / quick) - decay * np.expm1(-time / decay)
