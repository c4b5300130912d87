"""Relations of test frames: a lag from one frame, drops on a scale, a flash from its blur, frames to budget."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_DROP = Symbol("diameter", "d", "diameter of the drop", "m", 1e-3, 8e-3)


def _drop_from_weighing(mass: float, count: float, density: float) -> Any:
    from splashkit import measure

    return measure.drop_from_weighing(mass, count, density).value


def _flash_from_blur(streak: float, diameter: float, speed: float) -> Any:
    from splashkit import measure

    return measure.flash_duration_from_blur(streak, diameter, speed).value


LAG_FROM_FRAME = Relation(
    name="lag_from_frame",
    title="Lag from one frame of the falling drop",
    equation="lag = valve_delay + fall_time - delay",
    symbols=(
        Symbol("lag", "t_lag", "delay from the camera's signal to the light", "s", 0.0, 1.0),
        Symbol("valve_delay", "t_v", "delay from the valve's signal to the drop's release", "s", 0.0, 0.1),
        Symbol("fall_time", "t_fall", "time the drop fell to where it is seen", "s", 0.05, 0.8),
        Symbol("delay", "D", "delay set on the timer", "s", 0.0, 0.8),
    ),
    source="derived here",
    alone="a sum of times; measure.lag_from_drop finds the fall with air and is tested there",
    where=lambda delay, valve_delay, fall_time, **_: delay <= valve_delay + fall_time,
)

CURTAIN_EDGE = Relation(
    name="curtain_edge",
    title="When the shadow's edge stands where",
    equation="moment = lag + share * travel",
    symbols=(
        Symbol("moment", "t", "time from the camera's signal to the flash", "s", 0.0, 1.0),
        Symbol("lag", "t_lag", "delay from the camera's signal to the curtain's start", "s", 0.0, 0.5),
        Symbol("share", "y", "share of the frame that is open", "1", 0.0, 1.0),
        Symbol("travel", "t_c", "travel of the curtain across the frame", "s", 1e-3, 0.05),
    ),
    source="derived here, for a curtain of even speed",
    alone="a straight line; measure.curtain_from_series fits it and is tested there",
)

STRAIGHT_FALL = Relation(
    name="straight_fall",
    title="What is left of the fall after half g t squared is taken off",
    equation="rest = (speed - gravity * valve_delay) * moment + gravity * valve_delay**2 / 2 - speed * valve_delay",
    symbols=(
        Symbol("rest", "r", "distance fallen less half g t squared", "m", -5.0, 5.0),
        Symbol("speed", "v_0", "speed at release", "m/s", 0.0, 3.0),
        Symbol("gravity", "g", "local gravity", "m/s2", 9.76, 9.84),
        Symbol("valve_delay", "t_v", "delay from the valve's signal to the drop's release", "s", 0.0, 0.05),
        Symbol("moment", "t", "time from the valve's signal to the light", "s", 0.06, 0.6),
    ),
    source="derived here, without air",
    alone="the fall from a later start, multiplied out; measure.valve_from_heights fits it and is tested there",
)

DROP_FROM_WEIGHING = Relation(
    name="drop_from_weighing",
    title="Size of a drop from the scale",
    equation="diameter = (6 * mass / (pi * density * count))**(1/3)",
    symbols=(
        _DROP,
        Symbol("mass", "m", "mass of all drops together", "kg", 1e-5, 0.05),
        Symbol("density", "rho", "density of the liquid", "kg/m3", 700.0, 1300.0),
        Symbol("count", "N", "number of drops", "1", 1.0, 1000.0),
    ),
    source="volume of a ball, textbook",
    same_as=_drop_from_weighing,
)

FLASH_FROM_BLUR = Relation(
    name="flash_from_blur",
    title="Flash duration from a streak",
    equation="duration = (streak - diameter) / speed",
    symbols=(
        Symbol("duration", "T", "time the light lasts", "s", 0.0, 0.1),
        Symbol("streak", "L", "length of the drop's image along the fall", "m", 1e-3, 0.05),
        _DROP,
        Symbol("speed", "v", "speed of the drop there", "m/s", 0.3, 8.0),
    ),
    source="derived here",
    same_as=_flash_from_blur,
    where=lambda streak, diameter, **_: streak >= diameter,
)

FRAMES_TO_BUDGET = Relation(
    name="frames_to_budget",
    title="Frames for one keeper",
    equation="frames = log(1 - confidence) / log(1 - odds)",
    symbols=(
        Symbol("frames", "N", "number of frames to plan, to be rounded up", "1", 0.0, 1e6),
        Symbol("confidence", "c", "wanted chance of at least one keeper", "1", 0.5, 0.999),
        Symbol("odds", "p", "chance that one frame is a keeper", "1", 1e-3, 0.95),
    ),
    source="binomial distribution, textbook",
    alone="odds.frames_to_budget rounds up to whole frames; tested against it in test_lesson_numbers_11",
)

RELATIONS = (LAG_FROM_FRAME, CURTAIN_EDGE, STRAIGHT_FALL, DROP_FROM_WEIGHING, FLASH_FROM_BLUR, FRAMES_TO_BUDGET)
