"""How long a drop falls and how fast it lands, in air, for real drops that flatten.

The contact convention of the whole library lives here, in :func:`fall_height`: a drop lets go
with its top at the nozzle tip, and contact is the moment its lowest point reaches the still surface.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, Range, broadcast, require
from splashkit.units import format_quantity

# Defaults: water and dry air at 20 degC and 101325 Pa (IAPWS R6-95; Lemmon et al. 2000), standard gravity (3rd CGPM)
WATER_DENSITY = 998.2
WATER_SURFACE_TENSION = 0.07274
AIR_DENSITY = 1.204
AIR_VISCOSITY = 1.82e-5
STANDARD_GRAVITY = 9.80665

DIAMETER = Range("drop diameter", "m", 0.5e-3, 8e-3, "give metres: a 4 mm drop is 0.004")
HEIGHT = Range("fall height", "m", 0.0, 30.0, "give metres: 40 cm is 0.4")
NOZZLE_HEIGHT = Range("nozzle height", "m", 0.0, 30.0, "give metres: 40 cm is 0.4", open_low=True)
RELEASE_SPEED = Range("release speed", "m/s", 0.0, 3.0, "give metres a second, downwards; 0 for a drop that lets go")
TIME = Range("time since release", "s", 0.0, 10.0, "give seconds since the drop let go: 250 ms is 0.25")
LIQUID_DENSITY = Range("liquid density", "kg/m3", 500.0, 2000.0, "give kg/m³: water is 998")
SURFACE_TENSION = Range("surface tension", "N/m", 0.01, 0.1, "give N/m: water is 0.0727")
AIR_DENSITY_RANGE = Range(
    "air density", "kg/m3", 1e-3, 2.0, "give kg/m³: 1.2 in a room; without air use fall_in_vacuum"
)
AIR_VISCOSITY_RANGE = Range("air viscosity", "Pa s", 1e-6, 1e-4, "give Pa s: 1.82e-5 in a room")
GRAVITY = Range("gravity", "m/s2", 1.0, 30.0, "give m/s²: 9.81 on Earth")
REYNOLDS = Range("Reynolds number in air", "1", 0.0, 2e4, "check speed and diameter", open_low=True)
WEBER_AIR = Range(
    "Weber number in air", "1", 0.0, 12.0, "a drop beyond 12 breaks up in flight; check speed and diameter"
)
DRAG_COEFFICIENT = Range("drag coefficient", "1", 0.0, 10.0, "0.45 is usual for a drop", open_low=True)
WOBBLE = Range("wobble amplitude", "1", 0.0, 0.3, "give the share of the radius: 0.05 is five per cent")

# Drag law, fitted here at once to the standard drag curve of spheres (Clift, Grace & Weber 1978) and to the
# measured terminal speeds of real drops (Gunn & Kinzer 1949); see drag_coefficient
_FORM, _LAYER, _FILM, _FLATTENING = 0.332, 3.36, 37.8, 1 / 75

# Two stretches of height, and the height inside a stretch where the straight-line fit touches the law.
# Both chosen here for the least error against an adaptive integration (tests/test_drops.py).
_FIRST_STRETCH, _TOUCH = 0.4, 0.4
_BLOCK = 8192  # numbers worked on at once, so that they stay in the processor's cache


_NAMES = (
    "height_or_time", "diameter", "release_speed", "liquid_density", "surface_tension", "air_density", "air_viscosity",
    "gravity",
)  # fmt: skip


class Fall(NamedTuple):
    """A fall: ``time`` from release to contact [s] and ``speed`` at contact [m/s]."""

    time: Any
    speed: Any


class Position(NamedTuple):
    """Where a falling drop is: ``distance`` fallen [m] and ``speed`` [m/s]."""

    distance: Any
    speed: Any


def fall_height(nozzle_height: Number, diameter: Number) -> Any:
    """Return the distance a drop's centre travels from release to contact.

    .. math:: h = H - d

    Parameters
    ----------
    nozzle_height : float or array
        Height of the nozzle tip above the still surface [m].
    diameter : float or array
        Drop diameter [m].

    Returns
    -------
    float or array
        Distance travelled by the centre [m].

    Raises
    ------
    ValueError
        If an input is outside its range, or the nozzle is lower than one drop diameter.

    Notes
    -----
    Valid for nozzle heights of more than one diameter. This is the contact convention of the library:
    the drop is released with its centre half a diameter below the tip, and contact is the moment its
    lowest point touches, with its centre half a diameter above the surface. A hanging drop is longer
    than a ball, so real release may be up to a diameter lower; `fall_estimate` carries that in its band.

    Examples
    --------
    >>> float(fall_height(0.4, 0.004))
    0.396

    References
    ----------
    Convention of this library; derived here.
    """
    nozzle_height, diameter = NOZZLE_HEIGHT(nozzle_height), DIAMETER(diameter)
    broadcast(nozzle_height=nozzle_height, diameter=diameter)
    distance = nozzle_height - diameter
    require(
        distance > 0,
        "nozzle height",
        format_quantity(np.min(nozzle_height), "m"),
        f"above one drop diameter ({format_quantity(np.max(diameter), 'm')})",
        "raise the nozzle or choose a smaller drop",
    )
    return distance


def drag_coefficient(reynolds: Number, weber_air: Number = 0.0) -> Any:
    """Return the drag coefficient of a drop falling in air, flattening included.

    .. math:: C_d = \\left(0.332 + \\frac{3.36}{\\sqrt{Re}} + \\frac{37.8}{Re}\\right)
              \\left(1 + \\frac{We_a^2}{75}\\right)

    Parameters
    ----------
    reynolds : float or array
        Reynolds number of the drop in air, air density x speed x diameter / air viscosity [1].
    weber_air : float or array
        Weber number in air, air density x speed² x diameter / surface tension; 0 for a rigid sphere [1].

    Returns
    -------
    float or array
        Drag coefficient on the cross-section of the sphere of equal volume [1].

    Raises
    ------
    ValueError
        If an input is outside its range.

    Notes
    -----
    Valid for drops in air at Reynolds numbers of 30 to 4000 and air Weber numbers of 0 to 8. The first bracket is a
    sphere: within 4 % of the standard curve there. Below 30 it is too high, but a drop of half a millimetre or more
    is that slow only in the first millimetres of its fall, where drag does not matter yet. The second bracket is
    flattening. Terminal speeds come within 1.3 % of the measured ones from 0.5 to 5.8 mm; a sphere is 29 % too
    fast at 5 mm.

    Examples
    --------
    >>> float(drag_coefficient(1000.0)), float(drag_coefficient(3007.0, 6.84))
    (0.476, 0.659)

    References
    ----------
    Fitted here to Clift, Grace & Weber 1978 (drag of spheres) and Gunn & Kinzer 1949, J. Meteorol. 6:243, Table 2.
    """
    reynolds, weber_air = REYNOLDS(reynolds), WEBER_AIR(weber_air)
    broadcast(reynolds=reynolds, weber_air=weber_air)
    sphere = _FORM + _LAYER / np.sqrt(reynolds) + _FILM / reynolds
    return sphere * (1 + _FLATTENING * weber_air**2)


def _conditions(
    liquid_density: Number, surface_tension: Number, air_density: Number, air_viscosity: Number, gravity: Number
) -> tuple[Any, ...]:
    return (
        LIQUID_DENSITY(liquid_density),
        SURFACE_TENSION(surface_tension),
        AIR_DENSITY_RANGE(air_density),
        AIR_VISCOSITY_RANGE(air_viscosity),
        GRAVITY(gravity),
    )


def _drag_terms(diameter: Any, density: Any, tension: Any, air: Any, viscosity: Any, gravity: Any) -> tuple[Any, ...]:
    """Return pull and the drag's constants: drag / speed = (film + layer sqrt(v) + form v)(1 + flat v^4)."""
    pull = gravity * (1 - air / density)
    scale = 0.75 * air / density / diameter
    kinematic = viscosity / (air * diameter)
    flat = _FLATTENING * (air * diameter / tension) ** 2
    return pull, scale * _FILM * kinematic, scale * _LAYER * np.sqrt(kinematic), scale * _FORM, flat


