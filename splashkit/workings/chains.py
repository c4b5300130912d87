"""Relations of who fires whom: when the light comes, from the signal on."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_TRAVEL = Symbol("curtain_travel", "t_c", "time a curtain takes across the frame", "s", 1e-3, 8e-3)
_LONG = Symbol("exposure_time", "T", "shutter time", "s", 10e-3, 30.0)
_LAG = Symbol("shutter_lag", "t_lag", "shutter lag, from the signal to the front curtain's start", "s", 0.0, 0.3)
_LINK = Symbol("link", "t_link", "delay of the cable or radio link", "s", 0.0, 2e-3)
_START = Symbol("flash_delay", "d", "delay from the flash's trigger to its first light", "s", 0.0, 1e-3)
_MARGIN = Symbol("margin", "t_m", "time by which the flash comes before the rear curtain's start", "s", 0.0, 1e-3)


def _front(link: float, shutter_lag: float, curtain_travel: float, flash_delay: float) -> Any:
    from splashkit import sync

    return sync.flash_time("front", 1.0, curtain_travel, shutter_lag, link + flash_delay)


def _rear(link: float, shutter_lag: float, exposure_time: float, margin: float, flash_delay: float) -> Any:
    from splashkit import sync

    return sync.flash_time("rear", exposure_time, 1e-3, shutter_lag, link + flash_delay, margin)


def _rear_less_front(exposure_time: float, curtain_travel: float, margin: float) -> Any:
    from splashkit import chains

    return chains.front_rear_difference(exposure_time, curtain_travel, margin)


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
    source="derived here; the flash waits for the front curtain (common practice, no source)",
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
    FRONT_LIGHT,
    REAR_LIGHT,
    OPEN_LIGHT,
    REAR_LESS_FRONT,
)
