"""What the water does: crown, crater and column of the first drop, the sheet, and the wait until it is still."""

from splashkit.splash.column import column_height, column_speed, crater_width
from splashkit.splash.impact import Splash, first_drop
from splashkit.splash.series import HeightSeries, Landmark, Stage, simulated_heights, simulated_landmarks, spark_stages
from splashkit.splash.settling import (
    BUMPED_WAIT,
    COMMON_WAIT,
    RING_ZEROS,
    SLOSH_ZERO,
    Ripples,
    Wave,
    bowl_wave,
    drop_ripples,
    resting_time,
)
from splashkit.splash.sheet import Sheet, sheet

__all__ = [
    "BUMPED_WAIT",
    "COMMON_WAIT",
    "RING_ZEROS",
    "SLOSH_ZERO",
    "HeightSeries",
    "Landmark",
    "Ripples",
    "Sheet",
    "Splash",
    "Stage",
    "Wave",
    "bowl_wave",
    "column_height",
    "column_speed",
    "crater_width",
    "drop_ripples",
    "first_drop",
    "resting_time",
    "sheet",
    "simulated_heights",
    "simulated_landmarks",
    "spark_stages",
]
