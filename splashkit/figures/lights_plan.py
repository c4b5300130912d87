"""Placing lights: the plan from above, the drop's face, the dark edge against size; and the map of settings."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from splashkit import lights, units
from splashkit.figures.base import TwoLayerFigure
from splashkit.figures.style import AMBER, BLACK, BLUE, GREEN, GREY, ORANGE, PAPER, PURPLE, SKY, VERMILION

_TURN = np.linspace(0, 2 * np.pi, 181)
_VIEWS = np.array([0.3, 0.45, 0.6, 0.9, 1.2, 1.8, 2.6])  # m from the drop that the plan may show
FRONT_TURN = math.radians(50)  # the front light stands this far beside the camera: a choice of this course
_BOX = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 0.8}


class PlanFigure(TwoLayerFigure):
    """From above, to scale: back light, drop, camera, front light.

    State, SI: ``width``, ``distance``, ``half_across``, ``front_distance``, ``front_size``, ``back_words``,
    ``front_words``, ``depth``.
    """

    size = (5.6, 4.2)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.8, bottom=0.6, right=0.12, top=0.42)
        self.shape = (5.6 - 0.92, 4.2 - 1.02)
        self.axes.set_title("From above, to scale")
        self.axes.set(xlabel="To the side (cm)", ylabel="Behind the drop (cm)")
        self.axes.grid(False)
        self.cone = self.moving(self.axes.fill([0], [0], facecolor=ORANGE, alpha=0.25, linewidth=0)[0])
        self.edges = self.moving(self.axes.plot([], [], color=BLACK, linewidth=1, linestyle=(0, (4, 3)))[0])
        self.back = self.moving(self.axes.plot([], [], color=AMBER, linewidth=7, solid_capstyle="butt")[0])
        self.front_ray = self.moving(self.axes.plot([], [], color=BLUE, linewidth=1, linestyle=(0, (1, 2)))[0])
        self.front = self.moving(self.axes.plot([], [], color=BLUE, linewidth=7, solid_capstyle="butt")[0])
        self.camera = self.moving(self.axes.fill([0], [0], facecolor=GREY, edgecolor=BLACK, linewidth=1)[0])
        self.axes.plot([0], [0], "o", color=BLACK, markersize=6)
        self.back_text = self.moving(self.axes.text(0, 0, "", ha="center", va="bottom", bbox=_BOX))
        self.front_text = self.moving(self.axes.text(0, 0, "", ha="right", va="center", bbox=_BOX))
        self.angle_text = self.moving(self.axes.text(0, 0, "", ha="center", va="center", bbox=_BOX))
        self.camera_text = self.moving(self.axes.text(0, 0, "camera", ha="left", va="center", bbox=_BOX))

    def update(self, state: Any) -> None:
        away, turn = state.front_distance, FRONT_TURN
        x, y = -away * math.sin(turn), -away * math.cos(turn)
        along = state.front_size / 2 * np.array([math.cos(turn), -math.sin(turn)])
        wide, high = self.shape
        # half the height of the view, in metres: the nearest of a few that holds both lights
        sideways = max(0.55 * state.width, 1.1 * abs(x) + abs(along[0]) + 0.1)
        reach = max(1.2 * state.distance, 1.15 * abs(y) + abs(along[1]), sideways * high / wide)
        view = float(_VIEWS[min(np.searchsorted(_VIEWS, reach - 1e-9), len(_VIEWS) - 1)])
        span = 200 * view
        self.axes.set_xlim(-span / 2 * wide / high, span / 2 * wide / high)
        self.axes.set_ylim(-span / 2, span / 2)
        half, far = 50 * state.width, 100 * state.distance
        self.cone.set_xy([(0, 0), (-half, far), (half, far)])
        self.edges.set_data([-half, 0, half], [far, 0, far])
        self.back.set_data([-half, half], [far, far])
        self.front.set_data([100 * (x - along[0]), 100 * (x + along[0])], [100 * (y - along[1]), 100 * (y + along[1])])
        self.front_ray.set_data([100 * x, 0], [100 * y, 0])
        step = span / 100
        body = np.array([(-3, -36), (3, -36), (3, -30), (1.5, -30), (1.5, -22), (-1.5, -22), (-1.5, -30), (-3, -30)])
        self.camera.set_xy(body * step)
        self.camera_text.set_position((4.5 * step, -33 * step))
        self.back_text.set_position((0, far + 1.8 * step))
        self.back_text.set_text(state.back_words)
        self.front_text.set_position((100 * (x - abs(along[0])) - 2 * step, 100 * y + 2 * step))
        self.front_text.set_text(state.front_words)
        self.angle_text.set_position((0, 0.45 * far))
        self.angle_text.set_text(f"2 × {units.format_quantity(state.half_across, 'rad', 2)}")


class FaceFigure(TwoLayerFigure):
    """The drop as the camera sees it: the bright part is the light itself, bent into the drop, upside down.

    State: ``width``, ``height``, ``distance`` [m], ``zones`` (a lights.RimZones), ``diameter`` [m].
    """

    size = (3.8, 4.2)

    def build(self) -> None:
        self.axes = self.figure.add_axes((0.03, 0.06, 0.94, 0.94 * 3.8 / 4.2))
        self.figure.text(0.04, 0.935, "The drop, from the camera", fontsize=12, color=BLACK)
        self.axes.set(xlim=(-1.25, 1.25), ylim=(-1.25, 1.25))
        self.axes.axis("off")
        self.axes.fill(np.cos(_TURN), np.sin(_TURN), facecolor="#3B4652", edgecolor=BLACK, linewidth=1.5)
        self.bright = self.moving(self.axes.fill([0], [0], facecolor="#FFF3D6", edgecolor=AMBER, linewidth=2)[0])
        self.sides = self.moving(
            self.axes.plot([], [], color=VERMILION, linewidth=3, marker="|", markersize=10, markeredgewidth=2)[0]
        )
        self.ups = self.moving(
            self.axes.plot([], [], color=BLUE, linewidth=3, marker="_", markersize=10, markeredgewidth=2)[0]
        )
        self.words = self.moving(self.axes.text(0, -1.1, "", ha="center", va="top"))
        self.inside = self.moving(self.axes.text(0, 0, "bright", ha="center", va="center"))

    def update(self, state: Any) -> None:
        # toward each direction the light ends at the nearer of its two edges, as a ray from the drop meets it
        across = np.arctan2(state.width / 2, state.distance * np.maximum(np.abs(np.cos(_TURN)), 1e-9))
        upward = np.arctan2(state.height / 2, state.distance * np.maximum(np.abs(np.sin(_TURN)), 1e-9))
        radius = lights.bright_radius(np.minimum(across, upward))
        self.bright.set_xy(np.column_stack([radius * np.cos(_TURN), radius * np.sin(_TURN)]))
        zones = state.zones
        self.sides.set_data([float(zones.bright_across), 1.0], [0, 0])
        self.ups.set_data([0, 0], [float(zones.bright_upright), 1.0])
        side, up = (
            f"{units.format_number(1e3 * float(width), 2)} mm"
            for width in (zones.dark_width_across, zones.dark_width_upright)
        )
        self.words.set_text(f"dark edge: sides {side}, top {up}")
        self.inside.set_text("bright" if min(zones.bright_across, zones.bright_upright) > 0.28 else "")


class RimFigure(TwoLayerFigure):
    """The dark edge against the light's size over its distance.

    State: ``width``, ``height``, ``distance`` [m], ``zones``.
    """

    size = (3.8, 4.2)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.66, bottom=0.6, right=0.2, top=0.42)
        self.axes.set_title("Why a small light draws a thick edge")
        self.axes.set(xlabel="Size of the light over its distance", ylabel="Dark edge (% of the drop's radius)")
        self.axes.set(xscale="log", xlim=(0.05, 12), ylim=(0, 100))
        self.axes.set_xticks([0.1, 0.3, 1, 3, 10], ["0.1", "0.3", "1", "3", "10"])
        self.axes.minorticks_off()
        ratio = np.geomspace(0.05, 12, 200)
        self.axes.plot(ratio, 100 * (1 - lights.bright_radius(np.arctan(ratio / 2))), color=BLACK)
        look = {"markersize": 12, "mfc": PAPER, "markeredgewidth": 2.5, "linestyle": "none"}
        self.side = self.moving(self.axes.plot([], [], marker="o", mec=VERMILION, **look)[0])
        self.up = self.moving(self.axes.plot([], [], marker="D", mec=BLUE, **{**look, "markersize": 8})[0])
        self.axes.plot([], [], marker="o", mec=VERMILION, label="left and right", **look)
        self.axes.plot([], [], marker="D", mec=BLUE, label="top and bottom", **{**look, "markersize": 8})
        self.axes.legend(loc="upper right", handletextpad=0.4)

    def update(self, state: Any) -> None:
        low, high = 0.05, 12
        across, upright = (min(max(side / state.distance, low), high) for side in (state.width, state.height))
        self.side.set_data([across], [100 * float(state.zones.dark_across)])
        self.up.set_data([upright], [100 * float(state.zones.dark_upright)])


# what stops a setting, in the order in which the panel names it: marker, colour, words
LIMITS: dict[str, tuple[str, str, str]] = {
    "fits": ("o", GREEN, "fits"),
    "motion": ("x", VERMILION, "motion blurs"),
    "depth": ("^", PURPLE, "too little depth"),
    "diffraction": ("D", BLUE, "soft: diffraction"),
    "dark": ("v", BLACK, "too dark"),
    "bright": ("s", ORANGE, "too bright"),
}


class SettingsMap(TwoLayerFigure):
    """Every power and aperture at the chosen ISO: which fit, and what stops the others.

    State: ``powers``, ``apertures``, ``worst`` (a word of ``LIMITS`` for each power and aperture), ``chosen``, ``iso``.
    """

    size = (5.5, 4.1)

    def build(self) -> None:
        self.axes = self.add_axes(left=0.9, bottom=1.15, right=0.15, top=0.42)
        self.axes.set(xlabel="Aperture", ylabel="Flash power")
        self.axes.grid(False)
        self.marks = {}
        for name, (marker, colour, words) in LIMITS.items():
            look = {"linestyle": "none", "marker": marker, "color": colour, "markersize": 6, "markeredgewidth": 1.6}
            if name != "fits":
                look["mfc"] = PAPER
            self.marks[name] = self.moving(self.axes.plot([], [], **look)[0])
            self.axes.plot([], [], label=words, **look)
        self.ring = self.moving(
            self.axes.plot([], [], "o", mfc="none", mec=BLACK, markersize=15, markeredgewidth=2, linestyle="none")[0]
        )
        self.axes.legend(loc="upper center", bbox_to_anchor=(0.45, -0.2), ncols=3, handletextpad=0.2, columnspacing=1)

    def update(self, state: Any) -> None:
        shown = [mark for mark in state.apertures if mark in (2.8, 4, 5.6, 8, 11, 16, 22, 32)]
        self.axes.set_xlim(math.log2(state.apertures[0]) - 0.2, math.log2(state.apertures[-1]) + 0.2)
        self.axes.set_xticks([math.log2(mark) for mark in shown], [units.format_aperture(mark) for mark in shown])
        self.axes.set_ylim(math.log2(state.powers[-1]) - 0.6, math.log2(state.powers[0]) + 0.6)
        self.axes.set_yticks(
            [math.log2(power) for power in state.powers], [units.format_power(p) for p in state.powers]
        )
        self.axes.set_title(f"At ISO {state.iso:.0f}: what stops each setting", loc="left")
        for name, artist in self.marks.items():
            row, column = np.nonzero(state.worst == name)
            artist.set_data(np.log2(np.array(state.apertures)[column]), np.log2(np.array(state.powers)[row]))
        self.ring.set_data([math.log2(state.chosen.f_number)], [math.log2(state.chosen.power)])


class MarginFigure(TwoLayerFigure):
    """How far each wish could still be tightened alone, in stops; missing stops to the left.

    State: ``margins`` (pairs of limit and stops, all of LIMITS but the first).
    """

    size = (3.9, 4.1)
    names = tuple(name for name in LIMITS if name != "fits")
    words = ("motion blur", "depth", "diffraction", "light", "room to move\nthe flash away")

    def build(self) -> None:
        self.axes = self.add_axes(left=1.25, bottom=0.6, right=0.25, top=0.42)
        self.axes.set_title("Stops to spare, each wish alone")
        self.axes.set(xlabel="Stops (missing to the left of 0)", ylim=(-0.6, 4.6), xlim=(-4, 6))
        self.axes.set_yticks(range(5), self.words[::-1])
        self.axes.grid(axis="y", visible=False)
        self.axes.axvline(0, color=BLACK, linewidth=1.2)
        self.bars = [
            self.moving(self.axes.fill([0], [0], facecolor=SKY, edgecolor=BLUE, linewidth=1.2)[0]) for _ in range(5)
        ]
        self.tells = [self.moving(self.axes.text(0, 4 - place, "", va="center")) for place in range(5)]

    def update(self, state: Any) -> None:
        known = dict(state.margins)
        finite = [abs(stops) for stops in known.values() if math.isfinite(stops)]
        reach = float(np.ceil((max(finite, default=0) + 0.5) / 4) * 4)
        reach = min(max(reach, 4.0), 64.0)
        least = min([0.0, *(stops for stops in known.values() if math.isfinite(stops))])
        self.axes.set_xlim(-reach if least < 0 else -0.15 * reach, 1.25 * reach)
        for place, name in enumerate(self.names):
            stops, y = known.get(name, math.nan), 4 - place
            bar, words = self.bars[place], self.tells[place]
            if not math.isfinite(stops):
                bar.set_xy([(0, y), (0, y)])
                words.set_text("no limit" if stops > 0 else "not enough alone")
                words.set_position((0.03 * reach, y))
                continue
            bar.set_xy([(0, y - 0.3), (stops, y - 0.3), (stops, y + 0.3), (0, y + 0.3)])
            bar.set_facecolor(SKY if stops >= 0 else PAPER)
            bar.set_hatch("" if stops >= 0 else "////")
            words.set_text(f"{units.format_number(stops, 2)}".replace("-", "−"))
            words.set_position((max(stops, 0) + 0.03 * reach, y))
