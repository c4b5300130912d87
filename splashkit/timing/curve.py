"""Where the second drop meets the water: one table a row, read both ways.

For every height a table holds, at moments after first contact, how high the liquid stands on the
axis and which gap makes the second drop touch it then. Gap for a moment is read forwards, moment
for a gap backwards. Both drops leave the same nozzle.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit import drops
from splashkit.splash import forms

# moments in each stretch (crater opens, closes, column rises, falls), as shares of the stretch
_SHARES = np.linspace(0.0, 1.0, 41)


class Setup(NamedTuple):
    """What both drops have in common, checked and broadcast: rows of one axis."""

    nozzle_height: Any
    second_diameter: Any
    release_speed: Any
    first: Any  # Fall of the first drop
    splash: Any
    air: dict[str, Any]  # keywords for drops.fall


class Table(NamedTuple):
    """Moments after first contact, heights on the axis, and gaps; the last axis runs over moments."""

    moment: Any
    height: Any
    gap: Any


def fall_to(setup: Setup, height: Any, table: bool = False) -> Any:
    """Return the second drop's fall until its lowest point is at a height above the still level.

    In a table the height's last axis runs over moments, which the setup does not have.
    """
    lift = (lambda value: np.asarray(value)[..., None]) if table else (lambda value: value)
    level = drops.fall_height(setup.nozzle_height, setup.second_diameter)
    return drops.fall(lift(level) - height, lift(setup.second_diameter), lift(setup.release_speed), **setup.air)


def moments(curve: dict[str, Any]) -> Any:
    """Return the table's moments: dense, with the corners of the curve among them."""
    corners = np.stack(
        np.broadcast_arrays(0.0 * curve["end"], curve["deepest"], curve["start"], curve["peak"], curve["end"]), axis=-1
    )
    pieces = [
        corners[..., [i]] + _SHARES[(1 if i else 0) :] * (corners[..., [i + 1]] - corners[..., [i]]) for i in range(4)
    ]
    return np.concatenate(pieces, axis=-1)


def table(setup: Setup, curve: dict[str, Any]) -> Table:
    """Return heights and gaps at the moments of one curve of the liquid on the axis."""
    moment = moments(curve)
    height = forms.surface_height(moment, **{name: np.asarray(value)[..., None] for name, value in curve.items()})
    seconds = fall_to(setup, height, table=True).time
    gap = np.asarray(setup.first.time)[..., None] + moment - seconds
    # a column may fall faster than a slow second drop: the first touch counts
    return Table(moment, height, np.maximum.accumulate(gap, axis=-1))


def moment_of_gap(made: Table, gap: Any) -> Any:
    """Return the moment of touch for gaps that broadcast with the table's rows.

    Beyond the table the level is still, so the moment moves one for one with the gap.
    """
    batch, nodes = made.gap.shape[:-1], made.gap.shape[-1]
    shape = np.broadcast_shapes(batch, np.shape(gap))
    gaps = np.broadcast_to(gap, shape)
    if batch == ():
        rows, many = (), gaps.size
    elif batch[-1] == 1 and len(batch) == len(shape):
        rows, many = shape[:-1], shape[-1]
        batch = batch[:-1]
    else:
        rows, many = shape, 1
    gaps = gaps.reshape(-1, many)
    known = np.broadcast_to(made.gap.reshape(*batch, nodes), (*rows, nodes)).reshape(-1, nodes)
    when = np.broadcast_to(made.moment.reshape(*batch, nodes), (*rows, nodes)).reshape(-1, nodes)
    found = np.stack([np.interp(row, g, t) for row, g, t in zip(gaps, known, when, strict=True)])
    found = found + np.maximum(gaps - known[:, -1:], 0) - np.maximum(known[:, :1] - gaps, 0)
    return found.reshape(shape)[()]
