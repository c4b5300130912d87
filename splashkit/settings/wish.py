"""What is wanted of a frame, and what the gear offers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.checks import Choice, Range, require
from splashkit.exposure import RANGES as EXPOSURE_RANGES
from splashkit.flash import UNITS, durations
from splashkit.lens.ranges import RANGES as LENS_RANGES
from splashkit.units import APERTURES, FLASH_POWERS, ISO_SPEEDS, format_quantity

RANGES = {
    "motion_blur": Range("motion blur allowed on the subject", "m", 1e-7, 100, "give metres: 0.1 mm is 0.0001"),
    "speed": Range("speed of the subject", "m/s", 0, 1000, "give metres a second, such as 2.2"),
    "depth": LENS_RANGES["depth"],
    "magnification": LENS_RANGES["magnification"],
    "level": Range("level wanted of the flash", "stop", -10, 10, "give stops over correct; 0 is correct"),
    "guide_number": EXPOSURE_RANGES["guide_number"],
    "loss": Range("light loss", "stop", -40, 40, "give stops lost in the diffuser; negative for a second unit"),
    "power": EXPOSURE_RANGES["power"],
    "aperture": EXPOSURE_RANGES["f_number"],
    "iso": EXPOSURE_RANGES["iso"],
    "nearest": Range("nearest distance of the flash", "m", 0.005, 200, "give metres: 20 cm is 0.2"),
    "farthest": Range("farthest distance of the flash", "m", 0.005, 200, "give metres: 1 m is 1"),
    "focal_length": LENS_RANGES["focal_length"],
    "pupil_ratio": LENS_RANGES["pupil_ratio"],
    "blur_circle": LENS_RANGES["blur_circle"],
    "diffraction": Range("largest diffraction disc allowed", "m", 1e-6, 1e-3, "give metres: 45 µm is 0.000045"),
    "light_time": Range("time the light lasts", "s", 1e-9, 10, "give seconds: 50 µs is 0.00005"),
}
UNIT_KINDS = Choice("kind of flash unit", tuple(UNITS))


@dataclass(frozen=True)
class Wish:
    """What the frame must show: all in SI, blur and depth on the subject, level in stops over correct."""

    motion_blur: float
    speed: float
    depth: float
    magnification: float
    level: float = 0.0

    def __post_init__(self) -> None:
        for name in ("motion_blur", "speed", "depth", "magnification", "level"):
            _store(self, name, RANGES[name](getattr(self, name)))


@dataclass(frozen=True)
class Gear:
    """What there is to set: the flash unit, the marks allowed, how near and far it may stand, and the lens.

    ``light_times`` holds your own measured t0.1 for each power; without it the model of the unit's kind is used.
    ``diffraction`` is the largest Airy disc allowed on the sensor: one and a half blur circles if left out.
    """

    guide_number: float
    unit: str = "quench"
    loss: float = 0.0
    powers: tuple[float, ...] = FLASH_POWERS[:8]
    apertures: tuple[float, ...] = tuple(mark for mark in APERTURES if 2.8 <= mark <= 22)
    isos: tuple[float, ...] = tuple(mark for mark in ISO_SPEEDS if 100 <= mark <= 1600)
    nearest: float = 0.2
    farthest: float = 1.0
    focal_length: float = 0.1
    pupil_ratio: float = 1.0
    blur_circle: float = 30e-6
    diffraction: float | None = None
    light_times: tuple[float, ...] | None = None

    def __post_init__(self) -> None:
        UNIT_KINDS(self.unit)
        for name in ("guide_number", "loss", "nearest", "farthest", "focal_length", "pupil_ratio", "blur_circle"):
            _store(self, name, RANGES[name](getattr(self, name)))
        for name, quantity in (("powers", "power"), ("apertures", "aperture"), ("isos", "iso")):
            _store_marks(self, name, RANGES[quantity])
        disc = 1.5 * self.blur_circle if self.diffraction is None else self.diffraction
        _store(self, "diffraction", RANGES["diffraction"](disc))
        require(
            self.nearest <= self.farthest, "farthest distance of the flash", format_quantity(self.farthest, "m"),
            f"at least the nearest, {format_quantity(self.nearest, 'm')}", "swap the two, or make room",
        )  # fmt: skip
        if self.light_times is not None:
            _store_marks(self, "light_times", RANGES["light_time"])
            require(
                len(self.light_times) == len(self.powers), "list of measured light times",
                f"{len(self.light_times)} times", f"as long as the list of powers, {len(self.powers)}",
                "give one time for each power, in the same order",
            )  # fmt: skip

    def durations(self) -> np.ndarray[Any, Any]:
        """Return how long the light lasts at each power, t0.1 [s]."""
        return np.array(self.light_times or _model_times(self.unit, self.powers))


@lru_cache(maxsize=64)
def _model_times(unit: str, powers: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(durations(unit, np.array(powers))[1].tolist())


def _store(thing: Any, name: str, value: Any) -> None:
    """Set a field of a frozen dataclass while it is being made."""
    require(np.ndim(value) == 0, name.replace("_", " "), "several values", "one number", "ask once for each value")
    object.__setattr__(thing, name, float(value))


def _store_marks(thing: Any, name: str, allowed: Range) -> None:
    marks = np.atleast_1d(allowed(getattr(thing, name)))
    quantity = f"list of {name.replace('_', ' ')}"
    require(marks.size > 0, quantity, "an empty list", "at least one long", "allow one mark or more")
    object.__setattr__(thing, name, tuple(float(mark) for mark in marks.ravel()))
