"""Thin walls of water with a thicker rim: the sheet where drop and column meet, and the crown of the first drop."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from splashkit.picture.fringe import Fringe, beads
from splashkit.picture.ink import View, facets, outline, single, unit
from splashkit.picture.rims import Rim

__all__ = ["Crown", "Film", "Rim", "Sheet", "layers"]


def layers(film: Film) -> tuple[Any, tuple[Any, ...]]:
    """Return what to paint of a film: what lies farthest, and what lies in front of column and drops."""
    return Rim(film, near=False), (film, Rim(film, near=True), film.fringe)


@dataclass(frozen=True)
class Film:
    """A thin wall of water: what sheet and crown share. Subclasses say where rim, middle and wall are.

    ``beads`` is the number of fingers; a part of one is a finger that is still small. ``sheds=False`` is a
    liquid whose fingers hold together.
    """

    start: float
    end: float
    side: float = 0.0
    beads: float = 16.0
    sheds: bool = True
    reflects: bool = False

    above_rim = True
    lean = 0.0  # of the fingers, above level [rad]

    def edge(self, t: Any) -> tuple[Any, Any, Any]:
        """Radius and height of the rim, and radius of the rim's own round section, worked out [m]."""
        raise NotImplementedError

    @cached_property
    def _ladder(self) -> tuple[Any, ...]:
        """Steps of the root of its age (it starts fast), and the rim there: each frame asks for it many times."""
        steps = np.linspace(0, 1, 513)
        return steps, *self.edge(self.start + (self.end - self.start) * steps * steps)

    def rim(self, t: Any) -> tuple[Any, Any, Any]:
        """Radius and height of the rim, and radius of the rim's own round section [m]."""
        step = np.sqrt(self.age(t))
        steps, *values = self._ladder
        radius, height, thick = (np.interp(step, steps, value) for value in values)
        return radius, height, thick

    def bare_thick(self, t: Any) -> Any:
        """Radius of the rim's section before anything broke off [m]."""
        return np.interp(np.sqrt(self.age(t)), *self._whole_rim)

    @cached_property
    def _whole_rim(self) -> tuple[Any, Any]:
        steps = np.linspace(0, 1, 513)
        return steps, self.whole_thick(self.start + (self.end - self.start) * steps * steps)

    def whole_thick(self, t: Any) -> Any:
        """The same, worked out."""
        return self.edge(t)[2]

    def growth(self, t: Any) -> Any:
        """How far the fingers have grown, 0 to 1."""
        raise NotImplementedError

    def shed_times(self) -> tuple[float, ...]:
        """When fingers shed, each a little earlier or later [s]."""
        raise NotImplementedError

    def points(self, t: Any) -> tuple[Any, float]:
        """How far the roots of the fingers reach up [m], and what share of the rim's radius they reach out."""
        return 0.0 * t, 0.0

    def wall(self, z: Any, t: Any) -> tuple[Any, Any]:
        """Square of the wall's radius at a height, and its slope with height."""
        raise NotImplementedError

    @cached_property
    def fringe(self) -> Fringe:
        """Its fingers and droplets."""
        return Fringe(self)

    def base(self, t: Any) -> Any:
        """Radius where it stands on the water [m]."""
        return 0.0 * t

    def there(self, t: Any) -> Any:
        """Whether it exists at each instant."""
        return (t > self.start) & (t < self.end)

    def age(self, t: Any) -> Any:
        """Share of its life that is over, 0 to 1."""
        return np.minimum(np.maximum((t - self.start) / (self.end - self.start), 0), 1)

    def fade(self, t: Any) -> Any:
        """How much it is there: it neither appears nor goes at once."""
        age = self.age(t)
        part = np.minimum(age / 0.02, np.minimum((1 - age) / 0.15, 1))
        return part * part * (3 - 2 * part)

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
        cover = outline(x, q, slope, view.pixel) * single(self.fade(t))
        place = facets(x, q, slope)
        lost, own = (table.take(place, axis=0, mode="clip") for table in view.film)
        arc = np.sqrt(np.maximum(single(radius * radius) - x * x, 0)) * np.float32(view.sine)
        step = np.float32(1 / view.pixel)
        up = single(z - height)
        if self.above_rim:
            near = unit((up + arc) * step + np.float32(0.5)) * cover
            far = unit((up - arc) * step + np.float32(0.5)) * cover
        else:
            # a wall that stands on the water: its foot is a ring too
            reach, _ = self.points(t)
            up = up - single(reach) * beads(x / single(radius), self.beads, True)
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


def eased(share: Any) -> Any:
    """From 0 to 1 without a corner."""
    share = np.minimum(np.maximum(share, 0), 1)
    return share * share * (3 - 2 * share)


