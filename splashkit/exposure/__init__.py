"""How bright the frame gets: from the room's light and from the flash, counted in stops.

A stop is a factor of two in light. Zero stops is a mid-grey recorded as mid-grey.
"""

from splashkit.exposure.close_up import close_up_factor, close_up_loss
from splashkit.exposure.guide_number import (
    flash_stops,
    guide_number_aperture,
    guide_number_at,
    guide_number_distance,
    guide_number_from_light,
    guide_number_power,
)
from splashkit.exposure.level import FrameLevel, frame_level
from splashkit.exposure.light import (
    ev100_from_illuminance,
    ev100_from_luminance,
    ev100_from_settings,
    exposure_value,
    illuminance_from_ev100,
    luminance_from_ev100,
    sensor_exposure,
    sensor_level,
)
from splashkit.exposure.ranges import (
    CLIP_LEVEL,
    DARK_ENOUGH,
    INCIDENT_CONSTANT,
    LENS_CONSTANT,
    OUTPUT_CONSTANT,
    RANGES,
    REFLECTED_CONSTANT,
    SATURATION_CONSTANT,
)
from splashkit.exposure.room import (
    ambient_to_flash_ratio,
    ambient_under_flash,
    ambient_under_reading,
    ghost_ratio,
    longest_open_time,
)
from splashkit.exposure.stops import (
    add_lights,
    distance_stops,
    exact_mark,
    factor_from_stops,
    filter_density,
    filter_stops,
    stops_between,
)

__all__ = [
    "CLIP_LEVEL",
    "DARK_ENOUGH",
    "INCIDENT_CONSTANT",
    "LENS_CONSTANT",
    "OUTPUT_CONSTANT",
    "RANGES",
    "REFLECTED_CONSTANT",
    "SATURATION_CONSTANT",
    "FrameLevel",
    "add_lights",
    "ambient_to_flash_ratio",
    "ambient_under_flash",
    "ambient_under_reading",
    "close_up_factor",
    "close_up_loss",
    "distance_stops",
    "ev100_from_illuminance",
    "ev100_from_luminance",
    "ev100_from_settings",
    "exact_mark",
    "exposure_value",
    "factor_from_stops",
    "filter_density",
    "filter_stops",
    "flash_stops",
    "frame_level",
    "ghost_ratio",
    "guide_number_aperture",
    "guide_number_at",
    "guide_number_distance",
    "guide_number_from_light",
    "guide_number_power",
    "illuminance_from_ev100",
    "longest_open_time",
    "luminance_from_ev100",
    "sensor_exposure",
    "sensor_level",
    "stops_between",
]
