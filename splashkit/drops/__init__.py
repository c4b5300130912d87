"""Drops: how big they come out, how long they fall, how they wobble, and the numbers that describe them."""

from splashkit.drops.contact import FallEstimate, fall_estimate, fall_height
from splashkit.drops.drag import drag_coefficient, terminal_speed
from splashkit.drops.falling import Fall, Position, fall, position
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
from splashkit.drops.simple import fall_constant_drag, fall_in_vacuum
from splashkit.drops.tip import Weighed, drop_weight_factor, tip_drop_estimate, tip_drop_volume, weigh_drops
from splashkit.drops.valve import valve_drop_estimate, valve_drop_volume, valve_opening
from splashkit.drops.wobble import Wobble, air_flattening, wobble_at, wobble_damping_time, wobble_frequency

__all__ = [
    "Fall",
    "FallEstimate",
    "Position",
    "Weighed",
    "Wobble",
    "air_flattening",
    "bond",
    "drag_coefficient",
    "drop_weight_factor",
    "fall",
    "fall_constant_drag",
    "fall_estimate",
    "fall_height",
    "fall_in_vacuum",
    "froude",
    "normal_gravity",
    "ohnesorge",
    "position",
    "reynolds",
    "sphere_diameter",
    "sphere_volume",
    "terminal_speed",
    "tip_drop_estimate",
    "tip_drop_volume",
    "valve_drop_estimate",
    "valve_drop_volume",
    "valve_opening",
    "weber",
    "weigh_drops",
    "wobble_at",
    "wobble_damping_time",
    "wobble_frequency",
]
