"""Measuring your own rig from frames, a scale and a ruler: physics only, no widgets.

Each aid returns an :class:`~splashkit.estimate.Estimate` whose band is about 90 %, from the reading
errors given. Heights are of a drop's middle above the still surface.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit import drops
from splashkit.checks import Number, Range, require
from splashkit.estimate import Estimate
from splashkit.units import format_quantity

BUOYANCY = 1.204 / 998.2  # density of air over that of water at 20 degC
NINETY = 1.645  # standard deviations on either side that hold 90 % of a bell curve
_LEAST_FALL = 1e-4  # m: a frame at the nozzle, read a little too high, has not fallen at all
_MOST_ROUNDS = 30  # of a fit that usually needs three or four
_SAME_MOMENT = 1e-6  # s: far below what any frame can tell

_HEIGHT = Range("height seen", "m", -0.05, 3.0, "give metres above the still surface: 12 mm is 0.012")
_NOZZLE = Range("nozzle height", "m", 0.02, 3.0, "give metres from the nozzle's tip to the still surface")
_DIAMETER = Range("drop diameter", "m", 0.5e-3, 8e-3, "give metres: a 4 mm drop is 0.004")
_MOMENT = Range("delay", "s", 0.0, 10.0, "give seconds: 230 ms is 0.23")
_ERROR = Range("reading error", "m", 0.0, 0.02, "give metres: half a millimetre is 0.0005", open_low=True)
_NOZZLE_ERROR = Range("error of the nozzle height", "m", 0.0, 0.02, "give metres: half a millimetre is 0.0005")
_TIME_ERROR = Range("timing error", "s", 0.0, 0.1, "give seconds: 0.3 ms is 0.0003")
_VALVE = Range("valve delay", "s", 0.0, 0.5, "give seconds: 12 ms is 0.012")
_SPEED = Range("release speed", "m/s", 0.0, 3.0, "give metres a second; 0 for a drop that lets go")
_PIXELS = Range("position in pixels", "1", -1e6, 1e6, "give the pixel's row or column number")
_SCALE = Range("scale", "1", 1.0, 1e7, "give pixels a metre: 100 pixels a millimetre is 100000")
_LENGTH = Range("ruler length", "m", 1e-4, 2.0, "give metres: 20 mm is 0.02")
_MASS = Range("mass", "kg", 1e-7, 1.0, "give kilograms: 3.3 g is 0.0033")
_COUNT = Range("number of drops", "1", 1, 100000, "give how many drops were weighed together")
_DENSITY = Range("liquid density", "kg/m3", 500.0, 2000.0, "give kg/m³: water is 998")
_EDGE = Range("position of the shadow's edge", "1", 0.0, 1.0, "give the share of the frame uncovered, 0 to 1")


class Line(NamedTuple):
    """Two numbers found together by one fit, each with its band."""

    first: Estimate
    second: Estimate


def _band(value: float, error: float, why: str, lowest: float = -np.inf) -> Estimate:
    return Estimate(value, max(value - NINETY * error, lowest), value + NINETY * error, why)


def scale_from_ruler(first_pixel: Number, second_pixel: Number, length: Number) -> Any:
    """Return pixels a metre from two marks of a ruler, photographed where the drops fall.

    .. math:: s = |p_2 - p_1| / L

    Parameters
    ----------
    first_pixel, second_pixel : float or array
        Where the two marks lie in the frame [pixels].
    length : float or array
        Distance between the marks on the ruler [m].

    Returns
    -------
    float or array
        The scale [pixels/m].

    Raises
    ------
    ValueError
        If the marks lie on one pixel, or a value is out of range.

    Notes
    -----
    Valid where the ruler stands in the plane of the drops. A ruler 1 % nearer the lens reads 1 % large.

    Examples
    --------
    >>> float(scale_from_ruler(500, 2500, 0.020))
    100000.0

    References
    ----------
    Derived here.
    """
    pixels = np.abs(_PIXELS(second_pixel) - _PIXELS(first_pixel))
    require(np.all(pixels > 0), "ruler's two marks", "the same pixel", "on different pixels", "pick marks far apart")
    return (pixels / _LENGTH(length))[()]


def height_from_pixels(pixel: Number, surface_pixel: Number, scale: Number) -> Any:
    """Return a height above the still surface from pixel rows counted from the frame's top.

    .. math:: z = (p_{surface} - p) / s

    Parameters
    ----------
    pixel : float or array
        Row of the drop's middle or the column's top, counted down from the frame's top [pixels].
    surface_pixel : float or array
        Row of the still surface at the column's place [pixels].
    scale : float or array
        From :func:`scale_from_ruler` [pixels/m].

    Returns
    -------
    float or array
        Height; below zero under the surface [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a level camera. Looking down by an angle shortens heights by its cosine: 15 degrees, 3.4 %.

    Examples
    --------
    >>> float(height_from_pixels(1200, 3200, 100000.0))
    0.02

    References
    ----------
    Derived here.
    """
    return ((_PIXELS(surface_pixel) - _PIXELS(pixel)) / _SCALE(scale))[()]


def lag_from_drop(
    height: float,
    delay: float,
    nozzle_height: float,
    diameter: float,
    valve_delay: float = 0.0,
    release_speed: float = 0.0,
    height_error: float = 0.5e-3,
    timing_error: float = 0.5e-3,
) -> Estimate:
    r"""Return the lag from the camera's signal to the light, from one frame of the falling first drop.

    .. math:: lag = t_{valve} + t_{fall}(H - d/2 - z) - D

    Parameters
    ----------
    height : float
        Height of the drop's middle in the frame, above the still surface [m].
    delay : float
        Delay set, from the valve's signal to the camera's signal [s].
    nozzle_height : float
        Nozzle tip to the still surface [m].
    diameter : float
        Drop diameter [m].
    valve_delay : float
        Valve's signal to the drop's release; 0 gives the lag less this delay, which is all timing needs [s].
    release_speed : float
        Speed of the drop as it lets go [m/s].
    height_error : float
        Reading error of the height, one standard deviation [m].
    timing_error : float
        Scatter of valve and shutter together, one standard deviation [s].

    Returns
    -------
    Estimate
        The lag [s].

    Raises
    ------
    ValueError
        If the drop is seen above the nozzle or in the water, or a value is out of range.

    Notes
    -----
    Valid for any drop still in the air. At 2 m/s a millimetre is half a millisecond. Includes all between
    the camera's signal and the light: link, lag, curtain.

    Examples
    --------
    >>> lag_from_drop(0.02, 0.15, 0.25, 0.004, valve_delay=0.012).text("s")
    '79 ms (78.1 to 79.9 ms)'

    References
    ----------
    Fall times: :func:`splashkit.drops.fall`. Method: common practice, no source.
    """
    z, delay = _HEIGHT.one(height), _MOMENT.one(delay)
    nozzle, d = _NOZZLE.one(nozzle_height), _DIAMETER.one(diameter)
    valve, start = _VALVE.one(valve_delay), _SPEED.one(release_speed)
    error, jitter = _ERROR.one(height_error), _TIME_ERROR.one(timing_error)
    require(
        z < nozzle - d / 2,
        "height seen",
        format_quantity(z, "m"),
        f"below the drop's start at {format_quantity(nozzle - d / 2, 'm')}",
        "measure up from the still surface, and check the scale",
    )
    _in_the_air(z, d, 0.0)
    fallen = drops.fall(nozzle - d / 2 - z, d, start)
    spread = float(np.hypot(error / max(float(fallen.speed), 0.05), jitter))
    value = valve + float(fallen.time) - delay
    require(
        value > -0.02,
        "delay",
        format_quantity(delay, "s"),
        f"shorter than the {format_quantity(valve + float(fallen.time), 's')} the drop took to get there",
        "check the delay, the height and which drop it was: the light cannot come before its signal",
    )
    return _band(value, spread, "reading of the height, and scatter of valve and shutter")


def curtain_from_series(flash_delays: Any, edges: Any, edge_error: float = 0.02) -> Line:
    r"""Return shutter lag and curtain travel from frames in which the first curtain still shadows a part.

    .. math:: t_i = lag + y_i t_c

    Parameters
    ----------
    flash_delays : array
        Camera's signal to the flash, one a frame: the flash is fired by the timer, not by the camera [s].
    edges : array
        Share of the frame already uncovered in each, 0 to 1, from the side that opens first [1].
    edge_error : float
        Reading error of that share, one standard deviation [1].

    Returns
    -------
    Line
        ``first``: the lag to the curtain's start; ``second``: its travel [s].

    Raises
    ------
    ValueError
        If fewer than three frames, or all edges at one place, or later flashes show less.

    Notes
    -----
    Valid for frames whose edge lies inside the frame. Curtains do not run evenly; the straight line is their average.

    Examples
    --------
    >>> line = curtain_from_series([0.0510, 0.0515, 0.0520, 0.0525], [0.32, 0.51, 0.66, 0.85])
    >>> round(line.first.value * 1e3, 1), round(line.second.value * 1e3, 1)
    (50.1, 2.9)

    References
    ----------
    Straight-line fit, textbook; method derived here.
    """
    moments, shares = np.atleast_1d(_MOMENT(flash_delays)), np.atleast_1d(_EDGE(edges))
    error = float(
        Range("edge error", "1", 0.0, 0.5, "give a share of the frame: 2 % is 0.02", open_low=True)(edge_error)
    )
    _same_length(moments, shares, 3)
    require(np.ptp(moments) > 0, "flash delays", "all the same", "different", "change the delay between frames")
    # the edge carries the error, so fit edge on time and turn it round
    slope, level, covariance = _line(moments, shares, error)
    require(
        slope > 0,
        "shadow's edges",
        "falling with later flashes",
        "growing with later flashes",
        "measure from the side that is uncovered first",
    )
    draws = _draws(slope, level, covariance)
    travel, lag = 1 / draws[0], -draws[1] / draws[0]
    why = f"{len(moments)} frames, edge read to {100 * error:.0f} % of the frame"
    return Line(_from_draws(-level / slope, lag, why), _from_draws(1 / slope, travel, why))


def valve_from_heights(
    light_moments: Any,
    heights: Any,
    nozzle_height: float,
    diameter: float,
    height_error: float = 0.5e-3,
    gravity: float = 9.80665,
    nozzle_error: float = 0.5e-3,
) -> Line:
    r"""Return valve delay and release speed from frames of the first drop at several delays.

    .. math:: s - \tfrac12 g t^2 = (v_0 - g\,t_v)\,t + (\tfrac12 g t_v^2 - v_0 t_v)

    Parameters
    ----------
    light_moments : array
        Valve's signal to the light, one a frame: best on an open shutter in the dark [s].
    heights : array
        Height of the drop's middle in each [m].
    nozzle_height : float
        Nozzle tip to the still surface [m].
    diameter : float
        Drop diameter [m].
    height_error : float
        Reading error of the heights, one standard deviation [m].
    gravity : float
        Local gravity [m/s2].
    nozzle_error : float
        Error of the nozzle's height, one standard deviation: it shifts every frame alike [m].

    Returns
    -------
    Line
        ``first``: the valve delay [s]; ``second``: the release speed [m/s].

    Raises
    ------
    ValueError
        If fewer than three frames, all at one delay, a drop in the water, a later frame shows the drop higher,
        or no drop from this nozzle can be so low so early.

    Notes
    -----
    Valid for drops still in the air. Less half g t squared the path is a straight line in t: its slope and
    level give both unknowns. Air drag is put back first. With frames of the last centimetres only, the two
    are hard to tell apart and both bands are wide: spread the delays over the fall. The nozzle's height
    matters as much as the frames: half a millimetre there is some milliseconds of valve delay.

    Examples
    --------
    >>> from splashkit import drops
    >>> t = np.array([0.08, 0.12, 0.16, 0.20])
    >>> z = 0.25 - 0.002 - drops.position(t - 0.012, 0.004, 0.2).distance
    >>> line = valve_from_heights(t, z, 0.25, 0.004)
    >>> round(line.first.value * 1e3, 1), round(line.second.value, 2)
    (12.0, 0.2)

    References
    ----------
    Derived here; air drag from :func:`splashkit.drops.fall`.
    """
    moments, seen = np.atleast_1d(_MOMENT(light_moments)), np.atleast_1d(_HEIGHT(heights))
    nozzle, d, error = _NOZZLE.one(nozzle_height), _DIAMETER.one(diameter), _ERROR.one(height_error)
    shift = _NOZZLE_ERROR.one(nozzle_error)
    g = Range("gravity", "m/s2", 9.7, 9.9, "leave it at 9.80665 or take it from your latitude").one(gravity)
    g *= 1 - BUOYANCY
    _same_length(moments, seen, 3)
    require(np.ptp(moments) > 0, "light moments", "all the same", "different", "change the delay between frames")
    order = np.argsort(moments)
    require(
        np.all(np.diff(seen[order]) <= 4 * error),
        "heights seen",
        "rising with later frames",
        "falling with later frames",
        "check which frame had which delay",
    )
    _in_the_air(float(seen.min()), d, 4 * error)
    path = nozzle - d / 2 - seen
    require(
        np.all(path > -4 * error),
        "height seen",
        format_quantity(float(seen.max()), "m"),
        f"below the drop's start at {format_quantity(nozzle - d / 2, 'm')}",
        "measure up from the still surface, and check the scale",
    )
    # what air takes off each fall depends a little on what is sought: begin with drops that let go at rest
    lost = 0.5 * g * drops.fall(np.maximum(path, _LEAST_FALL), d, gravity=gravity).time ** 2 - path
    valve, before = 0.0, np.inf
    for _ in range(_MOST_ROUNDS):
        slope, level, covariance = _line(moments, path + lost - 0.5 * g * moments**2, error)
        valve, start = _roots(slope, level, g)
        if abs(valve - before) < _SAME_MOMENT:
            break
        before, time = valve, np.maximum(moments - valve, 0.0)
        real = drops.position(time, d, start, gravity=gravity).distance
        lost = start * time + 0.5 * g * time**2 - real
    covariance[1, 1] += shift**2  # a wrong nozzle height moves all frames together
    draws = _draws(slope, level, covariance)
    # without a root no drop falls so; half of all draws have none where a drop lets go at rest
    possible = draws[0] ** 2 - 2 * g * draws[1] > 0
    require(
        possible.any(),
        "heights seen",
        "lower than a drop can have fallen by then",
        f"those of a drop that let go at {format_quantity(nozzle, 'm')} after the valve's signal",
        "check the nozzle's height, the scale, and which frame had which delay",
    )
    if possible.mean() < 0.05:  # then the band holds what is possible
        draws = draws[:, possible]
    valves, starts = _roots(draws[0], draws[1], g)
    why = (
        f"{len(moments)} frames, heights read to {format_quantity(error, 'm')}, nozzle to {format_quantity(shift, 'm')}"
    )
    return Line(_from_draws(float(valve), valves, why), _from_draws(float(start), starts, why))


def drop_from_weighing(mass: Number, count: Number, density: Number = 998.2, mass_error: Number = 0.01e-3) -> Estimate:
    r"""Return the drop's diameter from the mass of many drops weighed together.

    .. math:: d = \left(\frac{6 m}{\pi \rho N}\right)^{1/3}

    Parameters
    ----------
    mass : float or array
        Mass of all the drops [kg].
    count : float or array
        How many drops [1].
    density : float or array
        Density of the liquid [kg/m3].
    mass_error : float or array
        Error of the scale, one standard deviation [kg].

    Returns
    -------
    Estimate
        Diameter of the ball of the same volume [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for equal drops. The cube root is kind: 3 % of mass is 1 % of diameter. Weigh 50 or 100 drops, and
    cover the cup: a warm dry room takes some milligrams a minute.

    Examples
    --------
    >>> drop_from_weighing(3.35e-3, 100).text("m")
    '4.002 mm (3.995 to 4.009 mm)'

    References
    ----------
    Volume of a ball, textbook.
    """
    m, n, rho = _MASS(mass), _COUNT(count), _DENSITY(density)
    error = Range("scale's error", "kg", 0.0, 0.1, "give kilograms: 0.01 g is 0.00001")(mass_error)
    value = np.cbrt(6 * m / (np.pi * rho * n))
    spread = value * error / (3 * m)
    return Estimate(value, value - NINETY * spread, value + NINETY * spread, "the scale's error")


def flash_duration_from_blur(
    streak: Number, diameter: Number, speed: Number, length_error: Number = 0.05e-3
) -> Estimate:
    r"""Return the flash's duration from the length of a blurred falling drop.

    .. math:: T = (L - d)/v

    Parameters
    ----------
    streak : float or array
        Length of the drop's image along its fall, measured on the subject's scale [m].
    diameter : float or array
        The drop across its fall in the same frame, which does not blur [m].
    speed : float or array
        Speed of the drop there [m/s].
    length_error : float or array
        Reading error of a length, one standard deviation [m].

    Returns
    -------
    Estimate
        Duration, nearest to t0.1 where the faint ends are seen [s].

    Raises
    ------
    ValueError
        If the streak is shorter than the drop by more than the reading error, or a value is out of range.

    Notes
    -----
    Valid for a streak longer than the reading error and a drop as long as wide. A wobbling drop is up to some
    per cent longer or shorter: average over several frames. How faint an end still counts decides
    between t0.5 and t0.1.

    Examples
    --------
    >>> flash_duration_from_blur(4.9e-3, 4.0e-3, 2.2).text("s")
    '409 µs (356 to 462 µs)'

    References
    ----------
    Derived here.
    """
    length = Range("streak", "m", 1e-4, 0.5, "give metres on the subject: 4.9 mm is 0.0049")(streak)
    d, error = _DIAMETER(diameter), _ERROR(length_error)
    v = Range("speed", "m/s", 0.05, 12.0, "give metres a second, from the fall")(speed)
    require(
        np.all(length - d > -3 * error),
        "streak",
        format_quantity(float(np.min(length)), "m"),
        f"at least the drop's width of {format_quantity(float(np.max(d)), 'm')}",
        "measure along the fall; check that the drop is not squashed by a slit or a wobble",
    )
    value = np.maximum(length - d, 0.0) / v
    spread = np.sqrt(2) * error / v
    return Estimate(value, np.maximum(value - NINETY * spread, 0.0), value + NINETY * spread, "reading of two lengths")


def scatter_from_heights(heights: Any, speed: float, height_error: float = 0.3e-3) -> Estimate:
    r"""Return the scatter of the timing from the heights of one drop in several frames at one setting.

    .. math:: s_t = \sqrt{s_z^2 - e_z^2}\,/\,v

    Parameters
    ----------
    heights : array
        Heights of the drop's middle, one a frame [m].
    speed : float
        Speed of the drop there [m/s].
    height_error : float
        Reading error of a height, one standard deviation [m].

    Returns
    -------
    Estimate
        Standard deviation of light against drop [s].

    Raises
    ------
    ValueError
        If fewer than three heights, or a value is out of range.

    Notes
    -----
    Valid for three frames or more; with five the scatter is known to a factor of two only, with twenty to a third.

    Examples
    --------
    >>> round(scatter_from_heights([0.0200, 0.0212, 0.0191, 0.0206, 0.0195], 2.2).value * 1e3, 2)
    0.36

    References
    ----------
    Chi-square band in the form of Wilson and Hilferty 1931 (from memory): its upper end is 14 % too wide for
    three frames, 4 % for four, within 2 % from five.
    """
    seen = np.atleast_1d(_HEIGHT(heights))
    v = Range("speed", "m/s", 0.05, 12.0, "give metres a second, from the fall").one(speed)
    error = _ERROR.one(height_error)
    _same_length(seen, seen, 3)
    free = len(seen) - 1
    variance = float(np.var(seen, ddof=1))
    low, high = (free * (1 - 2 / (9 * free) + side * NINETY * np.sqrt(2 / (9 * free))) ** 3 for side in (1, -1))

    def clean(value: float) -> float:
        return float(np.sqrt(max(value - error**2, 0.0)) / v)

    ends = (clean(variance * free / low), clean(variance * free / max(high, 1e-3)))
    return Estimate(clean(variance), *ends, f"{len(seen)} frames")


def _same_length(one: Any, other: Any, least: int) -> None:
    require(
        len(one) == len(other) and len(one) >= least and one.ndim == other.ndim == 1,
        "frames",
        f"{len(one)} and {len(other)} numbers",
        f"two rows of the same length, {least} or more",
        "give one number a frame",
    )


def _in_the_air(lowest: float, diameter: float, slack: float) -> None:
    """Refuse a drop that has met the water: from there on it no longer falls as in air."""
    require(
        lowest >= diameter / 2 - slack,
        "height seen",
        format_quantity(lowest, "m"),
        f"at least {format_quantity(diameter / 2, 'm')}, half the drop, for lower down it is in the water",
        "take a frame of the drop still in the air, a little earlier, and measure up from the still surface",
    )


def _line(x: Any, y: Any, error: float) -> tuple[float, float, Any]:
    """Least-squares slope and level, with their covariance; a worse fit than the error widens it."""
    design = np.stack([x, np.ones_like(x)], axis=1)
    inverse = np.linalg.inv(design.T @ design)
    slope, level = inverse @ design.T @ y
    rest = y - slope * x - level
    scatter = max(float(rest @ rest) / max(len(x) - 2, 1), error**2)
    return float(slope), float(level), inverse * scatter


def _draws(slope: float, level: float, covariance: Any) -> Any:
    random = np.random.default_rng(3)
    return random.multivariate_normal([slope, level], covariance, size=4000).T


def _roots(slope: Any, level: Any, gravity: float) -> tuple[Any, Any]:
    """Solve slope = v0 - g tv and level = g tv^2/2 - v0 tv for tv and v0."""
    start = np.sqrt(np.maximum(slope**2 - 2 * gravity * level, 0.0))
    return (start - slope) / gravity, start


def _from_draws(value: float, draws: Any, why: str) -> Estimate:
    low, high = np.quantile(draws, [0.05, 0.95])
    return Estimate(value, float(min(low, value)), float(max(high, value)), why)
