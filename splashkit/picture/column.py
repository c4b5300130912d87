"""The jet thrown up by the crater: a rounded head, a slim neck, a waist, a foot that flares into the water."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.picture.ink import TINY, View, ink_solid, single, unit

ROUNDING = 5e-3  # s: a millimetre or two of water round off in about their capillary time (derived here)


STAGES = 97
LUMP = 48  # stage of the round end that is left where a sheet has drawn back (drawn, not predicted)
STEPS = 1601
REACH = 16.0  # column radii below the tip to which the head's shape runs
YOUNG, WHOLE = 1.2, 0.4  # head of a young column, in column radii; stage at which one that keeps its head stops
SWELL = 1.89  # radius of the head that pinches off, in column radii: one pinching wave (Rayleigh 1878, from memory)
NECK = 0.4  # where the neck closes, in column radii below the head


def head_radius(stage: Any) -> Any:
    """Radius of the head in column radii: it fills from its start (stage 0) to when it pinches off (1)."""
    return YOUNG + (SWELL - YOUNG) * stage**1.5


@lru_cache(maxsize=1)
def _heads() -> Any:
    """Square of the column's radius, one row a stage, against the distance below its tip; both in column radii."""
    d, stage = np.linspace(0, REACH, STEPS), np.linspace(0, 1, STAGES)[:, None]
    ball = head_radius(stage)
    closed = 0.15 + 0.85 * stage**6
    place = 2 * ball + NECK
    shaft = 1 - closed * np.exp(-(((d - place) / 0.85) ** 2)) + 0.10 * np.exp(-(((d - place - 2.4) / 1.5) ** 2))
    mix = unit((d - 1.15 * ball) / (0.85 * ball + NECK))
    mix = mix * mix * (3 - 2 * mix)
    return single((1 - mix) * (2 * ball * d - d * d) + mix * shaft * shaft)


@dataclass(frozen=True)
class Column:
    """The jet thrown up by the crater: a rounded head, a slim neck, a waist, a foot that flares into the water.

    ``cap`` (time, height, speed upward) is where a drop has landed on it: from then it ends there.
    By ``sheet_gone`` surface tension has rounded that end again. ``sheds`` is a column whose head fills to one
    pinching wave and leaves it as it stands highest; the rest falls from where the neck was.
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
    sheds: bool = False
    side: float = 0.0
    name: str = "column"
    reflects: bool = True

    @property
    def pinches(self) -> bool:
        """Whether its head leaves it: not if a drop has landed on it before."""
        return self.sheds and self.cap is None

    @property
    def head_length(self) -> float:
        """From the tip to the neck, as the head pinches off [m]."""
        return (2 * SWELL + NECK) * self.radius

    def stage(self, t: Any) -> Any:
        """How full the head is, 0 to 1: 1 pinches off; after that, or after a drop, a new one forms."""
        stage = unit((t - self.start) / (self.peak_time - self.start)) * (1.0 if self.sheds else WHOLE)
        if self.pinches:
            return np.where(t < self.peak_time, stage, 0.0)
        return stage

    def tip(self, t: Any) -> Any:
        """Height of the tip [m]; below zero before it rises and after it is gone."""
        rise = unit((t - self.start) / (self.peak_time - self.start))
        fall = unit((t - self.peak_time) / (self.end - self.peak_time))
        left = self.peak_height - (self.head_length if self.pinches else 0.0)
        height = np.where(t <= self.peak_time, self.peak_height * (1 - (1 - rise) ** self.power), left * (1 - fall**2))
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
        slot = np.clip(below * np.float32((STEPS - 1) / REACH), 0, STEPS - 1).astype(np.int32)
        row = np.rint(self.stage(t) * (STAGES - 1)).astype(np.int32)
        q = _heads()[row, slot]
        if np.any(capped):
            # where a drop has landed, no head is left: the column opens out into the sheet, then rounds off
            spread = 1 + np.float32(0.3) * np.exp(-np.maximum(below, 0))
            rounded = single(self._rounded(t))
            q = np.where(capped, spread * spread * (1 - rounded) + _heads()[LUMP][slot] * rounded, q)
        q = np.where(below < 0, np.float32(2 * SWELL) * below, q) * (r * r)
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
