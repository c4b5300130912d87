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
    run = _along(painter, half, step, box[1])
    # each slice weighs the stretch of the drop between its ends, counted in steps along the drop
    ends, amounts = _ends(where / step, weights)
    height = painter.z[box[0], None] / step + run.shape[0] // 2
    lines = slice(None) if where.shape[0] == 1 else box[0] if painter.by_rows else box[1]
    look_up = _by_rows if where.shape[0] == 1 or painter.by_rows else _by_columns
    flat = look_up(run, height, ends[lines], amounts[lines])
    return box, flat[..., 0], flat[..., 1] if flat.shape[2] == 2 else flat[..., 1:]


def _along(painter: Painter, half: float, step: float, columns: slice) -> Any:
    """Add the drop up along its path: what covers, then each channel, as (steps, columns, 1 + channels)."""
    drop = painter.scene.bodies[0]
    count = 2 * int(np.ceil(half / step)) + 1
    up = ((np.arange(count) - count // 2) * step).astype(np.float32)[:, None]
    x = painter.x32[:, columns] - np.float32(drop.side)
    q, slope = np.float32(0.25 * drop.diameter**2) - up * up, -2 * up
    cover = outline(x, q, slope, painter.camera.pixel)
    shade = painter.view.solid.take(facets(x, q, slope), axis=0, mode="clip")
    shade = shade.reshape(*cover.shape, -1) * cover[..., None]
    every = np.concatenate([cover[..., None], shade], axis=2)
    run = np.empty_like(every)
    run[0] = 0
    np.cumsum(0.5 * (every[1:] + every[:-1]), axis=0, out=run[1:])
    return run


def _ends(where: Any, weights: Any) -> tuple[Any, Any]:
    """Places of the drop at which the sum along it is looked up, and with which weight; as (lines, places)."""
    ahead = -np.diff(where, axis=1)
    if np.abs(ahead[weights > 0]).min() >= 1:
        # a slice ends where the next one starts
        density = np.pad(weights / np.where(weights > 0, ahead, 1), ((0, 0), (1, 1)))
        return where, -np.diff(density, axis=1)
    middle, wide = 0.5 * (where[:, 1:] + where[:, :-1]), np.maximum(np.abs(ahead), 1.0)
    density = weights / wide
    return np.hstack([middle - 0.5 * wide, middle + 0.5 * wide]), np.hstack([density, -density])


def _shares(place: Any, amount: Any, last: int) -> tuple[Any, ...]:
    """For each place along the drop: the step before it, what that step and the next one get, and what lies past."""
    inside = (place > 0) & (place < last)
    whole = np.minimum(np.maximum(place, 0), last - 1).astype(np.intp)
    after = np.where(inside, amount * (place - whole), 0)
    before = np.where(inside, amount, 0) - after
    return inside, whole, before.astype(np.float32), after.astype(np.float32), amount * (place >= last)


def _by_rows(run: Any, height: Any, ends: Any, amounts: Any) -> Any:
    """Look the sum up at all ends, where all pixels of a row see the drop at the same place."""
    inside, whole, before, after, past = _shares(height - ends, amounts, run.shape[0] - 1)
    flat = past.sum(axis=1).astype(np.float32)[:, None, None] * run[-1]
    first, stop = inside.argmax(axis=0), inside.shape[0] - inside[::-1].argmax(axis=0)
    for k in np.flatnonzero(inside.any(axis=0)):
        rows = slice(first[k], stop[k])
        for weight, at in ((before, whole[rows, k]), (after, whole[rows, k] + 1)):
            seen = run[at]
            seen *= weight[rows, k, None, None]
            flat[rows] += seen
    return flat


def _by_columns(run: Any, height: Any, ends: Any, amounts: Any) -> Any:
    """The same where each column sees it at its own place, as with the camera on its side."""
    across = np.arange(run.shape[1])
    flat = np.zeros((height.shape[0], *run.shape[1:]), dtype=np.float32)
    passed = np.zeros(flat.shape[:2])
    for k in range(ends.shape[1]):
        inside, whole, before, after, past = _shares(height - ends[:, k], amounts[:, k], run.shape[0] - 1)
        passed += past
        touched = np.flatnonzero(inside.any(axis=1))
        if touched.size:
            rows = slice(int(touched[0]), int(touched[-1]) + 1)
            for weight, at in ((before, whole[rows]), (after, whole[rows] + 1)):
                seen = run[at, across]
                seen *= weight[rows, :, None]
                flat[rows] += seen
    return flat + passed.astype(np.float32)[..., None] * run[-1]
