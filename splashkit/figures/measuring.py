"""Lesson 11's measuring aids: a lag in a fall, a straight fit, a band that narrows, a streak."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import AMBER, BLACK, BLUE, GREEN, GREY, PAPER, SKY, TEXT, VERMILION, around

_HALO = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 1.0}


def _up(value: float, step: float) -> float:
    return step * max(math.ceil(value / step - 1e-9), 1)


class LagFigure(TwoLayerFigure):
    """The fall as a clock.

    State: ``time``, ``height`` (arrays), ``seen``, ``delay``, ``light``, and ``delay_words`` and ``lag_words``.
    """

    size = (6.6, 3.7)

    def build(self) -> None:
        """Make the axes, the fall, and the two bars."""
        self.axes = self.add_axes(left=0.75, bottom=0.62, right=0.25, top=0.42)
        self.axes.set(xlabel="Time since the valve's signal (ms)", ylabel="Height above the water (mm)")
        self.axes.set_title("The falling drop is the clock")
        self.fall = self.moving(self.axes.plot([], [], color=BLUE)[0])
        self.level = self.moving(self.axes.plot([], [], color=GREY, linestyle=(0, (2, 2)), linewidth=1.5)[0])
        self.drop = self.moving(self.axes.plot([], [], "o", color=BLUE, markersize=12, markeredgecolor=BLACK)[0])
        self.set_delay = self.moving(self.axes.plot([], [], color=GREEN, linewidth=9, solid_capstyle="butt")[0])
        self.lag = self.moving(self.axes.plot([], [], color=AMBER, linewidth=9, solid_capstyle="butt")[0])
        self.drop_down = self.moving(self.axes.plot([], [], color=BLACK, linestyle=(0, (1, 1.5)), linewidth=1.6)[0])
        self.delay_words = self.moving(self.axes.text(0, 0, "", fontsize=TEXT, va="bottom", bbox=_HALO))
        self.lag_words = self.moving(self.axes.text(0, 0, "", fontsize=TEXT, va="bottom", ha="right", bbox=_HALO))

    def update(self, state: Any) -> None:
        """Draw fall, delay and lag."""
        top, right = _up(1e3 * float(state.height[0]), 50), _up(1e3 * max(float(state.time[-1]), state.light), 50)
        self.axes.set(xlim=(0, right), ylim=(-0.34 * top, 1.05 * top))
        self.fall.set_data(1e3 * state.time, 1e3 * state.height)
        self.level.set_data([0, 1e3 * state.light], [1e3 * state.seen] * 2)
        self.drop.set_data([1e3 * state.light], [1e3 * state.seen])
        bars = -0.26 * top
        self.drop_down.set_data([1e3 * state.light] * 2, [bars, 1e3 * state.seen])
        self.set_delay.set_data([0, 1e3 * state.delay], [bars, bars])
        self.lag.set_data([1e3 * state.delay, 1e3 * state.light], [bars, bars])
        self.delay_words.set_position((0.01 * right, bars + 0.05 * top))
        self.delay_words.set_text(state.delay_words)
        self.lag_words.set_position((1e3 * state.light - 0.01 * right, bars + 0.05 * top))
        self.lag_words.set_text(state.lag_words)


class FitFigure(TwoLayerFigure):
    """Points with error bars and the straight line through them.

    State: ``x``, ``y``, ``error`` (of y), ``line`` ((x, x), (y, y)), all as drawn; ``crossing`` (x, words) or None.
    """

    size = (6.6, 3.7)
    title, xlabel, ylabel = "", "", ""

    def build(self) -> None:
        """Make the axes and the artists."""
        self.axes = self.add_axes(left=0.85, bottom=0.62, right=0.25, top=0.42)
        self.axes.set(xlabel=self.xlabel, ylabel=self.ylabel)
        self.axes.set_title(self.title)
        self.line = self.moving(self.axes.plot([], [], color=BLUE)[0])
        self.bars = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1.6)[0])
        self.points = self.moving(self.axes.plot([], [], "o", color=VERMILION, markersize=8, markeredgecolor=BLACK)[0])
        self.ring = self.moving(self.axes.plot([], [], "o", markersize=14, mfc="none", mec=GREEN, mew=2.4)[0])
        self.words = self.moving(self.axes.text(0, 0, "", fontsize=TEXT, va="center", bbox=_HALO))

    def update(self, state: Any) -> None:
        """Draw the fit."""
        x, y = np.asarray(state.x), np.asarray(state.y)
        (x0, x1), (y0, y1) = state.line
        all_x, all_y = np.append(x, [x0, x1]), np.concatenate([y - state.error, y + state.error, [y0, y1]])
        pad_x, pad_y = 0.08 * (np.ptp(all_x) or 1.0), 0.12 * (np.ptp(all_y) or 1.0)
        self.axes.set(xlim=around(all_x.min(), all_x.max()), ylim=around(all_y.min(), all_y.max()))
        self.line.set_data([x0, x1], [y0, y1])
        self.points.set_data(x, y)
        gaps = np.full_like(x, np.nan)
        self.bars.set_data(
            np.stack([x, x, gaps], 1).ravel(), np.stack([y - state.error, y + state.error, gaps], 1).ravel()
        )
        if state.crossing is None:
            self.ring.set_data([], [])
            self.words.set_text("")
            return
        at, height, words = state.crossing
        self.ring.set_data([at], [height])
        self.words.set_position((at + 0.9 * pad_x, height - 0.35 * pad_y))  # the line climbs away from there
        self.words.set_text(words)


class EdgeFigure(FitFigure):
    """Curtain frames: share uncovered against the flash's moment."""

    title = "How far the curtain has come"
    xlabel, ylabel = "Camera's signal to the flash (ms)", "Share of the frame open (%)"


