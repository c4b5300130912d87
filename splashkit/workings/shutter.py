"""Relations of the shutter: what a slit does to a moving drop, and when the light comes in each chain."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_EXPOSURE = Symbol("exposure_time", "T", "exposure time of each row", "s", 1 / 8000, 1 / 60)
_TRAVEL = Symbol("curtain_travel", "t_c", "time a curtain takes across the frame", "s", 1e-3, 8e-3)
_SPEED = Symbol("speed", "v", "speed of the drop", "m/s", 0.1, 6.0)
_SCALE = Symbol("magnification", "m", "magnification", "1", 0.05, 2.0)
_SLIT = Symbol("slit_speed", "w", "speed of the slit on the sensor", "m/s", 3.0, 30.0)
_LONG = Symbol("exposure_time", "T", "exposure time", "s", 10e-3, 30.0)
_LAG = Symbol("shutter_lag", "t_lag", "shutter lag, from the signal to the first curtain's start", "s", 0.0, 0.3)
_LINK = Symbol("link", "t_link", "delay of the cable or radio link", "s", 0.0, 2e-3)
_START = Symbol("flash_delay", "d", "delay from the flash's trigger to its first light", "s", 0.0, 1e-3)
_MARGIN = Symbol("margin", "t_m", "time by which the flash comes before the rear curtain's start", "s", 0.0, 1e-3)


def _sync_limit(curtain_travel: float, flash_duration: float) -> Any:
    from splashkit import sync

    return sync.sync_limit(curtain_travel, flash_duration)


def _stretch(speed: float, magnification: float, slit_speed: float) -> Any:
    from splashkit import sync

    return sync.stretch(speed * magnification, slit_speed)


def _slant(speed: float, magnification: float, slit_speed: float) -> Any:
    from splashkit import sync

    return sync.slant_angle(speed * magnification, slit_speed)


def _streak(direction: str) -> Any:
    def streak(speed: float, exposure_time: float, magnification: float, slit_speed: float) -> Any:
        from splashkit import sync

        # on the sensor, then back on the drop
        return sync.blur_in_slit(speed * magnification, exposure_time, slit_speed, direction) / magnification

    return streak


def _streak_across(speed: float, exposure_time: float) -> Any:
    return _streak("across")(speed, exposure_time, 1.0, 1e3)


def _front(link: float, shutter_lag: float, curtain_travel: float, flash_delay: float) -> Any:
    from splashkit import sync

    return sync.flash_time("front", 1.0, curtain_travel, shutter_lag, link + flash_delay)


def _rear(link: float, shutter_lag: float, exposure_time: float, margin: float, flash_delay: float) -> Any:
    from splashkit import sync

    return sync.flash_time("rear", exposure_time, 1e-3, shutter_lag, link + flash_delay, margin)


def _rear_less_front(exposure_time: float, curtain_travel: float, margin: float) -> Any:
    from splashkit import chains

    return chains.front_rear_difference(exposure_time, curtain_travel, margin)


SYNC_LIMIT = Relation(
    name="sync_limit",
    title="Shortest exposure time that gives every row the whole flash",
    equation="shortest = curtain_travel + duration",
    symbols=(
        Symbol("shortest", "T_min", "shortest exposure time", "s", 1e-3, 2e-2),
        _TRAVEL,
        Symbol("duration", "t_0.1", "flash duration t0.1", "s", 1e-6, 1e-2),
    ),
    source="derived here from two curtains of one even speed",
    same_as=lambda curtain_travel, duration: _sync_limit(curtain_travel, duration),
)

STRETCH = Relation(
    name="stretch",
    title="How a slit stretches a falling drop (camera upside down)",
    equation="stretch = 1 / (1 - speed * magnification / slit_speed)",
    symbols=(Symbol("stretch", "s", "recorded height over true height", "1", 1.0, 50.0), _SPEED, _SCALE, _SLIT),
    source="derived here; that slits deform what moves: Abney 1893",
    same_as=_stretch,
    where=lambda speed, magnification, slit_speed: speed * magnification < 0.95 * slit_speed,
)

SLANT = Relation(
    name="slant",
    title="How far a slit makes a falling drop lean (camera upright)",
    equation="slant = atan(speed * magnification / slit_speed)",
    symbols=(Symbol("slant", "phi", "lean of an upright line", "rad", 0.0, 1.57), _SPEED, _SCALE, _SLIT),
    source="derived here; that slits deform what moves: Abney 1893",
    same_as=_slant,
)

_STREAK = Symbol("streak", "b", "smear on the drop", "m", 0.0, 0.5)

STREAK_LEVEL = Relation(
    name="streak_level",
    title="Smear while a row is lit (camera level)",
    equation="streak = speed * exposure_time / (1 + speed * magnification / slit_speed)",
    symbols=(_STREAK, _SPEED, _EXPOSURE, _SCALE, _SLIT),
    source="derived here",
    same_as=_streak("against"),
)

STREAK_INVERTED = Relation(
    name="streak_inverted",
    title="Smear while a row is lit (camera upside down)",
    equation="streak = speed * exposure_time / (1 - speed * magnification / slit_speed)",
    symbols=(_STREAK, _SPEED, _EXPOSURE, _SCALE, _SLIT),
    source="derived here",
    same_as=_streak("with"),
    where=lambda speed, magnification, slit_speed, **_: speed * magnification < 0.95 * slit_speed,
)

STREAK_UPRIGHT = Relation(
    name="streak_upright",
    title="Smear while a row is lit (camera upright)",
    equation="streak = speed * exposure_time",
    symbols=(_STREAK, _SPEED, _EXPOSURE),
    source="derived here",
    same_as=_streak_across,
)

FRONT_LIGHT = Relation(
    name="front_light",
    title="Front curtain: from the camera's signal to the light",
    equation="light = link + shutter_lag + curtain_travel + flash_delay",
    symbols=(
        Symbol("light", "t_front", "time from the signal to first light", "s", 0.0, 1.0),
        _LINK,
        _LAG,
        _TRAVEL,
        _START,
    ),
    source="derived here; the flash waits for the first curtain (common practice, no source)",
    same_as=_front,
)

REAR_LIGHT = Relation(
    name="rear_light",
    title="Rear curtain: from the camera's signal to the light",
    equation="light = link + shutter_lag + exposure_time - margin + flash_delay",
    symbols=(
        Symbol("light", "t_rear", "time from the signal to first light", "s", 0.0, 31.0),
        _LINK,
        _LAG,
        _LONG,
        _MARGIN,
        _START,
    ),
    source="derived here",
    same_as=_rear,
)

OPEN_LIGHT = Relation(
    name="open_light",
    title="Open flash: from the flash's signal to the light",
    equation="light = link + flash_delay",
    symbols=(Symbol("light", "t_open", "time from the signal to first light", "s", 0.0, 1.0), _LINK, _START),
    source="derived here: no lag, no curtain",
    alone="a sum of two delays; the chain itself is tested",
)

REAR_LESS_FRONT = Relation(
    name="rear_less_front",
    title="How much later the rear curtain's flash is",
    equation="later = exposure_time - curtain_travel - margin",
    symbols=(
        Symbol("later", "Delta", "time by which the rear curtain's flash is later", "s", -1.0, 31.0),
        _LONG,
        _TRAVEL,
        _MARGIN,
    ),
    source="derived here",
    same_as=_rear_less_front,
)

RELATIONS = (
    SYNC_LIMIT,
    STRETCH,
    SLANT,
    STREAK_LEVEL,
    STREAK_INVERTED,
    STREAK_UPRIGHT,
    FRONT_LIGHT,
    REAR_LIGHT,
    OPEN_LIGHT,
    REAR_LESS_FRONT,
)
