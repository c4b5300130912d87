"""The shutter and the flash: which rows see the light, and what a slit does to a moving drop."""

from splashkit.sync.burn import (
    PulseCount,
    banding,
    burn_guide_number_factor,
    burn_needed,
    burn_share,
    burn_stops,
    pulse_pitch,
    pulses_per_row,
)
from splashkit.sync.ranges import CURTAIN_TRAVEL, FRAME_HEIGHT, REAR_MARGIN, RELEASE_LAG
from splashkit.sync.shutter import Shutter, row_light_share
from splashkit.sync.slit import (
    blur_in_slit,
    frame_shift,
    length_factor,
    slant_angle,
    slit_speed,
    slit_width,
    squash,
    stretch,
)
from splashkit.sync.trigger import Ghost, flash_time, ghost_lengths, rear_less_front
from splashkit.sync.window import (
    dark_band_fraction,
    dark_band_side,
    fully_open_time,
    leaf_efficiency,
    lit_rows,
    slit_efficiency,
    soft_edge_fraction,
    sync_limit,
)

__all__ = [
    "CURTAIN_TRAVEL",
    "FRAME_HEIGHT",
    "REAR_MARGIN",
    "RELEASE_LAG",
    "Ghost",
    "PulseCount",
    "Shutter",
    "banding",
    "blur_in_slit",
    "burn_guide_number_factor",
    "burn_needed",
    "burn_share",
    "burn_stops",
    "dark_band_fraction",
    "dark_band_side",
    "flash_time",
    "frame_shift",
    "fully_open_time",
    "ghost_lengths",
    "leaf_efficiency",
    "length_factor",
    "lit_rows",
    "pulse_pitch",
    "pulses_per_row",
    "rear_less_front",
    "row_light_share",
    "slant_angle",
    "slit_efficiency",
    "slit_speed",
    "slit_width",
    "soft_edge_fraction",
    "squash",
    "stretch",
    "sync_limit",
]
