"""How bright flash, background and drop's ghost are recorded, against the time the shutter is open."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, GREY, PAPER, line

LOW, HIGH = -21.0, 9.0  # stops over correct that the figure shows
SHORT, LONG = 1 / 320, 40.0  # s
JUST, WHITE, TALL = -4.7, 3.2, 1.7  # where two words stand, and how tall words are [stops]
BACKGROUND_WIDE = 6.0  # times by which "background" reaches on the axis of times


class RoomFigure(TwoLayerFigure):
    """Stops over or under correct, against shutter time.

    State: ``times``, ``background``, ``ghost`` (stops), ``flash`` (stops), ``exposure_time``, ``now`` (background,
    ghost), ``longest``, ``dark_from``, ``dark_at`` (stops under at which the frame starts and ends to turn black).
    """

    size = (6.2, 4.0)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.95, bottom=0.62, right=0.25, top=0.42)
        self.axes.set(xscale="log", xlim=(SHORT, LONG), ylim=(LOW, HIGH))
        self.axes.set_title("How bright each thing is recorded")
        self.axes.set(xlabel="Time the shutter is open", ylabel="Stops over or under correct")
        marks = (1 / 250, 1 / 60, 1 / 15, 1 / 4, 1, 4, 15)
        self.axes.set_xticks(marks, [units.format_shutter(mark) for mark in marks])
        self.axes.minorticks_off()
        self.axes.set_yticks([-18, -12, -6, 0, 3, 6], ["−18", "−12", "−6", "0", "+3", "+6"])
        self.axes.axhspan(LOW, -7, color=BLACK, alpha=0.16, linewidth=0)
        self.axes.axhspan(-7, -5, color=BLACK, alpha=0.08, linewidth=0)
        self.axes.text(SHORT * 1.1, LOW + 0.4, "black in the picture", va="bottom", color=BLACK)
        self.axes.text(SHORT * 1.1, JUST, "just black", va="bottom", color=GREY)
        self.axes.axhline(2.96, color=GREY, linewidth=1, linestyle=(0, (1, 2)))
        self.axes.text(1 / 60, WHITE, "white clips", va="bottom", ha="left", color=GREY)
        self.now = self.moving(self.axes.axvline(1, color=BLACK, linewidth=1.2))
        self.flash = self.moving(self.axes.plot([], [], **line(0))[0])
        self.background = self.moving(self.axes.plot([], [], **line(1))[0])
        self.ghost = self.moving(self.axes.plot([], [], **line(2))[0])
        self.rings = self.moving(
            self.axes.plot([], [], "o", markersize=9, markerfacecolor=PAPER, markeredgecolor=BLACK, markeredgewidth=2)[
                0
            ]
        )
        self.limit = self.moving(self.axes.plot([], [], "^", markersize=9, color=BLACK)[0])
        self.flash_text = self.moving(self.axes.text(0, 0, "flash", color=line(0)["color"]))
        self.background_text = self.moving(self.axes.text(0, 0, "background", color=line(1)["color"], ha="right"))
        self.ghost_text = self.moving(self.axes.text(0, 0, "the drop's ghost", color=line(2)["color"], ha="right"))
        self.limit_text = self.moving(self.axes.text(0, 0, "", ha="left", va="top", color=BLACK))

    def update(self, state: Any) -> None:
        self.now.set_xdata([state.exposure_time] * 2)
        self.flash.set_data([SHORT, LONG], [state.flash] * 2)
        self.background.set_data(state.times, state.background)
        self.ghost.set_data(state.times, state.ghost)
        self.rings.set_data([state.exposure_time] * 3, [state.flash, *state.now])
        # each label sits at a place of its own: flash on the left, the room's line where it can be seen, ghost at right
        # (above its line, but for "just black" and the upper end)
        above = state.flash < HIGH - 2 and not JUST - TALL < state.flash + 0.3 < JUST + TALL
        self.flash_text.set_position((SHORT * 1.1, float(np.clip(state.flash + (0.3 if above else -0.3), LOW, HIGH))))
        self.flash_text.set_verticalalignment("bottom" if above else "top")
        shown = np.flatnonzero((state.background > LOW + 1) & (state.background < HIGH - 2))
        level, ends = state.background[shown], state.times[shown] / 1.25
        clear = np.abs(level + 0.8 - state.flash) > TALL  # of the flash's line, and of the words "white clips"
        clear &= (np.abs(level + 0.2 - WHITE) > TALL) | (ends < 1 / 60) | (ends / BACKGROUND_WIDE > 1 / 12)
        free = shown[clear]
        at = int(free[-1]) if len(free) else int(shown[-1]) if len(shown) else 0
        self.background_text.set_position((state.times[at] / 1.25, state.background[at] + 0.2))
        high = state.flash >= HIGH - 2  # then "flash" stands in the upper corner, and leaves room for itself alone
        room = state.times[at] / 1.25 / BACKGROUND_WIDE > SHORT * (3.5 if high else 1)
        self.background_text.set_visible(bool(len(shown)) and (room or not high))
        if not room:  # under the rising line, to its right
            self.background_text.set_position((state.times[at] * 1.15, state.background[at] - TALL - 0.2))
        self.background_text.set_horizontalalignment("right" if room else "left")
        self.ghost_text.set_visible(LOW < state.ghost[-1] < HIGH)
        self.ghost_text.set_position((LONG / 1.1, state.ghost[-1] - 0.3))
        self.ghost_text.set_verticalalignment("top" if state.ghost[-1] > LOW + 2 else "bottom")
        inside = SHORT < state.longest < LONG
        self.limit.set_data([state.longest], [-6.7])
        self.limit_text.set_text(f"longest: {units.format_quantity(state.longest, 's', 2)}")
        late = state.longest > 5  # no room to its right
        self.limit_text.set_position(
            (min(state.longest * (1.2 if late else 1.15), LONG / 1.05), -8.2 if late else -7.2)
        )
        self.limit_text.set_horizontalalignment("right" if late else "left")
        for artist in (self.limit, self.limit_text):
            artist.set_visible(inside)
