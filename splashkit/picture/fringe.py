"""Fingers on the rim of a film, and the droplets that break off their tips.

A finger is as thick as half the rim and up to one pinching wave of itself long; the drop it sheds is what one such
wave holds (Rayleigh 1878, from memory). How many there are the film says. Where they stand, and when each
sheds, is drawn, not predicted: finger k stands at k golden angles round the rim, so that a finger more moves no
other one, and the last finger grows from nothing as the count passes a whole number. No chance is involved.
"""

from __future__ import annotations

import math
from functools import cached_property, lru_cache
from typing import Any, NamedTuple

import numpy as np

from splashkit.picture.ink import View, single, unit
from splashkit.picture.specks import Specks, droplet_specks, finger_specks

GOLDEN = math.pi * (3 - math.sqrt(5))
PHASE = 0.7  # where the first finger stands, from straight ahead to the right [rad]
WAVE = 9.02  # length of the fastest pinching wave of a thread, in its radii (Rayleigh 1878, from memory)
SWELL = (0.75 * WAVE) ** (1 / 3)  # radius of the drop that one such wave holds, in radii of the thread: 1.89
SLIM = 0.45  # a finger's radius beside the rim's (drawn)
GRAVITY = 9.80665
LONGEST = 0.06  # s: droplets are followed this long after the film's start; by then they have left any frame


def places(count: float) -> tuple[Any, Any, Any, Any]:
    """Angle and weight of each finger, and two numbers from 0 to 1 that are its own: fixed by its place in the row."""
    k = np.arange(math.ceil(count))
    angle = (PHASE + k * GOLDEN) % (2 * math.pi)
    return angle, np.clip(count - k, 0, 1), (0.5 + 0.7548777 * k) % 1, (0.5 + 0.5698403 * k) % 1


@lru_cache(maxsize=64)
def bead_table(count: float, near: bool) -> Any:
    """Beads of the rim where fingers stand, 0 to 1, against the sine of the angle round its near or far half."""
    across = np.linspace(-1, 1, 2048)
    round_it = np.arcsin(across) if near else math.pi - np.arcsin(across)
    angle, weight, own, _ = places(count)
    apart = np.abs(single(round_it)[:, None] - single(angle))
    apart = np.minimum(apart, np.abs(np.float32(2 * math.pi) - apart))
    apart *= np.float32(max(count, 1) / (0.3 * 2 * math.pi))
    bumps = single(weight * (0.65 + 0.35 * own)) * np.exp(-apart * apart)
    # at its ends the ring is seen along itself
    return single(np.minimum(bumps.sum(axis=1), 1) * (1 - across**8))


def beads(across: Any, count: float, near: bool) -> Any:
    """Look the beads up."""
    place = across * np.float32(1023.5) + np.float32(1024)
    return bead_table(count, near).take(place.astype(np.int32), mode="clip")


class Droplets(NamedTuple):
    """Where and when each droplet breaks off, how large it is, how fast it leaves outward and upward; SI."""

    born: Any
    radius: Any
    angle: Any
    out: Any
    height: Any
    speed_out: Any
    speed_up: Any


