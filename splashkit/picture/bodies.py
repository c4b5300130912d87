"""Bodies of water that are round about an upright axis, and how each is painted at an instant.

A body is described by Q(z, t): the square of its radius at height z, let run below zero past its ends.
From Q follow, without any special case, the distance of a pixel to the outline (so edges are smooth over
one pixel), and the normal of the facet a pixel looks at (so one table of facets shades everything).
``x`` is a row of distances from the frame's axis, ``z`` a column of heights, ``t`` the instant of each line,
shaped to go with them. Painting changes ``work`` in place. Heights count from the still water; SI.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from splashkit.picture.shade import facet_index

TINY = 1e-12


class View(NamedTuple):
    """What painting needs to know: pixel width on the subject, slope of the view, tables of facets, mirror."""

    pixel: float
    sine: float
    tables: tuple[Any, ...]
    mirror: tuple[float, Any] | None = None  # strength of the reflection in the water, and what else shows there
    upright: Any = None  # shade of solid facets that stand, which see what is behind them at their own height
    edge: float = -np.inf  # height at which the water's far edge shows


def single(values: Any) -> Any:
    """Positions are worked out in double precision, pixels in single."""
    return np.asarray(values, dtype=np.float32)


def unit(values: Any) -> Any:
    """Hold values between 0 and 1; quicker than np.clip on small arrays."""
    return np.minimum(np.maximum(values, np.float32(0)), np.float32(1))


def blend(work: Any, cover: Any, shade: Any) -> None:
    """Lay a shade over the picture where it covers."""
    if work.ndim == 3:
        cover = cover[..., None]
    work += cover * (shade - work)


def outline(x: Any, q: Any, slope: Any, pixel: float, soft: Any = 1.0) -> Any:
    """Share of each pixel inside the body, from the distance to its outline to first order."""
    x2 = x * x
    far = np.sqrt(4 * x2 + slope * slope) + np.float32(TINY)
    cover = (q - x2) / far
    cover *= np.float32(1 / pixel) / single(soft)
    cover += np.float32(0.5)
    return unit(cover)


def facets(x: Any, q: Any, slope: Any) -> Any:
    """Place in the facet table of what each pixel looks at."""
    long = 1 / np.sqrt(np.maximum(q + 0.25 * slope * slope, np.float32(TINY)))
    return facet_index(x * long, -0.5 * slope * long)


def paint_solid(
    work: Any, x: Any, q: Any, slope: Any, view: View, z: Any, keep: Any = None, upright: bool = False
) -> None:
    """Paint a refracting body, or its mirror image in the water."""
    soft = 1.0 if view.mirror is None else 1.5 + 0.12 * z / view.pixel
    cover = outline(x, q, slope, view.pixel, soft)
    if keep is not None:
        cover *= keep
    place = facets(x, q, slope)
    if upright and view.upright is not None:
        shade = view.upright.take(place, axis=0, mode="clip")
        dim = 1 - np.float32(0.36) * unit(np.float32(0.5) + single(view.edge - z) / np.float32(2.5e-3))
        shade *= dim if shade.ndim == 2 else dim[..., None]
    else:
        shade = view.tables[0].take(place, axis=0, mode="clip")
    if view.mirror is not None:
        shade = shade * np.float32(view.mirror[0]) + view.mirror[1]
    blend(work, cover, shade)


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

    def extent(self, t: Any) -> tuple[Any, Any, Any]:
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
        if not self.always:
            there = single((t >= self.start) & (t <= self.end))
            keep = there if keep is None else keep * there
        paint_solid(work, x - np.float32(self.side), q, -2 * ratio * up, view, z, keep)


@lru_cache(maxsize=1)
def _head() -> tuple[Any, Any]:
    """Square of the column's radius against the distance below its tip, both in column radii."""
    d = np.linspace(0, 16, 1601)
    ball, a = 1.28, 1.28
    neck = 1 - 0.24 * np.exp(-(((d - 3.1) / 1.0) ** 2)) + 0.10 * np.exp(-(((d - 5.4) / 1.5) ** 2))
    mix = unit((d - 1.15 * a) / (1.0 * a))
    mix = mix * mix * (3 - 2 * mix)
    return d, (1 - mix) * (2 * ball * d - d * d) + mix * neck * neck


