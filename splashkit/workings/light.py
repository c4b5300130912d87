"""Relations of light in time and strength: the flash, the blur it leaves, and the room."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_TAU = Symbol("tau", "tau", "time constant: the light falls to 37 % in this time", "s", 1e-5, 5e-3)
_APERTURE = Symbol("aperture", "N", "f-number set", "1", 1.0, 64.0)
_ISO = Symbol("iso", "S", "ISO setting", "1", 50.0, 25600.0)
_LUX = Symbol("illuminance", "E", "room light that falls on the subject", "lx", 1e-2, 2000.0)
_OPEN = Symbol("exposure_time", "t", "time the shutter is open", "s", 1e-3, 30.0)


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


def _ambient_under(aperture: float, exposure_time: float, iso: float, illuminance: float) -> Any:
    from splashkit import exposure

    return exposure.ambient_under_flash(illuminance, aperture, exposure_time, iso)


def _open_time(aperture: float, iso: float, illuminance: float, stops: float) -> Any:
    from splashkit import exposure

    return exposure.longest_open_time(illuminance, aperture, iso, stops)


def _ghost(size: float, speed: float, exposure_time: float) -> Any:
    from splashkit import exposure

    return exposure.ghost_ratio(size, speed, exposure_time)


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
    turned={"duration": "blur/speed"},
)
AMBIENT_UNDER = Relation(
    name="ambient_under",
    title="How far under the room is with the flash off",
    equation="stops = log2(250 * aperture**2 / (illuminance * iso * exposure_time))",
    symbols=(
        Symbol("stops", "n", "number of stops under", "stop", -40.0, 40.0),
        _APERTURE,
        _LUX,
        _ISO,
        _OPEN,
    ),
    source="ISO 2720:1974, through secondary texts, with the meter constant 250 lx s",
    same_as=_ambient_under,
)
OPEN_TIME = Relation(
    name="open_time",
    title="How long the shutter may stay open",
    equation="exposure_time = 250 * aperture**2 / (illuminance * iso * 2**stops)",
    symbols=(
        Symbol("exposure_time", "t", "longest time the shutter may be open", "s", 1e-9, 1e7),
        _APERTURE,
        _LUX,
        _ISO,
        Symbol("stops", "n", "number of stops the room must stay under", "stop", 0.0, 12.0),
    ),
    source="derived here from ISO 2720:1974",
    same_as=_open_time,
)
GHOST = Relation(
    name="ghost",
    title="The ghost of a moving drop, against a still background",
    equation="share = Min(1, size / (speed * exposure_time))",
    symbols=(
        Symbol("share", "r", "share of the room light that the drop can stop or send", "1", 0.0, 1.0),
        Symbol("size", "d", "diameter of the drop", "m", 1e-3, 8e-3),
        Symbol("speed", "v", "speed of the drop", "m/s", 0.1, 6.0),
        _OPEN,
    ),
    source="derived here: the drop covers one spot only while it passes",
    same_as=_ghost,
)

RELATIONS = (
    HALF_DURATION,
    TENTH_DURATION,
    QUENCH_CUT,
    BLUR,
    AMBIENT_UNDER,
    OPEN_TIME,
    GHOST,
)
