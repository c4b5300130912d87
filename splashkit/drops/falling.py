"""How long a drop falls and how fast it lands, in air, for real drops that flatten."""

from __future__ import annotations

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
    drag_terms,
    resistance,
    same_shape,
)
from splashkit.drops.numbers import STANDARD_GRAVITY

HEIGHT = Range("fall height", "m", 0.0, 30.0, "give metres: 40 cm is 0.4")
RELEASE_SPEED = Range("release speed", "m/s", 0.0, 3.0, "give metres a second, downwards; 0 for a drop that lets go")
TIME = Range("time since release", "s", 0.0, 10.0, "give seconds since the drop let go: 250 ms is 0.25")

# A fall is walked in stretches, given as shares of the height; _TOUCH is the share of a stretch where the fit touches
# the law. What lies beyond _TOWER_HEIGHT comes near terminal speed and takes more rounds. All chosen here for the
# least error against an adaptive integration (tests/test_drops.py).
_TABLE_TOP, _TOWER = ((0.4, 0.6), 2), ((0.15, 0.25, 0.6), 5)
_TOWER_HEIGHT, _TOUCH = 3.0, 0.4
_BLOCK = 8192  # numbers worked on at once, so that they stay in the processor's cache


class Fall(NamedTuple):
    """A fall: ``time`` from release to contact [s] and ``speed`` at contact [m/s]."""

    time: Any
    speed: Any


class Position(NamedTuple):
    """Where a falling drop is: ``distance`` fallen [m] and ``speed`` [m/s]."""

    distance: Any
    speed: Any


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
        speed = speed + (pull - (a + b * speed) * speed) * step
    return time, speed


def _walk(height: Any, start: Any, terms: tuple[Any, ...], way: tuple[tuple[float, ...], int]) -> tuple[Any, Any]:
    (shares, rounds), time, speed = way, 0.0, start
    for share in shares:
        taken, speed = _stretch(rounds, share * height, speed, *terms)
        time = time + taken
    return time, speed


def _fall(height: Any, start: Any, terms: tuple[Any, ...]) -> tuple[Any, Any]:
    moving = height > 0
    # the least height keeps 0/0 out; a height of nothing is put right below
    time, speed = _walk(np.clip(height, 1e-12, _TOWER_HEIGHT), start, terms, _TABLE_TOP)
    if np.any(height > _TOWER_HEIGHT):
        more, speed = _walk(np.maximum(height - _TOWER_HEIGHT, 0.0), speed, terms, _TOWER)
        time = time + more
    return np.where(moving, time, 0.0), np.where(moving, speed, start)


def _in_blocks(values: tuple[Any, ...], work: Any) -> tuple[Any, Any]:
    """Run ``work`` on cache-sized pieces of the broadcast values; plain numbers stay plain."""
    shape = np.broadcast_shapes(*(np.shape(value) for value in values))
    size = int(np.prod(shape))
    if size <= _BLOCK:
        first, second = work(*values)
        return np.asarray(first)[()], np.asarray(second)[()]
    flat = [np.broadcast_to(value, shape).reshape(-1) if np.ndim(value) else value for value in values]
    out = np.empty(size), np.empty(size)
    for begin in range(0, size, _BLOCK):
        piece = slice(begin, begin + _BLOCK)
        out[0][piece], out[1][piece] = work(*(value[piece] if np.ndim(value) else value for value in flat))
    return out[0].reshape(shape), out[1].reshape(shape)


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
    Valid for drops of 0.5 to 8 mm falling up to 30 m, released at up to 3 m/s. The equation is solved by a closed form
    in a few stretches; it stays within 0.15 % of an adaptive integration of the same equation, 0.1 % up to 3 m
    (0.5 % for drops above 5 mm of low surface tension). Drag laws in use differ by 0.2 % in time and 0.4 % in speed
    (see `fall_estimate`). Wobble and draughts are left out. Drops above 5.8 mm flatten by extrapolation.

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
        DIAMETER(diameter),
        RELEASE_SPEED(release_speed),
        *conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity),
    )
    same_shape(values)
    return Fall(*_in_blocks(values, _fall_from_inputs))


def _fall_from_inputs(height: Any, diameter: Any, start: Any, *around: Any) -> tuple[Any, Any]:
    return _fall(height, start, drag_terms(diameter, *around))


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
        DIAMETER(diameter),
        RELEASE_SPEED(release_speed),
        *conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity),
    )
    same_shape(values)
    return Position(*_in_blocks(values, _position_from_inputs))


def _position_from_inputs(time: Any, diameter: Any, start: Any, *around: Any) -> tuple[Any, Any]:
    terms = drag_terms(diameter, *around)
    distance = start * time + 0.5 * terms[0] * time**2
    for _ in range(4):
        taken, speed = _fall(distance, start, terms)
        # never below a hundredth, so that a long overshoot cannot throw the next guess above the nozzle
        distance = np.maximum(distance + (time - taken) * speed, 0.01 * distance)
    return distance, _fall(distance, start, terms)[1]
