"""The light of one line, cut into slices of time that each hold about equal shares of light and of motion.

Each slice weighs exactly the light that falls in it (a difference of the light's cumulative curve), so the cost
does not depend on how many pulses a burn has.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

NODES = 193
EVEN = np.linspace(0, 1, NODES)

Cumulative = Callable[[Any], Any]


@dataclass(frozen=True)
class Light:
    """One light on the flash's clock: its cumulative share, when it starts and ends, its level."""

    cumulative: Cumulative
    start: float
    end: float
    level: float
    steady: bool = False


def lit_window(light: Light, opens: Any, closes: Any) -> tuple[Any, Any]:
    first = np.minimum(np.maximum(opens, light.start), light.end)
    last = np.minimum(np.maximum(closes, light.start), light.end)
    return first, np.maximum(first, last)


def all_alike(light: Light, opens: Any, closes: Any) -> bool:
    """Whether every line receives this light over the same time."""
    same = bool(np.ptp(opens) == 0 and np.ptp(closes) == 0)
    return same or (not light.steady and bool(opens.max() <= light.start and closes.min() >= light.end))


def inverse(light: Light, low: float, high: float, span: float) -> tuple[Any, Any]:
    """Table of times against a measure that runs half with the light and half with time."""
    times = low + (high - low) * EVEN
    if light.steady:
        return times, times / span
    measure = times
    for _ in range(4):
        share = light.cumulative(times)
        widest = max(float(share[-1] - share[0]), 1e-12)
        measure = (share - share[0]) / widest + 0.35 * (times - low) / max(high - low, 1e-12)
        times = np.interp(measure[-1] * EVEN, measure, times)
    return times, measure[-1] * EVEN


class Cut:
    """One light's time on each line, ready to be cut into slices; times on the flash's clock."""

    def __init__(self, light: Light, first: Any, last: Any, lit: Any):
        # lines without light rest at a harmless instant and weigh nothing
        self.rest = float(first[lit][0])
        first, last = np.where(lit, first, self.rest), np.where(lit, last, self.rest)
        self.light, self.first, self.last, self.lit = light, first, last, lit
        if light.steady:
            lo, hi = first, last
        else:
            # the thousandth of the light at either end joins the outermost slices
            times, _ = inverse(light, float(first.min()), float(last.max()), 1.0)
            share = light.cumulative(times)
            total = max(float(share[-1] - share[0]), 1e-12)
            ends = np.interp((share[0] + 0.001 * total, share[0] + 0.999 * total), share, times)
            lo, hi = np.clip(first, *ends), np.clip(last, *ends)
        span = max(float((hi - lo).max()), 1e-9)
        self.times, self.measure = inverse(light, float(lo.min()), max(float(hi.max()), float(lo.min()) + 1e-9), span)
        self.low, self.high = np.interp(lo, self.times, self.measure), np.interp(hi, self.times, self.measure)
        self.widest = int(np.argmax(hi - lo))

    def bulk(self) -> tuple[Any, float]:
        """Instants over the line with the longest light, and the time the bulk of its light takes."""
        steps = np.linspace(self.low[self.widest], self.high[self.widest], 33)
        probe = np.interp(steps, self.measure, self.times)
        held = self.light.cumulative(probe)
        total = float(np.ptp(held))
        if not total > 0:
            return probe, float(np.ptp(probe))
        ends = np.interp((held[0] + 0.03 * total, held[0] + 0.97 * total), held, probe)
        return probe, float(ends[1] - ends[0])

    def slices(self, count: int) -> tuple[Any, Any, Any]:
        """Edges, centres of light, and weights of each line's slices, as (lines, slices) arrays."""
        low, high = self.low[self.lit, None], self.high[self.lit, None]
        ladder = np.interp(low + (high - low) * np.linspace(0, 1, 2 * count + 1), self.measure, self.times)
        inner = ladder.copy()
        inner[:, 0], inner[:, -1] = self.first[self.lit], self.last[self.lit]
        halves = np.maximum(np.diff(self.light.cumulative(inner), axis=1), 0)
        weights = halves[:, 0::2] + halves[:, 1::2]
        # a slice is seen from where its light lies: between its quarters, by how much falls in either half
        late = halves[:, 1::2] / np.maximum(weights, 1e-30)
        edges = ladder[:, 0::2]
        centres = edges[:, :-1] + np.diff(edges, axis=1) * (0.25 + 0.5 * late)
        weights *= self.light.level
        if self.lit.all():
            return edges, centres, weights
        whole = []
        for values, rest in ((edges, self.rest), (centres, self.rest), (weights, 0.0)):
            full = np.full((self.lit.size, values.shape[1]), rest)
            full[self.lit] = values
            whole.append(full)
        return whole[0], whole[1], whole[2]