def _resistance(speed: Any, film: Any, layer: Any, form: Any, flat: Any) -> Any:
    squared = speed * speed
    return (film + layer * np.sqrt(speed) + form * speed) * (1 + flat * squared * squared)


def _stretch(height: Any, start: Any, pull: Any, film: Any, layer: Any, form: Any, flat: Any) -> tuple[Any, Any]:
    """Fall through one stretch: drag is replaced by a v + b v², which has a closed form, touching the true law twice.

    The two speeds where it touches are the one at the end and the one part-way down, so the fit is exact at
    terminal speed. Time and end speed are found together by two Newton steps on the closed form h(t).
    """
    gained = 2 * pull * height
    still = start * start + gained  # speed squared without air
    time = 2 * height / (start + np.sqrt(still))
    limit = pull / (1.6 * form)  # a rough terminal speed squared, for the first guess only
    speed = np.sqrt(still * limit / (limit + gained))
    for _ in range(2):
        touch = np.minimum(np.sqrt(_TOUCH * speed * speed + (1 - _TOUCH) * start * start), 0.9 * speed)
        at_end = _resistance(speed, film, layer, form, flat)
        b = (at_end - _resistance(touch, film, layer, form, flat)) / (speed - touch)
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


def _fall(height: Any, start: Any, terms: tuple[Any, ...]) -> tuple[Any, Any]:
    moving = height > 0
    height = np.maximum(height, 1e-12)  # keeps 0/0 out; a height of nothing is put right below
    time_one, middle = _stretch(_FIRST_STRETCH * height, start, *terms)
    time_two, speed = _stretch((1 - _FIRST_STRETCH) * height, middle, *terms)
    return np.where(moving, time_one + time_two, 0.0), np.where(moving, speed, start)


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
    Valid for drops of 0.5 to 8 mm falling up to 30 m, released at up to 3 m/s. The equation is solved by a
    closed form in two stretches; it stays within 0.1 % of an adaptive integration of the same equation up to
    3 m. Drag laws in use differ by 0.2 % in time and 0.4 % in speed (see `fall_estimate`). Wobble and draughts are
    left out. Drops above 5.8 mm flatten by extrapolation.

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
        *_conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity),
    )
    _same_shape(values)
    return Fall(*_in_blocks(values, _fall_from_inputs))


