"""A pulsed burn (high-speed sync): the lamp flickers tens of thousands of times a second for one long glow."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from splashkit.checks import Range, require
from splashkit.flash.curve import LightCurve, one

PULSE_FREQUENCY = 40e3  # [Hz] tens of kHz: common practice, no source
DUTY = 0.2  # share of each period with light: assumed
GLOW = 0.0  # light between the pulses: assumed dark; real lamps glow on a little

BURN = Range("length of the burn", "s", 0, 10, "give seconds: exposure time plus curtain travel", open_low=True)
FREQUENCY = Range("pulse frequency", "Hz", 1, 1e7, "give pulses a second, such as 40000")
DUTY_RANGE = Range("share of each period with light", "1", 0, 1, "give a share such as 0.2", open_low=True)
GLOW_RANGE = Range("light between the pulses", "1", 0, 1, "give a share of the peak; 0 is dark, 1 is steady")
PHASE = Range(
    "phase of the first pulse", "1", 0, 1, "give the share of a period already gone at time 0", open_high=True
)
ENERGY = Range("light of the burn", "1", 0, 1, "give the share of the unit's full-power light", open_low=True)


def pulsed_burn(
    duration: float,
    frequency: float = PULSE_FREQUENCY,
    duty: float = DUTY,
    glow: float = GLOW,
    phase: float = 0.0,
    energy: float = 1.0,
) -> LightCurve:
    """Make the long flickering glow that lights a frame while a narrow slit crosses it.

    .. math:: i(t) = 1 \\text{ if } (f t + \\varphi) \\bmod 1 < d, \\text{ else } g

    Parameters
    ----------
    duration : float
        Length of the burn [s].
    frequency : float
        Pulses a second, f [Hz].
    duty : float
        Share of each period at full light, d [1].
    glow : float
        Light between the pulses as a share of the peak, g; 1 makes the burn steady [1].
    phase : float
        Share of a period already gone at time 0, phi [1].
    energy : float
        Light of the whole burn as a share of the unit's full-power light [1].

    Returns
    -------
    LightCurve
        Its light is summed in closed form: a thousand pulses cost no more than one.

    Raises
    ------
    ValueError
        If an input lies out of range, or no pulse falls inside the burn.

    Notes
    -----
    Valid for equal pulses with sharp edges, a simplification: a real burn sags and its pulses are rounded.
    t0.5 and t0.1 are both the time from the first pulse to the last.

    Examples
    --------
    >>> burn = pulsed_burn(0.004, 40e3)
    >>> round(float(burn.cumulative(0.002)), 9)
    0.5

    References
    ----------
    Derived here; tens of kHz are common practice, no source.
    """
    length, rate, share = one(BURN, duration), one(FREQUENCY, frequency), one(DUTY_RANGE, duty)
    floor, offset, light = one(GLOW_RANGE, glow), one(PHASE, phase), one(ENERGY, energy)

    def lit(periods: Any) -> Any:
        whole = np.floor(periods)
        return whole * share + np.minimum(periods - whole, share)

    before = float(lit(offset))

    def area(t: Any) -> Any:
        inside = np.clip(t, 0, length)
        return floor * inside + (1 - floor) * (lit(inside * rate + offset) - before) / rate

    wait = 0.0 if offset < share else (1 - offset) / rate  # until the first pulse
    require(
        wait < length,
        "length of the burn",
        f"{length:g} s with the first pulse after {wait:g} s",
        "long enough for a pulse",
        "give a longer burn or more pulses a second",
    )
    whole = math.floor(length * rate + offset + 1e-9)  # a pulse that only just begins does not count
    begun = length * rate + offset - whole
    last = length if 1e-9 < begun < share else (whole - (begun <= 1e-9) - offset + share) / rate
    last = min(max(last, wait), length)
    total = float(area(length))

    def intensity(t: Any) -> Any:
        periods = np.clip(t, 0, length) * rate + offset
        value = np.where(periods - np.floor(periods) < share, 1.0, floor)
        return np.where((t < 0) | (t > length), 0.0, value)

    return LightCurve(
        "pulsed burn",
        start=wait if floor == 0 else 0.0,
        end=last if floor == 0 else length,
        peak_time=wait,
        peak_end=last,
        area=total,
        intensity_function=intensity,
        cumulative_function=lambda t: area(t) / total,
        energy=light,
    )
