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


def _slit_width(frame_height: float, exposure_time: float, curtain_travel: float) -> Any:
    from splashkit import sync

    return sync.slit_width(exposure_time, curtain_travel, frame_height)


def _slit_speed(frame_height: float, curtain_travel: float) -> Any:
    from splashkit import sync

    return sync.slit_speed(curtain_travel, frame_height)


def _dark_band(curtain_travel: float, delay: float, exposure_time: float) -> Any:
    from splashkit import sync

    return sync.dark_band_fraction(exposure_time, curtain_travel, delay)


def _row_share(exposure_time: float, curtain_travel: float) -> Any:
    from splashkit import sync

    return sync.burn_share(exposure_time, curtain_travel)


def _squash(speed: float, magnification: float, slit_speed: float) -> Any:
    from splashkit import sync

    return sync.squash(speed * magnification, slit_speed)


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

SLIT_WIDTH = Relation(
    name="slit_width",
    title="Width of the slit between the curtains",
    equation="slit = frame_height * Min(1, exposure_time / curtain_travel)",
    symbols=(Symbol("slit", "a", "width of the slit on the sensor", "m", 1e-5, 60e-3), _FRAME, _EXPOSURE, _TRAVEL),
    source="two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7)",
    same_as=_slit_width,
)

DARK_BAND = Relation(
    name="dark_band",
    title="Part of the frame a short flash leaves dark",
    equation="band = Max(0, (curtain_travel + delay - exposure_time) / curtain_travel)",
    symbols=(
        Symbol("band", "b", "dark part of the frame", "1", 0.0, 1.0),
        _TRAVEL,
        Symbol("delay", "d", "delay from the trigger to the first light", "s", 0.0, 1e-4),
        _EXPOSURE,
    ),
    source="two curtains of one even speed (S. Ray, Scientific Photography and Applied Imaging, ch. 7)",
    same_as=_dark_band,
)

BURN_SHARE = Relation(
    name="row_share",
    title="Share of a long burn that each row receives",
    equation="share = exposure_time / (exposure_time + curtain_travel)",
    symbols=(Symbol("share", "eta", "share of the light each row receives", "1", 0.0, 1.0), _EXPOSURE, _TRAVEL),
    source="derived here for a burn just long enough",
    same_as=_row_share,
)

SLIT_SPEED = Relation(
    name="slit_speed",
    title="Speed of the slit over the sensor",
    equation="slit_speed = frame_height / curtain_travel",
    symbols=(Symbol("slit_speed", "w", "speed of the slit on the sensor", "m/s", 0.1, 100.0), _FRAME, _TRAVEL),
    source="derived here from two curtains of one even speed",
    same_as=_slit_speed,
)

SQUASH = Relation(
    name="squash",
    title="How a slit squashes a falling drop (camera level)",
    equation="squash = 1 / (1 + speed * magnification / slit_speed)",
    symbols=(
        Symbol("squash", "s", "recorded height over true height", "1", 0.05, 1.0),
        Symbol("speed", "v", "speed of the drop", "m/s", 0.05, 6.0),
        Symbol("magnification", "m", "magnification", "1", 0.05, 2.0),
        Symbol("slit_speed", "w", "speed of the slit on the sensor", "m/s", 3.0, 30.0),
    ),
    source="derived here; that slits deform what moves: Abney 1893",
    same_as=_squash,
)

RELATIONS = (
    HALF_DURATION,
    TENTH_DURATION,
    QUENCH_CUT,
    BLUR,
    SLIT_WIDTH,
    SLIT_SPEED,
    DARK_BAND,
    BURN_SHARE,
    SQUASH,
)
