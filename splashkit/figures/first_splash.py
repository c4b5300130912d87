"""The first drop's splash: the liquid on the axis against time, and a cross-section to scale at one moment.

The cross-section takes from the physics: the drop, the crater's depth and width, the column's height and
radius. Its roundings and the crown's walls are only drawn to join them, and the legend says so.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import AMBER, BLACK, BLUE, GREEN, GREY, ORANGE, PAPER, line, round_up

WATER = "#CFE8F7"
START_WIDE = 0.27  # of the axes: the words "column starts"
LANDMARKS = (
    ("crater_time", "deepest", "o"),
    ("column_start", "column starts", "s"),
    ("column_peak_time", "top", "^"),
    ("column_end", "gone", "D"),
)


class SplashTimeFigure(TwoLayerFigure):
    """Height of the liquid on the axis against time, with its band, the crown's time and the four landmarks.

    State: ``splash``, ``times``, ``height`` (an Estimate over the times), ``moment``, ``now`` (Estimate), ``speed``.
    """

    size = (4.7, 3.7)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.78, bottom=0.62, right=0.2, top=0.42)
        self.axes.set_title("Crater and column on the axis")
        self.axes.set(xlabel="Time after first contact (ms)", ylabel="Height above still level (mm)")
        self.axes.axhline(0, color=GREY, linewidth=1.2)
        self.crown = self.moving(self.axes.axvspan(0, 1, ymin=0.90, color=ORANGE, alpha=0.35, linewidth=0))
        self.band = self.moving(self.axes.fill([0], [0], color=BLUE, alpha=0.16, linewidth=0)[0])
        self.curve = self.moving(self.axes.plot([], [], **line(0))[0])
        self.marks, self.spans, self.names = [], [], []
        box = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.7, "pad": 0.4}
        self.crown_text = self.moving(self.axes.text(0, 0, "crown highest", va="center", bbox=box))
        for _, words, marker in LANDMARKS:
            span = self.axes.plot([], [], color=BLACK, linewidth=1.2, marker="|", markersize=8)[0]
            mark = self.axes.plot([], [], marker, color=BLACK, markersize=6)[0]
            self.spans.append(self.moving(span))
            self.marks.append(self.moving(mark))
            self.names.append(self.moving(self.axes.text(0, 0, words, ha="center", bbox=box)))
        self.now = self.moving(self.axes.plot([], [], color=GREEN, linewidth=1.6, linestyle=(0, (5, 2)))[0])
        self.dot = self.moving(self.axes.plot([], [], "o", color=GREEN, markersize=8)[0])

    def update(self, state: Any) -> None:
        made, ms = state.splash, state.times * 1e3
        low, high = state.height.low * 1e3, state.height.high * 1e3
        wide = round_up(max(float(made.column_end.high) * 1.04, state.moment) * 1e3)
        bottom = -round_up(1.25 * max(-float(low.min()), 1.0))
        top = round_up(1.2 * max(float(high.max()), -0.6 * bottom))
        tall = top - bottom
        self.axes.set(xlim=(-0.03 * wide, wide), ylim=(bottom, top))
        self.curve.set_data(ms, state.height.value * 1e3)
        self.band.set_xy(np.column_stack([np.append(ms, ms[::-1]), np.append(low, high[::-1])]))
        crown = made.crown_time
        self.crown.set_x(float(crown.low) * 1e3)
        self.crown.set_width(float(crown.high - crown.low) * 1e3)
        self.crown_text.set_position((float(crown.high) * 1e3 + 0.015 * wide, top - 0.05 * tall))
        places = (-float(made.crater_depth.value), 0.0, float(made.column_peak_height.value), 0.0)
        below = (True, True, False, True)
        for (name, _, _), z, under, mark, span, words in zip(
            LANDMARKS, places, below, self.marks, self.spans, self.names, strict=True
        ):
            time = getattr(made, name)
            mark.set_data([float(time.value) * 1e3], [z * 1e3])
            span.set_data([float(time.low) * 1e3, float(time.high) * 1e3], [z * 1e3, z * 1e3])
            words.set_position((float(time.value) * 1e3, z * 1e3 + (-0.045 if under else 0.045) * tall))
            words.set_verticalalignment("top" if under else "bottom")
        self.names[1].set_horizontalalignment("left")  # the crater's curve is on its left
        self.names[3].set_horizontalalignment("left")
        if float(made.column_end.value - made.column_start.value) * 1e3 < START_WIDE * wide:  # the two would meet
            beside = max(float(made.column_end.value), float(made.column_peak_time.value) + 0.06e-3 * wide)
            self.names[3].set_position((1e3 * beside, 0.03 * tall))
            self.names[3].set_verticalalignment("bottom")
        self.now.set_data([state.moment * 1e3] * 2, [bottom, top])
        self.dot.set_data([state.moment * 1e3], [float(state.now.value) * 1e3])


class SectionFigure(TwoLayerFigure):
    """Cross-section to scale at one moment: drop, crater, crown (only hinted), column, bowl floor, band of the top.

    State: as :class:`SplashTimeFigure`, and ``width`` (Estimate of the crater's width), ``bowl_depth``.
    """

    size = (3.7, 3.7)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.72, bottom=0.62, right=0.2, top=0.42)
        self.axes.set_title("Cut through the middle")
        self.axes.set(xlabel="Across (mm)", ylabel="")
        self.water = self.moving(self.axes.fill([0], [0], facecolor=WATER, edgecolor=BLUE, linewidth=1.6)[0])
        self.drop = self.moving(self.axes.fill([0], [0], facecolor=WATER, edgecolor=BLUE, linewidth=1.6)[0])
        self.level = self.moving(self.axes.plot([], [], color=GREY, linewidth=1.2, linestyle=(0, (1, 2)))[0])
        self.walls = [
            self.moving(self.axes.plot([], [], color=AMBER, linewidth=2.4, linestyle=(0, (1.2, 0.8)))[0])
            for _ in range(2)
        ]
        self.floor = self.moving(
            self.axes.fill([0], [0], facecolor="#E9E4DA", edgecolor=GREY, hatch="////", linewidth=1)[0]
        )
        self.band = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1.4, marker="_", markersize=11)[0])
        self.clock = self.moving(self.axes.text(0.02, 0.985, "", va="top", transform=self.axes.transAxes))
        self.note = self.moving(self.axes.text(0.98, 0.985, "", va="top", ha="right", transform=self.axes.transAxes))

    def update(self, state: Any) -> None:
        made, t = state.splash, state.moment
        crater = float(made.crater_depth.value) * 1e3
        under = round_up(1.35 * crater)
        over = round_up(1.15 * max(float(made.column_peak_height.high) * 1e3, 1.2 * crater))
        inches = self.size[0] - 0.92, self.size[1] - 1.04
        side = 0.5 * (over + under) * inches[0] / inches[1]
        self.axes.set(xlim=(-side, side), ylim=(-under, over))
        x, z = surface(state)
        x, z = np.concatenate([[-side], -x[::-1], x, [side]]), np.concatenate([[0], z[::-1], z, [0]])
        frame = np.array([[side + 9, 0], [side + 9, -9 - under], [-side - 9, -9 - under], [-side - 9, 0]])
        self.water.set_xy(np.vstack([np.column_stack([x, z]), frame]))
        self.level.set_data([-side, side], [0, 0])
        self._draw_drop(state)
        reach = crown_reach(state)
        for sign, wall in zip((-1, 1), self.walls, strict=True):
            foot = 0.5e3 * float(state.width.value)
            wall.set_data([sign * foot, sign * (foot + 0.35 * reach)], [0, reach])
            wall.set_visible(reach > 0)
        deep = state.bowl_depth * 1e3
        self.floor.set_xy([(-side - 9, -deep), (side + 9, -deep), (side + 9, -deep - 99), (-side - 9, -deep - 99)])
        self.band.set_data([0.6 * side] * 2, [float(state.now.low) * 1e3, float(state.now.high) * 1e3])
        self.band.set_visible(float(state.now.high - state.now.low) > 1e-5)
        self.clock.set_text(units.format_quantity(t, "s").replace("-", "−"))  # as on the axes
        self.note.set_text("crown: height\nnot known" if reach > 0 else "")

    def _draw_drop(self, state: Any) -> None:
        d = float(state.splash.diameter) * 1e3
        lowest = -state.moment * float(state.splash.speed) * 1e3
        angle = np.linspace(0, 2 * np.pi, 61)
        x, z = 0.5 * d * np.sin(angle), lowest + 0.5 * d * (1 + np.cos(angle))
        self.drop.set_xy(np.column_stack([x, np.maximum(z, min(float(state.now.value) * 1e3, 0.0))]))
        self.drop.set_visible(lowest > -d)


def crown_reach(state: Any) -> float:
    """Give the length of the hinted crown wall [mm]: there while the crater opens and closes, its height not known."""
    start, top = 0.25 * float(state.splash.diameter / state.splash.speed), float(state.splash.crown_time.value)
    gone = 0.8 * float(state.splash.column_start.value)  # a low ring of lobes there in the sparks of 1908
    share = np.interp(state.moment, [start, top, gone], [0.0, 1.0, 0.0], left=0.0, right=0.0)
    return float(0.7e3 * float(state.splash.crater_depth.value) * share)


def surface(state: Any) -> tuple[Any, Any]:
    """Give the water's surface from the axis outward [mm]: a crater, a column, or flat."""
    z = float(state.now.value) * 1e3
    if z < 0:
        half = 0.5e3 * float(state.width.value)
        angle = np.linspace(0, np.pi / 2, 60)
        # a half ellipse: as deep and as wide as the physics says
        return half * np.sin(angle), z * np.cos(angle)
    radius, foot = 1e3 * float(state.splash.column_radius.value), 1e3 * float(state.splash.crater_depth.value)
    if z == 0:
        return np.array([0.0]), np.array([0.0])
    heights = np.linspace(z, 0, 240)
    down = z - heights
    cap = min(1.25 * radius, z)
    head = np.where(down < cap, np.sqrt(np.maximum(cap**2 - (cap - down) ** 2, 0)) / cap, 1.0)
    # the named radius at half height, a little stouter below; a foot that flares into the water as it grows
    shaft = radius * (1.2 - 0.4 * heights / z)
    flare = 0.45 * foot * np.exp(-heights / (0.08 * foot)) * min(1.0, z / (0.6 * foot))
    return head * (shaft + flare), heights
