"""The trigger chains side by side: bars of delays on one time axis, each ending in its light."""

from __future__ import annotations

import math
from typing import Any

from matplotlib.patches import Patch

from splashkit import units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import BLACK, BLUE, GREY, ORANGE, PAPER, SKY, VERMILION

PARTS = ("timer", "lag", "curtain")  # what bars are made of; cable and flash are too short to see
WORDS = {"timer": "timer's delay", "lag": "shutter lag", "curtain": "curtain, or exposure up to the flash"}
# told apart by outline and height too; hatching would make the figure ten times slower
LOOK: dict[str, dict[str, Any]] = {
    "timer": {"facecolor": PAPER, "edgecolor": GREY, "linewidth": 1.3},
    "lag": {"facecolor": BLUE, "edgecolor": BLUE, "linewidth": 1.3},
    "curtain": {"facecolor": VERMILION, "edgecolor": VERMILION, "linewidth": 1.3},
}
HIGH = {"timer": 0.24, "lag": 0.24, "curtain": 0.12}
ROWS = ("front", "rear", "open")
LETTER = 0.085  # inches that a letter takes, at most
_BEHIND = {"facecolor": PAPER, "edgecolor": "none", "pad": 0.5}  # the line of the wanted light ends at words


def _bar(begin: float, end: float, row: float, high: float) -> list[tuple[float, float]]:
    return [(begin, row - high / 2), (begin, row + high / 2), (end, row + high / 2), (end, row - high / 2)]


class ChainFigure(TwoLayerFigure):
    """Bars of the delays in each chain, the moment of the light with its spread, and when the shutter is open.

    State: ``moment`` (wanted, s); ``valve`` and ``touch`` (s); ``chains``: for each of front, rear and open an object
    with ``bars`` (part: (begin, end)), ``light``, ``spread``, ``open`` (begin, end; s) and ``words``. All times run
    from the valve's signal.
    """

    size = (9.4, 4.7)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.95, bottom=0.62, right=0.25, top=0.42)
        self.axes.set(ylim=(-0.62, 3.5), yticks=[3, 2, 1, 0], xlabel="Time from the valve's signal (ms)")
        self.axes.set_yticklabels(["the drop", "front\ncurtain", "rear\ncurtain", "open\nflash"])
        self.axes.tick_params(axis="y", length=0)
        self.axes.grid(False, axis="y")
        handles = [Patch(label=WORDS[part], **LOOK[part]) for part in PARTS]
        handles.append(Patch(facecolor=(SKY, 0.55), edgecolor=BLUE, linewidth=0.8, label="shutter open"))
        self.axes.legend(handles=handles, ncols=4, loc="lower left", bbox_to_anchor=(-0.01, 1.0), borderaxespad=0.1,
                         columnspacing=1.3, handlelength=1.5)  # fmt: skip
        axes = self.axes
        self.wanted = self.moving(axes.plot([], [], color=BLACK, linewidth=1.4, linestyle=(0, (4, 3)))[0])
        self.wanted_words = self.moving(axes.text(0, 3.46, "", va="top"))
        self.valve = self.moving(axes.fill([0], [0], facecolor=GREY, linewidth=0)[0])
        self.fall = self.moving(axes.plot([], [], color=GREY, linewidth=2.0, marker="|", markersize=9)[0])
        self.fall_words = self.moving(axes.text(0, 0, "", va="bottom", bbox=_BEHIND))
        self.bars = {
            (kind, part): self.moving(axes.fill([0], [0], **LOOK[part])[0])
            for kind in ROWS
            for part in PARTS
            if part == "timer" or kind != "open"
        }
        self.strips = {
            kind: self.moving(axes.fill([0], [0], facecolor=(SKY, 0.55), edgecolor=BLUE, linewidth=0.8)[0])
            for kind in ROWS
        }
        whisker: dict[str, Any] = {"color": BLACK, "linewidth": 1.6, "marker": "|", "markersize": 9}
        self.spreads = {kind: self.moving(axes.plot([], [], **whisker)[0]) for kind in ROWS}
        light: dict[str, Any] = {
            "linestyle": "none",
            "marker": "*",
            "markersize": 15,
            "color": ORANGE,
            "markeredgecolor": BLACK,
        }
        self.lights = self.moving(axes.plot([], [], **light)[0])
        self.words = {kind: self.moving(axes.text(0, 0, "", va="bottom", bbox=_BEHIND)) for kind in ROWS}

    def update(self, state: Any) -> None:
        lights = [chain.light for chain in state.chains.values() if chain.light is not None]
        begins = [begin for chain in state.chains.values() for begin, _ in chain.bars.values()]
        last = 1e3 * max([state.moment, state.touch, *lights])
        step = 10.0 ** math.floor(math.log10(last)) / 2
        high = step * math.ceil(1.04 * last / step)
        low = -step * math.ceil(-1e3 * min(begins) / step) if begins and min(begins) < -1e-9 else 0.0
        span = high - low
        low -= 0.02 * span
        self.axes.set_xlim(low, high)
        self.wanted.set_data([1e3 * state.moment] * 2, [-0.6, 3.3])
        left = 1e3 * state.moment > low + 0.7 * span
        self.wanted_words.set_text("light wanted here ")
        self.wanted_words.set_position((1e3 * state.moment + (-0.008 if left else 0.008) * span, 3.46))
        self.wanted_words.set_horizontalalignment("right" if left else "left")
        self._drop(state, low)
        for row, (kind, chain) in enumerate(state.chains.items()):
            self._chain(2 - row, kind, chain, low, high)
        rows = [2 - row for row, chain in enumerate(state.chains.values()) if chain.light is not None]
        self.lights.set_data([1e3 * light for light in lights], rows)

    def _drop(self, state: Any, low: float) -> None:
        self.valve.set_xy(_bar(0, 1e3 * state.valve, 3, 0.24))
        self.fall.set_data([1e3 * state.valve, 1e3 * state.touch], [3, 3])
        self.fall_words.set_text(
            f"valve {units.format_quantity(state.valve, 's')}, then falling; it touches the water at "
            f"{units.format_quantity(state.touch, 's')}"
        )
        self.fall_words.set_position((max(low, 0), 2.66))
        self.fall_words.set_verticalalignment("center")

    def _chain(self, row: float, kind: str, chain: Any, low: float, high: float) -> None:
        for part in PARTS:
            if (kind, part) in self.bars:
                begin, end = chain.bars.get(part, (0.0, 0.0))
                self.bars[kind, part].set_xy(_bar(1e3 * begin, 1e3 * end, row, HIGH[part]))
                self.bars[kind, part].set_visible(end > begin)
        begin, end = chain.open
        begin, end = max(1e3 * begin, low), min(1e3 * end, high)
        self.strips[kind].set_xy(_bar(begin, max(begin, end), row - 0.22, 0.13))
        shown = chain.light is not None
        self.spreads[kind].set_visible(shown)
        if shown:
            light, spread = 1e3 * chain.light, 1e3 * chain.spread
            self.spreads[kind].set_data([light - spread, light + spread], [row, row])
        self.words[kind].set_text(chain.words)
        # from the valve's signal on, or so far to the left that the last word is still in the picture
        room = 1 - LETTER * len(chain.words) / (self.axes.get_position().width * self.size[0])
        self.words[kind].set_position((max(low, min(0, low + room * (high - low))), row + 0.17))
