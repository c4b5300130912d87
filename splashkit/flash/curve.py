"""The light of one flash over time: how bright, how much is out, and how long it lasts.

Two ways of saying how long a flash lasts are used, both by the peak of the light:
t0.5 is the time above half the peak, t0.1 the time above a tenth of it (ISO 2827).
Neither says how much light falls inside; :meth:`LightCurve.share_inside` does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast, require, shown

LEFT_OUT = 1e-6  # share of the light that may lie outside [start, end]
HALVINGS = 64  # of a bracket: more than a double can tell apart

TIME = Range("time", "s", advice="give seconds after the first light, such as 0.001", infinite=True)
LEVEL = Range("level of the peak", "1", 0, 1, "give a share such as 0.5 or 0.1", open_low=True, open_high=True)
SHARE = Range("share of the light", "1", 0, 1, "give a share such as 0.9")
RANGES = {
    "start": Range("start of the light", "s", -1e6, 1e6, "give seconds"),
    "end": Range("end of the light", "s", -1e6, 1e6, "give seconds"),
    "peak_time": Range("time of the peak", "s", -1e6, 1e6, "give seconds between start and end"),
    "peak_end": Range("end of the peak", "s", -1e6, 1e6, "give seconds between start and end"),
    "area": Range("area under the curve", "s", 0, 1e6, "give seconds of light at peak brightness", open_low=True),
    "energy": Range("light of the flash", "1", 0, 1, "give the share of the unit's full-power light", open_low=True),
}

Function = Callable[[Any], Any]


def one(allowed: Range, value: Any) -> float:
    """Pass a value through its range and insist on a single number."""
    checked = allowed(value)
    require(
        np.ndim(checked) == 0,
        allowed.quantity,
        f"an array of shape {np.shape(checked)}",
        "a single number",
        "build one light curve for each value",
    )
    return float(checked)


def first_true(condition: Function, low: Any, high: Any) -> Any:
    """Return where a condition that is false, then true, turns true between two times, by halving."""
    low, high = np.broadcast_arrays(np.asarray(low, float), np.asarray(high, float))
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        reached = condition(middle)
        low, high = np.where(reached, low, middle), np.where(reached, middle, high)
    return high[()]


@dataclass(frozen=True, eq=False)
class LightCurve:
    """One flash of light; time 0 is its first light.

    ``start`` and ``end`` [s] enclose all but a millionth of the light. ``peak_time`` and ``peak_end``
    [s] are the first and the last instant at the peak. ``area`` [s] is the light measured in seconds
    at peak brightness. ``energy`` [1] is this flash's share of the unit's full-power light.
    """

    name: str
    end: float
    peak_time: float
    area: float
    intensity_function: Function = field(repr=False)
    cumulative_function: Function = field(repr=False)
    start: float = 0.0
    peak_end: float | None = None
    energy: float = 1.0

    def __post_init__(self) -> None:
        if self.peak_end is None:
            object.__setattr__(self, "peak_end", self.peak_time)
        for name, allowed in RANGES.items():
            object.__setattr__(self, name, one(allowed, getattr(self, name)))
        require(isinstance(self.name, str), "name of the flash", shown(self.name), "words", "give a short name")
        require(
            self.start <= self.peak_time <= self._peak_end <= self.end and self.start < self.end,
            "times of the flash",
            f"start {self.start:g} s, peak {self.peak_time:g} to {self._peak_end:g} s, end {self.end:g} s",
            "in the order start, peak, end",
            "check the four times",
        )
        for name in ("intensity", "cumulative"):
            function = getattr(self, f"{name}_function")
            require(callable(function), f"{name} function", shown(function), "a function of time", "give a function")

    @property
    def _peak_end(self) -> float:
        return self.peak_time if self.peak_end is None else self.peak_end

    def intensity(self, time: Number) -> Any:
        """Return the brightness at a time [s], as a share of the peak."""
        return np.asarray(self.intensity_function(_times(time)))[()]

    def cumulative(self, time: Number) -> Any:
        """Return the share of this flash's own light that is out by a time [s], from 0 to 1."""
        return np.minimum(np.maximum(self.cumulative_function(_times(time)), 0.0), 1.0)[()]

    def share_between(self, opens: Number, closes: Number) -> Any:
        """Return the share of this flash's own light that falls between two times [s]."""
        first, last = broadcast(opens=_times(opens), closes=_times(closes))
        require(last >= first, "closing time", "a time before the opening", "after the opening", "swap them")
        return self.cumulative(last) - self.cumulative(first)

    def window(self, level: Number) -> tuple[Any, Any]:
        """Return the times [s] between which the light is above a level, given as a share of the peak."""
        level = LEVEL(level)
        rises = first_true(
            lambda t: self.intensity_function(t) >= level, np.full_like(level, self.start), self.peak_time
        )
        falls = first_true(lambda t: self.intensity_function(t) < level, np.full_like(level, self._peak_end), self.end)
        return rises, falls

    def duration(self, level: Number) -> Any:
        """Return the time [s] above a level, given as a share of the peak."""
        rises, falls = self.window(level)
        return falls - rises

    @cached_property
    def _durations(self) -> tuple[float, float]:
        half, tenth = self.duration(np.array([0.5, 0.1]))
        return float(half), float(tenth)

    @property
    def t05(self) -> float:
        """Time above half the peak [s]."""
        return self._durations[0]

    @property
    def t01(self) -> float:
        """Time above a tenth of the peak [s]."""
        return self._durations[1]

    def share_inside(self, level: Number) -> Any:
        """Return the share of the light that falls while it is above a level of the peak."""
        rises, falls = self.window(level)
        return self.cumulative(falls) - self.cumulative(rises)

    def time_at_share(self, share: Number) -> Any:
        """Return the time [s] by which a share of this flash's own light is out."""
        share = SHARE(share)
        return first_true(
            lambda t: self.cumulative_function(t) >= share,
            np.full_like(share, self.start),
            np.full_like(share, self.end),
        )

    def edge_time(self, low: Number = 0.1, high: Number = 0.9) -> Any:
        """Return the time [s] between two shares of the light, by default 10 and 90 %.

        Times the speed of the image this is the softness of a moving edge.
        """
        first, last = broadcast(low=SHARE(low), high=SHARE(high))
        require(first < last, "upper share", "no more than the lower share", "above it", "swap the two shares")
        return self.time_at_share(last) - self.time_at_share(first)


def _times(value: Number) -> Any:
    # a sum is not a number if any item is not, so one cheap pass clears a frame-sized array
    if type(value) is np.ndarray and value.dtype == np.float64 and np.isfinite(value.sum()):
        return value
    return TIME(value)
