"""The lines of the outcome map: for each nozzle height, the gap at which each outcome ends."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit import drops
from splashkit.checks import Number
from splashkit.estimate import Estimate
from splashkit.splash import forms
from splashkit.splash.column import leaned_curve
from splashkit.splash.sheet import CLOSING_SPEED, COLUMN_RADIUS
from splashkit.timing.curve import fall_to, table
from splashkit.timing.meeting import TOP, setup
from splashkit.timing.plan import EARLY, LOW


class OutcomeEdges(NamedTuple):
    """Lines over nozzle height: ``ends`` holds the gap at which each of ``OUTCOMES`` ends; the last one never does [s].

    ``best`` is the gap that meets the column at its top, nan where no sheet comes of it; ``weber`` is the first drop's.
    """

    nozzle_height: Any
    ends: tuple[Any, ...]
    best: Estimate
    weber: Any
    warnings: tuple[str, ...]


def outcome_edges(
    nozzle_height: Number,
    diameter: Number,
    liquid: Any = None,
    second_diameter: Number | None = None,
    release_speed: Number = 0.0,
    bowl_depth: Number | None = None,
    gravity: float = 9.80665,
) -> OutcomeEdges:
    r"""Return the gap at which each outcome ends, and the best gap with its band, for many nozzle heights.

    .. math:: \Delta_k = t_{fall,1} + t_k - t_{fall,2}\bigl(h - z(t_k)\bigr)

    Parameters
    ----------
    nozzle_height : float or array
        Nozzle tip above the still surface [m].
    diameter : float or array
        First drop's diameter [m].
    liquid : Liquid or None
        Liquid of drops and bowl; None is water at 20 degC [any].
    second_diameter : float, array or None
        Second drop's diameter; None is the same as the first [m].
    release_speed : float or array
        Downward speed of both drops at release [m/s].
    bowl_depth : float, array or None
        Depth of the liquid; None is a deep bowl [m].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    OutcomeEdges
        Where the outcomes of :func:`outcome_map` change, without a grid.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid where :func:`splashkit.splash.first_drop` is; its warnings come along. The best gap and its band are those
    of :func:`gap_for_meeting`, at the top.

    Examples
    --------
    >>> [round(end * 1e3) for end in outcome_edges(0.25, 4e-3).ends]
    [0, 15, 35, 64, 75, 91]

    References
    ----------
    As :func:`meeting`; derived here.
    """
    made = setup(nozzle_height, diameter, liquid, second_diameter, release_speed, bowl_depth, gravity)
    splash, curve = made.splash, made.splash.curve()
    gap = table(made, curve).gap
    corners = gap.shape[-1] // 4 * np.arange(5)  # touch, deepest crater, start of the column, its top, its end
    touch, deepest, start, _, gone = np.moveaxis(gap[..., corners], -1, 0)
    rise, fall = 1 - (1 - TOP) ** (1 / curve["power"]), np.sqrt(1 - TOP)  # shares at which the height passes TOP
    top_begins = curve["start"] + rise * (curve["peak"] - curve["start"])
    top_ends = curve["peak"] + fall * (curve["end"] - curve["peak"])
    second = fall_to(made, TOP * curve["height"]).time
    at_top = [made.first.time + moment - second for moment in (top_begins, top_ends)]
    ends = np.maximum.accumulate(np.stack([touch, deepest, start, *at_top, gone]))
    return OutcomeEdges(made.nozzle_height, tuple(ends), _best(made), splash.weber, splash.warnings)


def _best(made: Any) -> Estimate:
    splash = made.splash
    front = (
        -1,
        *(1,) * np.ndim(made.first.time + splash.column_peak_time.value),
    )  # all leaned splashes at once, the plain one first
    leaned = leaned_curve(splash, np.append(0.0, EARLY).reshape(front), np.append(0.0, LOW).reshape(front))
    heights = forms.surface_height(leaned["peak"], **leaned)
    room = np.all(heights < drops.fall_height(made.nozzle_height, made.second_diameter), axis=0)
    fallen = fall_to(made, np.where(room, heights, 0.0))
    gaps = made.first.time + leaned["peak"] - fallen.time
    radius = splash.column_radius.value
    fits = (
        room & (fallen.speed[0] >= CLOSING_SPEED.low) & (radius >= COLUMN_RADIUS.low) & (radius <= COLUMN_RADIUS.high)
    )
    value, low, high = (np.where(fits, line, np.nan)[()] for line in (gaps[0], gaps[1:].min(0), gaps[1:].max(0)))
    return Estimate(value, low, high, "the bands of the column's times and height")