@dataclass(frozen=True)
class Sheet(Film):
    """The umbrella: a bell of thin film from where drop and column met, with a thicker rim at its edge.

    ``sink`` is how fast its top falls, ``sag`` how much faster its rim does [m/s]; it goes down with the ``column``
    that carries it. When it draws back it does so
    along its own shape, and its fingers, left behind by the rim, shrink (drawn, not predicted).
    """

    height: float = 0.0
    drop_diameter: float = 4e-3
    radius_max: float = 8e-3
    full_time: float = 6e-3
    sink: float = 0.25
    sag: float = 0.8
    column: Any = None

    lean = -0.25

    def _late(self, t: Any) -> Any:
        return np.minimum(np.maximum(t - self.start, 0), self.end - self.start)

    def top(self, t: Any) -> Any:
        """Height of the middle of the sheet [m]."""
        above = 0.1 * self.drop_diameter
        high = self.height - self.sink * self._late(t)
        if self.column is not None:
            high = np.minimum(high, np.maximum(self.column.tip(np.maximum(t, self.start)), 0))
        return high + above

    def points(self, t: Any) -> tuple[Any, float]:
        """The umbrella's fingers point outward."""
        return 0.0 * t, 0.02

    def radius(self, t: Any) -> Any:
        """Radius of the rim [m]."""
        u = np.minimum(self._late(t) / self.full_time, 3)
        small = 0.5 * self.drop_diameter
        return small + (self.radius_max - small) * 2.25 * u * (1 - u / 3) ** 2

    def depth(self, t: Any) -> Any:
        """How far the rim hangs below the middle [m]."""
        deep = 0.16 * self.drop_diameter + self.sag * self._late(t)
        back = np.where(t > self.start + self.full_time, self.radius(t) / self.radius_max, 1)
        return deep * back * back

    def whole_thick(self, t: Any) -> Any:
        """Radius of the rim's section if nothing had broken off: it comes to hold half of the drop [m]."""
        return np.sqrt(self._held(t) * self.drop_diameter**3 / (12 * math.pi * self.radius(t)))

    def _held(self, t: Any) -> Any:
        return 0.5 * np.minimum(np.maximum(self._late(t) / self.full_time, 0.15), 1)

    def edge(self, t: Any) -> tuple[Any, Any, Any]:
        """Radius and height of the rim, and radius of its round section: what fingers shed has left it."""
        radius = self.radius(t)
        held = self._held(t) * math.pi / 6 * self.drop_diameter**3
        left = np.maximum(held - self.fringe.taken(t), 0.1 * held)
        return radius, self.top(t) - self.depth(t), np.sqrt(left / (2 * math.pi**2 * radius))

    def growth(self, t: Any) -> Any:
        """Fingers show from about a tenth of the capillary time; those of a rim that draws back shrink."""
        u = self._late(t) / self.full_time
        return eased((u - 0.08) / 0.5) * (1 - 0.6 * eased((u - 1.5) / 1.5))

    def shed_times(self) -> tuple[float, ...]:
        """Three times each: while it grows, near its fullest, and as it draws back."""
        return tuple(self.start + u * self.full_time for u in (0.42, 0.85, 1.35))

    def reach(self, t: Any) -> tuple[Any, Any]:
        """Lowest and highest point of the wall [m]."""
        return self.rim(t)[1], self.top(t)

    def wall(self, z: Any, t: Any) -> tuple[Any, Any]:
        """A bell: the square of its radius grows evenly from the top down to the rim."""
        radius, height, _ = self.rim(t)
        top = self.top(t)
        slope = single(-radius * radius / (top - height))
        return slope * single(z - top), slope


@dataclass(frozen=True)
class Crown(Film):
    """The crown of the first drop: a wall that leans outward, with its rim on top.

    ``rise`` is the share of its life at which it stands highest.
    """

    height_max: float = 5e-3
    radius_max: float = 8e-3
    rise: float = 0.315

    above_rim = False
    lean = 1.1

    def _stage(self, t: Any) -> Any:
        return self.age(t) ** (math.log(0.5) / math.log(self.rise))

    def points(self, t: Any) -> tuple[Any, float]:
        """The crown's fingers point upward."""
        return 0.08 * self.rim(t)[1], 0.0

    def base(self, t: Any) -> Any:
        """Radius at the water [m]."""
        age = np.maximum(self.age(t), 0.01)
        return self.radius_max * np.sqrt(age * (2 - age))

    def _height(self, t: Any) -> Any:
        stage = self._stage(t)
        return np.maximum(4 * self.height_max * stage * (1 - stage), 1e-5)

    def edge(self, t: Any) -> tuple[Any, Any, Any]:
        """Radius and height of the rim, and radius of its round section."""
        stage, height = self._stage(t), self._height(t)
        thick = 0.055 * self.radius_max * (0.5 + 0.6 * stage) * np.sqrt(1 - self.age(t) ** 4)
        return self.base(t) + 0.35 * height, height, np.maximum(thick, 1e-6)

    def growth(self, t: Any) -> Any:
        """Fingers grow with the crown, and sink to lobes with it."""
        age = self.age(t) / self.rise
        return eased(age / 0.35) * (1 - 0.8 * eased((age - 0.9) / 1.3))

    def shed_times(self) -> tuple[float, ...]:
        """Twice each, while it rises."""
        top = self.rise * (self.end - self.start)
        return tuple(self.start + share * top for share in (0.2, 0.6))

    def reach(self, t: Any) -> tuple[Any, Any]:
        """Lowest and highest point of the wall [m]."""
        height = self.rim(t)[1]
        return 0 * height, height

    def wall(self, z: Any, t: Any) -> tuple[Any, Any]:
        """A wall that flares towards its rim."""
        radius, height, _ = self.rim(t)
        base, lean = single(self.base(t)), single((radius - self.base(t)) / height)
        up = np.clip(single(z), 0, 2 * single(height))
        fillet = single(0.3 * height) * np.exp(-up / single(0.18 * height))
        r = base + lean * up + fillet
        return r * r, 2 * r * (lean - fillet / single(0.18 * height))
