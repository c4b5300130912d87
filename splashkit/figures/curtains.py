"""Two curtains in motion: row against time, the light against time, and the light each row gets."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import AMBER, BLACK, BLUE, ORANGE, PAPER, PURPLE, VERMILION

COVERED = "#E6EAEE"
_SPANS = (1.5e-3, 2e-3, 3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 10e-3, 12e-3, 15e-3, 20e-3, 25e-3, 30e-3)  # s
COMB = 170  # more pulses than this run together on the screen
_BOX = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 1.5}


def opposite(side: str) -> str:
    """Name the other side of a picture."""
    return {"bottom": "top", "top": "bottom", "left": "right", "right": "left"}[side]


LETTER = 0.08  # inches that a letter of a label takes, at most
NEAR = 0.2  # inches between the middles of two lines of words that do not touch


def _dots(x: float, y: float, words: str, side: str, angle: float = 0.0) -> Any:
    """Give dots along the middle of a label that stands at (x, y) inches, as complex numbers."""
    length = LETTER * len(words)
    begin = {"left": 0.0, "center": -0.5, "right": -1.0}[side] * length
    along = begin + np.linspace(0.0, length, 2 + int(length / 0.08))
    return complex(x, y) + along * np.exp(1j * angle)


class CurtainFigure(TwoLayerFigure):
    """Where the slit is at each instant, what light there is then, and what each row gets of it.

    State: ``exposure``, ``travel`` (of the rows, s), ``light`` ("low", "full", "burn" or "day"), ``curve`` (or None),
    ``flash_start``, ``pulses``; ``rows`` and ``shares``; ``first_side`` of the picture; of the drop, in frame
    heights: ``drift`` (down the rows, a second), ``half`` (radius), and ``middle``, when it passes the middle row.
    """

    size = (5.7, 5.5)

    def build(self) -> None:
        self.rows = self.add_axes(left=0.92, bottom=1.62, right=1.5, top=0.4)
        self.light = self.add_axes(left=0.92, bottom=0.62, right=1.5, top=4.12)
        self.share = self.add_axes(left=4.38, bottom=1.62, right=0.22, top=0.4)
        for axes in (self.rows, self.share):
            axes.set(ylim=(0, 1), yticks=[0, 0.5, 1])
        self.rows.set_facecolor(COVERED)
        self.rows.grid(False)
        self.rows.set_title("Rows of the frame: open or covered")
        self.rows.set_ylabel("Rows, in order of exposure", labelpad=-14)
        self.rows.set_xticklabels([])
        self.share.set(xlim=(0, 1.08), xticks=[0, 0.5, 1])
        self.share.set_xticklabels(["0", "50", "100 %"])
        self.share.set_yticklabels([])
        self.share.set_title("Light per row")
        self.light.set(ylim=(0, 1.6), yticks=[], ylabel="Light", xlabel="Time (ms)")
        self.light.grid(False)
        self._artists()

    def _artists(self) -> None:
        rows = self.rows
        self.open = self.moving(rows.fill([0], [0], color="#FFFFFF", linewidth=0)[0])
        self.burn = self.moving(rows.fill([0], [0], color=ORANGE, alpha=0.20, linewidth=0)[0])
        self.band = self.moving(rows.fill([0], [0], color=PURPLE, alpha=0.13, linewidth=0)[0])
        edge: dict[str, Any] = {"color": PURPLE, "linestyle": (0, (7, 2, 1.5, 2)), "linewidth": 1.2}
        self.edges = [self.moving(rows.plot([], [], **edge)[0]) for _ in range(2)]
        self.flash = self.moving(rows.plot([], [], color=AMBER, linewidth=3.2)[0])
        kept: dict[str, Any] = {"facecolor": PURPLE, "alpha": 0.75, "edgecolor": PURPLE, "linewidth": 1.6, "zorder": 3}
        self.kept = self.moving(rows.fill([0], [0], **kept)[0])
        self.lost = self.moving(rows.plot([], [], color=BLACK, linewidth=3.2, linestyle=(0, (1, 1)))[0])
        self.front = self.moving(rows.plot([], [], color=BLUE, linewidth=2.4)[0])
        self.rear = self.moving(rows.plot([], [], color=VERMILION, linewidth=2.4, linestyle=(0, (6, 2)))[0])
        # labels are registered last, so that nothing is drawn over them
        self.labels = {
            name: self.moving(rows.text(0, 0, words, color=colour, ha=ha, va="center", rotation_mode="anchor",
                                        zorder=6))
            for name, words, colour, ha in (
                ("front", "front curtain", BLUE, "center"), ("rear", "rear curtain", VERMILION, "center"),
                ("drop", "drop", PURPLE, "left"), ("dark", "", BLACK, "left"),
            )
        }  # fmt: skip
        self.labels["dark"].set_bbox(_BOX)
        self.glow = self.moving(self.light.fill([0], [0], color=ORANGE, linewidth=0, snap=False)[0])
        self.glow_edge = self.moving(self.light.plot([], [], color=AMBER, linewidth=1.4)[0])
        self.words = self.moving(self.light.text(0, 1.0, "", va="top", zorder=6))
        self.area = self.moving(self.share.fill([0], [0], color=ORANGE, alpha=0.55, linewidth=0)[0])
        self.line = self.moving(self.share.plot([], [], color=BLACK, linewidth=1.2)[0])
        self.number = self.moving(self.share.text(0, 0, "", va="center", bbox=_BOX, zorder=6))
        self.span = 0.0  # what the time axis shows [ms]

    def update(self, state: Any) -> None:
        exposure, travel = 1e3 * state.exposure, 1e3 * state.travel
        span = 1e3 * next(step for step in _SPANS if step >= 1.02 * (state.exposure + state.travel))
        if span != self.span:  # looking for ticks takes a seventh of a redraw
            self.span = span
            for axes in (self.rows, self.light):
                axes.set_xlim(-0.07 * span, span)
            self.rows.set_xticks([tick for tick in self.light.get_xticks() if 0 <= tick <= span], [])
        self._sides(state.first_side)
        self.front.set_data([0, travel], [0, 1])
        self.rear.set_data([exposure, exposure + travel], [0, 1])
        self.open.set_xy([(0, 0), (travel, 1), (exposure + travel, 1), (exposure, 0)])
        self._taken: list[Any] = []  # where words stand already
        self._curtain_label("front", 0.0, travel, span, (0.8,))
        self._light(state, span)
        # clear of the drop, and of the words beside the black rows
        self._curtain_label("rear", exposure, travel, span, (0.2, 0.8) if state.drift < 0 else (0.8, 0.2))
        self._drop(state, span)
        self._shares(state)

    def _sides(self, first: str) -> None:
        if self.still_extra != first:
            self.still_extra = first
            self.rows.set_yticklabels([first, "", opposite(first)])

    def _inches(self, span: float) -> tuple[float, float]:
        """Give inches a millisecond and inches a frame height."""
        box = self.rows.get_position()
        return box.width * self.size[0] / (1.07 * span), box.height * self.size[1]

    def _place(self, name: str, places: list[tuple[float, float, str]], span: float, angle: float = 0.0) -> None:
        """Put a label at the first of the places (ms, row, side) where it meets no other one; else at the first."""
        wide, high = self._inches(span)
        words = self.labels[name].get_text()
        dots = [_dots(wide * x, high * y, words, side, angle) for x, y, side in places]
        free = (
            all(np.abs(here[:, None] - there).min() > NEAR for there in self._taken)
            and -0.07 * span * wide < here.real.min() and here.real.max() < span * wide
            for here in dots
        )  # fmt: skip
        best = next((number for number, fits in enumerate(free) if fits), 0)
        self._taken.append(dots[best])
        self.labels[name].set_position(places[best][:2])
        self.labels[name].set_horizontalalignment(places[best][2])
        self.labels[name].set_rotation(math.degrees(angle))

    def _curtain_label(self, name: str, start: float, travel: float, span: float, rows: tuple[float, ...]) -> None:
        """Write a curtain's name along its line, before the front one and behind the rear one."""
        wide, high = self._inches(span)
        angle = math.atan2(high, wide * travel)
        away = 0.15 if name == "rear" else -0.15  # inches from the line
        x, y = away * math.sin(angle) / wide, -away * math.cos(angle) / high
        self._place(name, [(start + row * travel + x, row + y, "center") for row in rows], span, angle)

    def _drop(self, state: Any, span: float) -> None:
        times = np.array([-0.07 * span, span])
        middle, drift, half = 1e3 * state.middle, 1e-3 * state.drift, state.half
        centre = 0.5 - drift * (times - middle)
        low, high = centre - half, centre + half
        self.band.set_xy(np.column_stack([np.append(times, times[::-1]), np.append(low, high[::-1])]))
        self.edges[0].set_data(times, low)
        self.edges[1].set_data(times, high)
        self._kept(state, span, drift, middle, half)
        places = []
        for x in span * np.array([-0.05, *np.linspace(0.1, 0.85, 11)]):
            y = 0.5 - drift * (x + 0.06 * span - middle)
            if not 0.06 < y < 0.94:  # the drop comes in through the upper or lower edge: name it there
                y = min(max(y, 0.06), 0.94)
                x = middle + (0.5 - y) / drift + 0.02 * span
            places.append((float(x), float(y), "left"))
        if drift:
            beside = [(side, y) for side in (0.02, -0.02, 0.09) for y in (0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.4, 0.6)]
            places += [
                (middle + (0.5 - y) / drift + side * span, y, "left" if side > 0 else "right") for side, y in beside
            ]
        self._place("drop", places, span)

    def _kept(self, state: Any, span: float, drift: float, middle: float, half: float) -> None:
        """Mark the part of the drop's way that the slit lets through, or that the flash catches."""
        exposure, travel = 1e3 * state.exposure, 1e3 * state.travel

        def meets(late: float, edge: float) -> tuple[float, float]:
            """Give when and at which row a curtain that starts at ``late`` passes an edge of the drop."""
            row = (0.5 + edge - drift * (late - middle)) / (1 + drift * travel)
            return late + travel * row, row

        if state.light in ("burn", "day"):
            corners = [meets(0, -half), meets(0, half), meets(exposure, half), meets(exposure, -half)]
        else:
            end = middle + max(1e3 * state.curve.t01, 0.012 * span)
            low, high = np.clip([-half, half], state.lit[0] - 0.5, 0.5)
            stops = [min(end, max(meets(exposure, edge)[0], middle)) for edge in (high, low)]
            corners = [(middle, 0.5 + low), (middle, 0.5 + high)]
            corners += [
                (stop, 0.5 + edge - drift * (stop - middle)) for stop, edge in zip(stops, (high, low), strict=True)
            ]
            if low == high:
                corners = corners[:1] * 4
        self.kept.set_xy(corners)

    def _light(self, state: Any, span: float) -> None:
        exposure, travel = 1e3 * state.exposure, 1e3 * state.travel
        steady = state.light in ("burn", "day")
        self.burn.set_visible(steady)
        self.flash.set_visible(not steady)
        self.lost.set_visible(not steady)
        self.labels["dark"].set_visible(not steady and state.dark > 0.005)
        if steady:
            end = exposure + travel if state.light == "burn" else span
            begin = 0.0 if state.light == "burn" else -0.07 * span
            self.burn.set_xy([(begin, 0), (begin, 1), (end, 1), (end, 0)])
            if state.light == "burn" and state.pulses <= COMB:
                count = np.arange(math.ceil(state.pulses))
                begins = count * 1e3 / state.frequency
                ends = np.minimum(begins + 1e3 * state.duty / state.frequency, end)
                x = np.column_stack([begins, begins, ends, ends]).ravel()
                y = np.tile([0.0, 1.0, 1.0, 0.0], len(count))
            else:
                x, y = np.array([begin, begin, end, end]), np.array([0.0, 1.0, 1.0, 0.0])
            words = f"{math.ceil(state.pulses)} pulses" if state.light == "burn" else "daylight all the time"
        else:
            at = 1e3 * state.flash_start
            curve = state.curve
            grid = np.concatenate([np.linspace(curve.start, curve.start + 3 * curve.t01, 90), [curve.end]])
            x, y = at + 1e3 * grid, curve.intensity(grid)
            x, y = np.append(np.append(at, x), x[-1]), np.append(np.append(0.0, y), 0.0)
            low, high = state.lit
            self.flash.set_data([at, at], [low, high] if high > low else [math.nan, math.nan])
            self.lost.set_data([at, at], [0, low])
            self.labels["dark"].set_text("shut again: black")
            sides = [(at - 0.03 * span, "right"), (at + 0.03 * span, "left")]
            places = [
                (x, max(share * low, 0.04), side)
                for x, side in (sides if at > 0.55 * span else sides[::-1])
                for share in (0.5, 0.3, 0.7, 0.15, 0.85)
            ]
            if state.dark > 0.005:
                self._place("dark", places, span)
            wide, high = self._inches(span)
            self._taken.append(wide * at + 1j * np.linspace(0.0, high, 40))  # the line of the flash
            words = f"t0.1 = {units.format_quantity(curve.t01, 's')}"
        self.glow.set_xy(np.column_stack([x, y]))
        self.glow.get_path().should_simplify = False  # it would drop some teeth and keep others
        self.glow_edge.set_data(x, y)
        self.glow_edge.set_visible(not steady)
        self.words.set_text(words)
        beside = steady or 1e3 * (state.flash_start + 0.7 * state.curve.t01) < 0.55 * span
        self.words.set_position((0.99 * span if beside else 1e3 * state.flash_start - 0.03 * span, 1.56))
        self.words.set_horizontalalignment("right")

    def _shares(self, state: Any) -> None:
        rows, shares = state.rows, state.shares
        self.line.set_data(shares, rows)
        self.area.set_xy(np.column_stack([np.append(shares, [0, 0]), np.append(rows, [1, 0])]))
        share = state.usual_share
        self.number.set_text(f"{units.format_number(100 * share)} %")
        inside = share > 0.6
        self.number.set_position((share - 0.04 if inside else share + 0.05, 0.9))
        self.number.set_horizontalalignment("right" if inside else "left")
