"""How long a drop falls and how fast it lands, in air, for real drops that flatten."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range
from splashkit.drops.drag import (
    AIR_DENSITY,
    AIR_VISCOSITY,
    DIAMETER,
    WATER_DENSITY,
    WATER_SURFACE_TENSION,
    conditions,
    drag_factor,
    drag_rate,
    drag_terms,
    resistance,
    same_shape,
)
from splashkit.drops.numbers import STANDARD_GRAVITY

HEIGHT = Range("fall height", "m", 0.0, 30.0, "give metres: 40 cm is 0.4")
RELEASE_SPEED = Range("release speed", "m/s", 0.0, 3.0, "give metres a second, downwards; 0 for a drop that lets go")
TIME = Range("time since release", "s", 0.0, 10.0, "give seconds since the drop let go: 250 ms is 0.25")

# A fall has up to three legs. The first ends where drag begins to tell, _TABLE_TOP / `drag_rate` metres down. It is one
# step in height with mean drags: those at a speed squared that is less than at the end by these shares of its gain
# (_SLACK serves the first guess of that gain). The others are walked in stretches: how far [m], the stretches as shares
# of the way, and the rounds of work on each; far down a drop comes near terminal speed and takes more. _TOUCH is the
# share of a stretch where the fit touches the law. All are chosen here for the least error against an adaptive
# integration (tests/test_drops.py).
_TABLE_TOP, _SLACK, _LAG_OF_TIME, _LAG_OF_SPEED = 0.26, 1.32, 0.725, 0.405
_NEAR, _FAR = (1.5, (0.4, 0.6), 2), (np.inf, (0.15, 0.25, 0.6), 5)
_TOUCH = 0.4
_LEAST = 1e-30  # speed squared [m2/s2] that keeps 0/0 out where a drop at rest falls no way
_BLOCK = 8192  # numbers worked on at once, so that they stay in the processor's cache


class Fall(NamedTuple):
    """A fall: ``time`` from release to contact [s] and ``speed`` at contact [m/s]."""

    time: Any
    speed: Any


class Position(NamedTuple):
    """Where a falling drop is: ``distance`` fallen [m] and ``speed`` [m/s]."""

    distance: Any
    speed: Any


def _table_top(height: Any, start: Any, diameter: Any, *around: Any) -> tuple[Any, Any, Any]:
    """Fall the first leg: time, speed, and the height that is left.

    Where drag is b v² with one b, speed squared has a closed form in height, and time has one in the speeds. Two means
    of b are used, as each has its own weights: a drop spends its time while it is slow, so there the speed lags more.
    """
    pull, *drag = drag_terms(diameter, *around)
    rate = drag_rate(pull, *drag)
    way = np.minimum(height, _TABLE_TOP / rate)
    share, twice, squared = way * rate, -2 * way, start * start
    left = _SLACK / (_SLACK + share)
    rise = left * (-pull * twice - squared / _SLACK * share)  # what speed squared gains, at a first guess
    lag = left * rise

    b = drag_factor(squared + _LEAST + rise - _LAG_OF_TIME * lag * (2 - left), *drag)
    limit = pull / b
    end = squared + (squared - limit) * np.expm1(twice * b)
    terminal = np.sqrt(limit)
    time = (way + np.log((terminal + np.sqrt(end)) / (terminal + start)) / b) / terminal

    b = drag_factor(end + _LEAST - _LAG_OF_SPEED * lag, *drag)
    speed = np.sqrt(squared + (squared - pull / b) * np.expm1(twice * b))
    return time, speed, height - way


def _stretch(
    rounds: int, height: Any, start: Any, pull: Any, film: Any, layer: Any, form: Any, flat: Any
) -> tuple[Any, Any]:
    """Fall through one stretch: drag is replaced by a v + b v², which has a closed form, touching the true law twice.

    The two speeds where it touches are the one at the end and the one part-way down, so the fit is exact at
    terminal speed. Time and end speed are found together by Newton steps on the closed form h(t).
    """
    gained = 2 * pull * height
    still = start * start + gained  # speed squared without air
    time = 2 * height / (start + np.sqrt(still))
    limit = pull / (1.6 * form)  # a rough terminal speed squared, for the first guess only
    speed = np.sqrt(still * limit / (limit + gained))
    for _ in range(rounds):
        touch = np.minimum(np.sqrt(_TOUCH * speed * speed + (1 - _TOUCH) * start * start), 0.9 * speed)
        at_end = resistance(speed, film, layer, form, flat)
        b = (at_end - resistance(touch, film, layer, form, flat)) / (speed - touch)
        a = at_end - b * speed
        rate = np.sqrt(a * a + 4 * b * pull)
        terminal, other = (rate - a) / (2 * b), (rate + a) / (2 * b)
        first = (terminal - start) / (other + start)
        left = first * np.exp(-rate * time)
        speed = (terminal - left * other) / (1 + left)
        step = (height - terminal * time + np.log((1 + first) / (1 + left)) / b) / speed
        time = time + step
        # never below a tenth: a drop shot far faster than it can fall must not be guessed to climb
        speed = np.maximum(speed + (pull - (a + b * speed) * speed) * step, 0.1 * speed)
    return time, speed


def _walk(
    reach: float, shares: tuple[float, ...], rounds: int, height: Any, start: Any, diameter: Any, *around: Any
) -> tuple[Any, Any, Any]:
    """Fall a later leg: time, speed, and the height that is left."""
    terms = drag_terms(diameter, *around)
    way, time, speed = np.minimum(height, reach), 0.0, start
    for share in shares:
        taken, speed = _stretch(rounds, share * way, speed, *terms)
        time = time + taken
    return time, speed, height - way


def _in_blocks(leg: Callable[..., tuple[Any, Any, Any]], values: Sequence[Any]) -> tuple[Any, ...]:
    """Run a leg on cache-sized pieces of arrays of one length; plain numbers stay plain."""
    size = len(values[0])
    if size <= _BLOCK:
        return leg(*values)
    out = tuple(np.empty(size) for _ in range(3))
    for begin in range(0, size, _BLOCK):
        piece = slice(begin, begin + _BLOCK)
        for whole, part in zip(out, leg(*_those(values, piece)), strict=True):
            whole[piece] = part
    return out


def _those(values: Sequence[Any], which: Any) -> list[Any]:
    return [value[which] if np.ndim(value) else value for value in values]


def _in_a_row(values: Sequence[Any]) -> tuple[tuple[int, ...], list[Any]]:
    """Lay values out as arrays of one length, and tell their shape; plain numbers after the first stay plain."""
    shape = np.broadcast_shapes(*(np.shape(value) for value in values))
    laid = [np.broadcast_to(value, shape).reshape(-1) if np.ndim(value) else value for value in values[1:]]
    return shape, [np.broadcast_to(values[0], shape).reshape(-1), *laid]


def _fall(values: Sequence[Any]) -> tuple[Any, Any]:
    """Fall leg by leg, the later ones only for those still falling, so that nothing depends on its neighbours."""
    time, speed, rest = _in_blocks(_table_top, values)
    falling = np.flatnonzero(rest > 0)
    for leg in (partial(_walk, *_NEAR), partial(_walk, *_FAR)):
        if falling.size:
            more, speed[falling], left = _in_blocks(leg, _those((rest, speed, *values[2:]), falling))
            time[falling] += more
            rest[falling] = left
            falling = falling[left > 0]
    return time, speed


def fall(
    height: Number,
    diameter: Number,
    release_speed: Number = 0.0,
    *,
    liquid_density: Number = WATER_DENSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    air_density: Number = AIR_DENSITY,
    air_viscosity: Number = AIR_VISCOSITY,
    gravity: Number = STANDARD_GRAVITY,
) -> Fall:
    """Return how long a drop falls and how fast it lands.

    .. math:: \\frac{dv}{dt} = g\\left(1 - \\frac{\\rho_a}{\\rho}\\right)
              - \\frac{3}{4} C_d \\frac{\\rho_a}{\\rho} \\frac{v^2}{d}

    Parameters
    ----------
    height : float or array
        Vertical distance travelled by the drop's centre, see `fall_height` [m].
    diameter : float or array
        Drop diameter, that of the ball of equal volume [m].
    release_speed : float or array
        Downward speed at release; 0 for a drop that lets go [m/s].
    liquid_density : float or array
        Density of the drop [kg/m3].
    surface_tension : float or array
        Surface tension of the drop; it resists flattening [N/m].
    air_density : float or array
        Density of the air [kg/m3].
    air_viscosity : float or array
        Viscosity of the air [Pa s].
    gravity : float or array
        Local gravity, see `normal_gravity` [m/s2].

    Returns
    -------
    Fall
        ``time`` [s] and ``speed`` [m/s].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for drops of 0.5 to 8 mm falling up to 30 m, released at up to 3 m/s. The equation is solved by closed forms
    with mean drags; for water in a room it stays within 0.15 % of an adaptive integration of the same equation, 0.12 %
    up to 3 m (up to 0.3 % for other liquids, 0.5 % for other air and gravity or a low surface tension, 2.5 % for a drop
    released faster than its terminal speed into thicker air or weaker gravity). Drag laws in use differ by 0.2 %
    in time and 0.4 % in speed (see `fall_estimate`). Wobble and draughts are left out. Drops above 5.8 mm flatten by
    extrapolation.

    Examples
    --------
    >>> time, speed = fall(0.4, 0.004)
    >>> float(time), float(speed)
    (0.288, 2.73)

    References
    ----------
    Drag as in `drag_coefficient`; closed form derived here.
    """
    values = (
        HEIGHT(height),
        RELEASE_SPEED(release_speed),
        DIAMETER(diameter),
        *conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity),
    )
    same_shape(values)
    shape, row = _in_a_row(values)
    return Fall(*(result.reshape(shape)[()] for result in _fall(row)))


def position(
    time: Number,
    diameter: Number,
    release_speed: Number = 0.0,
    *,
    liquid_density: Number = WATER_DENSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    air_density: Number = AIR_DENSITY,
    air_viscosity: Number = AIR_VISCOSITY,
    gravity: Number = STANDARD_GRAVITY,
) -> Position:
    """Return how far a drop has fallen, and its speed, at a time since release.

    .. math:: h(t) \\text{ such that } t_{fall}(h) = t

    Parameters
    ----------
    time : float or array
        Time since release [s].
    diameter : float or array
        Drop diameter [m].
    release_speed : float or array
        Downward speed at release [m/s].
    liquid_density : float or array
        Density of the drop [kg/m3].
    surface_tension : float or array
        Surface tension of the drop [N/m].
    air_density : float or array
        Density of the air [kg/m3].
    air_viscosity : float or array
        Viscosity of the air [Pa s].
    gravity : float or array
        Local gravity [m/s2].

    Returns
    -------
    Position
        ``distance`` fallen by the centre [m] and ``speed`` [m/s].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for the drops of `fall`, whose exact inverse it is.

    Examples
    --------
    >>> distance, speed = position(0.288, 0.004)
    >>> float(distance), float(speed)
    (0.399, 2.73)

    References
    ----------
    As `fall`.
    """
    values = (
        TIME(time),
        RELEASE_SPEED(release_speed),
        DIAMETER(diameter),
        *conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity),
    )
    same_shape(values)
    shape, (moment, start, *drop) = _in_a_row(values)
    distance = start * moment + 0.5 * drop[-1] * moment**2
    for _ in range(4):
        taken, speed = _fall((distance, start, *drop))
        # never below a hundredth, so that a long overshoot cannot throw the next guess above the nozzle
        distance = np.maximum(distance + (moment - taken) * speed, 0.01 * distance)
    return Position(*(result.reshape(shape)[()] for result in (distance, _fall((distance, start, *drop))[1])))