class StraightFallFigure(FitFigure):
    """Valve frames: the fall made straight."""

    title = "The fall, made straight"
    xlabel, ylabel = "Valve's signal to the light (ms)", "Fallen, less ½ g t² (mm)"


class WeighFigure(TwoLayerFigure):
    """How well the size is known, by number of drops. State: ``counts``, ``low``, ``high``, ``count``, ``value``."""

    size = (6.6, 3.4)

    def build(self) -> None:
        """Make the axes and the band."""
        self.axes = self.add_axes(left=0.85, bottom=0.62, right=0.25, top=0.42)
        self.axes.set(xlabel="Drops weighed together", ylabel="Diameter (mm)", xscale="log", xlim=(1, 1000))
        self.axes.set_xticks([1, 10, 100, 1000], ["1", "10", "100", "1000"])
        self.axes.minorticks_off()
        self.axes.set_title("What the scale's error leaves open")
        self.band = self.moving(self.axes.fill([1], [1], color=SKY, alpha=0.45, linewidth=0)[0])
        self.middle = self.moving(self.axes.plot([], [], color=BLUE)[0])
        self.point = self.moving(self.axes.plot([], [], "o", color=BLUE, markersize=10, markeredgecolor=BLACK)[0])
        self.words = self.moving(self.axes.text(0, 0, "", fontsize=TEXT, ha="center", bbox=_HALO))

    def update(self, state: Any) -> None:
        """Draw the band about the size."""
        value = 1e3 * state.value
        half = max(0.08 * value, 2.2 * 1e3 * state.half)
        self.axes.set_ylim(*around(value - half, value + half))
        x = np.append(state.counts, state.counts[::-1])
        self.band.set_xy(np.column_stack([x, 1e3 * np.append(state.low, state.high[::-1])]))
        self.middle.set_data([1, 1000], [value, value])
        self.point.set_data([state.count], [value])
        self.words.set_position((float(np.clip(state.count, 4, 250)), value + 0.35 * half))
        self.words.set_text(f"your {state.count:g} drops")


class StreakFigure(TwoLayerFigure):
    """The smeared drop with its two lengths. State: ``streak``, ``across``, ``moved`` [m]."""

    size = (5.2, 3.7)

    def build(self) -> None:
        """Make the axes, the smear and its measures."""
        self.axes = self.add_axes(left=0.75, bottom=0.62, right=0.2, top=0.42)
        self.axes.set(xlabel="Across the fall (mm)", ylabel="Along the fall (mm)", xlim=(-6, 10))
        self.axes.set_title("One drop, one flash")
        self.smear = self.moving(self.axes.fill([0], [0], facecolor=(SKY, 0.55), edgecolor=BLUE, linewidth=0.8)[0])
        self.ends = [self.moving(self.axes.plot([], [], color=BLUE, linewidth=1.8)[0]) for _ in range(2)]
        self.ends[1].set_linestyle((0, (3, 2)))
        self.bars = [
            self.moving(self.axes.plot([], [], color=colour, marker="_", markersize=10, mew=2, linewidth=1.8)[0])
            for colour in (BLACK, VERMILION)
        ]
        self.words = [self.moving(self.axes.text(0, 0, "", fontsize=TEXT, va="center", bbox=_HALO)) for _ in range(2)]

    def update(self, state: Any) -> None:
        """Draw first and last place of the drop and all between."""
        length, across = 1e3 * state.streak, 1e3 * state.across
        r, moved = across / 2, max(1e3 * state.moved, 0.0)
        tall = 1.25 * _up(max(length, across), 2)
        wide = tall * 4.25 / 2.66  # the axes' own shape, so that a drop is drawn round
        self.axes.set(xlim=(-0.3 * wide, 0.7 * wide), ylim=(-0.12 * tall, 0.88 * tall))
        turn = np.linspace(0, math.pi, 60)
        upper = np.column_stack([r * np.cos(turn), r + moved + r * np.sin(turn)])
        lower = np.column_stack([-r * np.cos(turn), r - r * np.sin(turn)])
        self.smear.set_xy(np.concatenate([upper, lower]))
        whole = np.linspace(0, 2 * math.pi, 120)
        for artist, base in zip(self.ends, (r, r + moved), strict=True):
            artist.set_data(r * np.cos(whole), base + r * np.sin(whole))
        at = 0.5 * across + 0.06 * wide
        self.bars[0].set_data([at, at], [0, length])
        self.bars[1].set_data([at + 0.1 * wide] * 2, [2 * r, 2 * r + moved])
        self.words[0].set_position((at + 0.03 * wide, 0.25 * length))
        self.words[0].set_text(f"L {units.format_number(length)} mm")
        self.words[1].set_position((at + 0.13 * wide, 2 * r + 0.5 * moved))
        self.words[1].set_text(f"moved {units.format_number(moved)} mm")
