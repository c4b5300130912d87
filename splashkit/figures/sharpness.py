"""What is sharp: the splash from the side with the sharp band, the blur against aperture, the parts of the blur."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREEN, GREY, ORANGE, PAPER, PURPLE, SKY, VERMILION

# one look for each part of the blur, in curve and bars alike: colour, line style
PARTS: dict[str, tuple[str, Any]] = {
    "motion": (VERMILION, (0, (6, 2))),
    "defocus": (GREEN, (0, (1.5, 1.5))),
    "diffraction": (PURPLE, (0, (7, 2, 1.5, 2))),
    "pixel": (GREY, (0, (3, 3))),
    "together": (BLUE, "-"),
}
WORDS = {"motion": "motion", "defocus": "defocus", "diffraction": "diffraction", "pixel": "pixel",
         "together": "all together"}  # fmt: skip
SLOPED = ("defocus", "diffraction")
WIDTHS = np.array([30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 260.0])  # mm that the side view may show
_CIRCLE = np.linspace(0, 2 * np.pi, 49)


class SideFigure(TwoLayerFigure):
    """The splash from the side, to scale, with the focus target and the band that looks sharp.

    State, SI: ``elevation``, ``height``, ``target`` (behind, height), ``near``, ``far``, ``radius``, ``diameter``,
    ``field``, ``whole`` (the sheet must be sharp).
    """

    size = (4.6, 4.2)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.75, bottom=0.62, right=0.15, top=0.42)
        self.shape = (4.6 - 0.9, 4.2 - 1.04)
        self.axes.set_title("From the side, to scale")
        self.axes.set(xlabel="In front of or behind the middle (mm)", ylabel="Height above the water (mm)")
        self.axes.grid(False)
        self.water = self.axes.axhspan(-400, 0, color=SKY, alpha=0.35, linewidth=0)
        self.band = self.moving(self.axes.fill([0], [0], facecolor=ORANGE, alpha=0.28, linewidth=0)[0])
        self.plane = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1, linestyle=(0, (4, 3)))[0])
        self.frame = self.moving(self.axes.plot([], [], color=BLACK, linewidth=3.2, solid_capstyle="butt")[0])
        self.axis = self.moving(self.axes.plot([], [], color=GREY, linewidth=1.2, linestyle=(0, (1, 2)))[0])
        self.column = self.moving(self.axes.fill([0], [0], facecolor=SKY, edgecolor=BLUE, linewidth=1)[0])
        self.sheet = self.moving(self.axes.plot([], [], color=BLUE, linewidth=3.5)[0])
        self.drop = self.moving(self.axes.fill([0], [0], facecolor=PAPER, edgecolor=BLUE, linewidth=2)[0])
        self.cross = self.moving(self.axes.plot([], [], "X", color=VERMILION, markeredgecolor=PAPER, markersize=11)[0])
        box = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 0.8}
        self.camera_text = self.moving(self.axes.text(0, 0, "◀ camera", ha="left", va="bottom", color=BLACK, bbox=box))
        self.target_text = self.moving(self.axes.text(0, 0, "focus target", ha="left", va="top", color=VERMILION,
                                                      bbox=box))  # fmt: skip
        self.band_text = self.moving(self.axes.text(0, 0, "", ha="center", va="top", color=BLACK, bbox=box))

    def update(self, state: Any) -> None:
        mm = 1e3
        height, radius = mm * state.height, mm * state.radius
        behind, rise = mm * state.target[0], mm * state.target[1]
        ratio = self.shape[1] / self.shape[0]
        need = max(2.3 * max(radius if state.whole else 0, abs(behind), 6), (max(height, rise) + 8) / 0.78 / ratio)
        width = float(WIDTHS[min(np.searchsorted(WIDTHS, need), len(WIDTHS) - 1)])
        low = -0.12 * width * ratio
        top = low + width * ratio
        self.axes.set(xlim=(-width / 2, width / 2), ylim=(low, top))
        away = np.array([np.cos(state.elevation), -np.sin(state.elevation)])
        along = np.array([np.sin(state.elevation), np.cos(state.elevation)])
        target, long = np.array([behind, rise]), 2 * width
        near, far = min(mm * state.near, long), min(mm * state.far, long)
        corners = [(-near, -long), (-near, long), (far, long), (far, -long)]
        self.band.set_xy([target + a * away + b * along for a, b in corners])
        self.plane.set_data(*np.transpose([target - long * along, target + long * along]))
        half = mm * state.field / 2
        self.frame.set_data(*np.transpose([target - half * along, target + half * along]))
        self.axis.set_data(*np.transpose([target, target - long * away]))
        edge = (behind + 0.49 * width) / away[0]  # where the axis leaves on the camera's side
        place = target - edge * away
        self.camera_text.set_position((-0.49 * width, min(place[1] + 0.01 * width, top - 0.08 * width)))
        size = mm * state.diameter / 2
        self.drop.set_xy(np.column_stack([size * np.cos(_CIRCLE), height + size * np.sin(_CIRCLE)]))
        foot, neck = 1.6 * size, 0.45 * size
        self.column.set_xy([(-foot, 0), (-neck, 0.25 * height), (-neck, height), (neck, height), (neck, 0.25 * height),
                            (foot, 0)])  # fmt: skip
        self.sheet.set_data([-radius, radius], [height, height])
        self.sheet.set_visible(state.whole)
        self.cross.set_data([behind], [rise])
        self.target_text.set_position((behind + 0.03 * width, rise - 0.03 * width))
        total = state.near + state.far
        deep = f"sharp: {units.format_quantity(total, 'm', 2)} deep" if np.isfinite(total) else "sharp to the horizon"
        self.band_text.set_text(deep)
        at = behind + np.tan(state.elevation) * (top - rise)
        right = at < 0.12 * width  # the words stand in the corner that the leaning plane leaves free
        self.band_text.set_position(((0.49 if right else -0.49) * width, top - 0.01 * width))
        self.band_text.set_horizontalalignment("right" if right else "left")


class ApertureFigure(TwoLayerFigure):
    """Blur on the subject against the aperture set, part by part.

    State: ``f_numbers``, ``curves`` (part: metres on the subject), ``f_number``, ``blurs``, ``best`` (or None).
    """

    size = (4.6, 4.2)

    def build(self) -> None:
        self.axes = self.add_axes(left=1.0, bottom=0.62, right=0.2, top=0.42)
        self.axes.set(xscale="log", yscale="log", xlim=(1, 64), ylim=(1e-3, 40))
        self.axes.set_title("Blur against aperture")
        self.axes.set(xlabel="Aperture set on the lens", ylabel="Blur on the drop")
        marks = (1.4, 2.8, 5.6, 11, 22, 45)
        self.axes.set_xticks(marks, [units.format_aperture(mark) for mark in marks])
        self.axes.set_yticks([1e-3, 1e-2, 0.1, 1, 10], ["1 µm", "10 µm", "0.1 mm", "1 mm", "10 mm"])
        self.axes.minorticks_off()
        self.best = self.moving(self.axes.axvline(1, color=BLACK, linewidth=1.2, linestyle=(0, (1, 2))))
        self.lines, self.texts = {}, {}
        for part, (colour, style) in PARTS.items():
            wide = 3.2 if part == "together" else 2.0
            self.lines[part] = self.moving(self.axes.plot([], [], color=colour, linestyle=style, linewidth=wide)[0])
            self.texts[part] = self.moving(
                self.axes.text(0, 0, WORDS[part], color=colour, va="top" if part in SLOPED else "bottom")
            )
        self.ring = self.moving(
            self.axes.plot([], [], "o", markersize=10, markerfacecolor=PAPER, markeredgecolor=BLACK, markeredgewidth=2)[
                0
            ]
        )
        self.best_text = self.moving(self.axes.text(0, 30, "", ha="left", va="top"))

    def update(self, state: Any) -> None:
        low, high = np.log10(self.axes.get_ylim())
        for part, curve in state.curves.items():
            self.lines[part].set_data(state.f_numbers, np.maximum(1e3 * curve, 1e-7))
        # labels at the left: below the two lines that slope, above the others, and these pushed apart where they meet
        level = {part: np.log10(np.maximum(1e3 * curve, 1e-9)) for part, curve in state.curves.items()}
        seen = int(np.searchsorted(level["diffraction"], low + 0.4))  # where it has risen far enough for its name
        for part, at, x in (
            ("defocus", int(np.searchsorted(state.f_numbers, 2.4)), 0),
            ("diffraction", seen if seen < 0.6 * len(state.f_numbers) else 0, seen),
        ):
            place = float(level[part][at]) - 0.06
            self.texts[part].set_position((1.07 * state.f_numbers[min(x, len(state.f_numbers) - 1)], 10**place))
            self.texts[part].set_visible(place > low + 0.25)
        last = high
        for part in sorted(("together", "motion", "pixel"), key=lambda one: (-level[one][0], one != "together")):
            place = min(float(level[part][0]) + 0.03, last - 0.27)
            self.texts[part].set_position((1.07, 10**place))
            self.texts[part].set_visible(level[part][0] > low)
            last = place
        self.ring.set_data([state.f_number], [1e3 * state.blurs["together"].subject])
        shown = state.best is not None and 1 <= state.best <= 64
        self.best.set_visible(shown)
        self.best_text.set_visible(shown)
        if shown:
            self.best.set_xdata([state.best] * 2)
            self.best_text.set_text(f"best: f/{units.format_number(state.best, 2)}")
            self.best_text.set_position((state.best * 0.96, 30))
            self.best_text.set_horizontalalignment("right" if state.best > 5 else "left")


class BlurBars(TwoLayerFigure):
    """The parts of the blur as bars, each in mm, in pixels and as a share of the drop.

    State: ``blurs`` (part: lens.Blur).
    """

    size = (5.9, 3.4)

    def build(self) -> None:
        self.axes = self.add_axes(left=1.15, bottom=0.15, right=0.15, top=0.42)
        self.axes.set_title("Blur, part by part")
        self.axes.set(xlim=(0, 3.0), ylim=(-0.6, 4.6))
        self.axes.grid(False)
        self.axes.spines["bottom"].set_visible(False)
        self.axes.set_xticks([])
        self.axes.set_yticks(range(5), [WORDS[part] for part in reversed(PARTS)])
        self.axes.tick_params(axis="y", length=0)
        self.bars, self.texts = {}, {}
        for row, (part, (colour, _)) in enumerate(reversed(PARTS.items())):
            bar = self.axes.fill([0], [0], facecolor=colour, linewidth=0)[0]
            self.bars[part] = (row, self.moving(bar))
            self.texts[part] = self.moving(self.axes.text(0, row, "", va="center"))

    def update(self, state: Any) -> None:
        whole = state.blurs["together"].subject
        for part, (row, bar) in self.bars.items():
            blur = state.blurs[part]
            length = float(blur.subject / whole)
            bar.set_xy([(0, row - 0.33), (length, row - 0.33), (length, row + 0.33), (0, row + 0.33)])
            text = self.texts[part]
            text.set_position((length + 0.03, row))
            count = units.format_number(blur.pixels, 2)
            pixels = f"{count} pixel{'' if count == '1' else 's'}"
            share = f"{units.format_number(100 * blur.share, 2)} % of the drop"
            text.set_text(f"{units.format_quantity(blur.subject, 'm', 2)} · {pixels} · {share}")
