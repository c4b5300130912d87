"""The light of a flash against time, and its duration against power for three kinds of unit."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREY, PAPER, TEXT, line, round_up

KIND_WORDS = {"quench": "cut short", "voltage": "lower voltage", "capacitor": "fewer capacitors"}
_STEPS = (1.0, 2.0, 5.0, 10.0)


class LightCurveFigure(TwoLayerFigure):
    """One flash: its light against time, with the two durations drawn where they are measured.

    State: ``curve`` and ``full`` (light curves), ``kind``, ``power``.
    """

    size = (4.4, 3.3)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.72, bottom=0.62, right=0.25, top=0.42)
        self.axes.set(ylim=(0, 1.12), yticks=[0, 0.1, 0.5, 1], ylabel="Light (share of its peak)")
        self.axes.set_yticklabels(["0", "0.1", "0.5", "1"])
        self.axes.set_title("Light of one flash")
        self.area = self.moving(self.axes.fill([0], [0], color=BLUE, alpha=0.16, linewidth=0)[0])
        self.whole = self.moving(self.axes.plot([], [], color=GREY, linestyle=(0, (2, 2)), linewidth=1.6)[0])
        self.light = self.moving(self.axes.plot([], [], **line(0))[0])
        self.half, self.half_text = self._duration()
        self.tenth, self.tenth_text = self._duration()
        self.whole_text = self.moving(self.axes.text(0, 0, "", color=GREY, ha="right", va="bottom"))

    def _duration(self) -> tuple[Any, Any]:
        bar = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1.4, marker="|", markersize=10)[0])
        box = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.8, "pad": 0.5}
        text = self.moving(self.axes.text(0, 0, "", va="bottom", fontsize=TEXT, bbox=box))
        return bar, text

    def update(self, state: Any) -> None:
        curve = state.curve
        span = round_up(1.25 * max(curve.t01, 1e-6), _STEPS)
        unit, factor = ("ms", 1e-3) if span >= 2e-3 else ("µs", 1e-6)
        self.axes.set_xlim(-0.04 * span / factor, span / factor)
        self.axes.set_xlabel(f"Time ({unit})")
        # two grids in one: even steps, and fine ones where this flash happens
        times = np.unique(np.concatenate([np.linspace(-0.04 * span, span, 160),
                                          np.linspace(curve.start, min(curve.end, span), 160)]))  # fmt: skip
        light = curve.intensity(times)
        self.light.set_data(times / factor, light)
        self.area.set_xy(np.column_stack([np.append(times, times[::-1]), np.append(light, 0 * times)]) / [factor, 1])
        self.whole.set_data(times / factor, state.full.intensity(times))
        for name, level, duration, bar, text in (("t0.5", 0.5, curve.t05, self.half, self.half_text),
                                                 ("t0.1", 0.1, curve.t01, self.tenth, self.tenth_text)):  # fmt: skip
            begin, end = _crossings(curve, level, span)
            bar.set_data([begin / factor, end / factor], [level, level])
            text.set_text(f"{name} = {units.format_quantity(duration, 's')}")
            wide = end / span > 0.55
            text.set_position(
                (((begin + end) / 2 if wide else end + 0.03 * span) / factor, level + (0.03 if wide else 0.0))
            )
            text.set_horizontalalignment("center" if wide else "left")
        shown = state.power < 0.999
        self.whole.set_visible(shown)
        self.whole_text.set_visible(shown)
        self.whole_text.set_text("dotted: full power")
        self.whole_text.set_position((span / factor, 1.02))


def _crossings(curve: Any, level: float, span: float) -> tuple[float, float]:
    times = np.linspace(curve.start, curve.end, 1500)
    if curve.end > 4 * span:
        times = np.linspace(curve.start, curve.start + 4 * span, 1500)
    above = times[curve.intensity(times) >= level]
    return (float(above[0]), float(above[-1])) if len(above) else (0.0, 0.0)


class DurationFigure(TwoLayerFigure):
    """Duration t0.1 against power for the three kinds of unit; a ring marks the present setting.

    State: ``kind``, ``power``, ``curve``; ``ladder`` (powers) and ``durations`` (kind: t0.1 of each) once.
    """

    size = (3.7, 3.3)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.88, bottom=0.62, right=0.2, top=0.42)
        self.axes.set(xscale="log", yscale="log", xlim=(1.25, 1 / 330), ylim=(4e-6, 1e-1))
        self.axes.set_title("Duration against power")
        self.axes.set(xlabel="Power", ylabel="")
        marks = (1, 1 / 4, 1 / 16, 1 / 64, 1 / 256)
        self.axes.set_xticks(marks, [units.format_power(mark) for mark in marks])
        self.axes.set_yticks([1e-5, 1e-4, 1e-3, 1e-2], ["10 µs", "100 µs", "1 ms", "10 ms"])
        self.axes.minorticks_off()
        self.lines = {kind: self.axes.plot([], [], **line(index))[0] for index, kind in enumerate(KIND_WORDS)}
        places = {"quench": (1 / 2.2, 3.2e-5), "voltage": (1 / 5, 2.4e-3), "capacitor": (1 / 11, 3.0e-4)}
        for index, (kind, words) in enumerate(KIND_WORDS.items()):
            self.axes.text(*places[kind], words, color=line(index)["color"])
        self.ring = self.moving(
            self.axes.plot(
                [], [], "o", markersize=13, markerfacecolor="none", markeredgecolor=BLACK, markeredgewidth=2
            )[0]
        )

    def update(self, state: Any) -> None:
        if self.still_extra is None:
            powers = np.asarray(state.ladder)
            for kind, durations in state.durations.items():
                self.lines[kind].set_data(powers, durations)
            self.still_extra = "drawn"
        self.ring.set_data([state.power], [state.curve.t01])
