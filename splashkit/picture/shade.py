"""The lights, and how the liquid looks. Values are luminances; the backlight panel's middle is 1."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.checks import Range, require
from splashkit.picture.optics import HALF_ANGLE, INDEX, WATER_INDEX

STRENGTH = Range("strength of a light", "1", 0, 1000, "give 0 for off, 1 for the normal strength")
SHARE = Range("share", "1", 0, 1, "give a number from 0 to 1")
DIRECTION = Range("direction of the key light", "rad", -np.pi, np.pi, "give radians to the right and up")
SURROUND = Range("luminance of the dark room", "1", 0, 1, "give a small share of the backlight, such as 0.02")


@dataclass(frozen=True)
class Lighting:
    """A round backlight panel and one key light (a softbox in front, to one side).

    ``key_direction`` is (right, up) seen from the drop, zero at the camera. ``fall_off`` is how much darker
    the panel is at its edge than in its middle. A ``backlight`` of 0 is a dark background. The size
    is chosen so that clear drops stand out, with dark rims before a bright middle (house choice, no source).
    """

    half_angle: float = float(np.radians(24))
    backlight: float = 1.0
    key: float = 1.0
    key_direction: tuple[float, float] = (float(np.radians(-48)), float(np.radians(42)))
    key_half_angle: float = float(np.radians(13))
    surround: float = 0.03
    fall_off: float = 0.5

    def __post_init__(self) -> None:
        HALF_ANGLE(self.half_angle)
        for strength in (self.backlight, self.key):
            STRENGTH(strength)
        require(len(self.key_direction) == 2, DIRECTION.quantity, str(self.key_direction), "two angles", "right, up")
        for angle in self.key_direction:
            DIRECTION(angle)
        HALF_ANGLE(self.key_half_angle)
        SURROUND(self.surround)
        SHARE(self.fall_off)


@dataclass(frozen=True)
class Look:
    """How the liquid itself looks: ``colour`` is what one drop's width lets through in red, green, blue.

    ``cloudiness`` runs from 0 (clear) to 1 (milk). ``colour=(0, 0, 0)`` is ink: a plain silhouette.
    """

    colour: tuple[float, float, float] = (1.0, 1.0, 1.0)
    cloudiness: float = 0.0
    index: float = WATER_INDEX

    def __post_init__(self) -> None:
        require(len(self.colour) == 3, "colour of the liquid", str(self.colour), "three shares", "red, green, blue")
        for share in (*self.colour, self.cloudiness):
            SHARE(share)
        INDEX(self.index)

    @property
    def channels(self) -> int:
        """1 when the liquid is grey, 3 when it has a colour."""
        return 1 if len(set(self.colour)) == 1 else 3


def smooth_step(value: Any, low: float, high: float) -> Any:
    share = np.clip((value - low) / (high - low), 0, 1)
    return share * share * (3 - 2 * share)


def panel(lighting: Lighting, distance: Any) -> tuple[Any, Any]:
    """Luminance at a distance from the panel's middle, in its radii: the even part, and what is added upward."""
    inside = 1 - smooth_step(distance, 0.965, 1.035)
    near = np.minimum(distance, 1)
    fall = lighting.backlight * lighting.fall_off * near**2
    even = inside * np.maximum(lighting.backlight - 0.7 * fall, lighting.surround) + (1 - inside) * lighting.surround
    upward = inside * 0.3 * fall * near + (1 - inside) * 0.35 * lighting.surround
    return even, upward


def key_direction(lighting: Lighting) -> Any:
    right, up = lighting.key_direction
    return np.array([np.sin(right) * np.cos(up), np.sin(up), np.cos(right) * np.cos(up)], dtype=np.float32)


def water_glow(lighting: Lighting, look: Look) -> float:
    """Luminance that comes up out of the bowl: dark for clear water, pale for milk."""
    return float(0.05 + look.cloudiness * (0.4 * lighting.key + 0.12 * lighting.backlight))
