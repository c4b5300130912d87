"""The setup from the side, to scale, in black on white: nozzle, bowl, focus target, lights and camera."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from splashkit.figures.board import INK, TEXT, Board, Points, width_of
from splashkit.runsheet import Sketch
from splashkit.units import format_measure, format_quantity

SHADE, PALE = "#9A9A9A", "#DDDDDD"
# where something is not measured yet it is drawn in dashes at a place of its own choosing, with an empty label
GUESS = {"nozzle": 0.25, "radius": 0.10, "depth": 0.05, "target": 0.02, "camera": 0.40, "light": 0.35, "size": 0.25}
FRONT_ANGLE = math.radians(50)  # how high the front light stands, from the drop: common practice, no source
DASHES = (3.0, 2.0)
UP, DOWN, LINE = 0.70, 0.22, 1.1  # of the size: how far letters reach above and below their foot, and line to line


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


class View(NamedTuple):
    """How metres become points of paper: ``scale``, and the metres at the drawing's left and lower edge."""

    scale: float
    left: float
    low: float


def draw(board: Board, sketch: Sketch, system: str, width: float, height: float, x: float = 0.0, y: float = 0.0
         ) -> View:  # fmt: skip
    """Draw into a box of this size in points, its upper left corner at ``x``, ``y``; gives how metres became points."""
    at = places(sketch)
    left = min(at.camera[0] - 0.07, -at.radius - 0.02, (at.front or (0, 0))[0] - 0.07)
    right = max(at.back[0] + 0.10, at.radius + 0.02)
    low, high = at.table, max(at.nozzle + 0.07, at.back[2], at.camera[1] + 0.06, (at.front or (0, 0))[1] + 0.06)
    below, above = 34.0, 4.0  # points, for the dimensions under the table
    scale = min(width / (right - left), (height - below - above) / (high - low))
    spare = height - below - above - (high - low) * scale
    view = View(scale, (left + right) / 2 - width / scale / 2, low - (below + spare / 2) / scale)
    pen = _Pen(board, sketch, system, at, view, (x, y + height), width)
    pen.bowl()
    pen.nozzle()
    pen.camera()
    pen.back()
    if at.front is not None:
        pen.front()
    pen.dimensions()
    pen.scale_bar(view.left, view.low)
    return view


