"""Relations of water: the fall of a drop, and the gap that makes two meet."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_HEIGHT = Symbol("height", "h", "height the drop falls", "m", 0.02, 2.0)
_GRAVITY = Symbol("gravity", "g", "local gravity", "m/s2", 9.76, 9.84)
_WATER, _AIR = 1000.0, 1.2  # kg/m3, only to hand the same terminal speed to the numeric function


def _fall_in_vacuum(height: float, gravity: float) -> Any:
    from splashkit.drops.simple import fall_in_vacuum

    return fall_in_vacuum(height, gravity=gravity).time


def _speed_in_vacuum(height: float, gravity: float) -> Any:
    from splashkit.drops.simple import fall_in_vacuum

    return fall_in_vacuum(height, gravity=gravity).speed


def _fall_with_drag(height: float, gravity: float, terminal_speed: float) -> Any:
    from splashkit.drops.simple import fall_constant_drag

    diameter = 0.004
    coefficient = 4 * gravity * _WATER * diameter / (3 * _AIR * terminal_speed**2)
    # the numeric function takes the lift of the air off gravity: give it that much more
    whole = gravity / (1 - _AIR / _WATER)
    return fall_constant_drag(
        height, diameter, coefficient, liquid_density=_WATER, air_density=_AIR, gravity=whole
    ).time


def _meeting_gap(column_time: float, height: float, meeting_height: float, gravity: float) -> Any:
    from splashkit.drops.simple import fall_in_vacuum

    whole = fall_in_vacuum(height, gravity=gravity).time
    return column_time + whole - fall_in_vacuum(height - meeting_height, gravity=gravity).time


FALL_IN_VACUUM = Relation(
    name="fall_in_vacuum",
    title="How long a drop falls, without air",
    equation="time = sqrt(2 * height / gravity)",
    symbols=(Symbol("time", "t", "time of the fall", "s", 0.0, 2.0), _HEIGHT, _GRAVITY),
    source="derived here; any mechanics text",
    same_as=_fall_in_vacuum,
)

SPEED_IN_VACUUM = Relation(
    name="speed_in_vacuum",
    title="How fast a drop arrives, without air",
    equation="speed = sqrt(2 * gravity * height)",
    symbols=(Symbol("speed", "v", "speed at the water", "m/s", 0.0, 10.0), _HEIGHT, _GRAVITY),
    source="derived here; any mechanics text",
    same_as=_speed_in_vacuum,
)

FALL_WITH_DRAG = Relation(
    name="fall_with_drag",
    title="How long a drop falls, with the drag of the air",
    equation="time = terminal_speed / gravity * acosh(exp(gravity * height / terminal_speed**2))",
    symbols=(
        Symbol("time", "t", "time of the fall", "s", 0.0, 2.0),
        _HEIGHT,
        _GRAVITY,
        Symbol("terminal_speed", "V", "speed at which drag would balance the weight", "m/s", 5.0, 12.0),
    ),
    source="derived here for a drag coefficient that stays the same; any mechanics text",
    same_as=_fall_with_drag,
)

MEETING_GAP = Relation(
    name="meeting_gap",
    title="Gap between two drops that meet at a height above the water",
    equation="gap = column_time + sqrt(2 * height / gravity) - sqrt(2 * (height - meeting_height) / gravity)",
    symbols=(
        Symbol("gap", "Delta", "gap between the two releases", "s", 0.0, 1.0),
        Symbol(
            "column_time",
            "t_col",
            "time from first contact until the column reaches the meeting height",
            "s",
            0.01,
            0.3,
        ),
        _HEIGHT,
        Symbol("meeting_height", "z", "meeting height above the still water", "m", 0.001, 0.15),
        _GRAVITY,
    ),
    source="derived here, both drops of one size and without air",
    same_as=_meeting_gap,
    where=lambda height, meeting_height, **_: meeting_height < 0.95 * height,
)

RELATIONS = (FALL_IN_VACUUM, SPEED_IN_VACUUM, FALL_WITH_DRAG, MEETING_GAP)
