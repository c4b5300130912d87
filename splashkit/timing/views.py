"""Ways to look at a meeting: heights against time, the map of outcomes, the sheet's best moments."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from splashkit import drops
from splashkit.checks import Number, Range, of_kind, require
from splashkit.estimate import Estimate
from splashkit.splash import Sheet, column_height, forms
from splashkit.timing.curve import moment_of_gap, table
from splashkit.timing.meeting import DIAMETER, GAP, NOZZLE_HEIGHT, Meeting, describe, meeting, setup

SAMPLES = Range("number of samples", "1", 10, 20000, "400 is plenty for a figure")
SHARE = Range("share of the fullest sheet", "1", 0.3, 0.99, "0.8 keeps the sheet near its fullest")


class Diagram(NamedTuple):
    """Heights above the still level against time from the first release; nan where a drop is not in the air."""

    time: Any
    first: Any  # lowest point of the first drop
    second: Any  # lowest point of the second drop
    liquid: Estimate  # crater floor or column tip on the axis
    meeting: Meeting


@dataclass(frozen=True)
class OutcomeMap:
    """Outcome of every gap at every nozzle height; rows are heights, columns are gaps."""

    nozzle_height: Any
    gap: Any
    code: Any
    height: Any
    closing_speed: Any
    warnings: tuple[str, ...]


class Window(NamedTuple):
    """When a sheet is worth a picture, counted from the touch [s]."""

    opens: Estimate
    best: Estimate
    closes: Estimate


def height_time_diagram(
    nozzle_height: float,
    gap: float,
    diameter: float,
    liquid: Any = None,
    second_diameter: float | None = None,
    release_speed: float = 0.0,
    bowl_depth: float | None = None,
    gravity: float = 9.80665,
    samples: int = 400,
) -> Diagram:
    r"""Return the heights of both drops and of the column against time, ready to draw.

    .. math:: z_{drop}(t) = h - d - s(t - t_{release}),\qquad z_{liquid}(t) = z(t - t_{fall,1})

    Parameters
    ----------
    nozzle_height : float
        Nozzle tip above the still surface [m].
    gap : float
        Release of the second drop after the first [s].
    diameter : float
        First drop's diameter [m].
    liquid : Liquid or None
        Liquid of drops and bowl; None is water at 20 degC [any].
    second_diameter : float or None
        Second drop's diameter; None is the same as the first [m].
    release_speed : float
        Downward speed of both drops at release [m/s].
    bowl_depth : float or None
        Depth of the liquid; None is a deep bowl [m].
    gravity : float
        Local gravity [m/s2].
    samples : int
        How many times to draw [1].

    Returns
    -------
    Diagram
        Times, heights of the drops' lowest points, height of the liquid with its band, the meeting.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid where :func:`splashkit.splash.first_drop` is, for one height and one gap at a time. The
    liquid's curve is drawn as if no second drop came.

    Examples
    --------
    >>> drawn = height_time_diagram(0.25, 0.068, 4e-3)
    >>> len(drawn.time), bool(drawn.first[0] > 0.24)
    (400, True)

    References
    ----------
    As :func:`meeting`; derived here.
    """
    samples = int(SAMPLES.one(samples))
    nozzle_height, gap = NOZZLE_HEIGHT.one(nozzle_height), GAP.one(gap)
    diameter = DIAMETER.one(diameter)
    made = setup(nozzle_height, diameter, liquid, second_diameter, release_speed, bowl_depth, gravity)
    several = np.ndim(made.first.time) or np.ndim(made.splash.column_end.value)
    require(not several, "drawing", "arrays", "of one case", "give single numbers; call again for another case")
    met = describe(made, moment_of_gap(table(made, made.splash.curve()), gap))
    last = max(float(made.first.time + made.splash.column_end.value * 1.15), float(met.time) * 1.02)
    time = np.linspace(0, last, samples)

    def lowest(size: Any, released: float, until: float) -> Any:
        air_time = np.clip(time - released, 0, None)
        fallen = drops.position(air_time, size, made.release_speed, **made.air).distance
        there = drops.fall_height(made.nozzle_height, size) - fallen
        return np.where((time >= released) & (time <= until), there, np.nan)

    first = lowest(made.splash.diameter, 0.0, float(made.first.time))
    second = lowest(made.second_diameter, float(gap), float(met.time))
    return Diagram(time, first, second, column_height(made.splash, time - made.first.time), met)


def outcome_map(
    nozzle_heights: Any,
    gaps: Any,
    diameter: float,
    liquid: Any = None,
    second_diameter: float | None = None,
    release_speed: float = 0.0,
    bowl_depth: float | None = None,
    gravity: float = 9.80665,
) -> OutcomeMap:
    r"""Return what happens at every gap and every nozzle height.

    .. math:: (h, \Delta) \mapsto \text{outcome}, z_{meet}

    Parameters
    ----------
    nozzle_heights : array
        Nozzle heights, one a row [m].
    gaps : array
        Gaps, one a column [s].
    diameter : float
        First drop's diameter [m].
    liquid : Liquid or None
        Liquid of drops and bowl; None is water at 20 degC [any].
    second_diameter : float or None
        Second drop's diameter; None is the same as the first [m].
    release_speed : float
        Downward speed of both drops at release [m/s].
    bowl_depth : float or None
        Depth of the liquid; None is a deep bowl [m].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    OutcomeMap
        ``code`` is a place in ``OUTCOMES``; ``height`` is the meeting point.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid where :func:`splashkit.splash.first_drop` is; a map usually leaves it at some edge, and the
    warnings say at which.

    Examples
    --------
    >>> outcome_map([0.2, 0.3], [0.01, 0.06, 0.3], 4e-3).code.shape
    (2, 3)

    References
    ----------
    As :func:`meeting`; derived here.
    """
    heights = np.atleast_1d(NOZZLE_HEIGHT(nozzle_heights))
    columns = np.atleast_1d(GAP(gaps))
    met = meeting(
        heights.reshape(-1, 1),
        columns.reshape(-1),
        diameter,
        liquid,
        second_diameter,
        release_speed,
        bowl_depth,
        gravity,
    )
    return OutcomeMap(heights, columns, met.code, met.height, met.closing_speed, met.warnings)


def sheet_window(sheet: Sheet, share: Number = 0.8) -> Window:
    r"""Return when the sheet is worth a picture: from near its fullest to when it has shrunk again.

    .. math:: r(t) \ge s\,R_{max}

    Parameters
    ----------
    sheet : Sheet
        From :func:`splashkit.splash.sheet` or a meeting's ``sheet()`` [any].
    share : float or array
        Share of the fullest radius that is still worth a picture [1].

    Returns
    -------
    Window
        Opens, best and closes, after the touch, each with its band.

    Raises
    ------
    ValueError
        If the share lies outside its range.

    Notes
    -----
    Valid where :func:`splashkit.splash.sheet` is. Fingers show from about a tenth of the capillary time.

    Examples
    --------
    >>> from splashkit.splash import sheet
    >>> window = sheet_window(sheet(4e-3, 2.1))
    >>> bool(window.opens.value < window.best.value < window.closes.value)
    True

    References
    ----------
    The share is our own choice, no source; shape as in :func:`splashkit.splash.sheet`.
    """
    of_kind(sheet, Sheet, "sheet", "call splash.sheet, or take the sheet of a plan")
    share = SHARE(share)
    growth = sheet.radius_max.value - sheet.start_radius
    level = np.clip((share * sheet.radius_max.value - sheet.start_radius) / np.where(growth > 0, growth, 1.0), 0, 1)
    u = np.linspace(0, 3, 1201)
    shape = forms.sheet_shape(u, 1.0, 0.0, 1.0)
    opens = np.interp(level, shape[:401], u[:401])
    closes = np.interp(-level, -shape[400:], u[400:])
    full = sheet.full_time

    def scaled(factor: Any) -> Estimate:
        return Estimate(factor * full.value, factor * full.low, factor * full.high, full.why)

    return Window(scaled(opens), scaled(1.0), scaled(closes))
