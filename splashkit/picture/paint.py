"""Painting a scene at one instant of every line, and adding up what that changes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from splashkit.picture.bodies import Column, Drop
from splashkit.picture.camera import Camera
from splashkit.picture.facets import BLURS, blur_for, film_tables, smooth_table, water_table
from splashkit.picture.films import Film
from splashkit.picture.fringe import Fringe
from splashkit.picture.hollow import Hollow
from splashkit.picture.ink import View, blend
from splashkit.picture.optics import fresnel
from splashkit.picture.rims import Rim
from splashkit.picture.scene import Scene
from splashkit.picture.shade import Lighting, water_glow
from splashkit.picture.specks import Specks

Box = tuple[slice, slice]
NOWHERE: Box = (slice(0, 0), slice(0, 0))
TOGETHER = 8  # slices whose fingers and droplets are worked out at once: few calls, and memory for few


class Task(NamedTuple):
    """One body to be painted into a box of the picture, at its instants."""

    body: Any
    mirrored: bool
    rows: slice
    columns: slice
    instants: Any


def boxes_of(body: Any, t: Any, x: Any, z: Any, by_rows: bool, pad: float, sine: float, mirrored: bool) -> list[Any]:
    """For each slice, the rows and columns of the picture that a body touches, or None; ``t`` is (lines, slices)."""
    half, low, high = body.extent(t, sine)
    side = body.side
    if mirrored:
        low, high = -high, np.minimum(-low, 0.0)
    there = half >= 0
    across = x[:, None]
    if by_rows:
        lines = there & (z[:, None] >= low - pad) & (z[:, None] <= high + pad)
        wide = np.where(lines, half, -1.0).max(axis=0)
        others = np.abs(across - side) <= wide + pad
        others &= wide >= 0
    else:
        lines = there & (np.abs(across - side) <= half + pad)
        bottom = np.where(lines, low, np.inf).min(axis=0)
        top = np.where(lines, high, -np.inf).max(axis=0)
        others = (z[:, None] >= bottom - pad) & (z[:, None] <= top + pad)
    spans = []
    for touched in (lines, others) if by_rows else (others, lines):
        first = touched.argmax(axis=0)
        last = touched.shape[0] - touched[::-1].argmax(axis=0)
        spans.append((first.tolist(), last.tolist(), touched.any(axis=0)))
    (r0, r1, some_rows), (c0, c1, some_columns) = spans
    some = some_rows & some_columns
    return [(slice(r0[k], r1[k]), slice(c0[k], c1[k])) if some[k] else None for k in range(len(some))]


class Painter:
    """Paints a scene at one instant of every line; used by the fast frame and by the brute-force check alike."""

    def __init__(self, scene: Scene, camera: Camera, lighting: Lighting):
        self.scene, self.camera = scene, camera
        self.by_rows = camera.lines_are_rows
        self.x, self.z = camera.sideways(), camera.heights()
        self.x32, self.z32 = self.x.astype(np.float32)[None, :], self.z[:, None]
        self.pad = 1.5 * camera.pixel / np.cos(camera.elevation)
        sine = float(np.sin(camera.elevation))
        water = scene.surface
        horizon = None if water is None else 0.3 * camera.elevation
        look = scene.look
        solid = upright = thin = small = surface = None
        film: tuple[Any, ...] = ()
        for body in scene.bodies:
            if isinstance(body, Drop):
                blur = blur_for(camera.pixel, 0.5 * body.diameter)
                solid = smooth_table(lighting, look, horizon, blur)
            elif isinstance(body, Column):
                upright = smooth_table(lighting, look, None, blur_for(camera.pixel, body.radius))
            elif isinstance(body, Rim) and thin is None:
                thin = smooth_table(lighting, look, horizon, BLURS[-1])
            elif isinstance(body, Film):
                film = film_tables(lighting, look)
            elif isinstance(body, Hollow):
                surface = water_table(lighting, look)
            elif isinstance(body, Fringe) and small is None:
                small = smooth_table(lighting, look, horizon, blur_for(camera.pixel, 0.3e-3))
        edge = -np.inf if water is None else float(water.bowl_radius * np.tan(camera.elevation))
        self.view = View(camera.pixel, sine, solid, film, None, small, thin, upright, surface, edge=edge)
        self.mirror = None
        if scene.surface is not None and self.z[-1] < 0:
            seen = float(fresnel(np.pi / 2 - max(camera.elevation, 0.012)))
            glow = np.float32((1 - seen) * water_glow(lighting, scene.look))
            self.mirror = self.view._replace(mirror=(seen, glow))

    def present(self, first: float, last: float) -> list[Any]:
        """Bodies that are there at some time between two instants."""
        return [body for body, (start, end) in self._windows if start <= last and end >= first]

    @cached_property
    def _windows(self) -> list[tuple[Any, tuple[float, float]]]:
        return [(body, body.window(-1e3, 1e3)) for body in self.scene.bodies]

    def active(self, first: Any, last: Any) -> Any:
        """Which lines any body may touch between two instants of each."""
        steps = np.linspace(0, 1, 9)
        t = first[:, None] + (last - first)[:, None] * steps
        touched = np.zeros(first.shape, dtype=bool)
        span = float(np.max(last - first)) / (len(steps) - 1)
        reach = 6 * self.pad + span * float(np.max(self.scene.fastest(t)))
        place = self.z if self.by_rows else self.x
        for body in self.present(float(t.min()), float(t.max())):
            half, low, high = body.extent(t, self.view.sine)
            there = half >= 0
            if self.by_rows:
                near = (place[:, None] >= low - reach) & (place[:, None] <= high + reach)
                if self.mirror is not None and body.reflects:
                    near |= (place[:, None] >= -high - reach) & (place[:, None] <= reach)
            else:
                near = np.abs(place[:, None] - body.side) <= half + reach
            touched |= (near & there).any(axis=1)
        return touched

    def tasks(self, instants: Any, slow: bool) -> list[list[Task]]:
        """For each slice, what is to be painted where, in order; ``instants`` is (lines or 1, slices)."""
        found: list[list[Task]] = [[] for _ in range(instants.shape[1])]
        bodies = self.present(float(instants.min()), float(instants.max()))
        for mirrored in (True, False) if self.mirror is not None else (False,):
            for body in bodies:
                if isinstance(body, Fringe) or isinstance(body, Column) is not slow:
                    continue
                if mirrored and not body.reflects:
                    continue
                pad = self.pad * (6 if mirrored else 1)
                boxes = boxes_of(body, instants, self.x, self.z, self.by_rows, pad, self.view.sine, mirrored)
                for k, box in enumerate(boxes):
                    if box is not None:
                        found[k].append(Task(body, mirrored, box[0], box[1], instants[:, k]))
        return found

    def paint(self, work: Any, corner: tuple[int, int], tasks: list[Task], hidden: Any = None) -> None:
        """Paint onto ``work``, whose first pixel is at ``corner`` of the picture.

        ``hidden`` is the picture of what the column covers: painting a column adds to it, far rims pass behind it.
        """
        r0, c0 = corner
        for body, mirrored, rows, columns, t in tasks:
            part = work[rows.start - r0 : rows.stop - r0, columns.start - c0 : columns.stop - c0]
            x, z = self.x32[:, columns], self.z32[rows]
            when = t.reshape(1, 1) if t.size == 1 else t[rows, None] if self.by_rows else t[None, columns]
            view = self.view if not mirrored else self.mirror
            assert view is not None
            if isinstance(body, Column):
                for tall, wide, cover, shade in body.ink(x, -z if mirrored else z, when, view):
                    blend(part[tall, wide], cover, shade)
                    if hidden is not None and not mirrored:
                        hidden[rows, columns][tall, wide] = cover
            else:
                behind = isinstance(body, Rim) and not body.near and hidden is not None
                view = view._replace(hidden=hidden[rows, columns]) if behind else view
                body.paint(part, x, -z if mirrored else z, when, view)

    def expose(self, linear: Any, behind: Any, instants: Any, weights: Any) -> list[tuple[slice, slice]]:
        """Add to ``linear`` what the bodies change of the picture in each slice; return the boxes they touched.

        A column moves slowly beside drop and sheet, so one painting of it serves a few slices.
        """
        touched: list[tuple[slice, slice]] = []
        count = instants.shape[1]
        columns_there = any(isinstance(body, Column) for body in self.scene.bodies)
        every, hidden = count, None
        if columns_there:
            middle = instants[:, count // 2]
            own = max(float(np.max(b.fastest(middle))) for b in self.scene.bodies if isinstance(b, Column))
            every = int(np.clip(0.75 * float(np.max(self.scene.fastest(middle))) / max(own, 1e-6), 1, 4))
            hidden = np.zeros(behind.shape[:2], dtype=np.float32)
        canvas = behind.copy()
        fast = self.tasks(instants, slow=False)
        light = weights + 1e-9 * float(weights.max())

        def middles(step: int) -> tuple[list[slice], Any]:
            groups = [slice(first, min(first + step, count)) for first in range(0, count, step)]
            return groups, np.stack([(instants * light)[:, g].sum(axis=1) / light[:, g].sum(axis=1) for g in groups])

        groups, when = middles(every)
        slow = self.tasks(when.T, slow=True) if columns_there else [[] for _ in groups]
        shared, specks = self._shared(instants), []
        looks = self._looks(middles(shared)[1]) if shared else iter(())
        for group, together in zip(groups, slow, strict=True):
            box = None
            if together:
                box = union_of([(task.rows, task.columns) for task in together])
                self.paint(canvas, (0, 0), together, hidden)
                self._add(linear, canvas[box].copy(), behind, box, weights[:, group].sum(axis=1))
                touched.append(box)
            for k in range(group.start, group.stop):
                around = union_of([(task.rows, task.columns) for task in fast[k]]) if fast[k] else NOWHERE
                work = canvas[around].copy()
                self.paint(work, (around[0].start, around[1].start), fast[k], hidden)
                if shared:
                    if k % shared == 0:
                        specks = hide(next(looks), hidden)
                    touched += self._sprinkle(linear, canvas, work, around, specks, weights[:, k])
                if fast[k]:
                    self._add(linear, work, canvas, around, weights[:, k])
                    touched.append(around)
            if box is not None:
                canvas[box] = behind[box]
                if hidden is not None:
                    hidden[box] = 0
        return touched

    def _shared(self, instants: Any) -> int:
        """How many slices one look at fingers and droplets serves: while they move half a pixel; 0 without any."""
        fringes = [b for b in self.present(float(instants.min()), float(instants.max())) if isinstance(b, Fringe)]
        if not fringes:
            return 0
        count = instants.shape[1]
        speed = max(float(np.max(body.fastest(instants))) for body in fringes)
        step = speed * float(np.ptp(instants, axis=1).max()) / max(count - 1, 1)
        return int(np.clip(0.4 * self.camera.pixel / max(step, 1e-12), 1, count))

    def _looks(self, when: Any) -> Iterator[list[Specks]]:
        """Fingers and droplets at one row of instants after the other; a few rows are worked out together."""
        shaped = when[:, :, None] if self.by_rows else when[:, None, :]
        for first in range(0, len(when), TOGETHER):
            t = shaped[first : first + TOGETHER]
            bodies = [body for body in self.present(float(t.min()), float(t.max())) if isinstance(body, Fringe)]
            of_each = [(body, body.specks(self.x32, self.z32, t, self.view)) for body in bodies]
            for k, instants in enumerate(t):
                there = self.present(float(instants.min()), float(instants.max()))
                yield [specks for body, found in of_each if body in there for specks in found[k]]

    def specks(self, t: Any, hidden: Any = None) -> list[Specks]:
        """Fingers and droplets at one instant."""
        return hide(next(self._looks(t)), hidden)

    @staticmethod
    def lay(work: Any, found: list[Specks]) -> None:
        """Paint fingers and droplets over a whole picture."""
        for rows, columns, cover, shade, _ in found:
            under = work[rows, columns]
            work[rows, columns] = under + (cover if under.ndim == 1 else cover[:, None]) * (shade - under)

    def _sprinkle(self, linear: Any, canvas: Any, work: Any, box: Box, found: list[Specks], weight: Any) -> list[Box]:
        """Lay fingers and droplets over the slice's picture: over ``work`` in its box, over ``canvas`` beside it.

        What they change beside the box goes to ``linear`` at once; then the canvas is as it was.
        """
        touched, undo = [], []
        for rows, columns, cover, shade, _ in found:
            inside = (rows >= box[0].start) & (rows < box[0].stop) & (columns >= box[1].start) & (columns < box[1].stop)
            for picture, chosen, corner in (
                (work, inside, (box[0].start, box[1].start)), (canvas, ~inside, (0, 0)),
            ):  # fmt: skip
                some = np.flatnonzero(chosen)
                if not some.size:
                    continue
                place = rows[some] - corner[0], columns[some] - corner[1]
                under = picture[place]
                gain = (cover[some] if under.ndim == 1 else cover[some, None]) * (shade[some] - under)
                picture[place] = under + gain
                if picture is canvas:
                    undo.append((place, under))
                    share = weight[0] if weight.size == 1 else weight[place[0] if self.by_rows else place[1]]
                    share = np.asarray(share, dtype=np.float32)
                    linear[place] += gain * (share if under.ndim == 1 or share.ndim == 0 else share[:, None])
            if rows.size:
                touched.append((slice(int(rows.min()), int(rows.max()) + 1),
                                slice(int(columns.min()), int(columns.max()) + 1)))  # fmt: skip
        for place, under in reversed(undo):
            canvas[place] = under
        return touched

    def _add(self, linear: Any, work: Any, before: Any, box: tuple[slice, slice], weight: Any) -> None:
        work -= before[box]
        work *= per_line(weight.astype(np.float32), self.by_rows, *box, work.ndim == 3)
        linear[box] += work


def hide(found: list[Specks], hidden: Any) -> list[Specks]:
    """Leave out what a column hides of fingers and droplets, where there is one."""
    return found if hidden is None else [specks.hidden_by(hidden) for specks in found]


def union_of(boxes: list[tuple[slice, slice]]) -> tuple[slice, slice]:
    """The box around all boxes."""
    rows = slice(min(r.start for r, _ in boxes), max(r.stop for r, _ in boxes))
    return rows, slice(min(c.start for _, c in boxes), max(c.stop for _, c in boxes))


def per_line(values: Any, by_rows: bool, rows: slice, columns: slice, colour: bool) -> Any:
    """Shape a number per line to go with a box of the picture."""
    if values.size == 1:
        return values.reshape((1,) * (3 if colour else 2))
    part = values[rows, None] if by_rows else values[None, columns]
    return part[..., None] if colour else part


def soften(picture: Any, spread: float) -> Any:
    """Blur by a Gaussian of a given spread in pixels, along both sides in turn; only a box that needs it is given."""
    reach = int(np.ceil(3 * spread))
    taps = np.exp(-0.5 * (np.arange(-reach, reach + 1) / spread) ** 2)
    taps = (taps / taps.sum()).astype(np.float32)
    for axis in (0, 1):
        padding = [(0, 0)] * picture.ndim
        padding[axis] = (reach, reach)
        wide = np.pad(picture, padding, mode="edge")
        length = picture.shape[axis]
        out = np.zeros_like(picture)
        for k, tap in enumerate(taps):
            out += tap * (wide[k : k + length] if axis == 0 else wide[:, k : k + length])
        picture = out
    return picture
