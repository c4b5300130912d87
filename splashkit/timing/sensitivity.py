"""What small changes do to the gap and to the moment the drops meet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from splashkit import liquids
from splashkit.checks import Range, require
from splashkit.estimate import Estimate
from splashkit.timing.meeting import DIAMETER, NOZZLE_HEIGHT, RELEASE_SPEED, setup
from splashkit.timing.plan import FRACTION, PHASE, meet

TEMPERATURE = Range("temperature of the liquid", "degC", 1.0, 39.0, "give degrees Celsius: a room is about 20")

# the run at 6 mPa s missed the viscosity-free form by this log error in start and top, per mPa s above water
_VISCOSITY_ERROR = {"start": 0.047 / 5, "peak": 0.173 / 5}


class Sensitivity(NamedTuple):
    """What one step of one quantity does to gap and touch [s]; the band of each is in the estimate."""

    quantity: str
    step: str
    gap: Estimate
    touch: Estimate


def sensitivities(
    nozzle_height: float,
    diameter: float,
    temperature: float = 20.0,
    liquid_at: Callable[[float], Any] = liquids.water,
    phase: str = "top",
    fraction: float = 0.5,
    release_speed: float = 0.0,
    gravity: float = 9.80665,
) -> tuple[Sensitivity, ...]:
    r"""Return what small changes do to the gap and to the moment of the touch.

    .. math:: \frac{\partial \Delta}{\partial x} \approx \frac{\Delta(x+\delta)-\Delta(x-\delta)}{2\delta}

    Parameters
    ----------
    nozzle_height : float
        Nozzle tip above the still surface [m].
    diameter : float
        Diameter of both drops [m].
    temperature : float
        Temperature of the liquid [degC].
    liquid_at : callable
        Gives the liquid at a temperature, such as ``liquids.water`` [any].
    phase : str
        'rising', 'top' or 'falling' [word].
    fraction : float
        Share of the rise or fall that is over [1].
    release_speed : float
        Downward speed of both drops at release [m/s].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    tuple of Sensitivity
        For 1 mm of height, 0.1 mm of both diameters, 1 degC, 1 mN/m of surface tension, 0.01 m/s at
        release and 1 mPa s.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid where :func:`gap_for_meeting` is. Viscosity does not enter the model, so its value is zero;
    its band is what the one run at 6 mPa s missed by, shared over the 5 mPa s between.

    Examples
    --------
    >>> mm = sensitivities(0.25, 4e-3)[0]
    >>> mm.quantity, round(mm.touch.value * 1e3, 2)
    ('nozzle height', 0.52)

    References
    ----------
    Central differences of :func:`gap_for_meeting`; derived here.
    """
    phase, temperature = PHASE(phase), TEMPERATURE.one(temperature)
    nozzle_height, diameter = NOZZLE_HEIGHT.one(nozzle_height), DIAMETER.one(diameter)
    release_speed, fraction = RELEASE_SPEED.one(release_speed), FRACTION.one(fraction)
    require(callable(liquid_at), "liquid", type(liquid_at).__name__, "a function of temperature", "give liquids.water")
    liquid = liquid_at(temperature)

    def times(height: Any, size: Any, of: Any, speed: Any) -> Any:
        gap, met, _ = meet(setup(height, size, of, None, speed, None, gravity), phase, fraction)
        return np.stack([gap, met.time], axis=-1)

    def tenser(by: float) -> Any:
        tension = liquid.surface_tension
        return replace(
            liquid, surface_tension=Estimate(tension.value + by, tension.low + by, tension.high + by, tension.why)
        )

    def difference(more: Any, less: Any, steps: float) -> list[Estimate]:
        slopes = [float((a - b) / steps) for a, b in zip(more, less, strict=True)]
        # the forms' constants scale the times, so a slope is as unsure as the times are
        return [Estimate(s, s - 0.25 * abs(s), s + 0.25 * abs(s), "as unsure as the column's times") for s in slopes]

    h, d, v = nozzle_height, diameter, release_speed
    slow = max(v - 0.005, 0.0)
    higher, lower, larger, smaller, faster, slower = times(
        [h + 5e-4, h - 5e-4, h, h, h, h], [d, d, d + 5e-5, d - 5e-5, d, d], liquid, [v, v, v, v, slow + 0.01, slow]
    )  # fmt: skip
    warm, cold = (times(h, d, liquid_at(temperature + by), v) for by in (1, -1))
    tense, slack = (times(h, d, tenser(by), v) for by in (5e-4, -5e-4))
    made = [
        ("nozzle height", "1 mm", difference(higher, lower, 1)),
        ("drop diameter", "0.1 mm", difference(larger, smaller, 1)),
        ("temperature", "1 °C", difference(warm, cold, 2)),
        ("surface tension", "1 mN/m", difference(tense, slack, 1)),
        ("release speed", "0.01 m/s", difference(faster, slower, 1)),
    ]
    out = [Sensitivity(quantity, step, *pair) for quantity, step, pair in made]
    splash = setup(h, d, liquid, None, v, None, gravity).splash
    key, until = ("start", splash.column_start) if phase == "rising" else ("peak", splash.column_peak_time)
    unsure = _VISCOSITY_ERROR[key] * float(until.value)
    none = Estimate(0.0, -unsure, unsure, "not in the model; the run at 6 mPa s missed by this much a mPa s")
    return (*out, Sensitivity("viscosity", "1 mPa s", none, none))
