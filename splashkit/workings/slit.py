"""Relations of the slit between two curtains: what it leaves dark, and what it does to a moving drop."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_EXPOSURE = Symbol("exposure_time", "T", "shutter time, for which each row is open", "s", 1 / 8000, 1 / 60)
_TRAVEL = Symbol("curtain_travel", "t_c", "time a curtain takes across the frame", "s", 1e-3, 8e-3)
_FRAME = Symbol("frame_height", "H", "height of the frame on the sensor", "m", 4e-3, 60e-3)
_SPEED = Symbol("speed", "v", "speed of the drop", "m/s", 0.1, 6.0)
_SCALE = Symbol("magnification", "m", "magnification", "1", 0.05, 2.0)
_SLIT = Symbol("slit_speed", "w", "speed of the slit on the sensor", "m/s", 3.0, 30.0)
_STREAK = Symbol("streak", "b", "smear on the drop", "m", 0.0, 0.5)


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


def _sync_limit(curtain_travel: float, duration: float) -> Any:
    from splashkit import sync

    return sync.sync_limit(curtain_travel, duration)


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
        _SCALE,
        _SLIT,
    ),
    source="derived here; that slits deform what moves: Abney 1893",
    same_as=_squash,
)

SYNC_LIMIT = Relation(
    name="sync_limit",
    title="Shortest shutter time that gives every row the whole flash",
    equation="shortest = curtain_travel + duration",
    symbols=(
        Symbol("shortest", "T_min", "shortest shutter time", "s", 1e-3, 2e-2),
        _TRAVEL,
        Symbol("duration", "t_0.1", "flash duration t0.1", "s", 1e-6, 1e-2),
    ),
    source="derived here from two curtains of one even speed",
    same_as=_sync_limit,
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

RELATIONS = (
    SLIT_WIDTH,
    SLIT_SPEED,
    DARK_BAND,
    SYNC_LIMIT,
    BURN_SHARE,
    SQUASH,
    STRETCH,
    SLANT,
    STREAK_LEVEL,
    STREAK_INVERTED,
    STREAK_UPRIGHT,
)