class _Pen:
    def __init__(self, board: Board, sketch: Sketch, system: str, at: Places, view: View, corner: tuple[float, float],
                 width: float) -> None:  # fmt: skip
        self.board, self.k, self.system, self.at, self.view, self.corner = board, sketch, system, at, view, corner
        self.edges = view.left, view.left + width / view.scale

    def pt(self, points: float) -> float:
        return points / self.view.scale

    def on(self, points: Points) -> list[tuple[float, float]]:
        """Put places in metres on the page."""
        (x, y), view = self.corner, self.view
        return [(x + (u - view.left) * view.scale, y - (v - view.low) * view.scale) for u, v in points]

    def measure(self, value: float | None, digits: int = 2) -> str:
        return "[____]" if value is None else format_measure(value, "m", self.system, digits)

    def style(self, known: Any) -> tuple[float, ...]:
        return () if known is not None else DASHES

    def text(self, x: float, y: float, words: str, ha: str = "center", va: str = "center") -> None:
        """Write lines of words on a white plate."""
        lines, ((x, y),) = words.split("\n"), self.on([(x, y)])
        tall = TEXT * (UP + DOWN + LINE * (len(lines) - 1))
        top = y - {"center": tall / 2, "bottom": tall}[va]
        wide = max(width_of(line) for line in lines)
        left = x - {"left": 0.0, "center": wide / 2}[ha]
        plate = [(left - 0.8, top - 0.8), (left + wide + 0.8, top - 0.8), (left + wide + 0.8, top + tall + 0.8),
                 (left - 0.8, top + tall + 0.8)]  # fmt: skip
        self.board.area(plate, "#ffffff", "none", z=3)
        for number, line in enumerate(lines):
            self.board.text(x, top + TEXT * (UP + LINE * number), line, TEXT, place=ha)

    def line(self, xs: Any, ys: Any, width: float = 0.9, style: tuple[float, ...] = (), z: int = 2) -> None:
        self.board.line(self.on(list(zip(xs, ys, strict=True))), width, style, z=z)

    def area(self, points: Points, fill: str, edge: str = INK, style: tuple[float, ...] = (), z: int = 1) -> None:
        self.board.area(self.on(points), fill, edge, 0.9, style, z)

    def arrow(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Draw a thin line with a head at both ends."""
        ends = self.on([start, end])
        self.board.line(ends, 0.7, z=3)
        for (x, y), (other_x, other_y) in (ends, ends[::-1]):
            long = math.hypot(other_x - x, other_y - y) or 1.0
            u, v = (other_x - x) / long, (other_y - y) / long
            head = [(x, y), (x + 5 * u - 1.6 * v, y + 5 * v + 1.6 * u), (x + 5 * u + 1.6 * v, y + 5 * v - 1.6 * u)]
            self.board.area(head, INK, "none", z=3)

    def bowl(self) -> None:
        at, known = self.at, self.k.bowl_radius is not None and self.k.bowl_depth is not None
        bottom, rim = at.table + 0.006, 0.008
        water = [(-at.radius, 0), (-at.radius, bottom), (at.radius, bottom), (at.radius, 0)]
        self.area(water, PALE, "none")
        xs, ys = [-at.radius, -at.radius, at.radius, at.radius], [rim, bottom, bottom, rim]
        self.line(xs, ys, 1.6, self.style(known or None))
        self.line([-at.radius, at.radius], [0, 0], 0.9)
        self.line(self.edges, [at.table, at.table], 0.9)

    def nozzle(self) -> None:
        at, half = self.at, max(0.003, self.pt(2.5))
        style = self.style(self.k.nozzle_height)
        tube = [(-half, at.nozzle), (-half, at.nozzle + 0.03), (half, at.nozzle + 0.03), (half, at.nozzle)]
        self.area(tube, "#ffffff", INK, style)
        low, high = at.nozzle + 0.03, at.nozzle + 0.065
        self.area([(-4 * half, low), (-4 * half, high), (4 * half, high), (4 * half, low)], SHADE)
        self.line([0, 0], [at.nozzle, 0], 0.7, (1.0, 2.0))
        size, middle = max(0.002, self.pt(2)), at.nozzle * 0.62
        turns = [2 * math.pi * step / 32 for step in range(32)]
        self.area([(size * math.cos(turn), middle + size * math.sin(turn)) for turn in turns], INK, "none")

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
        for corners, fill in ((body, SHADE), (glass, "#ffffff")):
            self.area(corners, fill, INK, style, z=3)
        sensor = turned([(0, -0.045), (0, 0.045)])
        self.board.line(self.on(sensor), 1.6, z=4)
        front = turned([(lens, 0)])[0]
        self.line([front[0], 0], [front[1], at.target], 0.7, DASHES)
        edge = self.edges[0] + self.pt(1)
        words = f"camera, looks\ndown {format_quantity(e, 'rad', 2)}"
        self.text(edge, y + 0.05 + self.pt(3), words, va="bottom", ha="left")

    def back(self) -> None:
        x, low, high = self.at.back
        light = self.k.lights[0]
        style = self.style(light.distance)
        middle, deep = (low + high) / 2, 0.07
        box = [(x, low), (x, high), (x + deep, middle + 0.03), (x + deep, middle - 0.03)]
        self.area(box, PALE, INK, style)
        self.line([x, x], [low, high], 2.4, self.style(light.size))
        size = "" if light.size is None else f"\n{self.measure(light.size)}"
        self.text(x + deep / 2, middle, f"back\nlight{size}")

    def front(self) -> None:
        at = self.at
        assert at.front is not None
        x, y = at.front
        turn = math.atan2(at.target - y, -x)
        c, s = math.cos(turn), math.sin(turn)
        shape = [(0, -0.09), (0, 0.09), (-0.05, 0.03), (-0.05, -0.03)]
        corners = [(x + u * c - v * s, y + u * s + v * c) for u, v in shape]
        style = self.style(self.k.lights[1].distance)
        self.area(corners, PALE, INK, style)
        self.line([x, 0], [y, at.target], 0.7, (5.0, 2.0, 1.0, 2.0))
        self.text(0.45 * x, at.target + 0.45 * (y - at.target),
                  f"front light {self.measure(self.k.lights[1].distance)}")  # fmt: skip

    def dimensions(self) -> None:
        at = self.at
        side = self.pt(13)
        self.arrow((side, 0), (side, at.nozzle))
        self.text(side + self.pt(3), 0.80 * at.nozzle, f"nozzle {self.measure(self.k.nozzle_height, 3)}", ha="left")
        cross = self.pt(3.5)
        for way in (-1, 1):
            self.line([-cross, cross], [at.target - way * cross, at.target + way * cross], 1.4, z=5)
        label = (side + self.pt(3), max(0.42 * at.nozzle, at.target + self.pt(12)))
        self.line([cross, label[0]], [at.target + cross, label[1] - self.pt(4)], 0.6)
        self.text(*label, f"focus target\n{self.measure(self.k.target_height)} up", ha="left")
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
