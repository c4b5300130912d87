"""Lesson 11: the settings tried so far, and what the frames have told about each unknown.

State of both: an object with the fields named in each class. All times in seconds.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREEN, GREY, ORANGE, TEXT, VERMILION

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
    """One row an unknown: pale bar before any frame, dark bar now, a tick at its middle, a star at the truth.

    State: ``bars``, a list of up to ``ROWS`` :class:`Bar`. Each row has its own scale: its pale bar spans the axis.
    """

    ROWS = 8
    size = (9.9, 4.0)

    def build(self) -> None:
        """Make the rows, once."""
        self.axes = self.add_axes(left=2.75, bottom=0.2, right=3.3, top=0.5)
        self.axes.set(xlim=(-0.12, 1.12), ylim=(self.ROWS - 0.4, -0.6), xticks=[], yticks=[])
        self.axes.grid(False)
        for side in ("left", "bottom"):
            self.axes.spines[side].set_visible(False)
        self.axes.set_title("What is known of this rig: 90 % ranges. Pale: before any frame. Dark: now.", x=-0.62)
        pale = {"color": GREY, "alpha": 0.22, "linewidth": 15, "solid_capstyle": "butt"}
        dark = {"linewidth": 8, "solid_capstyle": "butt"}
        self.rows = []
        for row in range(self.ROWS):
            before = self.moving(self.axes.plot([], [], **pale)[0])
            now = self.moving(self.axes.plot([], [], **dark)[0])
            middle = self.moving(self.axes.plot([], [], "|", color=BLACK, markersize=17, markeredgewidth=2)[0])
            truth = self.moving(
                self.axes.plot([], [], "*", markersize=15, color=ORANGE, markeredgecolor=BLACK, clip_on=False)[0]
            )
            name = self.moving(self.axes.text(-0.14, row, "", ha="right", va="center"))
            text = self.moving(self.axes.text(1.14, row, "", ha="left", va="center"))
            self.rows.append((before, now, middle, truth, name, text))

    def html(self, state: Any, alt: str) -> str:
        """Give the markup; in a page without a kernel the figure takes a line of its own."""
        return super().html(state, alt).replace('style="', 'style="flex-basis:100%;', 1)

    def update(self, state: Any) -> None:
        """Set the bars."""
        for row, (before, now, middle, truth, name, text) in enumerate(self.rows):
            bar = state.bars[row] if row < len(state.bars) else None
            if bar is None:
                for artist in (before, now, middle, truth):
                    artist.set_data([], [])
                name.set_text("")
                text.set_text("")
                continue
            low, high = bar.before
            span = max(high - low, 1e-12)

            def place(value: float, low: float = low, span: float = span) -> float:
                return float(np.clip((value - low) / span, -0.1, 1.1))

            before.set_data([0, 1], [row, row])
            ends = place(bar.now[0]), place(bar.now[2])
            if ends[1] - ends[0] < 0.008:  # a range too narrow to be seen still shows
                ends = ends[0] - 0.004, ends[0] + 0.004
            now.set_data(ends, [row, row])
            now.set_color(BLUE if bar.told else GREY)
            now.set_linestyle("-" if bar.told else (0, (0.6, 0.5)))
            middle.set_data([place(bar.now[1])], [row])
            truth.set_data(*(([], []) if bar.truth is None else ([place(bar.truth)], [row])))
            name.set_text(bar.name)
            text.set_text(bar.text)


def range_text(low: float, middle: float, high: float, unit: str) -> str:
    """Write a range in the fewest digits that still tell its ends apart; times in milliseconds."""
    factor, shown = (1e3, "ms") if unit == "s" else (1.0, unit)
    width = factor * (high - low)
    digits = 2 if unit == "m/s" or width < 0.3 else 1 if width < 8 else 0
    ends = [f"{factor * value:.{digits}f}".replace("-", "−") for value in (middle, low, high)]
    ends = ["0" if float(text.replace("−", "-")) == 0 else text for text in ends]
    return f"{ends[0]} {shown} ({ends[1]} to {ends[2]})"