@dataclass(frozen=True)
class Column:
    """The jet thrown up by the crater: a rounded head, a slim neck, a waist, a foot that flares into the water.

    ``cap`` (time, height, speed upward) is where a drop has landed on it: from then it ends there.
    """

    start: float
    peak_time: float
    end: float
    peak_height: float
    radius: float
    foot: float
    power: float = 2.0
    cap: tuple[float, float, float] | None = None
    side: float = 0.0
    name: str = "column"
    reflects: bool = True

    def tip(self, t: Any) -> Any:
        """Height of the tip [m]; below zero before it rises and after it is gone."""
        rise = unit((t - self.start) / (self.peak_time - self.start))
        fall = unit((t - self.peak_time) / (self.end - self.peak_time))
        height = self.peak_height * np.where(
            t <= self.peak_time, 1 - (1 - rise) ** self.power, 1 - fall * fall
        )
        if self.cap is not None:
            late = t - self.cap[0]
            height = np.where(late > 0, np.minimum(height, self.cap[1] + self.cap[2] * late), height)
        return np.where((t > self.start) & (t < self.end), height, -1.0)

    def fastest(self, t: Any) -> Any:
        """Speed of the tip [m/s]."""
        step = 1e-4
        there = (np.asarray(t) > self.start + step) & (np.asarray(t) < self.end - step)
        return np.where(there, np.abs(self.tip(t + step) - self.tip(t - step)) / (2 * step), 0.0)

    def window(self, low: float, high: float) -> tuple[float, float]:
        """Times from and to which it can be seen."""
        if high < 0 or low > self.peak_height * 1.1:
            return np.inf, -np.inf
        return self.start, self.end

    def extent(self, t: Any) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant."""
        tip = self.tip(t)
        return np.where(tip > 0, self.foot + 2 * self.radius, -1.0), 0 * tip - 0.12 * self.foot, tip

    def _square(self, z: Any, tip: Any, capped: Any) -> Any:
        down = single(tip - z)
        r = np.float32(self.radius)
        below = down / r
        slot = np.clip(below * np.float32(100), 0, 1600).astype(np.int32)
        q = _single_head()[slot]
        if np.any(capped):
            # where a drop has landed, no head is left: the column opens out into the sheet
            spread = 1 + np.float32(0.3) * np.exp(-np.maximum(below, 0))
            q = np.where(capped, spread * spread, q)
        q = np.where(below < 0, np.float32(2.56) * below, q) * (r * r)
        # a little stouter low down, as the rising column stretches
        q *= 1 + np.float32(0.5) * unit(1 - z / np.maximum(single(tip), r)) ** 2
        low = np.maximum(single(z), 0)
        flare = np.float32(0.30 * self.foot) * np.exp(low * np.float32(-1 / (0.30 * self.foot)))
        flare += np.float32(0.70 * self.foot) * np.exp(low * np.float32(-1 / (0.055 * self.foot)))
        room = np.maximum(down, 0)
        # the foot grows with the column
        flare *= np.sqrt(room / (room + r)) * np.sqrt(unit(single(tip) / np.float32(0.9 * self.foot)))
        return q + np.where(down > 0, flare * (2 * np.sqrt(np.maximum(q, 0)) + flare), 0)

    def paint(self, work: Any, x: Any, z: Any, t: Any, view: View) -> None:
        """Paint the column at its instants: the slim shaft and the wide foot apart, to spare empty pixels."""
        x = x - np.float32(self.side)
        split = 0.25 * self.foot
        high = np.flatnonzero(z[:, 0] > split)
        if high.size:
            shaft = slice(int(high[0]), int(high[-1]) + 1)
            slim = np.flatnonzero(np.abs(x[0]) < 2.7 * self.radius + 0.16 * self.foot + 2 * view.pixel)
            if slim.size:
                part = slice(int(slim[0]), int(slim[-1]) + 1)
                when = t[shaft] if t.shape[0] > 1 else t[:, part] if t.shape[1] > 1 else t
                self._paint(work[shaft, part], x[:, part], z[shaft], when, view)
        low = np.flatnonzero(z[:, 0] <= split)
        if low.size:
            foot = slice(int(low[0]), int(low[-1]) + 1)
            self._paint(work[foot], x, z[foot], t[foot] if t.shape[0] > 1 else t, view)

    def _paint(self, work: Any, x: Any, z: Any, t: Any, view: View) -> None:
        tip = self.tip(t)
        capped = (t > self.cap[0]) if self.cap is not None else np.False_
        step = np.float32(0.5 * view.pixel)
        beside = self._square(np.stack([z + step, z - step]), tip, capped)
        q, slope = 0.5 * (beside[0] + beside[1]), (beside[0] - beside[1]) / (2 * step)
        there = single(tip > 0)
        # the foot's edge melts into the water
        reach = np.float32(0.05 * self.foot + view.pixel)
        keep = there * unit(single(z) / reach)
        if np.any(capped):
            keep = keep * unit(single(tip - z) / np.float32(view.pixel) + np.float32(0.5))
        # low slopes belong to the water's surface, not to the body
        flat = unit(7 * (-0.5 * slope / np.sqrt(np.maximum(q + 0.25 * slope * slope, TINY)) - np.float32(0.82)))
        keep = keep * (1 - flat * unit(2 - single(z) / np.float32(0.2 * self.foot)))
        paint_solid(work, x, q, slope, view, z, keep, upright=True)


@lru_cache(maxsize=1)
def _single_head() -> Any:
    return single(_head()[1])


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

    def extent(self, t: Any) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant."""
        radius, height, thick = self.rim(t)
        low, high = self.reach(t)
        tilt = 0.36 * radius  # the near and far rim, at the steepest view allowed
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
        gain = view.tables[1].take(place, axis=0, mode="clip")
        own = view.tables[2].take(place, axis=0, mode="clip")
        wide = single(radius)
        across = np.clip(x / wide, -1, 1)
        deep = np.sqrt(1 - across * across)
        arc = deep * (wide * np.float32(view.sine))
        step = np.float32(1 / view.pixel)
        up = single(z - height)
        if self.above_rim:
            near = unit((up + arc) * step + np.float32(0.5)) * cover
            far = unit((up - arc) * step + np.float32(0.5)) * cover
        else:
            # a wall that stands on the water: its foot is a ring too
            reach, _ = self.points(t)
            up = up - single(reach) * fingers(across, self.beads, 0.7)
            foot = np.sqrt(np.maximum(single(self.base(t)) ** 2 - x * x, 0)) * np.float32(view.sine)
            tall = single(z)
            near = unit((-up - arc) * step + np.float32(0.5)) * cover
            far = unit((-up + arc) * step + np.float32(0.5)) * cover
            near *= unit((tall + foot) * (step * np.float32(0.3)) + np.float32(0.5))
            far *= unit((tall - foot) * (step * np.float32(0.3)) + np.float32(0.5))
        if work.ndim == 3:
            near, far = near[..., None], far[..., None]
        lost = 1 - gain
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

    def extent(self, t: Any) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant."""
        radius, height, thick = self.film.rim(t)
        tilt = 0.36 * radius
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
        wide = wide * (1 + np.float32(out) * (bead - np.float32(0.3)))
        across = x / wide
        tall = single(np.maximum(radius * view.sine, 0.5 * thick))
        tube = single(thick) * (np.float32(0.7) + np.float32(0.8) * bead)
        up = single(z - height) - single(reach) * bead
        ring = np.sqrt(across * across + (up / tall) ** 2) + np.float32(1e-6)
        gz = up / (tall * tall * ring)
        gx = across / (wide * ring)
        steep = np.sqrt(gx * gx + gz * gz) + np.float32(TINY)
        off = (ring - 1) / steep
        cover = unit((tube - np.abs(off)) * np.float32(1 / view.pixel) + np.float32(0.5))
        half = unit(up * np.float32(-1 / view.pixel if self.near else 1 / view.pixel) + np.float32(0.5))
        cover *= half * single(self.film.there(t))
        part = off / (tube * steep)
        place = facet_index(part * gx, part * gz)
        shade = view.tables[0].take(place, axis=0, mode="clip")
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
        return np.clip(t - self.start, 0, self.end - self.start)

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
        u = np.clip(self._late(t) / self.full_time, 0, 3)
        small = 0.5 * self.drop_diameter
        radius = small + (self.radius_max - small) * 2.25 * u * (1 - u / 3) ** 2
        held = 0.5 * np.clip(u, 0.15, 1)
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
