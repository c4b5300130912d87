"""What is wished of the first shoot, besides the rig's own numbers; and two invented rigs to show a sheet with."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from splashkit.checks import Choice, Range
from splashkit.rig import Rig, demo
from splashkit.units import FLASH_POWERS

PHASES = ("rising", "top", "falling")
PAPERS = {"A4": (0.210, 0.297), "Letter": (0.2159, 0.2794)}  # ISO 216; ANSI Y14.1 size A [m]
SYSTEMS = ("metric", "imperial")
HALF = 0.5  # share of the rise or fall, where the meeting is not at the top

_CHECKS: dict[str, Any] = {
    "phase": Choice("phase to catch", PHASES, "rising is the column's way up"),
    "paper": Choice("paper", tuple(PAPERS)),
    "units": Choice("units to show", SYSTEMS),
    "blur": Range("motion blur allowed on the drop", "m", 1e-6, 5e-3, "give metres: 0.1 mm is 0.0001"),
    "depth": Range("depth that must be sharp", "m", 1e-3, 0.1, "give metres: 8 mm is 0.008"),
    "elevation": Range("angle by which the camera looks down", "rad", 0.0, math.pi / 6, "give radians: 8° is 0.14"),
    "lights": Range("number of flash units", "1", 1, 2, "one behind; a second one in front"),
    "nearest": Range("nearest distance of the flash", "m", 0.05, 5.0, "give metres: 30 cm is 0.3"),
    "farthest": Range("farthest distance of the flash", "m", 0.05, 10.0, "give metres: 1 m is 1"),
    "highest_iso": Range("highest ISO allowed", "1", 50, 25600, "give a setting such as 1600"),
    "frames": Range("frames planned", "1", 1, 5000, "give a whole number"),
}
# what may be left blank: then the sheet holds a box
_OPEN: dict[str, Range] = {
    "second_guide_number": Range("guide number of the front light", "m", 1.0, 200.0, "give metres at ISO 100"),
    "backlight_size": Range("width of the lit area behind", "m", 0.02, 3.0, "give metres: 40 cm is 0.4"),
    "loss": Range("stops lost in the diffuser", "stop", 0.0, 12.0, "measure it with a test frame"),
}


@dataclass(frozen=True)
class Wishes:
    """What to catch, how frozen, how deep, and on which paper. SI; None is a blank to fill in by hand."""

    phase: str = "top"
    blur: float = 1.5e-4
    depth: float = 5e-3
    paper: str = "A4"
    units: str = "metric"
    elevation: float = math.radians(8)
    lights: int = 1
    nearest: float = 0.3
    farthest: float = 1.2
    highest_iso: float = 1600
    frames: int = 100
    second_guide_number: float | None = None
    backlight_size: float | None = None
    loss: float | None = None

    def __post_init__(self) -> None:
        for name, check in _CHECKS.items():
            checked = check(getattr(self, name))
            if isinstance(check, Range):
                checked = int(checked) if name in ("lights", "frames") else float(checked)
            object.__setattr__(self, name, checked)
        for name, limits in _OPEN.items():
            if getattr(self, name) is not None:
                object.__setattr__(self, name, float(limits(getattr(self, name))))


def small_demo() -> tuple[Rig, Wishes]:
    """Give an invented rig with a small camera, one small flash, an open shutter, and much not yet measured."""
    rig = Rig(
        name="Kitchen table (invented)", note="Every number here is invented.", invented=True,
        nozzle_height=0.32, bowl_depth=0.045, bowl_radius=0.11, first_diameter=4.2e-3, second_diameter=4.2e-3,
        first_opening=0.045, second_opening=0.045, chain="open", link="cable", flash_kind="quench",
        flash_guide_number=20.0, sensor_width=0.0132, sensor_height=0.0088, pixels_wide=5472, pixels_high=3648,
        magnification=0.16, focal_length=0.025, liquid="milk", liquid_temperature=18.0, room_illuminance=0.3,
        units="metric",
    )  # fmt: skip
    return rig, Wishes(phase="rising", blur=2e-4, depth=8e-3, elevation=math.radians(5), nearest=0.3, farthest=0.8)


def large_demo() -> tuple[Rig, Wishes]:
    """Give an invented rig with a full-frame camera, two flash units, the front curtain, and all measured."""
    rig = demo().with_values(
        name="Studio corner (invented)", nozzle_height=0.40, first_diameter=4.5e-3, second_diameter=4.0e-3,
        flash_guide_number=48.0, flash_t01=7e-5, flash_power=FLASH_POWERS[5], room_illuminance=1.0, pupil_ratio=1.2,
        liquid="glycerol_water", magnification=0.35, liquid_parameters={"mass_fraction": 0.3}, latitude=47.0,
        bowl_depth=0.06, bowl_radius=0.15,
    )  # fmt: skip
    wishes = Wishes(
        phase="top", blur=1.2e-4, depth=8e-3, paper="Letter", units="imperial", lights=2, second_guide_number=40.0,
        backlight_size=0.6, loss=2.0, nearest=0.45, farthest=1.5, elevation=math.radians(10),
    )  # fmt: skip
    return rig, wishes
