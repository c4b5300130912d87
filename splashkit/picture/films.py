"""Thin walls of water with a thicker rim: the sheet where drop and column meet, and the crown of the first drop."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.picture.bodies import TINY, View, blend, facets, outline, single, unit
from splashkit.picture.shade import facet_index


@dataclass(frozen=True)
class Film:
    """A thin wall of water: what sheet and crown share. Subclasses say where rim, middle and wall are."""

    start: float
    end: float
    side: float = 0.0
    beads: int = 16
    reflects: bool = False

    def rim(self, t: Any) -> tuple[Any, Any, Any]:
        """Radius and height of the rim, and radius of the rim's own round section [m]."""
        raise NotImplementedError

    def points(self, t: Any) -> tuple[Any, float]:
        """How far the rim's fingers reach up [m], and what share of its radius they reach out."""
        return 0.0 * t, 0.0

    def wall(self, z: Any, t: Any) -> tuple[Any, Any]:
        """Square of the wall's radius at a height, and its slope with height."""
        raise NotImplementedError

    above_rim: bool = True

    def base(self, t: Any) -> Any:
        """Radius where it stands on the water [m]."""
        return 0.0 * t

    def there(self, t: Any) -> Any:
        """Whether it exists at each instant."""
        return (t > self.start) & (t < self.end)

    def fastest(self, t: Any) -> Any:
        """Speed of the rim [m/s]."""
        step = 2e-4
        before, after = self.rim(t - step), self.rim(t + step)
        speed = np.hypot(after[0] - before[0], after[1] - before[1]) / (2 * step)
        return np.where(self.there(t), speed, 0.0)

    def window(self, low: float, high: float) -> tuple[float, float]:
        """Times from and to which it can be seen."""
        return self.start, self.end

    def extent(self, t: Any, sine: float = 0.36) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant."""
        radius, height, thick = self.rim(t)
        low, high = self.reach(t)
        tilt = sine * radius  # the near and far rim
        return (
            np.where(self.there(t), radius + thick, -1.0),
            np.minimum(low, height - tilt) - (0 if self.above_rim else tilt),
            np.maximum(high, height) + (0 if self.above_rim else tilt + self.points(t)[0]),
        )

    def reach(self, t: Any) -> tuple[Any, Any]:
        """Lowest and highest point of the wall [m]."""
        raise NotImplementedError

    def paint(self, work: Any, x: Any, z: Any, t: Any, view: View) -> None:
        """Paint near and far wall: each holds back what it reflects, and shows the lights it mirrors."""
        x = x - np.float32(self.side)
        q, slope = self.wall(z, t)
        radius, height, _ = self.rim(t)
        cover = outline(x, q, slope, view.pixel) * single(self.there(t))
        place = facets(x, q, slope)
        lost = view.tables[1].take(place, axis=0, mode="clip")
        own = view.tables[2].take(place, axis=0, mode="clip")
        arc = np.sqrt(np.maximum(single(radius * radius) - x * x, 0)) * np.float32(view.sine)
        step = np.float32(1 / view.pixel)
        up = single(z - height)
        if self.above_rim:
            near = unit((up + arc) * step + np.float32(0.5)) * cover
            far = unit((up - arc) * step + np.float32(0.5)) * cover
        else:
            # a wall that stands on the water: its foot is a ring too
            reach, _ = self.points(t)
            up = up - single(reach) * fingers(x / single(radius), self.beads, 0.7)
            foot = np.sqrt(np.maximum(single(self.base(t)) ** 2 - x * x, 0)) * np.float32(view.sine)
            tall = single(z)
            near = unit((-up - arc) * step + np.float32(0.5)) * cover
            far = unit((-up + arc) * step + np.float32(0.5)) * cover
            near *= unit((tall + foot) * (step * np.float32(0.3)) + np.float32(0.5))
            far *= unit((tall - foot) * (step * np.float32(0.3)) + np.float32(0.5))
        if work.ndim == 3:
            near, far = near[..., None], far[..., None]
        work *= (1 - near * lost) * (1 - far * lost)
        work += near * own


@lru_cache(maxsize=64)
def _finger_table(count: int, phase: float) -> Any:
    across = np.linspace(-1, 1, 2048)
    along = count * np.arcsin(across)
    wave = np.cos(along + phase) + 0.35 * np.cos(0.618 * along + 2.2)
    wave = np.clip(0.74 * wave, 0, 1) * (1 - across**8)
    return single(wave * wave * (3 - 2 * wave))


def fingers(across: Any, count: int, phase: float) -> Any:
    """Pattern of fingers round a rim, 0 to 1, against the sine of the angle round it: not quite even."""
    place = across * np.float32(1023.5) + np.float32(1024)
    return _finger_table(count, phase).take(place.astype(np.int32), mode="clip")


@dataclass(frozen=True)
class Rim:
    """Half of a film's thick edge: the far half (painted first) or the near half, with its beads."""

    film: Film
    near: bool
    name: str = ""
    reflects: bool = False

    @property
    def side(self) -> float:
        """Distance of the axis to the right [m]."""
        return self.film.side

    def fastest(self, t: Any) -> Any:
        """Speed of the rim [m/s]."""
        return self.film.fastest(t)

    def window(self, low: float, high: float) -> tuple[float, float]:
        """Times from and to which it can be seen."""
        return self.film.window(low, high)

    def extent(self, t: Any, sine: float = 0.36) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant."""
        radius, height, thick = self.film.rim(t)
        tilt = sine * radius
        return (
            np.where(self.film.there(t), radius * (1.02 + self.film.points(t)[1]) + 2 * thick, -1.0),
            height - 2 * thick - (tilt if self.near else 0),
            height + 2 * thick + (0 if self.near else tilt) + self.film.points(t)[0],
        )

    def paint(self, work: Any, x: Any, z: Any, t: Any, view: View) -> None:
        """Paint a bent tube: dark along both edges, bright along its middle, like a drop drawn out."""
        radius, height, thick = self.film.rim(t)
        x = x - np.float32(self.film.side)
        wide = single(radius)
        phase = 0.7 if self.near else 2.1
        bead = fingers(x / wide, self.film.beads, phase)
        reach, out = self.film.points(t)
        inverse = 1 / (wide * (1 + np.float32(out) * (bead - np.float32(0.3))))
        flat = single(1 / np.maximum(radius * view.sine, 0.5 * thick))
        tube = single(thick) * (np.float32(0.7) + np.float32(0.8) * bead)
        up = single(z - height) - single(reach) * bead
        # the ring is the ellipse in which across and up are one; its slope turns offsets into distances
        across, along = x * inverse, up * flat
        ring = np.sqrt(across * across + along * along) + np.float32(1e-6)
        across *= inverse
        along *= flat
        steep = np.sqrt(across * across + along * along) + np.float32(TINY)
        off = (ring - 1) * ring / steep
        cover = unit((tube - np.abs(off)) * np.float32(1 / view.pixel) + np.float32(0.5))
        half = unit(up * np.float32(-1 / view.pixel if self.near else 1 / view.pixel) + np.float32(0.5))
        cover *= half * single(self.film.there(t))
        if view.hidden is not None:
            cover *= 1 - view.hidden
        off /= tube * steep
        place = facet_index(off * across, off * along)
        shade = view.thin.take(place, axis=0, mode="clip")
        if view.mirror is not None:
            shade = shade * np.float32(view.mirror[0]) + view.mirror[1]
        blend(work, cover, shade)


@dataclass(frozen=True)
class Sheet(Film):
    """The umbrella: a bell of thin film from where drop and column met, with a thicker rim at its edge.

    ``sink`` is how fast its top falls, ``sag`` how much faster its rim does [m/s].
    """

    height: float = 0.0
    drop_diameter: float = 4e-3
    radius_max: float = 8e-3
    full_time: float = 6e-3
    sink: float = 0.25
    sag: float = 0.8

    def _late(self, t: Any) -> Any:
        return np.minimum(np.maximum(t - self.start, 0), self.end - self.start)

    def top(self, t: Any) -> Any:
        """Height of the middle of the sheet [m]."""
        return self.height + 0.1 * self.drop_diameter - self.sink * self._late(t)

    def points(self, t: Any) -> tuple[Any, float]:
        """The umbrella's fingers point outward."""
        return 0.0 * t, 0.045

    def depth(self, t: Any) -> Any:
        """How far the rim hangs below the middle [m]."""
        return 0.16 * self.drop_diameter + self.sag * self._late(t)

    def rim(self, t: Any) -> tuple[Any, Any, Any]:
        """Radius and height of the rim, and radius of its round section: it holds half of the drop."""
        u = np.minimum(self._late(t) / self.full_time, 3)
        small = 0.5 * self.drop_diameter
        radius = small + (self.radius_max - small) * 2.25 * u * (1 - u / 3) ** 2
        held = 0.5 * np.minimum(np.maximum(u, 0.15), 1)
        thick = np.sqrt(held * self.drop_diameter**3 / (12 * np.pi * radius))
        return radius, self.top(t) - self.depth(t), thick

    def reach(self, t: Any) -> tuple[Any, Any]:
        """Lowest and highest point of the wall [m]."""
        return self.top(t) - self.depth(t), self.top(t)

    def wall(self, z: Any, t: Any) -> tuple[Any, Any]:
        """A bell: the square of its radius grows evenly from the top down to the rim."""
        radius, _, _ = self.rim(t)
        slope = single(-radius * radius / self.depth(t))
        return slope * single(z - self.top(t)), slope


