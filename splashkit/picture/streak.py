"""One drop swept along its path through a slice of time: a long streak, added up exactly."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.picture.bodies import Drop
from splashkit.picture.ink import facets, outline
from splashkit.picture.paint import Painter
from splashkit.picture.scene import Scene

LONG_STREAK = 40  # pixels of motion from which a single drop is added up along its path


def sweepable(scene: Scene, moved: float) -> bool:
    """Whether to add up along the path: one drop that keeps its shape, and so much motion that it pays."""
    if moved < LONG_STREAK:
        return False
    drop = scene.bodies[0] if len(scene.bodies) == 1 and scene.surface is None else None
    return isinstance(drop, Drop) and not drop.wobble and drop.floor is None and drop.always


def sweep(painter: Painter, edges: Any, weights: Any) -> Any:
    """One drop of fixed shape passing: the box of pixels it touches, what covers them, what they gain.

    In a slice of time each pixel sees a stretch of the drop run past. So the drop is added up once along its path,
    and a pixel's mean over the stretch is the difference of that sum at its two ends: exact for even light and
    motion within the slice. Edges of slices are on the scene's clock. None when nothing is touched.
    """
    drop, camera = painter.scene.bodies[0], painter.camera
    where = drop.centre(edges)
    step = camera.pixel / (8 * np.cos(camera.elevation))
    half = 0.5 * drop.diameter + painter.pad
    lit = weights.sum(axis=1) > 0
    columns = np.flatnonzero(np.abs(painter.x - drop.side) <= half)
    highest, lowest = where[lit].max() + half, where[lit].min() - half
    rows = np.flatnonzero((painter.z <= highest) & (painter.z >= lowest))
    if not columns.size or not rows.size:
        return None
    box = slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)
    count = 2 * int(np.ceil(half / step)) + 1
    along = ((np.arange(count) - count // 2) * step).astype(np.float32)[:, None]
    x = painter.x32[:, box[1]] - np.float32(drop.side)
    q, slope = np.float32(0.25 * drop.diameter**2) - along * along, -2 * along
    cover = outline(x, q, slope, camera.pixel)
    shade = painter.view.solid.take(facets(x, q, slope), axis=0, mode="clip")
    shade = shade.reshape(*cover.shape, -1) * cover[..., None]
    every = np.concatenate([cover[..., None], shade], axis=2)  # what covers, then each channel
    run = np.zeros_like(every)
    np.cumsum(0.5 * (every[1:] + every[:-1]), axis=0, out=run[1:])

    # each slice weighs the stretch of the drop between its ends, counted in steps along the drop
    middle, wide = 0.5 * (where[:, 1:] + where[:, :-1]), np.abs(np.diff(where, axis=1)) / step
    wide = np.maximum(wide, 1.0)
    density = weights / wide
    flat = np.zeros((rows.size, columns.size, every.shape[2]), dtype=np.float32)
    z = painter.z[box[0]]
    by_rows = painter.by_rows
    lines = slice(None) if where.shape[0] == 1 else box[0] if by_rows else box[1]
    across = np.arange(columns.size)[None, :]
    for k in range(weights.shape[1]):
        spot, stretch, amount = middle[lines, k], wide[lines, k], density[lines, k].astype(np.float32)
        reach = half + 0.5 * step * float(stretch.max())
        if by_rows:
            near = np.flatnonzero(np.abs(z - spot) <= reach)
        else:
            near = np.flatnonzero((z <= spot.max() + reach) & (z >= spot.min() - reach))
        if not near.size:
            continue
        part = slice(int(near[0]), int(near[-1]) + 1)
        if where.shape[0] == 1 or not by_rows:
            centre = (z[part, None] - spot) / step + count // 2
        else:
            centre, stretch, amount = (
                (z[part] - spot[part])[:, None] / step + count // 2,
                stretch[part, None],
                amount[part],
            )
        for sign in (0.5, -0.5):
            place = np.clip(centre + sign * stretch, 0, count - 1.001).astype(np.float32)
            whole = place.astype(np.int32)
            rest = (place - whole)[..., None]
            if by_rows:
                low, high = run[whole[:, 0]], run[whole[:, 0] + 1]
            else:
                whole, rest = np.broadcast_to(whole, (place.shape[0], columns.size)), rest
                low, high = run[whole, across], run[whole + 1, across]
            low += rest * (high - low)
            low *= (np.sign(sign) * amount).reshape((-1, 1, 1) if by_rows else (1, -1, 1))
            flat[part] += low
    return box, flat[..., 0], flat[..., 1] if every.shape[2] == 2 else flat[..., 1:]
