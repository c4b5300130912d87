"""A falling drop, round about an upright axis, that may wobble; and the column, from its own module."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.picture.column import Column
from splashkit.picture.ink import View, blend, ink_solid, single, unit

__all__ = ["Column", "Drop"]


@dataclass(frozen=True)
class Drop:
    """A falling drop that may wobble. ``height`` is its centre's at ``time``; ``speed`` is downward.

    ``floor`` (height, speed upward) hides what has already gone into the water or the sheet below it.
    """

    diameter: float
    speed: float
    height: float = 0.0
    time: float = 0.0
    acceleration: float = 0.0
    side: float = 0.0
    wobble: float = 0.0
    wobble_frequency: float = 0.0
    wobble_phase: float = 0.0
    floor: tuple[float, float] | None = None
    start: float = -np.inf
    end: float = np.inf
    name: str = "drop"
    reflects: bool = True

    @property
    def always(self) -> bool:
        """Whether it neither comes nor goes."""
        return bool(np.isinf(self.start) and np.isinf(self.end))

    def centre(self, t: Any) -> Any:
        """Height of the centre [m]."""
        late = t - self.time
        return self.height - late * (self.speed + 0.5 * self.acceleration * late)

    def halves(self, t: Any) -> tuple[Any, Any]:
        """Half width and half height [m]: volume is kept."""
        r = 0.5 * self.diameter
        if not self.wobble:
            return r, r
        stretch = 1 + self.wobble * np.cos(2 * np.pi * self.wobble_frequency * (t - self.time) + self.wobble_phase)
        return r / np.sqrt(stretch), r * stretch

    def fastest(self, t: Any) -> Any:
        """Speed of the fastest part [m/s]."""
        swing = 0.5 * self.diameter * abs(self.wobble) * 2 * np.pi * self.wobble_frequency
        return np.abs(self.speed + self.acceleration * (t - self.time)) + swing

    def window(self, low: float, high: float) -> tuple[float, float]:
        """Times from and to which it can touch heights low to high."""
        low, high = low - self.diameter, high + self.diameter
        a, v = 0.5 * self.acceleration, self.speed
        if a == 0 and v == 0:
            inside = low <= self.height <= high
            first, last = (-np.inf, np.inf) if inside else (np.inf, -np.inf)
        elif a == 0:
            ends = sorted((self.height - edge) / v for edge in (low, high))
            first, last = self.time + ends[0], self.time + ends[1]
        else:
            # a throw: inside from when it first passes either edge to when it last does
            roots = [
                self.time + (-v + sign * np.sqrt(v * v + 4 * a * (self.height - edge))) / (2 * a)
                for edge in (low, high)
                for sign in (-1, 1)
                if v * v + 4 * a * (self.height - edge) >= 0
            ]
            if not roots:
                return np.inf, -np.inf
            falling = [root for root in roots if v + 2 * a * (root - self.time) >= 0]
            first, last = (min(falling), max(falling)) if v > 0 and len(falling) == 2 else (min(roots), max(roots))
        return max(first, self.start), min(last, self.end)

    def extent(self, t: Any, sine: float = 0.36) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant; width below zero means absent."""
        centre = self.centre(t)
        half, tall = self.halves(t)
        low = centre - tall
        if self.floor is not None:
            low = np.maximum(low, self.floor[0] + self.floor[1] * (t - self.time))
        there = (t >= self.start) & (t <= self.end)
        return np.where(there, half + 0 * centre, -1.0), low, centre + tall

    def paint(self, work: Any, x: Any, z: Any, t: Any, view: View) -> None:
        """Paint the drop at its instants."""
        half, tall = self.halves(t)
        up = single(z - self.centre(t))
        ratio = single((half / tall) ** 2)
        q = single(half * half) - ratio * up * up
        keep = None
        if self.floor is not None:
            floor = single(z - self.floor[0] - self.floor[1] * (t - self.time))
            keep = unit(floor / np.float32(view.pixel) + np.float32(0.5))
            if view.mirror is not None:
                # as it goes in, what it throws up hides its mirror image
                keep = keep * unit(1 + single(self.centre(t) - tall) / np.float32(0.25 * self.diameter))
        if not self.always:
            there = single((t >= self.start) & (t <= self.end))
            keep = there if keep is None else keep * there
        blend(work, *ink_solid(x - np.float32(self.side), q, -2 * ratio * up, view, z, keep))
