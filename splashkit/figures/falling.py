"""A drop's fall against time, with and without air; and where the drop is when a light ignores the air."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.collections import PolyCollection

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, PAPER, SKY, VERMILION, line, round_up

_ANGLE = np.linspace(0, 2 * np.pi, 41)
_MARKS = 7  # drop shapes along the curve
_MARK = 0.26  # inches across: a drop to scale would be a dot


def drop_outline(x: float, z: float, radius: float, swing: Any) -> Any:
    """Give the outline of a drop about its centre; ``swing`` is what its poles stand out, as a share."""
    return np.column_stack([x + radius * (1 - swing / 2) * np.sin(_ANGLE), z + radius * (1 + swing) * np.cos(_ANGLE)])


class FallFigure(TwoLayerFigure):
    """Height of the drop's lowest point against time, with air and without, and the drop's shape on the way.

    State: ``distance``, ``time``, ``vacuum`` (times), ``path`` and ``vacuum_path`` (times, heights),
    ``marks`` (times, heights, swings).
    """

    size = (4.6, 3.6)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.78, bottom=0.62, right=0.25, top=0.42)
        self.axes.set_title("The fall")
        self.axes.set(xlabel="Time since release (ms)", ylabel="Height of lowest point (mm)")
        self.with_air = self.moving(self.axes.plot([], [], **line(0), label="with air")[0])
        self.without = self.moving(self.axes.plot([], [], **line(1), zorder=3, label="without air")[0])
        shapes = PolyCollection([], facecolors="#CFE8F7", edgecolors=BLUE, linewidths=1.2, zorder=4)
        self.shapes = self.moving(self.axes.add_collection(shapes))
        self.touch = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1.2, linestyle=(0, (1, 2)))[0])
        self.touch_text = self.moving(self.axes.text(0, 0, "", ha="right", va="bottom"))
        self.axes.legend(loc="upper right", handlelength=2.6, borderaxespad=0.1)

    def update(self, state: Any) -> None:
        wide, tall = round_up(state.time.value * 1.08) * 1e3, round_up(state.distance * 1.12) * 1e3
        self.axes.set(xlim=(-0.05 * wide, wide), ylim=(0, tall))
        for artist, (times, heights) in ((self.with_air, state.path), (self.without, state.vacuum_path)):
            artist.set_data(times * 1e3, heights * 1e3)
        width, height = self.size[0] - 1.03, self.size[1] - 1.04
        scale = np.array([1.05 * wide / width, tall / height])
        times, heights, swings = state.marks
        self.shapes.set_verts(
            [
                drop_outline(0, 0, _MARK / 2, swing) * scale + [time * 1e3, high * 1e3 + _MARK / 2 * scale[1]]
                for time, high, swing in zip(times, heights, swings, strict=True)
            ]
        )
        contact = state.time.value * 1e3
        self.touch.set_data([contact, contact], [0, 0.44 * tall])
        self.touch_text.set_text(f"touches at {units.format_quantity(state.time.value, 's')}")
        self.touch_text.set_position((wide, 0.46 * tall))


class MissFigure(TwoLayerFigure):
    """To scale: the drop as it touches, and where it is when the light is timed without air.

    State: ``diameter``, ``miss`` (height of the drop at the time without air), ``swing`` and ``vacuum_swing``.
    """

    size = (3.6, 3.6)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.78, bottom=0.62, right=0.22, top=0.42)
        self.axes.set_title("When the light fires")
        self.axes.set_ylabel("Height above the water (mm)")
        self.axes.set_xticks([])
        self.axes.grid(visible=False)
        self.axes.axhspan(-1e4, 0, color=SKY, alpha=0.35, linewidth=0)
        self.axes.axhline(0, color=BLUE, linewidth=1.4)
        box = {"facecolor": PAPER, "edgecolor": "none", "pad": 1.0}
        self.true = self.moving(self.axes.fill([0], [0], facecolor="#CFE8F7", edgecolor=BLUE, linewidth=1.6)[0])
        self.early = self.moving(
            self.axes.fill([0], [0], facecolor="none", edgecolor=VERMILION, linewidth=1.8, linestyle=(0, (4, 2)))[0]
        )
        self.size_line = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1.2, marker="_", markersize=9)[0])
        self.size_text = self.moving(self.axes.text(0, 0, "", va="bottom", ha="center", bbox=box))
        self.axes.yaxis.set_major_formatter(lambda value, _: units.format_number(value))
        self.axes.text(0.23, 0.015, "timed\nwith air", color=BLUE, ha="center", va="bottom",
                       transform=self.axes.transAxes)  # fmt: skip
        self.axes.text(0.77, 0.015, "timed\nwithout air", color=VERMILION, ha="center", va="bottom",
                       transform=self.axes.transAxes)  # fmt: skip

    def update(self, state: Any) -> None:
        d, miss = state.diameter * 1e3, state.miss * 1e3
        span = round_up(max(miss + 1.4 * d, 2.5 * d))
        low = -0.28 * span
        self.axes.set(xlim=(0, span - low), ylim=(low, span))
        left, right = 0.23 * (span - low), 0.77 * (span - low)
        self.true.set_xy(drop_outline(left, d / 2, d / 2, state.swing))
        self.early.set_xy(drop_outline(right, d / 2 + miss, d / 2, state.vacuum_swing))
        middle = 0.5 * (span - low)
        self.size_line.set_data([middle, middle], [0, miss])
        self.size_text.set_text(units.format_quantity(state.miss, "m", 2))
        self.size_text.set_position((middle, miss + 0.03 * span))