@dataclass(frozen=True)
class Crown(Film):
    """The crown of the first drop: a wall that leans outward, with its rim on top."""

    height_max: float = 5e-3
    radius_max: float = 8e-3
    above_rim: bool = False

    def _age(self, t: Any) -> Any:
        return unit((t - self.start) / (self.end - self.start))

    def points(self, t: Any) -> tuple[Any, float]:
        """The crown's fingers point upward."""
        _, height, _ = self.rim(t)
        return 0.14 * height, 0.0

    def base(self, t: Any) -> Any:
        """Radius at the water [m]."""
        return self.radius_max * np.sqrt(np.maximum(self._age(t), 0.01))

    def rim(self, t: Any) -> tuple[Any, Any, Any]:
        """Radius and height of the rim, and radius of its round section."""
        age = self._age(t) ** 0.6
        height = np.maximum(4 * self.height_max * age * (1 - age), 1e-5)
        return self.base(t) + 0.35 * height, height, 0.055 * self.radius_max * (0.6 + 0.6 * age)

    def reach(self, t: Any) -> tuple[Any, Any]:
        """Lowest and highest point of the wall [m]."""
        _, height, _ = self.rim(t)
        return 0 * height, height

    def wall(self, z: Any, t: Any) -> tuple[Any, Any]:
        """A wall that flares towards its rim."""
        radius, height, _ = self.rim(t)
        base, lean = single(self.base(t)), single((radius - self.base(t)) / height)
        up = np.clip(single(z), 0, 2 * single(height))
        fillet = single(0.3 * height) * np.exp(-up / single(0.18 * height))
        r = base + lean * up + fillet
        return r * r, 2 * r * (lean - fillet / single(0.18 * height))
