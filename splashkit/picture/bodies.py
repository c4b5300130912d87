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
ROUNDING = 4e-3  # s: a millimetre of water rounds off in about its capillary time (derived here)


class View(NamedTuple):
    """What painting needs to know: pixel width on the subject, slope of the view, tables of facets, mirror."""

    pixel: float
    sine: float
    tables: tuple[Any, ...]
    mirror: tuple[float, Any] | None = None  # strength of the reflection in the water, and what else shows there
    thin: Any = None  # shade of solid facets, averaged for tubes a few pixels thick
    upright: Any = None  # shade of solid facets that stand, which see what is behind them at their own height
    hidden: Any = None  # what a nearer body covers
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


def ink_solid(
    x: Any, q: Any, slope: Any, view: View, z: Any, keep: Any = None, upright: bool = False
) -> tuple[Any, Any]:
    """What a refracting body, or its mirror image in the water, covers, and with which shade."""
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
    return cover, shade


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
        if not self.always:
            there = single((t >= self.start) & (t <= self.end))
            keep = there if keep is None else keep * there
        blend(work, *ink_solid(x - np.float32(self.side), q, -2 * ratio * up, view, z, keep))


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
    By ``sheet_gone`` surface tension has rounded that end again.
    """

    start: float
    peak_time: float
    end: float
    peak_height: float
    radius: float
    foot: float
    power: float = 2.0
    cap: tuple[float, float, float] | None = None
    sheet_gone: float = np.inf
    side: float = 0.0
    name: str = "column"
    reflects: bool = True

    def tip(self, t: Any) -> Any:
        """Height of the tip [m]; below zero before it rises and after it is gone."""
        rise = unit((t - self.start) / (self.peak_time - self.start))
        fall = unit((t - self.peak_time) / (self.end - self.peak_time))
        height = self.peak_height * np.where(t <= self.peak_time, 1 - (1 - rise) ** self.power, 1 - fall * fall)
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

    def extent(self, t: Any, sine: float = 0.36) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant."""
        tip = self.tip(t)
        return np.where(tip > 0, self.foot + 2 * self.radius, -1.0), 0 * tip - 0.12 * self.foot, tip

    def _rounded(self, t: Any) -> Any:
        """How far the end under the sheet has become a round head, 0 to 1."""
        return unit(1 + (t - self.sheet_gone) / ROUNDING)

    def _square(self, z: Any, t: Any, tip: Any, capped: Any) -> Any:
        down = single(tip - z)
        r = np.float32(self.radius)
        below = down / r
        slot = np.clip(below * np.float32(100), 0, 1600).astype(np.int32)
        q = _single_head()[slot]
        if np.any(capped):
            # where a drop has landed, no head is left: the column opens out into the sheet, then rounds off
            spread = 1 + np.float32(0.3) * np.exp(-np.maximum(below, 0))
            open_part = 1 - unit(below / np.float32(1.2))
            rounded = single(self._rounded(t))
            q = np.where(capped, spread * spread * (1 - rounded) + (1 - open_part * open_part) * rounded, q)
        q = np.where(below < 0, np.float32(2.56) * below, q) * (r * r)
        # a little stouter low down, as the rising column stretches
        stretched = unit(1 - single(z) / np.maximum(single(tip), r))
        q = q * (1 + np.float32(0.5) * stretched * stretched)
        low = np.maximum(single(z), 0)
        flare = np.float32(0.30 * self.foot) * np.exp(low * np.float32(-1 / (0.30 * self.foot)))
        flare += np.float32(0.70 * self.foot) * np.exp(low * np.float32(-1 / (0.055 * self.foot)))
        room = np.maximum(down, 0)
        # the foot grows with the column
        flare = flare * np.sqrt(room / (room + r)) * np.sqrt(unit(single(tip) / np.float32(0.9 * self.foot)))
        return q + np.where(down > 0, flare * (2 * np.sqrt(np.maximum(q, 0)) + flare), 0)

    def ink(self, x: Any, z: Any, t: Any, view: View) -> list[tuple[slice, slice, Any, Any]]:
        """Pieces (rows, columns, cover, shade): the slim shaft and the wide foot apart, to spare empty pixels."""
        x = x - np.float32(self.side)
        split = 0.25 * self.foot
        slim = np.flatnonzero(np.abs(x[0]) < 2.7 * self.radius + 0.16 * self.foot + 2 * view.pixel)
        pieces = []
        for rows, columns in ((z[:, 0] > split, slim), (z[:, 0] <= split, np.arange(x.shape[1]))):
            rows = np.flatnonzero(rows)
            if rows.size and columns.size:
                tall = slice(int(rows[0]), int(rows[-1]) + 1)
                wide = slice(int(columns[0]), int(columns[-1]) + 1)
                when = t[tall] if t.shape[0] > 1 else t[:, wide] if t.shape[1] > 1 else t
                pieces.append((tall, wide, *self._ink(x[:, wide], z[tall], when, view)))
        return pieces

    def _ink(self, x: Any, z: Any, t: Any, view: View) -> tuple[Any, Any]:
        tip = self.tip(t)
        capped = (t > self.cap[0]) if self.cap is not None else np.False_
        step = np.float32(0.5 * view.pixel)
        beside = self._square(np.stack([z + step, z - step]), t, tip, capped)
        q, slope = 0.5 * (beside[0] + beside[1]), (beside[0] - beside[1]) / (2 * step)
        there = single(tip > 0)
        # the foot's edge melts into the water
        reach = np.float32(0.05 * self.foot + view.pixel)
        keep = there * unit(single(z) / reach)
        if np.any(capped):
            # and melts into it
            melts = np.maximum(unit(single(tip - z) / np.float32(0.4 * self.radius)), single(self._rounded(t)))
            keep = keep * np.where(capped, melts, 1)
        # low slopes belong to the water's surface, not to the body
        flat = unit(2.6 * (-0.5 * slope / np.sqrt(np.maximum(q + 0.25 * slope * slope, TINY)) - np.float32(0.6)))
        keep = keep * (1 - flat * unit(2 - single(z) / np.float32(0.2 * self.foot)))
        return ink_solid(x, q, slope, view, z, keep, upright=True)


@lru_cache(maxsize=1)
def _single_head() -> Any:
    return single(_head()[1])
