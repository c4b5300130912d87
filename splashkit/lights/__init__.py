"""Light on water: what bends, what reflects, how large and how near a source is, and two lights together."""

from splashkit.lights.drop import (
    BallLens,
    RimZones,
    ball_lens,
    bright_radius,
    full_backlight_angle,
    half_angle_for_rim,
    highlight_size,
    rim_zones,
)
from splashkit.lights.sources import (
    Penumbra,
    TwoLights,
    apparent_half_angle,
    disc_falloff_stops,
    disc_over_point,
    distance_for_half_angle,
    penumbra,
    two_light_plan,
)
from splashkit.lights.surface import (
    WATER_INDEX,
    Reflectance,
    brewster_angle,
    critical_angle,
    reflectance,
    refraction_angle,
)

__all__ = [
    "WATER_INDEX",
    "BallLens",
    "Penumbra",
    "Reflectance",
    "RimZones",
    "TwoLights",
    "apparent_half_angle",
    "ball_lens",
    "brewster_angle",
    "bright_radius",
    "critical_angle",
    "disc_falloff_stops",
    "disc_over_point",
    "distance_for_half_angle",
    "full_backlight_angle",
    "half_angle_for_rim",
    "highlight_size",
    "penumbra",
    "reflectance",
    "refraction_angle",
    "rim_zones",
    "two_light_plan",
]
