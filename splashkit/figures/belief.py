"""Lesson 11: the settings tried so far, and what the frames have told about each unknown.

State of both: an object with the fields named in each class. All times in seconds.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from matplotlib.patheffects import withStroke

from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREEN, GREY, GRID, ORANGE, TEXT, VERMILION

BELOW = 0.27  # [rows] a bar lies this far below its words

# what a frame showed: marker, colour and word; the marker alone tells them apart
KINDS = {
    "nothing": ("o", GREY, "nothing there"),
    "early": ("<", BLUE, "too early"),
    "late": (">", VERMILION, "too late"),
    "hit": ("*", GREEN, "the collision"),
    "": ("x", BLACK, "not said"),
}


class Bar(NamedTuple):
    """One unknown: its name, range before any frame, range and middle now, in one unit; the truth where known."""

    name: str
    before: tuple[float, float]
    now: tuple[float, float, float]
    text: str
    told: bool
    truth: float | None = None


class TriedFigure(TwoLayerFigure):
    """Each frame as a mark at its delay and gap, and the settings that stand now.

    State: ``marks`` (list of (delay, gap, kind)), ``gap``, ``delay``.
    """

    size = (5.0, 3.5)

    def build(self) -> None:
        """Make the axes and one artist a kind."""
        self.axes = self.add_axes(left=0.75, bottom=0.62, right=0.2, top=0.95)
        self.axes.set(xlabel="Delay set (ms)", ylabel="Gap set (ms)", xlim=(0, 500), ylim=(0, 150))
        self.axes.set_title("Frames so far", pad=40)
        self.kinds: dict[str, Any] = {}
        for kind, (marker, colour, words) in KINDS.items():
            look = {"color": colour, "marker": marker, "linestyle": "none", "markersize": 15 if kind == "hit" else 10}
            if kind:  # the legend is still; its own artists hold no data
                self.axes.plot([], [], label=words, **look)
            self.kinds[kind] = self.moving(self.axes.plot([], [], **look)[0])
        self.axes.plot([], [], "+", color=BLACK, markersize=15, markeredgewidth=1.8, label="next frame")
        self.axes.legend(
            loc="lower left", bbox_to_anchor=(-0.12, 0.99), ncols=3, columnspacing=1.0, handletextpad=0.2, borderpad=0.1
        )
        self.now = self.moving(self.axes.plot([], [], "+", color=BLACK, markersize=17, markeredgewidth=1.8)[0])
        self.numbers = [self.moving(self.axes.text(0, 0, "", fontsize=TEXT)) for _ in range(12)]

    def update(self, state: Any) -> None:
        """Place the marks; the axes follow in large steps."""
        delays = [1e3 * delay for delay, _, _ in state.marks] + [1e3 * state.delay]
        gaps = [1e3 * gap for _, gap, _ in state.marks] + [1e3 * state.gap]
        right, top = (max(100.0 * math.ceil((max(v) + 8) / 50) / 2, least) for v, least in ((delays, 300), (gaps, 100)))
        self.axes.set(xlim=(0, right), ylim=(0, top))
        for kind, artist in self.kinds.items():
            shown = [(1e3 * delay, 1e3 * gap) for delay, gap, what in state.marks if what == kind]
            artist.set_data([x for x, _ in shown], [y for _, y in shown])
        self.now.set_data([1e3 * state.delay], [1e3 * state.gap])
        first = max(len(state.marks) - len(self.numbers), 0)
        for at, artist in enumerate(self.numbers):
            there = first + at < len(state.marks)
            artist.set_text(str(first + at + 1) if there else "")
            if there:
                delay, gap, _ = state.marks[first + at]
                # neighbours write above and below by turns, so that close frames stay readable
                side, up = (1, 0.035) if at % 2 == 0 else (-1, -0.09)
                artist.set_ha("left" if side > 0 else "right")
                artist.set_position((1e3 * delay + side * 0.016 * right, 1e3 * gap + up * top))


class BeliefFigure(TwoLayerFigure):
    """Two lines an unknown: its name and range; below, a pale bar before any frame, a dark bar now, a tick at its
    middle, a star at the truth.

    State: ``bars``, a list of up to ``ROWS`` :class:`Bar`. Each row has its own scale: its pale bar spans the axis.
    """

    ROWS = 8
    size = (5.4, 5.6)  # narrow, so that it keeps its size in a small window

    def build(self) -> None:
        """Make the rows, once."""
        self.axes = self.add_axes(left=0.2, bottom=0.1, right=0.2, top=0.6)
        self.axes.set(xlim=(-0.1, 1.1), ylim=(self.ROWS - 0.4, -0.6), xticks=[], yticks=[])
        self.axes.grid(False)
        for side in ("left", "bottom"):
            self.axes.spines[side].set_visible(False)
        self.axes.set_title("What is known of this rig: 90 % ranges\nPale: before any frame. Dark: now.")
        dark = {"linewidth": 6, "solid_capstyle": "butt"}
        edge = [withStroke(linewidth=14, foreground=GREY)]  # the pale bar alone is too pale on white
        plot = self.axes.plot
        # one line for all bars of a kind, broken between the rows
        self.before = self.moving(plot([], [], color=GRID, linewidth=12, solid_capstyle="butt", path_effects=edge)[0])
        self.now = self.moving(plot([], [], color=BLUE, **dark)[0])
        self.untold = self.moving(plot([], [], color=GREY, linestyle=(0, (0.6, 0.5)), **dark)[0])
        self.middles = self.moving(plot([], [], "|", color=BLACK, markersize=16, markeredgewidth=2, clip_on=False)[0])
        self.truths = self.moving(
            plot([], [], "*", markersize=15, color=ORANGE, markeredgecolor=BLACK, clip_on=False)[0]
        )
        self.names = [self.moving(self.axes.text(-0.1, row, "", ha="left", va="bottom")) for row in range(self.ROWS)]
        self.texts = [self.moving(self.axes.text(1.1, row, "", ha="right", va="bottom")) for row in range(self.ROWS)]

    def update(self, state: Any) -> None:
        """Set the bars."""
        bars = state.bars[: self.ROWS]
        now: dict[bool, list[tuple[float, float, float]]] = {True: [], False: []}
        middles, truths = [], []
        for row, bar in enumerate(bars):
            low, high = bar.before
            span = max(high - low, 1e-12)

            def place(value: float, low: float = low, span: float = span) -> float:
                return float(np.clip((value - low) / span, -0.1, 1.1))

            ends = place(bar.now[0]), place(bar.now[2])
            if ends[1] - ends[0] < 0.008:  # a range too narrow to be seen still shows
                ends = ends[0] - 0.004, ends[0] + 0.004
            now[bar.told].append((row, *ends))
            middles.append((place(bar.now[1]), row + BELOW))
            if bar.truth is not None:
                truths.append((place(bar.truth), row + BELOW))
        self.before.set_data(*_broken([(row, 0.0, 1.0) for row in range(len(bars))]))
        self.now.set_data(*_broken(now[True]))
        self.untold.set_data(*_broken(now[False]))
        for artist, places in ((self.middles, middles), (self.truths, truths)):
            artist.set_data([x for x, _ in places], [y for _, y in places])
        for row, (name, text) in enumerate(zip(self.names, self.texts, strict=True)):
            name.set_text(bars[row].name if row < len(bars) else "")
            text.set_text(bars[row].text if row < len(bars) else "")


def _broken(bars: list[tuple[float, float, float]]) -> tuple[list[float], list[float]]:
    """Put bars (row, left, right) into one line."""
    return (
        [x for _, left, right in bars for x in (left, right, math.nan)],
        [row + BELOW for row, _, _ in bars for _ in range(3)],
    )


def range_text(low: float, middle: float, high: float, unit: str) -> str:
    """Write a range in the fewest digits that still tell its ends apart; times in milliseconds."""
    factor, shown = (1e3, "ms") if unit == "s" else (1.0, unit)
    width = factor * (high - low)
    digits = 2 if unit == "m/s" or width < 0.3 else 1 if width < 8 else 0
    ends = [f"{factor * value:.{digits}f}".replace("-", "−") for value in (middle, low, high)]
    ends = ["0" if float(text.replace("−", "-")) == 0 else text for text in ends]
    return f"{ends[0]} {shown} ({ends[1]} to {ends[2]})"
