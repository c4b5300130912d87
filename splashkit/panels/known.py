"""What a belief holds, as rows of a figure and as sentences: shared by the practice rig and the shot log."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import advice
from splashkit.figures.belief import Bar, range_text
from splashkit.log import Shot
from splashkit.tries import UNKNOWNS
from splashkit.units import format_quantity

# name in words, unit shown, and what turns a member into that unit
SHOWN = {
    "shutter_lag": ("Shutter lag", "s", lambda x: x),
    "valve_delay": ("Valve signal to release", "s", lambda x: x),
    "release_speed": ("Speed at release", "m/s", lambda x: x),
    "column_time": ("Column's time, against the model", "%", lambda x: 100 * (x - 1)),
    "column_height": ("Column's height, against the model", "%", lambda x: 100 * (x - 1)),
    "jitter": ("Scatter of the light", "s", lambda x: x),
    "size_spread": ("Scatter of the drop size", "%", lambda x: 100 * x),
}
NEEDED = "Delay needed at this gap"
WIDE = 0.85  # a range with more than this of its first width left is called not told; house choice
_SURFACES = {
    "calm": "calm water",
    "crown": "a crown around its crater",
    "column": "a column",
    "sheet": "the umbrella of the collision",
    "ripples": "rings on the water",
}
SEEN_WORDS = {"early": "too early", "late": "too late", "nothing": "nothing there", "hit": "the collision", "": ""}


class Known:
    """A belief with what it held before any frame beside it."""

    def __init__(self, belief: Any) -> None:
        self.belief, self.fresh = belief, belief.members.copy()
        self._seen: tuple[Any, Any] = (None, None)  # members and hidden numbers of the rows kept
        self._rows: list[Bar] = []
        self._gaps: dict[float, Bar] = {}

    def bars(self, gap: float, hidden: Any = None) -> list[Bar]:
        """Give a row for the delay this gap needs, then one for each unknown."""
        if self._seen[0] is not self.belief.members or self._seen[1] is not hidden:
            self._seen, self._rows, self._gaps = (self.belief.members, hidden), self._unknowns(hidden), {}
        if gap not in self._gaps:
            self._gaps[gap] = self._needed(gap)
        return [self._gaps[gap], *self._rows]

    def _unknowns(self, hidden: Any) -> list[Bar]:
        made = []
        for index, name in enumerate(UNKNOWNS):
            if name == "shutter_lag" and self.belief.bench.chain == "open":
                continue
            words, unit, shown = SHOWN[name]
            truth = getattr(hidden, name, None)
            made.append(
                self._bar(words, unit, shown(self.fresh[index]), shown(self.belief.members[index]),
                          None if truth is None else float(shown(truth)))
            )  # fmt: skip
        return made

    def needed(self, gap: float) -> tuple[float, float, float]:
        """Give low end, middle and high end of the delay that this gap needs [s]."""
        low, middle, high = np.quantile(self._delays(gap, self.belief.members), [0.05, 0.5, 0.95])
        return float(low), float(middle), float(high)

    def _delays(self, gap: float, members: Any) -> Any:
        return advice.needs(self.belief, [gap], members).delay[0]

    def _needed(self, gap: float) -> Bar:
        return self._bar(NEEDED, "s", self._delays(gap, self.fresh), self._delays(gap, self.belief.members), None)

    @staticmethod
    def _bar(name: str, unit: str, before: Any, now: Any, truth: float | None) -> Bar:
        first, last = np.quantile(before, [0.05, 0.95]), np.quantile(now, [0.05, 0.5, 0.95])
        low, middle, high = (float(value) for value in last)
        told = (high - low) < WIDE * float(first[1] - first[0])
        text = range_text(low, middle, high, unit) + ("" if told else ", not told")
        return Bar(name, (float(first[0]), float(first[1])), (low, middle, high), text, told, truth)


def figure_state(bars: list[Bar], marks: list[tuple[float, float, str]], gap: float, delay: float) -> SimpleNamespace:
    """Put together what both figures of a log draw from."""
    return SimpleNamespace(bars=bars, marks=marks, gap=gap, delay=delay)


def what_stood(shot: Shot, heights: bool = True) -> str:
    """Say what a frame shows, from the entries of its row."""
    parts = []
    bodies = ((shot.first_height, "the first drop"), (shot.column_height, "a column"),
              (shot.second_height, "the second drop"))  # fmt: skip
    for height, words in bodies:
        if height is not None:
            above = "high" if words == "a column" else "above the water"
            parts.append(f"{words} {format_quantity(height, 'm')} {above}" if heights else words)
    surface = _SURFACES.get(shot.surface, "")
    if surface and not (shot.surface == "column" and shot.column_height is not None):
        parts.append(surface)
    return ", ".join(parts)


def summary(bars: list[Bar]) -> str:
    """Say the rows in words, for people who do not see the figure."""
    return "; ".join(f"{bar.name} {bar.text}" for bar in bars)
