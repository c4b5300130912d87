"""Lesson 00: everything from the valve's click to the light, as bars on one time axis."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREEN, GREY, ORANGE, PAPER, PURPLE, SKY, VERMILION

# rows from top to bottom: name with its lessons
ROWS = (
    ("timer", "Timer's signals (04, 11, 12)"),
    ("first", "First drop (06)"),
    ("water", "Crater, column (07, 09)"),
    ("second", "Second drop (08)"),
    ("sheet", "Sheet of water (08)"),
    ("camera", "Camera: lag, curtain (03, 04)"),
    ("open", "Shutter {open} (01)"),
    ("flash", "Flash, {flash} (02, 05, 10)"),
)
# looks of the parts: fill, hatch
LOOKS = {
    "valve": (PURPLE, "////"),
    "fall": (SKY, ""),
    "crater": ("#BFE3D6", ""),  # with dots of its own
    "column": (GREEN, ""),
    "sheet": (ORANGE, ""),
    "lag": (PAPER, "\\\\\\\\"),
    "travel": (VERMILION, ""),
    "open": ("#DDE3E8", ""),
    "flash": (BLACK, ""),
}
_HIGH = 0.52  # of a row
_UP = 0.42  # rows: where a signal's word stands that has no room on its right
_DOTS = (0.12, 0.24, 0.37)  # rows of dots down the crater's bar: a hatch of dots takes a hundred thousand letters


class TimelineFigure(TwoLayerFigure):
    """Bars for each stage, thin lines for the bands, ticks for the timer's signals, one line for the light.

    State: ``bars`` (row, look, words, start, end, earliest, latest), ``signals`` (words, time), ``light``;
    times in s from the first valve signal. ``open`` and ``flash`` are words for their rows' names, which
    belong to the still layer: they change seldom, and each word in the moving layer costs half a millisecond.
    """

    size = (9.0, 5.0)
    slots = 4

    def build(self) -> None:
        self.axes = self.add_axes(left=2.75, bottom=0.62, right=0.25, top=0.3)
        self.axes.set(ylim=(len(ROWS) - 0.4, -0.85), xlabel="Time since the first valve signal (ms)")
        self.axes.set_yticks(range(len(ROWS)))
        self.axes.annotate("valve", (0, -_UP), xytext=(-6, 0), textcoords="offset points", va="center")
        self.axes.tick_params(axis="y", length=0)
        self.axes.grid(axis="y", visible=False)
        for row in range(len(ROWS) - 1):
            self.axes.axhline(row + 0.5, color="#EEF1F4", linewidth=1, zorder=0)
        self.light = self.moving(self.axes.plot([], [], color=BLACK, linestyle=(0, (1, 1.5)), linewidth=2)[0])
        self.boxes: dict[str, list[Any]] = {look: [] for look in LOOKS}
        for look, (fill, hatch) in LOOKS.items():
            for _ in range(2):
                patch = self.axes.fill([0], [0], facecolor=fill, hatch=hatch, edgecolor=GREY, linewidth=0.8, zorder=2)[
                    0
                ]
                self.boxes[look].append(self.moving(patch))
        dotted: dict[str, Any] = {
            "linewidth": 2.0,
            "linestyle": (0, (0.01, 2.0)),
            "dash_capstyle": "round",
            "zorder": 3,
        }
        self.dots = self.moving(self.axes.plot([], [], color=GREY, **dotted)[0])
        self.bands = self.moving(
            self.axes.plot([], [], color=BLACK, linewidth=1.4, marker="|", markersize=8, zorder=4)[0]
        )
        self.signals = self.moving(
            self.axes.plot([], [], "v", markersize=11, color=BLUE, markeredgecolor=BLACK, zorder=4)[0]
        )
        self.words = [self.moving(self.axes.text(0, 0, "", va="center", zorder=5)) for _ in range(self.slots)]
        self.light_words = self.moving(self.axes.text(0, -0.66, "light", ha="center", va="center"))

    def update(self, state: Any) -> None:
        places = {name: at for at, (name, _) in enumerate(ROWS)}
        last = max(bar.latest for bar in state.bars)
        end = 50.0 * float(np.ceil(last * 1e3 / 50 + 0.3))
        if (state.open, state.flash) != self.still_extra:
            self.still_extra = (state.open, state.flash)
            self.axes.set_yticklabels([words.format(open=state.open, flash=state.flash) for _, words in ROWS])
        self.axes.set_xlim(min(0.0, 50 * float(np.floor(min(b.start for b in state.bars) * 1e3 / 50))) - 8, end)
        free = {look: list(boxes) for look, boxes in self.boxes.items()}
        words = list(self.words)
        band_x: list[float] = []
        band_y: list[float] = []
        for bar in state.bars:
            y, x0, x1 = places[bar.row], bar.start * 1e3, bar.end * 1e3
            patch = free[bar.look].pop(0)
            low, high = y - _HIGH / 2, y + _HIGH / 2
            patch.set_xy([[x0, low], [x1, low], [x1, high], [x0, high]])
            patch.set_visible(True)
            if bar.look == "crater":
                self._dot(x0, x1, low)
            if bar.latest > bar.earliest:
                band_x += [bar.earliest * 1e3, bar.latest * 1e3, np.nan]
                band_y += [high + 0.07] * 2 + [np.nan]
            if bar.words:
                self._write(words.pop(0), bar.words, x0, x1, y, bar.look, end)
        for patch in (patch for boxes in free.values() for patch in boxes):
            patch.set_visible(False)
        self.bands.set_data(band_x, band_y)
        self.signals.set_data([time * 1e3 for _, time in state.signals], [places["timer"]] * len(state.signals))
        letter = 0.0115 * (end - self.axes.get_xlim()[0])
        for name, time in state.signals[1:]:  # the first one's word is still
            x = time * 1e3
            crowded = any(x < 1e3 * other < x + (len(name) + 3) * letter for _, other in state.signals)
            self._write(words.pop(0), name, x, x + 0.012 * end, places["timer"] - (_UP if crowded else 0.0), "", end)
        for text in words:
            text.set_visible(False)
        self.light.set_data([state.light * 1e3] * 2, [-0.5, len(ROWS) - 0.4])
        self.light_words.set_position((state.light * 1e3, -0.68))

    def _dot(self, x0: float, x1: float, low: float) -> None:
        box, (left, right) = self.axes.get_position(), self.axes.get_xlim()
        step = 4.0 * (right - left) / (72 * box.width * self.size[0])  # four points from dot to dot
        begins = [x0 + (0.6 if row % 2 == 0 else 1.1) * step for row in range(len(_DOTS))]
        x = [value for begin in begins for value in (begin, max(begin, x1 - 0.4 * step), np.nan)]
        self.dots.set_data(x, np.repeat([low + _HIGH * part / 0.49 for part in _DOTS], 3))

    def _write(self, text: Any, words: str, x0: float, x1: float, y: float, look: str, end: float) -> None:
        text.set_visible(True)
        text.set_text(words)
        inside = look == "fall" and x1 - x0 > 0.0115 * end * len(words)
        text.set_position(((x0 + x1) / 2 if inside else x1 + 0.01 * end, y))
        text.set_ha("center" if inside else "left")
