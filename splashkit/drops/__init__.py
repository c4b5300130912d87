"""Drops: how big they come out, how long they fall, how they wobble, and the numbers that describe them."""

from splashkit.drops.fall import (
    Fall,
    Position,
    drag_coefficient,
    fall,
    fall_height,
    position,
    terminal_speed,
)
from splashkit.drops.numbers import (
    bond,
    froude,
    normal_gravity,
    ohnesorge,
    reynolds,
    sphere_diameter,
    sphere_volume,
    weber,
)

__all__ = [
    "Fall",
    "Position",
    "bond",
    "drag_coefficient",
    "fall",
    "fall_height",
    "froude",
    "normal_gravity",
    "ohnesorge",
    "position",
    "reynolds",
    "sphere_diameter",
    "sphere_volume",
    "terminal_speed",
    "weber",
]
