"""Lesson 08: two drops and a column in height against time, and the map of what a gap does."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.lines import Line2D

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import AMBER, BLACK, GREEN, GREY, PAPER, TEXT, line

_HALO = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 0.8}
_FIRST, _SECOND = line(0), line(1)
_WATER = {"color": GREEN, "linewidth": 2.8, "linestyle": (0, (7, 1.5, 1.5, 1.5))}
_LAMP = {"color": BLACK, "linestyle": (0, (1, 1.5)), "linewidth": 2}


def _steps(value: float, step: float, up: bool = True) -> float:
    """Go out to the next multiple of a step, so that axes follow in few jumps."""
    return step * float(np.ceil(value / step - 1e-9) if up else np.floor(value / step + 1e-9))


class _HeightTime(TwoLayerFigure):
    """What the two height-time figures share: two drops, the water with its band, ring, light.

    State: ``drawn`` (a timing.Diagram), ``gap``, ``light`` [s], ``meets``, ``window`` (or None), ``nozzle_height``.
    """

    margins = (0.72, 0.62, 0.2, 0.42)

    def build(self) -> None:
        left, bottom, right, top = self.margins
        self.axes = self.add_axes(left=left, bottom=bottom, right=right, top=top)
        self.axes.set(xlabel="Time since the first drop let go (ms)", ylabel="Height (mm)")
        self.band: Any = None
        self.water = self.moving(self.axes.plot([], [], **_WATER)[0])
        self.first = self.moving(self.axes.plot([], [], **_FIRST)[0])
        self.second = self.moving(self.axes.plot([], [], **_SECOND)[0])
        self.lamp = self.moving(self.axes.plot([], [], **_LAMP)[0])
        self.ring = self.moving(self.axes.plot([], [], "o", markersize=15, mfc="none", mec=BLACK, markeredgewidth=2)[0])
        self.decorate()

    def decorate(self) -> None:
        raise NotImplementedError

    def words(self, text: str = "", **more: Any) -> Any:
        return self.moving(self.axes.text(0, 0, text, fontsize=TEXT, **more))

    def legend(self, place: str, **more: Any) -> None:
        # still, so that the moving layer holds as few words as possible: they cost more than lines
        looks = (_FIRST, _SECOND, _WATER, _LAMP)
        names = ("1st drop", "2nd drop", "water", "light")
        shown = [Line2D([], [], **look) for look in looks]
        self.axes.legend(shown, names, loc=place, handlelength=2.6, borderpad=0.1, **more)

    def curves(self, state: Any, every: int = 1) -> None:
        drawn = state.drawn
        time = drawn.time * 1e3
        met = drawn.meeting
        # each drop's line ends exactly where it touches, not at the sample before
        touches = ((state.contact, 0.0), (float(met.time), float(met.height)))
        for artist, height, touch in zip((self.first, self.second), (drawn.first, drawn.second), touches, strict=True):
            seen = np.flatnonzero(~np.isnan(height))[::every]
            artist.set_data(np.append(time[seen], touch[0] * 1e3), np.append(height[seen], touch[1]) * 1e3)
        after = np.flatnonzero(drawn.time >= state.contact)[::every]
        water, after_time = drawn.liquid, time[after]
        self.water.set_data(after_time, water.value[after] * 1e3)
        if self.band is not None:
            edge = np.append(water.low[after], water.high[after][::-1]) * 1e3
            self.band.set_xy(np.column_stack([np.append(after_time, after_time[::-1]), edge]))
        self.ring.set_data([float(met.time) * 1e3], [float(met.height) * 1e3])
        self.ring.set_linestyle("none")
        foot = -float(met.splash.crater_depth.high) * 1.05e3
        self.lamp.set_data([state.light * 1e3] * 2, [foot, self.axes.get_ylim()[1]])


class WholeFallFigure(_HeightTime):
    """From the nozzle to the water: the gap as a bracket at the top, the light as a dotted line."""

    size = (3.7, 3.7)

    def decorate(self) -> None:
        self.axes.set_title("From nozzle to water")
        self.bracket = self.moving(
            self.axes.plot([], [], color=BLACK, linewidth=1.6, marker="|", markersize=12, markeredgewidth=1.6)[0]
        )
        self.gap_words = self.words(ha="left", va="bottom")
        self.legend("lower center", ncols=2, columnspacing=1.0)

    def update(self, state: Any) -> None:
        top = _steps(state.nozzle_height * 1e3 * 1.2, 50)
        last = _steps(max(float(state.drawn.time[-1]), state.light) * 1e3, 100)
        self.axes.set(xlim=(-0.03 * last, last), ylim=(-0.3 * top, top))
        self.curves(state, every=2)
        level = state.nozzle_height * 1e3 + 0.025 * top
        self.bracket.set_data([0, state.gap * 1e3], [level, level])
        self.gap_words.set_position((0.0, level + 0.045 * top))  # clear of the bracket's ends
        self.gap_words.set_text(f"gap {units.format_quantity(state.gap, 's')}")


class MeetingFigure(_HeightTime):
    """The last few centimetres: crater, column with its band, the meeting, and when a sheet is worth a picture."""

    size = (5.3, 3.7)

    def decorate(self) -> None:
        self.axes.set_title("At the water")
        self.axes.axhline(0, color=GREY, linewidth=1.2, zorder=1)
        self.band = self.moving(self.axes.fill([0], [0], color=GREEN, alpha=0.2, linewidth=0)[0])
        self.window = self.moving(self.axes.plot([], [], color=AMBER, linewidth=7, solid_capstyle="butt")[0])
        self.window_band = self.moving(
            self.axes.plot([], [], color=AMBER, linewidth=1.6, marker="|", markersize=9, markeredgewidth=1.6)[0]
        )
        # on paper: the light's dotted line would strike it out just when the light is right
        self.window_words = self.words("sheet at its best", ha="center", va="bottom", bbox=_HALO, zorder=5)
        self.legend("lower right", ncols=2, columnspacing=1.2)

    def update(self, state: Any) -> None:
        splash, drawn = state.drawn.meeting.splash, state.drawn
        contact = state.contact * 1e3
        start = _steps(contact - 14, 25, up=False)
        end = _steps(max(float(drawn.time[-1]) * 1e3, min(state.light * 1e3, contact + 300) + 5), 25)
        low = -_steps(float(splash.crater_depth.high) * 1e3 * 2.1, 5)
        high = _steps(max(float(splash.column_peak_height.high) * 1e3 * 1.3, 12) + 4, 10)
        self.axes.set(xlim=(start, end), ylim=(low, high))
        self.curves(state)
        self.lamp.set_visible(start <= state.light * 1e3 <= end)
        self._window(state, high, high - low, end)

    def _window(self, state: Any, high: float, tall: float, end: float) -> None:
        for artist in (self.window, self.window_band, self.window_words):
            artist.set_visible(state.window is not None)
        if state.window is None:
            return
        touch, level = float(state.drawn.meeting.time) * 1e3, high - 0.115 * tall
        opens, closes = state.window.opens, state.window.closes
        self.window.set_data([touch + float(opens.value) * 1e3, touch + float(closes.value) * 1e3], [level] * 2)
        self.window_band.set_data([touch + float(opens.low) * 1e3, touch + float(closes.high) * 1e3], [level] * 2)
        wide = end - self.axes.get_xlim()[0]
        last = touch + float(closes.high) * 1e3
        beside = last + 0.3 * wide < end  # the words stand beside the bar where there is room, else above it
        middle = touch + float(opens.value + closes.value) * 0.5e3
        self.window_words.set_ha("left" if beside else "center")
        self.window_words.set_va("center" if beside else "bottom")
        above = (min(middle, end - 0.17 * wide), level + 0.025 * tall)
        self.window_words.set_position((last + 0.015 * wide, level) if beside else above)


# look of each outcome in the map: fill, hatch, words; in the order of timing.OUTCOMES
_REGIONS = (
    ("#FFFFFF", "xx", "arrives\nfirst", 0.9),
    ("#DDE3E8", "", "crater", 0.9),
    ("#F4F6F8", "", "no column\nyet", 0.75),
    ("#CFE8F7", "//", "rising", 0.9),
    ("#FFE3A3", "", "top", 0.9),
    ("#D9EFE5", "\\\\", "falling", 0.35),
    ("#FBFCFD", "-", "column\ngone", 0.9),
)  # fill, hatch, name, and the share of the axis at which the name stands; the crater's dots are lines of their own
_CRATER = 1
_DOT = 6.0  # points from dot to dot


class OutcomeMapFigure(TwoLayerFigure):
    """Outcome for each gap and nozzle height: areas with words and hatches; best gap with band; the setting.

    State: ``heights``, ``longest`` gap shown, ``edges`` (for each outcome the gap at which it ends, by height),
    ``best`` (an Estimate by height), ``inside`` (height range of the tests, or None), ``nozzle_height``, ``gap``;
    ``key`` changes when the areas do.
    """

    size = (7.4, 4.5)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.85, bottom=0.62, right=0.2, top=0.42)
        self.axes.set_title("What the second drop meets")
        self.axes.set(xlabel="Gap between the drops (ms)", ylabel="Nozzle height (mm)")
        self.axes.grid(False)
        self.key: Any = None
        self.areas = [
            self.moving(
                self.axes.fill([0], [0], facecolor=fill, hatch=hatch, edgecolor="#828D98", linewidth=0.8, zorder=1)[0]
            )
            for fill, hatch, _, _ in _REGIONS
        ]
        # a hatch of dots takes fifty thousand letters; dotted lines behind a stencil look the same
        dots = {"color": "#B4BEC7", "linewidth": 2.0, "linestyle": (0, (0.01, _DOT / 2.0)), "dash_capstyle": "round"}
        self.dots = self.moving(self.axes.plot([], [], clip_path=self.areas[_CRATER], zorder=2, **dots)[0])
        edge = {"color": BLACK, "linewidth": 1.8, "linestyle": (0, (1, 1.6)), "zorder": 3}
        self.reach_edges = [self.moving(self.axes.plot([], [], **edge)[0]) for _ in range(2)]
        self.best = self.moving(self.axes.plot([], [], color=BLACK, linewidth=2.8, zorder=4)[0])
        self.limits = [
            self.moving(self.axes.plot([], [], color=GREY, linewidth=1.4, linestyle=(0, (6, 3)), zorder=3)[0])
            for _ in range(2)
        ]
        look = {"ha": "center", "va": "center", "bbox": _HALO, "zorder": 5}
        self.names = [self.moving(self.axes.text(0, 0, words, **look)) for _, _, words, _ in _REGIONS]
        self.limit_words = self.moving(self.axes.text(0, 0, "", color=GREY, ha="right", bbox=_HALO, zorder=5))
        self.mark = self.moving(
            self.axes.plot(
                [], [], "P", markersize=14, mfc=PAPER, mec=BLACK, markeredgewidth=2.2, zorder=6, clip_on=False
            )[0]
        )

    def update(self, state: Any) -> None:
        if state.key != self.key:  # the areas depend on the drops alone
            self.key = state.key
            self._areas(state)
        self.mark.set_data([state.gap * 1e3], [state.nozzle_height * 1e3])

    def _areas(self, state: Any) -> None:
        heights, last = state.heights * 1e3, state.longest * 1e3
        self.axes.set(xlim=(0, last), ylim=(heights[0], heights[-1]))
        left = np.zeros_like(heights)
        for area, name, edge, (*_, row) in zip(self.areas, self.names, state.edges, _REGIONS, strict=True):
            right = np.maximum(np.minimum(edge * 1e3, last), left)
            area.set_xy(np.column_stack([np.append(left, right[::-1]), np.append(heights, heights[::-1])]))
            wide = right - left
            area.set_visible(bool(wide.max() > 0))
            at = int(row * len(heights))
            name.set_visible(bool(wide[at] > 0.045 * last))
            name.set_position(((left[at] + right[at]) / 2, heights[at]))
            if area is self.areas[_CRATER]:
                self._dots(left, right, heights)
            left = right
        best = state.best
        self.best.set_data(best.value * 1e3, heights)
        for artist, values in zip(self.reach_edges, (best.low, best.high), strict=True):
            artist.set_data(values * 1e3, heights)
        self._limits(state, heights, last)

    def _dots(self, left: Any, right: Any, heights: Any) -> None:
        """Draw rows of dots over the crater's area; the area itself is their stencil."""
        box = self.axes.get_position()
        wide, high = (72 * side for side in (box.width * self.size[0], box.height * self.size[1]))
        step = _DOT * float(np.ptp(self.axes.get_xlim())) / wide
        rows = np.arange(heights[0], heights[-1], 0.866 * _DOT * (heights[-1] - heights[0]) / high)
        begin = step * (np.floor(left.min() / step) - 0.5 * (np.arange(len(rows)) % 2))
        x = np.column_stack([begin, np.full(len(rows), right.max()), np.full(len(rows), np.nan)])
        self.dots.set_data(x.ravel(), np.repeat(rows, 3))

    def _limits(self, state: Any, heights: Any, last: float) -> None:
        for artist, value in zip(self.limits, state.inside, strict=True):
            shown = value is not None and heights[0] < value * 1e3 < heights[-1]
            artist.set_visible(shown)
            if shown:
                artist.set_data([0, last], [value * 1e3] * 2)
        low, high = state.inside
        at = next((v for v in (high, low) if v is not None and heights[0] < v * 1e3 < heights[-1]), None)
        self.limit_words.set_visible(at is not None)
        if at is not None:
            upper = at is high
            self.limit_words.set_text("model not checked above" if upper else "model not checked below")
            self.limit_words.set_va("bottom" if upper else "top")
            self.limit_words.set_position((0.99 * last, at * 1e3 + (0.012 if upper else -0.012) * heights[-1]))
