"""Liquids by thickness and pull, what they do to the splash, and how steep a glycerol mix is."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREEN, GREY, PAPER, TEXT, VERMILION, line
from splashkit.look import INK

_TOP = 100.0  # mPa s, the upper end of the map; thicker liquids are shown at the edge with their number
_BREAK = float("nan")

# liquid on the map: marker, colour, and where its word stands beside it (points, and alignment)
_PLACES: dict[str, tuple[str, str, tuple[float, float], str]] = {
    "water": ("o", BLUE, (8, -21), "center"),
    "milk": ("s", GREY, (-6, 8), "center"),
    "skimmed milk": ("s", GREY, (9, -2), "left"),
    "soap": ("D", GREEN, (8, -20), "center"),
}
_GLYCEROL = ((0.4, "40 %", (-8, 3)), (0.6, "60 % glycerol", (-8, -4)), (0.7, "70 %", (-8, -4)))
_ETHANOL = ((0.2, "20 %", (-8, -14)), (0.4, "40 % ethanol", (-4, 9)), (1.0, "100 %", (4, -15)))
_WORDS = {"water": "water, dyed water", "milk": "whole milk", "skimmed milk": "skimmed", "soap": "soapy water"}


class PropertyMap(TwoLayerFigure):
    """Every liquid of the course by surface tension and viscosity at 20 °C; a ring marks the one in the bowl.

    The map stands still, so that the ring shows what temperature does. State: ``liquid``; ``points`` (name:
    tension, viscosity, SI), ``glycerol`` and ``ethanol`` (shares, tensions, viscosities), all at 20 °C.
    """

    size = (4.15, 3.9)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.75, bottom=0.62, right=0.15, top=0.42)
        self.axes.set(xlim=(14, 95), ylim=(0.45, _TOP), yscale="log")
        self.axes.set(xlabel="Surface tension (mN/m)", ylabel="Viscosity (mPa s)")
        self.axes.set_title("Liquids at 20 °C; the ring is yours")
        self.axes.set_yticks([0.5, 1, 2, 5, 10, 20, 50, 100], ["0.5", "1", "2", "5", "10", "20", "50", "100"])
        self.axes.minorticks_off()
        self.axes.axhspan(10, _TOP, color=GREY, alpha=0.09, linewidth=0)
        self.axes.text(15.5, 48, "grey: thicker than\nthe splash model\nwas tried on", color=GREY, va="top")
        self.bars = [self.moving(self.axes.plot([], [], color=BLACK, linewidth=1.6)[0]) for _ in range(2)]
        self.ring = self.moving(
            self.axes.plot(
                [], [], "o", markersize=15, markerfacecolor="none", markeredgecolor=BLACK, markeredgewidth=2
            )[0]
        )
        self.edge = self.moving(self.axes.text(0, 0.7 * _TOP, "", va="center", ha="right"))

    def update(self, state: Any) -> None:
        if self.still_extra is None:
            self._map(state)
            self.still_extra = "drawn"
        tension, viscosity = state.liquid.surface_tension, state.liquid.viscosity
        x, y = 1e3 * float(tension.value), 1e3 * float(viscosity.value)
        beyond = y > 0.88 * _TOP
        shown = 0.88 * _TOP if beyond else y
        self.ring.set_data([x], [shown])
        self.ring.set_marker("^" if beyond else "o")
        self.edge.set_visible(beyond)
        self.edge.set_text(f"thicker still: {units.format_quantity(float(viscosity.value), 'Pa s')}")
        self.edge.set_x(x - 4)
        self.bars[0].set_data([1e3 * float(tension.low), 1e3 * float(tension.high)], [shown, shown])
        high = min(1e3 * float(viscosity.high), 0.95 * _TOP) if state.liquid.newtonian else y
        self.bars[1].set_data([x, x], [min(1e3 * float(viscosity.low), shown), high])

    def _map(self, state: Any) -> None:
        for name, (marker, colour, shift, align) in _PLACES.items():
            x, y = (1e3 * value for value in state.points[name])
            face = PAPER if name == "skimmed milk" else colour
            self.axes.plot([x], [y], marker, color=colour, markerfacecolor=face, markersize=7)
            self._say(x, y, _WORDS[name], shift, color=colour, ha=align)
        (water, thin), (soap, thin_soap) = ([1e3 * value for value in state.points[n]] for n in ("water", "soap"))
        self.axes.plot([soap, water], [thin_soap, thin], color=GREEN, linewidth=1.2, linestyle=(0, (1, 2)))
        dots: dict[str, Any] = {"linestyle": (0, (1.5, 1.5)), "linewidth": 1.6, "marker": "^", "markevery": [1]}
        self.axes.plot([water + 1, water + 1], [thin, 7.5], color=BLACK, **dots)
        self._say(water + 1, 7.5, "a pinch of\nxanthan: ?", (8, -14))
        for index, align, (shares, tensions, thick), marks in (
            (1, "right", state.glycerol, _GLYCEROL), (3, "center", state.ethanol, _ETHANOL),
        ):  # fmt: skip
            places = [int(np.argmin(np.abs(shares - share))) for share, _, _ in marks]
            style = line(index, marker="|", markersize=8, markevery=places)
            self.axes.plot(1e3 * tensions, 1e3 * thick, **style)
            for place, (_, words, shift) in zip(places, marks, strict=True):
                x, y = 1e3 * tensions[place], 1e3 * thick[place]
                self._say(x, y, words, shift, color=INK[style["color"]], ha=align)

    def _say(self, x: float, y: float, words: str, shift: tuple[float, float], **look: Any) -> None:
        look["color"] = INK.get(look.get("color", BLACK), look.get("color", BLACK))  # words are darker than marks
        self.axes.annotate(words, (x, y), shift, textcoords="offset points", fontsize=TEXT, **look)


class SplashCompare(TwoLayerFigure):
    """What the liquid does to the first drop's splash and to the gap, beside water, each with its band.

    State: ``times`` and ``sizes``: rows of (words, liquid's Estimate or None, water's Estimate), SI.
    """

    size = (4.3, 3.9)

    def build(self) -> None:
        width, height = self.size
        left, right = 1.42, 0.68
        across = (width - left - right) / width
        self.rows = []
        boxes = ((1.92, 1.6), (0.55, 0.9))
        for (bottom, tall), count, label in zip(boxes, (4, 3), ("Time (ms)", "Size (mm)"), strict=True):
            axes = self.figure.add_axes((left / width, bottom / height, across, tall / height))
            axes.set(ylim=(count - 0.45, -0.55), xlabel=label)
            axes.xaxis.labelpad = 1
            axes.grid(False, axis="y")
            axes.tick_params(axis="y", length=0)
            parts = [axes.plot([], [], **style)[0] for style in _STYLES]
            self.moving(*parts[2:])
            words = [self.moving(axes.text(1.02, row, "", transform=axes.get_yaxis_transform(), va="center"))
                     for row in range(count)]  # fmt: skip
            self.rows.append((axes, parts, words))
        self.rows[0][0].set_title("This liquid (blue) beside water (grey)", x=-0.6)
        self.rows[0][0].set_xlim(0, 150)
        self.rows[1][0].set_xlim(0, 40)

    def update(self, state: Any) -> None:
        for (axes, parts, words), rows in zip(self.rows, (state.times, state.sizes), strict=True):
            if self.still_extra is None:  # water stays where it is
                axes.set_yticks(range(len(rows)), [row[0] for row in rows])
                _draw(parts[:2], [(row[2], index - 0.16) for index, row in enumerate(rows)])
            known = [(row[1], index + 0.16) for index, row in enumerate(rows) if row[1] is not None]
            _draw(parts[2:], known)
            far = max(float(one.high) for row in rows for one in row[1:] if one is not None)
            axes.set_xlim(0, next((step for step in _REACH if step >= 1e3 * far), _REACH[-1]))
            for text, (_, liquid, water) in zip(words, rows, strict=True):
                text.set_text("?" if liquid is None else _change(1e3 * float(liquid.value - water.value)))
        self.still_extra = "named"


def _draw(parts: Any, rows: Any) -> None:
    """Put the bands (one line, broken between the rows) and the dots of one liquid in place."""
    band, dot = parts
    ends = [(1e3 * float(end), y) for one, y in rows for end in (one.low, one.high, _BREAK)]
    band.set_data([x for x, _ in ends], [y for _, y in ends])
    dot.set_data([1e3 * float(one.value) for one, _ in rows], [y for _, y in rows])


_REACH = (20.0, 40.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0, 400.0, 600.0, 1000.0)
_STYLES: tuple[dict[str, Any], ...] = (
    {"color": GREY, "linewidth": 1.4},
    {"color": GREY, "linestyle": "", "marker": "o", "markersize": 7, "markerfacecolor": PAPER, "markeredgewidth": 1.6},
    {"color": BLUE, "linewidth": 2.6},
    {"color": BLUE, "linestyle": "", "marker": "o", "markersize": 8},
)


def _change(value: float) -> str:
    text = units.format_number(abs(round(value, 1)))
    return "same" if text == "0" else f"{'+' if value > 0 else '−'}{text}"


class MixCurve(TwoLayerFigure):
    """Viscosity of glycerol and water against the share by mass, at this temperature and 5 °C warmer.

    State: ``shares``, ``here``, ``warmer`` (viscosities), ``mix`` (a Mix), ``temperature``.
    """

    size = (4.6, 3.5)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.75, bottom=0.62, right=0.2, top=0.42)
        self.axes.set(xlim=(0, 90), ylim=(0.5, 200), yscale="log")
        self.axes.set(xlabel="Glycerol in the mix (% by mass)", ylabel="Viscosity (mPa s)")
        self.axes.set_title("How steep the mix is")
        self.axes.set_yticks(
            [0.5, 1, 2, 5, 10, 20, 50, 100, 200], ["0.5", "1", "2", "5", "10", "20", "50", "100", "200"]
        )
        self.axes.minorticks_off()
        self.here = self.moving(self.axes.plot([], [], **line(0))[0])
        self.warmer = self.moving(self.axes.plot([], [], **line(1))[0])
        self.axes.text(3, 120, "solid: at your temperature", color=BLUE)
        self.axes.text(3, 72, "dashed: 5 °C warmer", color=VERMILION)
        self.guide = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1, linestyle=(0, (1, 2)))[0])
        self.ring = self.moving(
            self.axes.plot([], [], "o", markersize=12, markerfacecolor="none", markeredgecolor=BLACK,
                           markeredgewidth=2)[0]
        )  # fmt: skip

    def update(self, state: Any) -> None:
        self.here.set_data(100 * state.shares, 1e3 * state.here)
        self.warmer.set_data(100 * state.shares, 1e3 * state.warmer)
        x, y = 100 * state.mix.mass_fraction, 1e3 * float(state.mix.viscosity.value)
        self.ring.set_data([x], [y])
        self.guide.set_data([0, x, x], [y, y, 0.5])
