"""How the ripples in the bowl die away, with the wait people keep beside it."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREEN, GREY, PAPER, line

_REACH = (20.0, 40.0, 60.0, 120.0, 240.0, 480.0)  # s, the time axis follows in few steps


class DecayFigure(TwoLayerFigure):
    """Height of the ripples against time for the chosen surface, and for the other kind of surface.

    State: ``height`` and ``decay`` (m, s) of the chosen surface, ``other_decay``, ``still`` (m), ``wait`` (Estimate),
    ``rule`` (Estimate), ``film``.
    """

    size = (8.4, 3.9)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.85, bottom=0.62, right=0.25, top=0.42)
        self.axes.set(xlim=(0, 60), ylim=(0.004, 3), yscale="log")
        self.axes.set(xlabel="Time after the splash (s)", ylabel="Height of the ripples (mm)")
        self.axes.set_title("The bowl comes to rest")
        self.axes.set_yticks(
            [0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2],
            ["0.005", "0.01", "0.02", "0.05", "0.1", "0.2", "0.5", "1", "2"],
        )
        self.axes.minorticks_off()
        self.rule = self.axes.axvspan(0, 1, color=GREEN, alpha=0.13, linewidth=0)
        self.axes.axvline(10, color=GREEN, linewidth=1.6, linestyle=(0, (1.5, 1.5)))
        self.rule_text = self.axes.text(
            10.3, 2.6, "green: the wait people keep,\nten seconds or so (common practice, no source)",
            color=GREEN, va="top",
        )  # fmt: skip
        self.band = self.moving(self.axes.fill([0], [0], color=BLUE, alpha=0.16, linewidth=0)[0])
        self.other = self.moving(self.axes.plot([], [], **line(1))[0])
        self.chosen = self.moving(self.axes.plot([], [], **line(0))[0])
        self.still = self.moving(self.axes.plot([], [], color=GREY, linewidth=1.2)[0])
        box = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 1}
        self.still_text = self.moving(self.axes.text(0, 0, "", color=GREY, ha="right", va="top", bbox=box))
        self.names = [self.moving(self.axes.text(0, 0, "", color=line(index)["color"], va="center", bbox=box))
                      for index in range(2)]  # fmt: skip
        self.mark = self.moving(
            self.axes.plot([], [], "o", markersize=12, markerfacecolor="none", markeredgecolor=BLACK,
                           markeredgewidth=2)[0]
        )  # fmt: skip
        self.mark_text = self.moving(self.axes.text(0, 0, "", va="top", bbox=box))

    def update(self, state: Any) -> None:
        if self.still_extra is None:
            self.rule.set_x(float(state.rule.low))
            self.rule.set_width(float(state.rule.high - state.rule.low))
            self.still_extra = "placed"
        wait, still, start = float(state.wait.value), 1e3 * float(state.still), 1e3 * float(state.height)
        reach = next((step for step in _REACH if step >= 1.15 * float(state.wait.high)), _REACH[-1])
        self.axes.set_xlim(0, max(reach, 40.0))
        end = self.axes.get_xlim()[1]
        times = np.linspace(0, end, 60)
        self.chosen.set_data(times, start * np.exp(-times / state.decay))
        self.other.set_data(times, start * np.exp(-times / state.other_decay))
        early, late = (start * np.exp(-times / (state.decay * factor)) for factor in (0.5, 2.0))
        self.band.set_xy(np.column_stack([np.append(times, times[::-1]), np.append(early, late[::-1])]))
        self.still.set_data([0, end], [still, still])
        self.still_text.set_text(f"still enough: {units.format_number(still, 2)} mm")
        self.still_text.set_position((0.82 * end, still * 0.9))
        clean, film = "perfectly clean surface", "surface with a film"
        # far down its line, unless the ring already stands there
        low = 0.3 if np.log(max(start / still, 1)) > 0.6 * np.log(max(start / 0.005, 1.1)) else 0.85
        words = (film, clean) if state.film else (clean, film)
        for text, word, decay, along in zip(
            self.names, words, (state.decay, state.other_decay), (low, 0.45), strict=True
        ):
            # each name stands on its own line
            at = min(0.62 * end, along * decay * np.log(max(start / 0.005, 1.1)))
            text.set_text(word)
            text.set_position((at + 0.012 * end, start * np.exp(-at / decay) * 1.12))
        self.mark.set_data([wait], [min(still, start)])
        self.mark_text.set_text(f"still after {units.format_quantity(wait, 's', 2)}")
        self.mark_text.set_position((wait + 0.015 * end, min(still, start) * 1.75))
