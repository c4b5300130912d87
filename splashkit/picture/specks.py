"""Fingers and droplets in the picture: many small bodies, each worked out in a patch of its own, all at once.

That goes for the instants too: the bodies of a few slices of time stand in one row, slice after slice. Instants are
shaped (slices, rows or 1, columns or 1).
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np

from splashkit.picture.facets import facet_index
from splashkit.picture.ink import View, facets, outline, single, unit

LOOKS = 41  # of the lines, at which bodies are looked for
LEAST = np.float32(2e-3)  # share of a pixel below which nothing is painted


class Specks(NamedTuple):
    """Pixels (rows, columns) that small bodies touch, how much they cover, with which shade, and which lie behind."""

    rows: Any
    columns: Any
    cover: Any
    shade: Any
    behind: Any

    def hidden_by(self, hidden: Any) -> Specks:
        """Leave out what a column hides of those behind the axis; ``hidden`` is the picture of what it covers."""
        seen = np.where(self.behind, 1 - hidden[self.rows, self.columns], np.float32(1))
        return self._replace(cover=self.cover * seen)


def seen(out: Any, height: Any, angle: Any, sine: float) -> tuple[Any, Any]:
    """Place in the frame of what stands at a distance and an angle round the axis: what stands nearer looks lower."""
    return out * np.sin(angle), height - out * np.cos(angle) * sine


def droplet_specks(fringe: Any, x: Any, z: Any, t: Any, view: View) -> list[list[Specks]]:
    """Droplets of each slice: balls."""
    which, some = each_body(t, fringe.droplets.angle.size)
    angles, radii = fringe.droplets.angle[which, None], fringe.droplets.radius[which, None]
    out, height, there = fringe.drops_at(some, which)
    across, up = seen(out, height, angles, view.sine)
    patch = Patches.around(x, z, t, across, up, there > 0, 1.3 * radii + 0 * up, view.pixel)
    if patch is None:
        return [[] for _ in t]
    which, when = which[patch.bodies], patch.when
    radius, angle = (part[which].reshape(-1, 1, 1) for part in (fringe.droplets.radius, fringe.droplets.angle))
    out, height, there = fringe.drops_at(when, which)
    across, up = seen(out, height, angle, view.sine)
    dx, dz = patch.x - single(across), single(patch.z - up)
    q = single(radius * radius) - dz * dz
    cover = outline(dx, q, -2 * dz, view.pixel) * single(there)
    body, row, column = np.nonzero(cover > LEAST)
    place = facets(dx, q, -2 * dz)[body, row, column]
    return patch.kept(body, row, column, cover[body, row, column], place, view, angle, len(t))


def finger_specks(fringe: Any, x: Any, z: Any, t: Any, view: View) -> list[list[Specks]]:
    """Fingers of each slice: threads that lean, with a bead at the tip; worked out only where one can be."""
    which, some = each_body(t, fringe.angle.size)
    angle = fringe.angle[which, None]
    out, height, slim, length, bead, lean, neck = fringe.fingers_at(some, which)
    ends = [seen(out + far * np.cos(lean), height + far * np.sin(lean), angle, view.sine)
            for far in (0.0, length)]  # fmt: skip
    middle = [0.5 * (ends[0][k] + ends[1][k]) for k in (0, 1)]
    reach = [0.5 * np.abs(ends[0][k] - ends[1][k]) + 1.3 * np.maximum(bead, 2 * slim) for k in (0, 1)]
    patch = Patches.around(x, z, t, middle[0], middle[1], fringe.film.there(some), reach, view.pixel)
    if patch is None:
        return [[] for _ in t]
    which = which[patch.bodies]
    angle = fringe.angle[which].reshape(-1, 1, 1)
    out, height, slim, length, bead, lean, neck = fringe.fingers_at(patch.when, which)
    across, up = seen(out, height, angle, view.sine)
    # along the finger as the camera sees it
    ux = np.cos(lean) * np.sin(angle)
    uz = np.sin(lean) - np.cos(lean) * np.cos(angle) * view.sine
    short = np.maximum(np.hypot(ux, uz), 0.05)
    ux, uz, long = single(ux / short), single(uz / short), single(length * short)
    slim, bead = single(slim), single(bead)
    dx, dz = patch.x - single(across), single(patch.z - up)
    along, aside = dx * ux + dz * uz, dz * ux - dx * uz
    room = np.float32(1.5 * view.pixel)
    body, row, column = np.nonzero(
        (np.abs(aside) < np.maximum(bead, 2 * slim) + room) & (along > 0) & (along < long + bead + room)
    )

    def there_only(values: Any) -> Any:
        return np.broadcast_to(values, along.shape)[body, row, column]

    fade = single(fringe.film.fade(patch.when))
    ux, uz, long, slim, bead, neck, fade, aside, along = (
        there_only(values) for values in (ux, uz, long, slim, bead, single(neck), fade, aside, along)
    )
    # a shaft that widens towards the rim, and a bead at its tip
    flare = np.float32(0.9) * slim * np.exp(-np.maximum(along, 0) / (np.float32(1.2) * slim))
    shaft = slim + flare
    beyond = along - long
    pinch = neck * np.exp(-(((beyond + np.float32(1.3) * bead) / (np.float32(0.6) * bead)) ** 2))
    shaft = shaft * (1 - pinch)
    ball = bead * bead - beyond * beyond
    q, slope = shaft * shaft, np.float32(-1.67) * shaft * flare / slim
    # where shaft and bead meet, the one runs into the other
    tip = unit(np.float32(0.5) + (ball - q) / (np.float32(0.5) * bead * bead))
    tip = np.where(beyond > 0, 1, tip)
    q, slope = np.where(beyond > 0, ball, np.maximum(ball, q)), slope + tip * (-2 * beyond - slope)
    # its root is the rim's
    root = unit(along / (np.float32(2.4) * slim) - np.float32(0.2))
    cover = outline(aside, q, slope, view.pixel) * root * fade
    steep = 1 / np.sqrt(np.maximum(q + np.float32(0.25) * slope * slope, np.float32(1e-12)))
    across_it, along_it = aside * steep, np.float32(-0.5) * slope * steep
    place = facet_index(along_it * ux - across_it * uz, along_it * uz + across_it * ux)
    return patch.kept(body, row, column, cover, place, view, angle, len(t))


def looked_at(t: Any) -> Any:
    """A few of the lines, enough to find where things are."""
    return np.linspace(0, t[0].size - 1, LOOKS).astype(int)


def each_body(t: Any, count: int) -> tuple[Any, Any]:
    """Number of each body in the row of all slices' bodies, and its instants on those lines, or its one instant."""
    instants = t.reshape(len(t), -1)
    if t[0].size > 1:
        instants = instants[:, looked_at(t)]
    return np.tile(np.arange(count), len(t)), np.repeat(instants, count, axis=0)


