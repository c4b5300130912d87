"""Three ways in which a flash unit makes less light, and what each does to the duration.

The numbers of these three invented units are assumed for teaching; none belongs to a real one. A
photographer must measure the own unit: durations of units on sale differ by more than a factor of two.

Colour, direction only, no size claimed: a lamp's colour follows its current. Cut short, it keeps the hot
start and looks bluer at low power. Fed from a lower voltage, it looks redder. The tail of a full flash is
redder than its start.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.checks import Choice, Number
from splashkit.estimate import Estimate
from splashkit.flash.curve import LightCurve, first_true, one
from splashkit.flash.lamp import CAPACITANCE, FULL_VOLTAGE, LAMP_CONSTANT, POWER, TURN_OFF_VOLTAGE
from splashkit.flash.shapes import (
    AFTERGLOW,
    DECAY,
    RISE,
    check_afterglow,
    double_exponential,
    lamp_law,
    unit_brightness,
    unit_light,
)

RISE_TIME = 20e-6  # [s] assumed: teaching model of a quenched unit
DECAY_TIME = 1.0e-3  # [s] assumed
LAMP_TIME = LAMP_CONSTANT**2 * CAPACITANCE / FULL_VOLTAGE  # [s] 2 ms, from the assumed circuit
BURN_OUT = FULL_VOLTAGE / TURN_OFF_VOLTAGE - 1  # the lamp goes out after this many lamp times

# Common practice, no source: full power 1/200 to 1/1000 s; 1/128 power 1/20 000 to 1/40 000 s. The models
# give 1/417 and 1/51 700 s; this factor up and down covers all of it.
DURATION_FACTOR = 2.6

UNITS = {
    "quench": "quench-controlled: the lamp is switched off early",
    "voltage": "voltage-controlled: the capacitor is charged to less",
    "capacitor": "capacitor-switched: fewer capacitors are used",
}
KIND = Choice("kind of flash unit", tuple(UNITS))
LEVEL_KIND = Choice("kind of duration", ("t0.5", "t0.1"), "t0.5 is above half the peak, t0.1 above a tenth")


def quench_cut(power: Number, rise: float = RISE_TIME, decay: float = DECAY_TIME) -> Any:
    """Return when a quenched flash must be cut to give a share of its full light.

    .. math:: \\int_0^{t_c} (1 - e^{-t/\\tau_r}) e^{-t/\\tau_d} dt = p \\frac{\\tau_d^2}{\\tau_r + \\tau_d}

    Parameters
    ----------
    power : float or array
        Share of full power, p [1].
    rise : float
        Rise time of the light, tau_r [s].
    decay : float
        Decay time of the light, tau_d [s].

    Returns
    -------
    float or array
        Time of the cut; infinite at full power, where nothing is cut [s].

    Raises
    ------
    ValueError
        If the power is not above 0 and at most 1, or a time not above 0 and at most 10 s.

    Notes
    -----
    Valid for the double-exponential shape. With no rise time it is -tau_d ln(1 - p). At very low power
    it is the root of 2 tau_r tau_d p (rise short beside decay): half the power then shortens by 0.71 only.

    Examples
    --------
    >>> round(float(quench_cut(0.5)) * 1e6, 2)
    712.95

    References
    ----------
    Derived here; rise 20 µs and decay 1 ms are assumed for teaching.
    """
    share, tau_r, tau_d = POWER(power), one(RISE, rise), one(DECAY, decay)
    return _cut(share, tau_r, tau_d, 0.0)


def _cut(share: Any, rise: float, decay: float, afterglow: float) -> Any:
    part = np.where(share < 1, share, 0.5)
    full = decay**2 / (rise + decay)
    latest = decay * (math.log1p(rise / decay) - np.log1p(-part))

    def enough(t: Any) -> Any:
        return unit_light(t, rise, decay) + afterglow * unit_brightness(t, rise, decay) >= part * full

    return np.where(share < 1, first_true(enough, np.zeros_like(part), latest), np.inf)[()]


def quench_controlled(
    power: float, rise: float = RISE_TIME, decay: float = DECAY_TIME, afterglow: float = 0.0
) -> LightCurve:
    """Make the flash of a unit that makes less light by switching the lamp off early.

    .. math:: i(t) \\propto (1 - e^{-t/\\tau_r}) e^{-t/\\tau_d}, \\quad 0 \\le t \\le t_c(p)

    Parameters
    ----------
    power : float
        Share of full power, p [1].
    rise : float
        Rise time of the light, tau_r [s].
    decay : float
        Decay time of the light, tau_d [s].
    afterglow : float
        Time in which the gas glows on after the cut; 0 for none [s].

    Returns
    -------
    LightCurve
        Lower power is shorter. Its energy equals the power, afterglow included.

    Raises
    ------
    ValueError
        If an input lies out of range, or the afterglow is not shorter than the decay.

    Notes
    -----
    Valid as a teaching model; rise and decay are assumed. Expect a real unit within a factor of 2.6 in
    duration, and measure yours. An afterglow of a few µs keeps real flashes from getting much below 10 µs.

    Examples
    --------
    >>> round(quench_controlled(1 / 16).t01 * 1e6, 1)
    82.1

    References
    ----------
    Derived here; that such units shorten with power is common practice. Rise 20 µs, decay 1 ms: assumed.
    """
    share, tau_r, tau_d = one(POWER, power), one(RISE, rise), one(DECAY, decay)
    tau_a = one(AFTERGLOW, afterglow)
    check_afterglow(tau_a, tau_d)
    cut = float(_cut(share, tau_r, tau_d, tau_a))
    curve = double_exponential(tau_r, tau_d, None if math.isinf(cut) else cut, tau_a)
    return replace(curve, name=UNITS["quench"], energy=share)


def voltage_controlled(power: float, tau: float = LAMP_TIME) -> LightCurve:
    """Make the flash of a unit that makes less light by charging its capacitor to a lower voltage.

    .. math:: i(t) \\propto (1 + t/\\tau_p)^{-3}, \\quad \\tau_p = \\tau / \\sqrt{p}

    Parameters
    ----------
    power : float
        Share of full power, p [1].
    tau : float
        The lamp's time at full power, tau [s].

    Returns
    -------
    LightCurve
        Lower power is longer: 1.41 times at 1/2, 2.83 times at 1/8. Its energy equals the power.

    Raises
    ------
    ValueError
        If the power is not above 0 and at most 1, or tau not above 0 and at most 10 s.

    Notes
    -----
    Valid as a teaching model; tau of 2 ms is assumed. The lamp is let go out at a fifth of its starting
    voltage. Real units stop near 1/8 or 1/16, before the lamp fails; see :func:`lamp_circuit`. Expect a
    real unit within a factor of 2.6 in duration, and measure yours.

    Examples
    --------
    >>> round(voltage_controlled(1 / 8).t05 / voltage_controlled(1).t05, 3)
    2.828

    References
    ----------
    Derived here from the lamp law of Goncz (1965), from memory; stored energy is C V^2 / 2.
    """
    share = one(POWER, power)
    longer = one(DECAY, tau) / math.sqrt(share)
    return replace(lamp_law(longer, BURN_OUT * longer), name=UNITS["voltage"], energy=share)


def capacitor_switched(power: float, tau: float = LAMP_TIME) -> LightCurve:
    """Make the flash of a unit that makes less light by using fewer of its capacitors.

    .. math:: i(t) \\propto (1 + t/\\tau_p)^{-3}, \\quad \\tau_p = p \\tau

    Parameters
    ----------
    power : float
        Share of full power, p [1].
    tau : float
        The lamp's time at full power, tau [s].

    Returns
    -------
    LightCurve
        Half the power is half as long. Its energy equals the power.

    Raises
    ------
    ValueError
        If the power is not above 0 and at most 1, or tau not above 0 and at most 10 s.

    Notes
    -----
    Valid as a teaching model; tau of 2 ms is assumed, and the rise of the light is left out, so the lowest
    powers come out too short. Expect a real unit within a factor of 2.6 in duration, and measure yours.

    Examples
    --------
    >>> round(capacitor_switched(1 / 4).t01 / capacitor_switched(1).t01, 3)
    0.25

    References
    ----------
    Derived here from the lamp law of Goncz (1965), from memory.
    """
    share = one(POWER, power)
    shorter = share * one(DECAY, tau)
    return replace(lamp_law(shorter, BURN_OUT * shorter), name=UNITS["capacitor"], energy=share)


_MAKERS: dict[str, Callable[[float], LightCurve]] = {
    "quench": quench_controlled,
    "voltage": voltage_controlled,
    "capacitor": capacitor_switched,
}


@lru_cache(maxsize=512)
def _ready(kind: str, power: float) -> LightCurve:
    return _MAKERS[kind](power)


def light_curve(kind: str, power: float) -> LightCurve:
    """Return the flash of one of the three teaching units at a power, made once and kept.

    .. math:: \\int i(t) dt \\propto p

    Parameters
    ----------
    kind : str
        ``'quench'``, ``'voltage'`` or ``'capacitor'`` [word].
    power : float
        Share of full power, p [1].

    Returns
    -------
    LightCurve
        The unit's light at that power.

    Raises
    ------
    ValueError
        If the kind is another word, or the power not above 0 and at most 1.

    Notes
    -----
    Valid as the three teaching models are: see each of them. Measure your own unit.

    Examples
    --------
    >>> round(light_curve("quench", 1 / 128).t05 * 1e6, 2)
    12.99

    References
    ----------
    Derived here.
    """
    return _ready(KIND(kind), one(POWER, power))


def durations(kind: str, powers: Number) -> tuple[Any, Any]:
    """Return t0.5 and t0.1 of a teaching unit at many powers at once.

    .. math:: t_{0.5},\\ t_{0.1} = \\text{time with } i(t) > 0.5,\\ 0.1

    Parameters
    ----------
    kind : str
        ``'quench'``, ``'voltage'`` or ``'capacitor'`` [word].
    powers : float or array
        Shares of full power [1].

    Returns
    -------
    tuple
        t0.5 and t0.1, each of the shape of the powers [s].

    Raises
    ------
    ValueError
        If the kind is another word, or a power not above 0 and at most 1.

    Notes
    -----
    Valid as the teaching models are: expect real units within a factor of 2.6, and measure yours.

    Examples
    --------
    >>> half, tenth = durations("quench", [1, 0.5])
    >>> (half * 1e6).round(1).tolist(), (tenth * 1e6).round(1).tolist()
    ([779.3, 700.7], [2399.1, 711.0])

    References
    ----------
    Derived here; t0.5 and t0.1 as in ISO 2827:1988, quoted by a secondary text.
    """
    kind, share = KIND(kind), POWER(powers)
    if kind != "quench":
        tau = LAMP_TIME * (share if kind == "capacitor" else 1 / np.sqrt(share))
        return (2 ** (1 / 3) - 1) * tau, (10 ** (1 / 3) - 1) * tau
    cut = _cut(share, RISE_TIME, DECAY_TIME, 0.0)
    top = np.minimum(cut, RISE_TIME * math.log1p(DECAY_TIME / RISE_TIME))
    last = np.minimum(cut, 20 * DECAY_TIME)  # far past a tenth of the peak
    peak = unit_brightness(top, RISE_TIME, DECAY_TIME)

    def above(level: float) -> Any:
        wanted = level * peak
        rises = first_true(lambda t: unit_brightness(t, RISE_TIME, DECAY_TIME) >= wanted, np.zeros_like(top), top)
        falls = first_true(lambda t: unit_brightness(t, RISE_TIME, DECAY_TIME) < wanted, top, last)
        return falls - rises

    return above(0.5), above(0.1)


def duration_estimate(kind: str, power: Number, level: str = "t0.1") -> Estimate:
    """Return the duration a unit of this kind may have, with its wide band.

    .. math:: t / 2.6 \\dots 2.6\\, t

    Parameters
    ----------
    kind : str
        ``'quench'``, ``'voltage'`` or ``'capacitor'`` [word].
    power : float or array
        Share of full power [1].
    level : str
        ``'t0.5'`` or ``'t0.1'`` [word].

    Returns
    -------
    Estimate
        Duration with a band of a factor 2.6 up and down [s].

    Raises
    ------
    ValueError
        If the kind or the level is another word, or the power not above 0 and at most 1.

    Notes
    -----
    Valid for small units of the kind people put on a camera. The band only says what is usual: measure yours.

    Examples
    --------
    >>> duration_estimate("quench", 1 / 16).text("s")
    '82.1 µs (31.6 to 214 µs)'

    References
    ----------
    Band: common practice, no source (full power 1/200 to 1/1000 s, 1/128 power 1/20 000 to 1/40 000 s).
    """
    times = durations(kind, power)
    value = times[0] if LEVEL_KIND(level) == "t0.5" else times[1]
    why = "a teaching model, not your unit: usual units lie within a factor of 2.6; measure yours"
    return Estimate(value, value / DURATION_FACTOR, value * DURATION_FACTOR, why)
