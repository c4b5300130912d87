"""What was seen beside what the model says: the sparks of 1908, one simulated run, and all runs at once."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREY, VERMILION, line, round_up


class SparkFigure(TwoLayerFigure):
    """Each stage of the 1908 series on a line: the model's band and value, and the time seen.

    State: ``stages`` (of splash.spark_stages).
    """

    size = (4.7, 3.5)

    def build(self) -> None:
        self.axes = self.add_axes(left=2.15, bottom=0.62, right=0.2, top=0.72)
        self.axes.set_title("Sparks of 1908: 7.36 mm drop, 40 cm\n", x=-0.87)
        self.axes.set(xlabel="Time after first contact (ms)", xlim=(0, 400), ylim=(6.6, -0.6))
        self.axes.grid(axis="y", visible=False)
        self.bands = [self.axes.plot([], [], color=BLUE, alpha=0.25, linewidth=11, solid_capstyle="butt")[0]
                      for _ in range(7)]  # fmt: skip
        self.model = self.axes.plot([], [], "|", color=BLUE, markersize=13, markeredgewidth=2.5, label="model")[0]
        self.seen = self.axes.plot([], [], "X", color=VERMILION, markersize=8, markeredgecolor="white",
                                   markeredgewidth=0.6, label="seen")[0]  # fmt: skip
        self.moving(*self.bands, self.model, self.seen)
        self.axes.legend(loc="lower right", bbox_to_anchor=(1.02, 0.99), ncols=2, borderaxespad=0.1, handlelength=1.2)

    def update(self, state: Any) -> None:
        if self.still_extra is None:
            self.axes.set_yticks(range(len(state.stages)), [stage.words for stage in state.stages])
            self.axes.tick_params(axis="y", length=0)
            self.still_extra = "named"
        rows = np.arange(len(state.stages))
        for row, band, stage in zip(rows, self.bands, state.stages, strict=True):
            band.set_data([float(stage.model.low) * 1e3, float(stage.model.high) * 1e3], [row, row])
        self.model.set_data([float(stage.model.value) * 1e3 for stage in state.stages], rows)
        self.seen.set_data([stage.seen * 1e3 for stage in state.stages], rows)


class RunFigure(TwoLayerFigure):
    """Height on the axis in one simulated run beside the model's curve and band.

    State: ``run`` (HeightSeries), ``times``, ``height`` (Estimate).
    """

    size = (3.7, 3.5)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.78, bottom=0.62, right=0.2, top=0.42)
        self.axes.set_title("One simulated run beside the model")
        self.axes.set(xlabel="Time after first contact (ms)", ylabel="Height on the axis (mm)")
        self.axes.axhline(0, color=GREY, linewidth=1.2)
        self.band = self.moving(self.axes.fill([0], [0], color=BLUE, alpha=0.16, linewidth=0)[0])
        self.curve = self.moving(self.axes.plot([], [], **line(0), label="model")[0])
        self.dots = self.moving(
            self.axes.plot([], [], ".", color=VERMILION, markersize=4.5, label="simulated")[0]
        )  # fmt: skip
        self.axes.legend(loc="upper left", borderaxespad=0.2, handlelength=1.6)

    def update(self, state: Any) -> None:
        ms, run = state.times * 1e3, state.run
        low, high = state.height.low * 1e3, state.height.high * 1e3
        heights = run.height * 1e3
        self.axes.set_xlim(0, round_up(max(ms[-1], run.time[-1] * 1e3)))
        bottom = -round_up(1.1 * max(-low.min(), -heights.min()))
        self.axes.set_ylim(bottom, round_up(1.3 * max(high.max(), heights.max())))
        self.curve.set_data(ms, state.height.value * 1e3)
        self.band.set_xy(np.column_stack([np.append(ms, ms[::-1]), np.append(low, high[::-1])]))
        self.dots.set_data(run.time * 1e3, heights)


class ResidualFigure(TwoLayerFigure):
    """Seen over model for each number of each run; the chosen run stands out.

    State: ``landmarks`` (of splash.simulated_landmarks), ``run``.
    """

    size = (4.4, 3.2)

    def build(self) -> None:
        self.axes = self.add_axes(left=2.0, bottom=0.62, right=0.2, top=0.42)
        self.axes.set_title("All runs: how far off the model", x=-0.84)
        self.axes.set(xlabel="Simulated less model (%)", xlim=(-65, 30), ylim=(4.6, -0.6))
        self.axes.grid(axis="y", visible=False)
        self.axes.axvline(0, color=BLUE, linewidth=2)
        self.dots = self.axes.plot([], [], "o", color=GREY, markersize=6, markerfacecolor="none")[0]
        self.chosen = self.moving(self.axes.plot([], [], "D", color=VERMILION, markersize=8, markeredgecolor=BLACK)[0])

    def update(self, state: Any) -> None:
        names = list(dict.fromkeys(mark.words for mark in state.landmarks))

        def points(marks: Any) -> tuple[list[float], list[int]]:
            shares = [100 * mark.residual / float(mark.model.value) for mark in marks]
            return shares, [names.index(mark.words) for mark in marks]

        if self.still_extra is None:
            self.axes.set_yticks(range(len(names)), names)
            self.axes.tick_params(axis="y", length=0)
            self.dots.set_data(*points(state.landmarks))
            self.still_extra = "drawn"
        self.chosen.set_data(*points([mark for mark in state.landmarks if mark.run == state.run.name]))