class Fringe:
    """Fingers and droplets of one film, painted as many small patches at once."""

    name = ""
    reflects = False
    specks_only = True

    def __init__(self, film: Any):
        self.film = film
        self.start, self.side = film.start, film.side
        self.angle, self.weight, self.own, self.other = places(film.beads)

    # --- what breaks off, and when

    @cached_property
    def sheds(self) -> tuple[Any, Any]:
        """Times at which each finger sheds, and the radius of what it sheds, as (fingers, times)."""
        times = np.asarray(self.film.shed_times(), dtype=float) if self.film.sheds else np.zeros(0)
        if not times.size:
            return np.zeros((self.angle.size, 0)), np.zeros((self.angle.size, 0))
        apart = np.diff(times, prepend=self.start)
        when = times + 0.7 * apart * (self.other[:, None] - 0.5)
        return when, SWELL * self._slim(when, slice(None))

    @cached_property
    def _ladder(self) -> tuple[Any, Any]:
        """The same with the film's start, and never, beside them."""
        born, radius = self.sheds
        one = np.ones((born.shape[0], 1))
        return np.hstack([self.start * one, born, np.inf * one]), np.hstack([0 * one, radius, 0 * one])

    def _slim(self, t: Any, which: Any) -> Any:
        """Radius of each finger [m]; ``t`` has fingers first."""
        thick = self.film.bare_thick(t)
        shape = (-1,) + (1,) * (np.ndim(t) - 1)
        own = (0.8 + 0.4 * self.own[which]) * np.cbrt(self.weight[which])
        return SLIM * thick * own.reshape(shape)

    def _full_length(self, t: Any, which: Any, slim: Any) -> Any:
        """Length a finger has when it is about to shed [m]."""
        shape = (-1,) + (1,) * (np.ndim(t) - 1)
        return WAVE * slim * self.film.growth(t) * (0.6 + 0.6 * self.other[which]).reshape(shape)

    @cached_property
    def droplets(self) -> Droplets:
        """All droplets, at the tip of their finger, with that tip's speed."""
        born, radius = self.sheds
        fingers = np.broadcast_to(np.arange(self.angle.size)[:, None], born.shape)

        def tip(t: Any) -> tuple[Any, Any]:
            out, height, _ = self.film.edge(t)
            length = self._full_length(t, slice(None), self._slim(t, slice(None)))
            lean = self._lean(slice(None)).reshape(-1, 1)
            return out + length * np.cos(lean), height + length * np.sin(lean)

        step = 2e-4
        (out, height), before, after = tip(born), tip(born - step), tip(born + step)
        speed = [(late - early) / (2 * step) for early, late in zip(before, after, strict=True)]
        parts = born, radius, self.angle[fingers], out, height, np.maximum(speed[0], 0.05), speed[1]
        return Droplets(*(np.ravel(part) for part in parts))

    def _lean(self, which: Any) -> Any:
        return self.film.lean + 0.35 * (self.own[which] - 0.5)

    @cached_property
    def _taken(self) -> tuple[Any, Any]:
        """Times, and the volume that has left the rim by then [m3]; what breaks off is eased over a millisecond."""
        born, radius = (np.ravel(part) for part in self.sheds)
        volume = 4 / 3 * math.pi * radius**3
        t = np.linspace(self.start, self.film.end, 129)
        part = unit((t[:, None] - born + 1e-3) / 1e-3)
        shed = (part * part * (3 - 2 * part)) @ volume if born.size else 0 * t
        slim, length, bead, _ = self._grown(np.broadcast_to(t, (self.angle.size, t.size)), slice(None))
        return t, shed + math.pi * (slim**2 * length + 4 / 3 * bead**3).sum(axis=0)

    def taken(self, t: Any) -> Any:
        """Volume of the fingers and of all that has broken off them [m3]."""
        return np.interp(t, *self._taken)

    # --- where everything is

    def drops_at(self, t: Any, which: Any = slice(None)) -> tuple[Any, Any, Any]:
        """Distance from the axis and height of droplets [m], and how much each is there; ``t`` has droplets first."""
        shape = (-1,) + (1,) * (np.ndim(t) - 1)
        d = Droplets(*(part[which].reshape(shape) for part in self.droplets))
        late = np.maximum(t - d.born, 0)
        height = d.height + d.speed_up * late - 0.5 * GRAVITY * late * late
        # what falls back into the water is gone
        there = (t >= d.born) * unit(1 + height / d.radius)
        return d.out + d.speed_out * late, height, there

    def fingers_at(self, t: Any, which: Any = slice(None)) -> tuple[Any, ...]:
        """Rim's distance and height at each finger, radius, length, radius of the bead at its tip [m],
        lean [rad], and how far the neck behind that bead has closed."""
        out, height, _ = self.film.rim(t)
        slim, length, bead, neck = self._grown(t, which)
        lean = self._lean(which).reshape((-1,) + (1,) * (np.ndim(t) - 1))
        return out, height, slim, length, bead, lean, neck

    def _grown(self, t: Any, which: Any) -> tuple[Any, Any, Any, Any]:
        """Radius, length, radius of the bead of each finger [m], and how far its neck has closed."""
        shape = (-1,) + (1,) * (np.ndim(t) - 1)
        slim = self._slim(t, which)
        length = self._full_length(t, which, slim)
        born = self.sheds[0]
        row, count = np.arange(self.angle.size)[which].reshape(shape), born.shape[1]
        passed = sum(((t >= born[row, g]) for g in range(count)), np.zeros(np.shape(t), dtype=int))
        row = row + 0 * passed
        ladder, size = self._ladder
        since, until = ladder[row, passed], ladder[row, passed + 1]
        part = np.maximum(t - since, 0) / (until - since)
        before, after = size[row, passed], np.maximum(size[row, passed + 1], slim)
        bead = slim + (after - slim) * part * part
        # where the neck was cut the rest begins, and grows out again
        cut = np.where(passed > 0, 1.3 * before + slim, 0.0)
        length = np.maximum(length - cut * (1 - part) ** 2, 0.3 * slim)
        neck = np.where(passed < count, part**8, 0.0)
        return slim, length, bead, neck

    # --- what the frame asks of any body

    @cached_property
    def bounds(self) -> tuple[Any, ...]:
        """Times, and there half width, lowest, highest point and greatest speed, with room to spare."""
        t = np.linspace(*self.window(-1e3, 1e3), 65)
        some = t[None, :]
        out, height, _, length, bead, _, _ = self.fingers_at(some)
        there = self.film.there(some)
        reach = length + bead
        wide = np.where(there, out + reach, 0).max(axis=0)
        low, high = np.where(there, height - reach, 1).min(axis=0), np.where(there, height + reach, -1).max(axis=0)
        speed = self.film.fastest(t)
        d = self.droplets
        if d.born.size:
            far, up, left = self.drops_at(some)
            wide = np.maximum(wide, np.where(left > 0, far, 0).max(axis=0))
            low = np.minimum(low, np.where(left > 0, up, 1).min(axis=0))
            high = np.maximum(high, np.where(left > 0, up, -1).max(axis=0))
            now = np.hypot(d.speed_out[:, None], d.speed_up[:, None] - GRAVITY * np.maximum(t - d.born[:, None], 0))
            speed = np.maximum(speed, np.where(left > 0, now, 0).max(axis=0))
        # before the first and after the last there is nothing to go between
        full = np.flatnonzero(low <= high)
        wide, high = (np.interp(t, t[full], edge[full]) for edge in (wide, high))
        return t, wide + 2e-3, np.minimum(low, 0) - 2e-3, high + 2e-3, speed

    def fastest(self, t: Any) -> Any:
        """Speed of the fastest of them [m/s]."""
        return np.interp(t, self.bounds[0], self.bounds[4])

    def window(self, low: float, high: float) -> tuple[float, float]:
        """Times from and to which any can be seen."""
        return self.start, float(max(self.film.end, min(self.start + LONGEST, self.film.end + LONGEST)))

    def extent(self, t: Any, sine: float = 0.36) -> tuple[Any, Any, Any]:
        """Half width, lowest and highest point at each instant."""
        times, wide, low, high, _ = self.bounds
        there = (t > times[0]) & (t < times[-1])
        half = np.interp(t, times, wide)
        tilt = half * sine
        return np.where(there, half, -1.0), np.interp(t, times, low) - tilt, np.interp(t, times, high) + tilt

    # --- painting

    def specks(self, x: Any, z: Any, t: Any, view: View) -> list[list[Specks]]:
        """Fingers, then droplets, of each slice: the pixels they touch at the instants of its lines."""
        x = x - np.float32(self.side)
        found: list[list[Specks]] = [[] for _ in t]
        if self.film.there(t).any():
            found = finger_specks(self, x, z, t, view)
        if self.droplets.born.size:
            found = [one + more for one, more in zip(found, droplet_specks(self, x, z, t, view), strict=True)]
        return found
