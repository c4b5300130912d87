"""Allowed ranges shared by the shutter's functions, and the assumed numbers of an example camera."""

from __future__ import annotations

from typing import Any

from splashkit.checks import Choice, Number, Range, broadcast, require, shown

# Typical for a vertical 24 mm travel are 2 to 3.5 ms: common practice, no source. 3 ms is assumed here.
# That it is below the shortest sync time is sure.
CURTAIN_TRAVEL = 3e-3  # [s]
FRAME_HEIGHT = 24e-3  # [m] along the travel of the curtains
RELEASE_LAG = 50e-3  # [s] assumed; 30 to 150 ms by common practice, no source
REAR_MARGIN = 0.5e-3  # [s] assumed: how long before the second curtain starts a rear-curtain flash fires

EXPOSURE_TIME = Range("exposure time", "s", 1e-9, 86400, "give seconds: 1/250 s is 0.004")
TRAVEL = Range("curtain travel time", "s", 0, 1, "give seconds: 3 ms is 0.003", open_low=True)
DELAY = Range("delay to the light", "s", 0, 3600, "give seconds, 0 or more")
FLASH_START = Range("start of the flash", "s", -3600, 86400, "give seconds after the first curtain starts")
FLASH_DURATION = Range("flash duration", "s", 0, 10, "give t0.1 in seconds: 1/1000 s is 0.001", open_low=True)
BURN = Range("length of the burn", "s", 0, 86400, "give seconds: exposure time plus curtain travel", open_low=True)
HEIGHT = Range("frame height along the travel", "m", 0, 1, "give metres: 24 mm is 0.024", open_low=True)
ROW = Range("row of the frame", "1", 0, 1, "give 0 for the row uncovered first, 1 for the last")
IMAGE_SPEED = Range("image speed on the sensor", "m/s", 0, 1e4, "give speed times magnification, 0 or more")
SLIT_SPEED = Range("slit speed on the sensor", "m/s", 0, advice="give frame height over curtain travel", open_low=True)
SUBJECT_SPEED = Range("speed of the subject", "m/s", 0, 1e4, "give metres a second, such as 2.2")
GAP = Range("gap from curtain to sensor", "m", 0, 0.1, "give metres: 1 mm is 0.001")
SLIT_WIDTH = Range("slit width", "m", 0, 1, "give metres: 1 mm is 0.001", open_low=True)
F_NUMBER = Range("f-number", "1", 0.5, 256, "give the number on the lens, such as 11")
RAMP = Range("opening or closing time", "s", 0, 1, "give seconds: 2 ms is 0.002")
LAG = Range("release lag", "s", 0, 10, "give seconds: 50 ms is 0.05")
MARGIN = Range("rear-curtain margin", "s", 0, 1, "give seconds: 0.5 ms is 0.0005")
TIME_IN_EXPOSURE = Range("time from opening to flash", "s", 0, 86400, "give seconds after the row opens")

KIND = Choice("kind of shutter", ("focal_plane", "leaf", "electronic", "open"))
MODE = Choice("flash mode", ("front", "rear", "open"))
DIRECTION = Choice(
    "direction of the motion",
    ("against", "with", "across"),
    "a falling drop is 'against' in landscape, 'across' in portrait, 'with' upside down",
)
ORIENTATION = Choice("camera orientation", ("landscape", "inverted", "portrait_grip_up", "portrait_grip_down"))


def exposure_and_travel(exposure_time: Number, curtain_travel: Number) -> tuple[Any, Any]:
    """Check the two times that most of these functions want."""
    exposure, travel = broadcast(exposure_time=EXPOSURE_TIME(exposure_time), curtain_travel=TRAVEL(curtain_travel))
    return exposure[()], travel[()]


def check_kind(thing: Any, wanted: type, quantity: str, example: str) -> None:
    """Refuse a thing of another kind with the one sentence."""
    require(isinstance(thing, wanted), quantity, shown(thing), f"a {wanted.__name__}", f"give one such as {example}")
