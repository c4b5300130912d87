"""A xenon lamp fed from a capacitor through a coil: the circuit solved step by step.

In scaled form (Markiewicz and Emmett 1966, from memory) the current I and the charge gone Q obey

    dI/dx + alpha sqrt(I) + Q = 1,   dQ/dx = I,   x = t / sqrt(L C)

because the lamp's voltage grows as the root of its current (Goncz 1965, from memory). Light is taken as
the lamp's electrical power, I to the power 1.5. Multiplying the first line by I and integrating gives the
light out so far without summing it: (Q - Q^2/2 - I^2/2) / alpha.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.checks import Choice, Number, Range, require
from splashkit.flash.curve import LightCurve, one
from splashkit.flash.shapes import WIDTH

# A small unit as general texts on flash circuits describe it: 300 V, about 150 A, out near 60 V.
# Capacitor and coil are assumed. None of these numbers was measured.
CAPACITANCE = 1000e-6  # [F] assumed
INDUCTANCE = 20e-6  # [H] assumed
FULL_VOLTAGE = 300.0  # [V]
TURN_OFF_VOLTAGE = 60.0  # [V]
LAMP_CONSTANT = 300.0 / math.sqrt(150.0)  # K0 [V per root ampere]

DAMPING = Range("damping number alpha", "1", 0.1, 30, "give about 0.8 for a lamp that just does not swing")
POWER = Range("flash power", "1", 0, 1, "give the share of full power: 1/16 is 0.0625", open_low=True)
RATIO = Range("turn-off share of the voltage", "1", 0, 1, "give 0.2 for 60 V of 300 V", open_high=True)
CONTROL = Choice("power control", ("quench", "voltage"))

_QUIET = 5e-4  # (V^2 / alpha^4) below which the current follows the voltage, and the tail is closed-form


def lamp_pulse(damping: float, time_unit: float) -> LightCurve:
    """Make the flash of a capacitor, a coil and a xenon lamp that burns to the end.

    .. math:: dI/dx + \\alpha \\sqrt{I} + Q = 1, \\quad i \\propto I^{1.5}, \\quad x = t/\\sqrt{LC}

    Parameters
    ----------
    damping : float
        The circuit's alpha, K0 over the root of V0 times the root of L over C [1].
    time_unit : float
        The circuit's time, root of L times C [s].

    Returns
    -------
    LightCurve
        Solved once step by step, then read from a smooth table.

    Raises
    ------
    ValueError
        If alpha lies outside 0.1 to 30, or the time is not above 0 and at most 10 s.

    Notes
    -----
    Valid for lamps at ordinary current, with full arcs. Below alpha of about 0.8 the current comes to a
    stop and the lamp goes out; it is not let swing back. Durations agree with the reference within 0.1 %.

    Examples
    --------
    >>> round(lamp_pulse(0.8, 1.0).t05, 3)
    1.796

    References
    ----------
    Circuit: Markiewicz and Emmett (1966); lamp law: Goncz (1965); both from memory. Solved here.
    """
    unit = one(WIDTH, time_unit)
    x, light, rate = _solve(one(DAMPING, damping), -1.0)
    return _tabulated("lamp circuit", x * unit, light, rate / unit)


def lamp_circuit(power: float = 1.0, control: str = "quench") -> LightCurve:
    """Make the flash of a small unit whose circuit is solved, at any power, by either kind of control.

    .. math:: V_0(p) = \\sqrt{V_x^2 + p (V_f^2 - V_x^2)}, \\quad \\alpha = K_0 / \\sqrt{V_0 \\sqrt{L/C}}

    Parameters
    ----------
    power : float
        Share of full power [1].
    control : str
        ``'quench'`` (same voltage, cut early) or ``'voltage'`` (lower voltage, left to burn out) [word].

    Returns
    -------
    LightCurve
        Solved once step by step, then read from a smooth table.

    Raises
    ------
    ValueError
        If the power is not above 0 and at most 1, or the control is another word.

    Notes
    -----
    Valid as a picture of the mechanism: 1000 µF, 20 µH, 300 V, out at 60 V are assumed, not measured.
    By voltage the flash grows longer down to about 1/32 in t0.5 and 1/8 in t0.1; lower, the lamp just
    goes out and the trend breaks. Real units stop before that.

    Examples
    --------
    >>> pulse = lamp_circuit(0.125, "voltage")
    >>> pulse.t05 > lamp_circuit(1.0).t05
    True

    References
    ----------
    Circuit size from a general text on flash circuits; equations as in :func:`lamp_pulse`.
    """
    return _circuit(one(POWER, power), CONTROL(control))


def lamp_cut(power: Number, tau: float, turn_off: float = TURN_OFF_VOLTAGE / FULL_VOLTAGE) -> Any:
    """Return when a lamp without a coil must be cut to give a share of its full light.

    .. math:: t_c = \\tau \\left( \\frac{1}{\\sqrt{1 - p (1 - r^2)}} - 1 \\right)

    Parameters
    ----------
    power : float or array
        Share of full power, p [1].
    tau : float
        The lamp's time, K0 squared times C over V0 [s].
    turn_off : float
        Voltage at which the lamp goes out over the starting voltage, r; 0 if never [1].

    Returns
    -------
    float or array
        Time of the cut after the first light; infinite at full power if the lamp never goes out [s].

    Raises
    ------
    ValueError
        If the power is not above 0 and at most 1, tau not above 0, or the ratio not from 0 to below 1.

    Notes
    -----
    Valid while the cut comes much later than the rise of the light; near the rise it is too early.

    Examples
    --------
    >>> round(float(lamp_cut(0.5, 0.002)) * 1e6, 3)
    773.501

    References
    ----------
    Derived here from the lamp law of Goncz (1965), from memory.
    """
    share, ratio = POWER(power), one(RATIO, turn_off)
    with np.errstate(divide="ignore"):
        return one(WIDTH, tau) * (1 / np.sqrt(1 - share * (1 - ratio**2)) - 1)


@lru_cache(maxsize=256)
def _circuit(power: float, control: str) -> LightCurve:
    unit = math.sqrt(INDUCTANCE * CAPACITANCE)
    stored = FULL_VOLTAGE**2 - TURN_OFF_VOLTAGE**2
    voltage = FULL_VOLTAGE if control == "quench" else math.sqrt(TURN_OFF_VOLTAGE**2 + power * stored)
    damping = LAMP_CONSTANT / math.sqrt(voltage * math.sqrt(INDUCTANCE / CAPACITANCE))
    x, light, rate = _solve(damping, TURN_OFF_VOLTAGE / voltage)
    name = f"lamp circuit, {control}-controlled"
    if control == "voltage":
        # light in units of the capacitor's C V^2, over that of the full dump
        start = LAMP_CONSTANT / math.sqrt(FULL_VOLTAGE * math.sqrt(INDUCTANCE / CAPACITANCE))
        full_light = start * _solve(start, TURN_OFF_VOLTAGE / FULL_VOLTAGE)[1][-1] * FULL_VOLTAGE**2
        return _tabulated(name, x * unit, light, rate / unit, damping * light[-1] * voltage**2 / full_light)
    full = _tabulated(name, x * unit, light, rate / unit)
    if power == 1:
        return full
    cut = full.time_at_share(power)
    keep = x * unit < cut
    end_light, end_rate = power * light[-1], full.intensity(cut) * light[-1] / full.area
    return _tabulated(
        name,
        np.append(x[keep] * unit, cut),
        np.append(light[keep], end_light),
        np.append(rate[keep] / unit, end_rate),
        power,
    )


@lru_cache(maxsize=64)
def _solve(alpha: float, stop: float) -> tuple[Any, Any, Any]:
    """Solve the scaled circuit down to a share of the voltage (-1: to the end); give time, light so far and brightness.

    Fourth-order Runge-Kutta in plain floats (faster than numpy for two numbers), the step kept short beside
    the time in which the current follows the voltage. Once it follows closely, the rest is closed-form.
    """
    x = 1e-5 * min(1.0, alpha**-2)
    current, charge = x - 2 / 3 * alpha * x**1.5, x**2 / 2
    rows = [(0.0, 0.0, 0.0), (x, current, charge)]
    sqrt = math.sqrt

    def slope(i: float, q: float) -> float:
        return 1 - q - alpha * sqrt(i if i > 0 else 0.0)

    while True:
        step = min(0.06 * x, 0.02 + 0.01 * x, 0.8 * sqrt(current) / alpha)
        a1, b1 = slope(current, charge), current
        if a1 < 0:  # walk, do not jump, towards the end of the current
            step = min(step, 0.3 * current / -a1)
        i, q = current + step / 2 * a1, charge + step / 2 * b1
        a2, b2 = slope(i, q), i
        i, q = current + step / 2 * a2, charge + step / 2 * b2
        a3, b3 = slope(i, q), i
        i, q = current + step * a3, charge + step * b3
        a4, b4 = slope(i, q), i
        i = current + step / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
        q = charge + step / 6 * (b1 + 2 * b2 + 2 * b3 + b4)
        if i <= 1e-8 or 1 - q <= stop:
            break
        x, current, charge = x + step, i, q
        rows.append((x, current, charge))
        left, ratio = 1 - charge, (1 - charge) ** 2 / alpha**4
        follows = left > 0 and abs(alpha * sqrt(current) / left - 1 - 2 * ratio - 24 * ratio**2) < 1e-5
        if ratio < _QUIET and follows:
            rows += _tail(alpha, x, left, max(stop, 1e-3))
            return _table(rows, alpha)
    if i <= 1e-8:  # the current comes to a stop: one last step with the current as the clock
        x, charge = x + current / abs(slope(current / 4, charge)), charge
        rows.append((x, 0.0, charge))
    else:  # the lamp goes out at a known voltage: one last step with the charge as the clock
        step = 1 - stop - charge
        middle = current + step / 2 * slope(current, charge) / current
        x += step / middle
        current += step * slope(middle, charge + step / 2) / middle
        rows.append((x, current, 1 - stop))
    return _table(rows, alpha)


def _tail(alpha: float, x: float, left: float, stop: float) -> list[tuple[float, float, float]]:
    """Follow the voltage down in closed form: alpha sqrt(I) = V (1 + 2 d + 24 d^2), d = V^2 / alpha^4."""
    if left <= stop:
        return []
    voltage = np.geomspace(left, stop, 400)[1:]
    ratio = voltage**2 / alpha**4
    later = alpha**2 * (1 / voltage - 1 / left)
    later -= 4 / alpha**2 * (left - voltage) + 12 / alpha**6 * (left**3 - voltage**3)
    current = (voltage / alpha * (1 + 2 * ratio + 24 * ratio**2)) ** 2
    return list(zip(x + later, current, 1 - voltage, strict=True))


def _table(rows: list[tuple[float, float, float]], alpha: float) -> tuple[Any, Any, Any]:
    x, current, charge = np.array(rows).T
    light = np.maximum.accumulate((charge - charge**2 / 2 - current**2 / 2) / alpha)
    return x, light, current**1.5


def _tabulated(name: str, times: Any, light: Any, rate: Any, energy: float = 1.0) -> LightCurve:
    """Make a light curve from light and its rate at some times: a cubic between each two, rising throughout."""
    require(len(times) >= 3, "table of the lamp", f"{len(times)} rows", "3 rows or more", "choose a higher power")
    top = int(np.argmax(rate))
    peak_time, peak = float(times[top]), float(rate[top])
    if 0 < top < len(times) - 1:  # the true peak lies between two rows: put a parabola through three
        a, b, c = np.polyfit(times[top - 1 : top + 2] - peak_time, rate[top - 1 : top + 2] / peak, 2)
        if a < 0:
            peak_time, peak = peak_time - b / (2 * a), peak * (c - b**2 / (4 * a))
    total, widths, gains = light[-1], np.diff(times), np.diff(light)
    last = len(times) - 2

    def place(t: Any) -> tuple[Any, Any]:
        index = np.clip(np.searchsorted(times, t, side="right") - 1, 0, last)
        return index, np.clip((t - times[index]) / widths[index], 0, 1)

    def cumulative(t: Any) -> Any:
        k, s = place(t)
        first, second = widths[k] * rate[k], widths[k] * rate[k + 1]
        return (
            light[k] + s * (first + s * (3 * gains[k] - 2 * first - second + s * (first + second - 2 * gains[k])))
        ) / (total)

    def intensity(t: Any) -> Any:
        k, s = place(t)
        first, second = widths[k] * rate[k], widths[k] * rate[k + 1]
        bend = 6 * gains[k] - 4 * first - 2 * second + 3 * s * (first + second - 2 * gains[k])
        value = np.clip((first + s * bend) / widths[k] / peak, 0, 1)
        return np.where((t < 0) | (t > times[-1]), 0.0, value)

    return LightCurve(
        name,
        end=float(times[-1]),
        peak_time=peak_time,
        area=float(total / peak),
        intensity_function=intensity,
        cumulative_function=cumulative,
        energy=energy,
    )
