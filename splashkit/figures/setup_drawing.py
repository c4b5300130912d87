"""The setup from the side, to scale, in black on white: nozzle, bowl, focus target, lights and camera."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from matplotlib.axes import Axes
from matplotlib.patches import Circle, Polygon, Rectangle

from splashkit.runsheet import Sketch
from splashkit.units import format_measure, format_quantity

TEXT = 10  # points, on paper
INK, SHADE, PALE = "#000000", "#9A9A9A", "#DDDDDD"
# where something is not measured yet it is drawn in dashes at a place of its own choosing, with an empty label
GUESS = {"nozzle": 0.25, "radius": 0.10, "depth": 0.05, "target": 0.02, "camera": 0.40, "light": 0.35, "size": 0.25}
FRONT_ANGLE = math.radians(50)  # how high the front light stands, from the drop: common practice, no source
DASHES = (0, (3, 2))
_PLATE = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}


class Places(NamedTuple):
    """Where things stand, in metres; x is away from the camera, y is up from the water."""

    nozzle: float
    radius: float
    table: float
    target: float
    camera: tuple[float, float]
    back: tuple[float, float, float]  # x, lowest, highest
    front: tuple[float, float] | None


def places(sketch: Sketch) -> Places:
    """Work out the places of a sketch; a missing number takes the drawing's own, drawn in dashes."""

    def known(value: float | None, name: str) -> float:
        return GUESS[name] if value is None else value

    table = -known(sketch.bowl_depth, "depth") - 0.006
    target, away = known(sketch.target_height, "target"), known(sketch.camera_distance, "camera")
    camera = (-away * math.cos(sketch.elevation), target + away * math.sin(sketch.elevation))
    back = sketch.lights[0]
    x, size = known(back.distance, "light"), known(back.size, "size")
    middle = max(target - x * math.tan(sketch.elevation), table + size / 2)
    front = None
    if len(sketch.lights) > 1:
        far = known(sketch.lights[1].distance, "light")
        front = (-far * math.cos(FRONT_ANGLE), target + far * math.sin(FRONT_ANGLE))
    return Places(known(sketch.nozzle_height, "nozzle"), known(sketch.bowl_radius, "radius"), table, target, camera,
                  (x, middle - size / 2, middle + size / 2), front)  # fmt: skip


def draw(axes: Axes, sketch: Sketch, system: str, width: float, height: float) -> float:
    """Draw into axes of this size in points; gives the scale, points of paper for a metre."""
    at = places(sketch)
    left = min(at.camera[0] - 0.07, -at.radius - 0.02, (at.front or (0, 0))[0] - 0.07)
    right = max(at.back[0] + 0.10, at.radius + 0.02)
    low, high = at.table, max(at.nozzle + 0.07, at.back[2], at.camera[1] + 0.06, (at.front or (0, 0))[1] + 0.06)
    below, above = 34.0, 4.0  # points, for the dimensions under the table
    scale = min(width / (right - left), (height - below - above) / (high - low))
    middle = (left + right) / 2
    axes.set_xlim(middle - width / scale / 2, middle + width / scale / 2)
    spare = height - below - above - (high - low) * scale
    foot = low - (below + spare / 2) / scale
    axes.set_ylim(foot, foot + height / scale)
    axes.axis("off")
    pen = _Pen(axes, sketch, system, at, scale)
    pen.bowl()
    pen.nozzle()
    pen.camera()
    pen.back()
    if at.front is not None:
        pen.front()
    pen.dimensions()
    pen.scale_bar(axes.get_xlim()[0], axes.get_ylim()[0])
    return scale


