"""The camera of the recorded frame: sensor, scale, how it is held, and which row is uncovered when.

The picture is always shown upright. A lens turns the image over, so the curtains, which run down
the sensor, run up the picture of a camera held level; turn the camera and their direction turns too.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from splashkit import lens
from splashkit.checks import Choice, Range, require

ORIENTATIONS = ("landscape", "portrait_left", "portrait_right", "inverted")
ORIENTATION = Choice("camera orientation", ORIENTATIONS, "say where the top of the camera points, seen from behind it")
SCAN = Choice("scan direction", ("up", "down"), "up is the usual shutter, as seen in a level picture")
SIZE = Range("sensor side", "m", 1e-3, 0.2, "give metres: a 36 mm side is 0.036")
PIXELS = Range("number of pixels along a side", "1", 8, 8000, "give whole numbers such as 640 and 427")
MAGNIFICATION = Range("magnification", "1", 0.02, 10, "give image size over real size, such as 0.5")
AIM = Range("aim of the camera", "m", -1.0, 1.0, "give metres from the axis and above the water")
ELEVATION = Range("camera angle above level", "rad", 0.0, np.pi / 9, "look down by 0 to 20 degrees")
FOCUS = Range("focus offset", "m", -0.05, 0.05, "give metres behind the plane in focus")
F_NUMBER = Range("f-number", "1", 0.7, 128, "give a number such as 11")
FOCAL = Range("focal length", "m", 5e-3, 1.0, "give metres: 100 mm is 0.1")
PUPIL = Range("pupil ratio", "1", 0.2, 5, "give exit pupil over entrance pupil; 1 if unknown")


@dataclass(frozen=True)
class Camera:
    """Sensor, lens scale and aim. SI; heights count from the still water, or from the drop's place.

    ``sensor`` and ``pixels`` are (long side, short side); the curtains cross the short side.
    ``orientation`` names where the camera's top points, seen from behind: landscape (up), portrait_left,
    portrait_right, inverted (down). ``scan`` is the way rows are taken in a level picture: "up" for
    curtains, either way for electronic readout. ``aim`` is the (sideways, height) point at the middle of
    the frame. ``focus_offset`` is how far the water lies behind the plane in focus. ``softness=False``
    leaves defocus and diffraction out.
    """

    magnification: float = 0.5
    orientation: str = "landscape"
    aim: tuple[float, float] = (0.0, 0.0)
    elevation: float = 0.0
    sensor: tuple[float, float] = (0.036, 0.024)
    pixels: tuple[int, int] = (640, 427)
    scan: str = "up"
    f_number: float = 11.0
    focal_length: float = 0.1
    pupil_ratio: float = 1.0
    focus_offset: float = 0.0
    softness: bool = True

    def __post_init__(self) -> None:
        for values, limits in ((self.sensor, SIZE), (self.pixels, PIXELS), (self.aim, AIM)):
            require(len(values) == 2, limits.quantity, f"{len(values)} numbers", "two numbers", limits.advice)
            for value in values:
                limits(value)
        require(
            all(float(n).is_integer() for n in self.pixels), PIXELS.quantity, str(self.pixels), "whole", PIXELS.advice
        )
        for value, limits in (
            (self.magnification, MAGNIFICATION), (self.elevation, ELEVATION), (self.f_number, F_NUMBER),
            (self.focal_length, FOCAL), (self.pupil_ratio, PUPIL), (self.focus_offset, FOCUS),
        ):  # fmt: skip
            limits(value)
        ORIENTATION(self.orientation)
        SCAN(self.scan)

    @property
    def upright(self) -> bool:
        """Whether the picture is higher than wide."""
        return self.orientation.startswith("portrait")

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of the picture as shown."""
        long, short = int(self.pixels[0]), int(self.pixels[1])
        return (long, short) if self.upright else (short, long)

    @property
    def pixel(self) -> float:
        """Width of one pixel on the subject [m]."""
        return float(self.sensor[0] / self.pixels[0] / self.magnification)

    @property
    def field(self) -> tuple[float, float]:
        """Width and height of what the frame holds, in the plane of the drop [m]."""
        rows, columns = self.shape
        return columns * self.pixel, rows * self.pixel / float(np.cos(self.elevation))

    @property
    def lines_are_rows(self) -> bool:
        """Whether the lines that open together lie level in the picture."""
        return not self.upright

    @property
    def direction(self) -> str:
        """Which way the exposure runs across the picture as shown: up, down, left or right."""
        turned = {"landscape": "up", "inverted": "down", "portrait_right": "right", "portrait_left": "left"}
        opposite = {"up": "down", "down": "up", "left": "right", "right": "left"}
        way = turned[self.orientation]
        return way if self.scan == "up" else opposite[way]

    def lines(self) -> Any:
        """Return the place of each line along the curtains' travel, 0 to 1, in picture order (top or left first)."""
        count = int(self.pixels[1])
        place = (np.arange(count) + 0.5) / count
        return place if self.direction in ("down", "right") else 1 - place

    def sideways(self) -> Any:
        """Return the distance of each column of pixels from the axis, right positive [m]."""
        columns = self.shape[1]
        return (np.arange(columns) + 0.5 - columns / 2) * self.pixel + self.aim[0]

    def heights(self) -> Any:
        """Return the height above the water that each row of pixels sees on the axis [m]."""
        rows = self.shape[0]
        return (rows / 2 - np.arange(rows) - 0.5) * self.pixel / np.cos(self.elevation) + self.aim[1]

    def blur_pixels(self) -> float:
        """Return the spread (standard deviation) of defocus and diffraction, in pixels.

        A disc of width b spreads by b/4 along one side; the diffraction disc's core by 0.17 of its width.
        """
        return self._blur

    @cached_property
    def _blur(self) -> float:
        if not self.softness:
            return 0.0
        airy = lens.airy_diameter(self.f_number, self.magnification, self.pupil_ratio)
        disc = lens.defocus_blur(
            self.focus_offset, self.focal_length, self.f_number, self.magnification, self.pupil_ratio
        )
        return float(np.hypot(disc / 4, 0.17 * airy) / (self.pixel * self.magnification))