class Patches(NamedTuple):
    """Equal small boxes of the picture, one round each small body: first axis bodies, then rows, then columns."""

    bodies: Any
    slices: Any
    rows: Any
    columns: Any
    x: Any
    z: Any
    when: Any

    @staticmethod
    def around(x: Any, z: Any, t: Any, across: Any, up: Any, there: Any, reach: Any, pixel: float) -> Patches | None:
        """Find the boxes; places are (bodies, 1) for one instant, else (bodies, looks): :func:`each_body`."""
        wide, tall = reach if isinstance(reach, list) else (reach, reach)
        wide, tall = wide + 1.5 * pixel, tall + 1.5 * pixel
        columns, rows = x[0], z[:, 0]
        left, right, low, high = across - wide, across + wide, up - tall, up + tall
        if t[0].size > 1:
            # from one looked-at line to the next a body stays inside the box round where it was seen
            left, low = (np.minimum(edge[:, 1:], edge[:, :-1]) for edge in (left, low))
            right, high = (np.maximum(edge[:, 1:], edge[:, :-1]) for edge in (right, high))
            there = there[:, 1:] | there[:, :-1]
            line = looked_at(t)
            if t.shape[1] > 1:
                low, high = np.maximum(low, rows[line[1:]]), np.minimum(high, rows[line[:-1]])
                there = there & (low <= high)
            else:
                left, right = np.maximum(left, columns[line[:-1]]), np.minimum(right, columns[line[1:]])
                there = there & (left <= right)
        bodies = np.flatnonzero(there.any(axis=1))
        there = there[bodies]
        left, low = (np.where(there, edge[bodies], 9).min(axis=1) for edge in (left, low))
        right, high = (np.where(there, edge[bodies], -9).max(axis=1) for edge in (right, high))
        step = float(columns[1] - columns[0]), float(rows[1] - rows[0])
        first = np.floor((left - columns[0]) / step[0]), np.floor((high - rows[0]) / step[1])
        last = np.ceil((right - columns[0]) / step[0]), np.ceil((low - rows[0]) / step[1])
        seen = (last[0] >= 0) & (first[0] < columns.size) & (last[1] >= 0) & (first[1] < rows.size)
        bodies = bodies[seen]
        if not bodies.size:
            return None
        boxes = []
        for low, high, size in zip(first, last, (columns.size, rows.size), strict=True):
            low, high = np.maximum(low[seen], 0), np.minimum(high[seen], size - 1)
            width = int((high - low).max()) + 1
            boxes.append(np.minimum(low, size - width).astype(int)[:, None] + np.arange(width))
        wide_box, tall_box = boxes[0][:, None, :], boxes[1][:, :, None]
        slices = bodies // (len(across) // len(t))
        of = slices[:, None, None]
        when = t[of, tall_box, 0] if t.shape[1] > 1 else t[of, 0, wide_box] if t.shape[2] > 1 else t[of, 0, 0]
        return Patches(bodies, slices, tall_box, wide_box, columns[wide_box], rows[tall_box], when)

    def kept(
        self, body: Any, row: Any, column: Any, cover: Any, place: Any, view: View, angle: Any, slices: int
    ) -> list[list[Specks]]:
        """Keep the pixels that are covered, slice by slice."""
        some = cover > LEAST
        body, row, column, cover, place = (part[some] for part in (body, row, column, cover, place))
        rows, columns = self.rows[body, row, 0], self.columns[body, 0, column]
        shade = view.small.take(place, axis=0, mode="clip")
        found = Specks(rows, columns, cover, shade, np.cos(angle[body, 0, 0]) < 0)
        topmost = np.empty((self.rows.max() + 1, self.columns.max() + 1), dtype=np.int32)
        ends = np.searchsorted(self.slices[body], np.arange(slices + 1))
        return [layered(Specks(*(part[i:j] for part in found)), topmost) for i, j in pairwise(ends)]


def layered(specks: Specks, topmost: Any) -> list[Specks]:
    """Part what overlaps: each layer has a pixel once, and lies over the layers before it; ``topmost`` is scrap."""
    layers: list[Specks] = []
    while specks.rows.size:
        order = np.arange(specks.rows.size, dtype=np.int32)
        topmost[specks.rows, specks.columns] = order
        over = topmost[specks.rows, specks.columns] == order
        layers.insert(0, Specks(*(part[over] for part in specks)))
        specks = Specks(*(part[~over] for part in specks))
    return layers
