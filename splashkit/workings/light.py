"""Relations of light: flash, shutter."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_TAU = Symbol("tau", "tau", "time constant: the light falls to 37 % in this time", "s", 1e-5, 5e-3)
_EXPOSURE = Symbol("exposure_time", "T", "exposure time of each row", "s", 1 / 8000, 1 / 60)
_TRAVEL = Symbol("curtain_travel", "t_c", "time a curtain takes across the frame", "s", 1e-3, 8e-3)
_FRAME = Symbol("frame_height", "H", "height of the frame on the sensor", "m", 4e-3, 60e-3)


def _exponential_t05(tau: float) -> Any:
    from splashkit import flash

    return flash.exponential(tau).t05


def _exponential_t01(tau: float) -> Any:
    from splashkit import flash

    return flash.exponential(tau).t01


def _light_left_out(tau: float, power: float) -> Any:
    # the cut that lets out the share p of an exponential flash: its own cumulative light must say p there
    from splashkit import flash

    curve = flash.exponential(tau)
    low, high = 0.0, 60.0 * tau
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if float(curve.cumulative(middle)) < power else (low, middle)
    return (low + high) / 2


HALF_DURATION = Relation(
    name="half_duration",
    title="Flash duration t0.5 of a flash that dies away evenly",
    equation="duration = tau * log(2)",
    symbols=(Symbol("duration", "t_0.5", "time above half of the peak", "s", 1e-6, 1e-2), _TAU),
    source="derived here from the definition of t0.5 by peak (ISO 2827, through texts that quote it)",
    same_as=_exponential_t05,
)

TENTH_DURATION = Relation(
    name="tenth_duration",
    title="Flash duration t0.1 of a flash that dies away evenly",
    equation="duration = tau * log(10)",
    symbols=(Symbol("duration", "t_0.1", "time above a tenth of the peak", "s", 1e-6, 2e-2), _TAU),
    source="derived here from the definition of t0.1 by peak (ISO 2827, through texts that quote it)",
    same_as=_exponential_t01,
)

QUENCH_CUT = Relation(
    name="quench_cut",
    title="When a quench-controlled flash is cut",
    equation="cut = -tau * log(1 - power)",
    symbols=(
        Symbol("cut", "t_cut", "time from first light to the cut", "s", 1e-8, 5e-2),
        _TAU,
        Symbol("power", "p", "share of full power", "1", 1 / 256, 0.99),
    ),
    source="derived here for an exponential flash with an instant rise",
    same_as=_light_left_out,
)

BLUR = Relation(
    name="blur",
    title="How far the drop moves while the light is on",
    equation="blur = speed * duration",
    symbols=(
        Symbol("blur", "b", "smear on the drop", "m", 1e-8, 1e-1),
        Symbol("speed", "v", "speed of the drop", "m/s", 0.05, 10.0),
        Symbol("duration", "t_0.1", "flash duration t0.1", "s", 1e-6, 1e-2),
    ),
    source="derived here",
    alone="distance is speed times time; tested against its own inverse",
)

RELATIONS = (HALF_DURATION, TENTH_DURATION, QUENCH_CUT, BLUR)