class _Pen:
    def __init__(self, axes: Axes, sketch: Sketch, system: str, at: Places, scale: float) -> None:
        self.axes, self.k, self.system, self.at, self.scale = axes, sketch, system, at, scale

    def pt(self, points: float) -> float:
        return points / self.scale

    def measure(self, value: float | None, digits: int = 2) -> str:
        return "[____]" if value is None else format_measure(value, "m", self.system, digits)

    def style(self, known: Any) -> Any:
        return "-" if known is not None else DASHES

    def text(self, x: float, y: float, words: str, ha: str = "center", va: str = "center", **more: Any) -> None:
        self.axes.text(x, y, words, ha=ha, va=va, fontsize=TEXT, color=INK, bbox=_PLATE, **more)

    def line(self, xs: Any, ys: Any, width: float = 0.9, style: Any = "-", colour: str = INK) -> None:
        self.axes.plot(xs, ys, color=colour, linewidth=width, linestyle=style, solid_capstyle="butt", zorder=2)

    def arrow(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        look = {"arrowstyle": "<|-|>", "linewidth": 0.7, "color": INK, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 7}
        self.axes.annotate("", xy=end, xytext=start, arrowprops=look)

    def bowl(self) -> None:
        at, known = self.at, self.k.bowl_radius is not None and self.k.bowl_depth is not None
        bottom, rim = at.table + 0.006, 0.008
        water = [(-at.radius, 0), (-at.radius, bottom), (at.radius, bottom), (at.radius, 0)]
        self.axes.add_patch(Polygon(water, facecolor=PALE, edgecolor="none"))
        xs, ys = [-at.radius, -at.radius, at.radius, at.radius], [rim, bottom, bottom, rim]
        self.line(xs, ys, 1.6, self.style(known or None))
        self.line([-at.radius, at.radius], [0, 0], 0.9)
        lowest, highest = self.axes.get_xlim()
        self.line([lowest, highest], [at.table, at.table], 0.9)

    def nozzle(self) -> None:
        at, half = self.at, max(0.003, self.pt(2.5))
        style = self.style(self.k.nozzle_height)
        tube = [(-half, at.nozzle), (-half, at.nozzle + 0.03), (half, at.nozzle + 0.03), (half, at.nozzle)]
        self.axes.add_patch(Polygon(tube, facecolor="white", edgecolor=INK, linewidth=0.9, linestyle=style))
        box = Rectangle((-4 * half, at.nozzle + 0.03), 8 * half, 0.035, facecolor=SHADE, edgecolor=INK, linewidth=0.9)
        self.axes.add_patch(box)
        self.line([0, 0], [at.nozzle, 0], 0.7, (0, (1, 2)))
        self.axes.add_patch(Circle((0, at.nozzle * 0.62), max(0.002, self.pt(2)), facecolor=INK, edgecolor="none"))

    def camera(self) -> None:
        at, e = self.at, self.k.elevation
        x, y = at.camera
        away = math.hypot(x, y - at.target)
        lens = min(0.5 * away, 0.13)
        style = self.style(self.k.camera_distance)

        def turned(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
            c, s = math.cos(e), math.sin(e)
            return [(x + u * c + v * s, y - u * s + v * c) for u, v in points]

        body = turned([(-0.03, -0.045), (0.025, -0.045), (0.025, 0.045), (-0.03, 0.045)])
        glass = turned([(0.025, -0.03), (lens, -0.033), (lens, 0.033), (0.025, 0.03)])
        for corners, fill in ((body, SHADE), (glass, "white")):
            self.axes.add_patch(
                Polygon(corners, facecolor=fill, edgecolor=INK, linewidth=0.9, linestyle=style, zorder=3)
            )
        sensor = turned([(0, -0.045), (0, 0.045)])
        self.axes.plot(*zip(*sensor, strict=True), color=INK, linewidth=1.6, zorder=4)
        front = turned([(lens, 0)])[0]
        self.line([front[0], 0], [front[1], at.target], 0.7, DASHES)
        edge = self.axes.get_xlim()[0] + self.pt(1)
        words = f"camera, looks\ndown {format_quantity(e, 'rad', 2)}"
        self.text(edge, y + 0.05 + self.pt(3), words, va="bottom", ha="left", linespacing=1.05)

    def back(self) -> None:
        x, low, high = self.at.back
        light = self.k.lights[0]
        style = self.style(light.distance)
        middle, deep = (low + high) / 2, 0.07
        box = [(x, low), (x, high), (x + deep, middle + 0.03), (x + deep, middle - 0.03)]
        self.axes.add_patch(Polygon(box, facecolor=PALE, edgecolor=INK, linewidth=0.9, linestyle=style))
        self.line([x, x], [low, high], 2.4, self.style(light.size))
        size = "" if light.size is None else f"\n{self.measure(light.size)}"
        self.text(x + deep / 2, middle, f"back\nlight{size}", linespacing=1.05)

    def front(self) -> None:
        at = self.at
        assert at.front is not None
        x, y = at.front
        turn = math.atan2(at.target - y, -x)
        c, s = math.cos(turn), math.sin(turn)
        shape = [(0, -0.09), (0, 0.09), (-0.05, 0.03), (-0.05, -0.03)]
        corners = [(x + u * c - v * s, y + u * s + v * c) for u, v in shape]
        style = self.style(self.k.lights[1].distance)
        self.axes.add_patch(Polygon(corners, facecolor=PALE, edgecolor=INK, linewidth=0.9, linestyle=style))
        self.line([x, 0], [y, at.target], 0.7, (0, (5, 2, 1, 2)))
        self.text(0.45 * x, at.target + 0.45 * (y - at.target),
                  f"front light {self.measure(self.k.lights[1].distance)}")  # fmt: skip

    def dimensions(self) -> None:
        at = self.at
        side = self.pt(13)
        self.arrow((side, 0), (side, at.nozzle))
        self.text(side + self.pt(3), 0.80 * at.nozzle, f"nozzle {self.measure(self.k.nozzle_height, 3)}", ha="left")
        cross = self.pt(3.5)
        for way in (-1, 1):
            self.axes.plot([-cross, cross], [at.target - way * cross, at.target + way * cross], color=INK,
                           linewidth=1.4, zorder=5)  # fmt: skip
        label = (side + self.pt(3), max(0.42 * at.nozzle, at.target + self.pt(12)))
        self.line([cross, label[0]], [at.target + cross, label[1] - self.pt(4)], 0.6)
        self.text(*label, f"focus target\n{self.measure(self.k.target_height)} up", ha="left", linespacing=1.05)
        y = at.table - self.pt(10)
        for x, value, name in (
            (at.camera[0], self.k.camera_distance, "sensor"), (at.back[0], self.k.lights[0].distance, "light"),
        ):  # fmt: skip
            self.arrow((x, y), (0, y))
            self.text(x / 2, y, f"{name} {self.measure(value)}")
        self.line([0, 0], [at.table, y - self.pt(4)], 0.5)

    def scale_bar(self, x: float, y: float) -> None:
        length, words = (0.1016, "4 in") if self.system == "imperial" else (0.1, "10 cm")
        x, y = x + self.pt(2), y + self.pt(6)
        self.line([x, x + length], [y, y], 2.4)
        self.text(x + length + self.pt(4), y, f"{words}, to scale; dashes are not measured yet", ha="left")