def _fall_from_inputs(height: Any, diameter: Any, start: Any, *conditions: Any) -> tuple[Any, Any]:
    return _fall(height, start, _drag_terms(diameter, *conditions))


def _same_shape(values: tuple[Any, ...]) -> None:
    broadcast(**{name: value for name, value in zip(_NAMES, values, strict=True) if np.ndim(value)}, one=0.0)


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
        *_conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity),
    )
    _same_shape(values)
    return Position(*_in_blocks(values, _position_from_inputs))


def _position_from_inputs(time: Any, diameter: Any, start: Any, *conditions: Any) -> tuple[Any, Any]:
    terms = _drag_terms(diameter, *conditions)
    distance = start * time + 0.5 * terms[0] * time**2
    for _ in range(4):
        taken, speed = _fall(distance, start, terms)
        # never below a hundredth, so that a long overshoot cannot throw the next guess above the nozzle
        distance = np.maximum(distance + (time - taken) * speed, 0.01 * distance)
    return distance, _fall(distance, start, terms)[1]


def terminal_speed(
    diameter: Number,
    *,
    liquid_density: Number = WATER_DENSITY,
    surface_tension: Number = WATER_SURFACE_TENSION,
    air_density: Number = AIR_DENSITY,
    air_viscosity: Number = AIR_VISCOSITY,
    gravity: Number = STANDARD_GRAVITY,
) -> Any:
    """Return the speed at which air drag balances the weight of a real, flattened drop.

    .. math:: g\\left(1 - \\frac{\\rho_a}{\\rho}\\right) = \\frac{3}{4} C_d \\frac{\\rho_a}{\\rho} \\frac{v^2}{d}

    Parameters
    ----------
    diameter : float or array
        Drop diameter, that of the ball of equal volume [m].
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
    float or array
        Terminal speed [m/s].

    Raises
    ------
    ValueError
        If an input is outside its range or the shapes do not fit.

    Notes
    -----
    Valid for drops of 0.5 to 8 mm; measured for water up to 5.8 mm, beyond which it is extrapolated. Within 1.3 % of
    the measured speeds. On a table set-up no drop ever gets this fast.

    Examples
    --------
    >>> float(terminal_speed(0.005))
    9.08

    References
    ----------
    Gunn & Kinzer 1949, J. Meteorol. 6:243, Table 2 (the measurements the flattening was fitted to).
    """
    diameter = DIAMETER(diameter)
    conditions = _conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity)
    _same_shape((0.0, diameter, 0.0, *conditions))
    pull, *drag = _drag_terms(diameter, *conditions)
    speed = np.sqrt(pull / (2 * drag[2]))
    for _ in range(30):  # Newton's steps; the resistance grows with speed, so they close in from any start
        squeeze = 1 + drag[3] * speed**4
        bracket = drag[0] + drag[1] * np.sqrt(speed) + drag[2] * speed
        force = bracket * squeeze * speed
        slope = (drag[0] + 1.5 * drag[1] * np.sqrt(speed) + 2 * drag[2] * speed) * squeeze
        slope = slope + 4 * drag[3] * speed**4 * bracket
        speed = speed + (pull - force) / slope
    return speed
