"""How hard air holds a falling drop back: one drag law for real drops, which flatten as they speed up."""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.drops.numbers import GRAVITY, STANDARD_GRAVITY

# Defaults: water and dry air at 20 degC and 101325 Pa (IAPWS R6-95; Lemmon et al. 2000)
WATER_DENSITY = 998.2
WATER_SURFACE_TENSION = 0.07274
AIR_DENSITY = 1.204
AIR_VISCOSITY = 1.82e-5

DIAMETER = Range("drop diameter", "m", 0.5e-3, 8e-3, "give metres: a 4 mm drop is 0.004")
LIQUID_DENSITY = Range("liquid density", "kg/m3", 500.0, 2000.0, "give kg/m³: water is 998")
SURFACE_TENSION = Range("surface tension", "N/m", 0.01, 0.1, "give N/m: water is 0.0727")
AIR_DENSITY_RANGE = Range(
    "air density", "kg/m3", 1e-4, 2.0, "give kg/m³: 1.2 in a room; without air use fall_in_vacuum"
)
AIR_VISCOSITY_RANGE = Range("air viscosity", "Pa s", 1e-8, 1e-4, "give Pa s: 1.82e-5 in a room")
REYNOLDS = Range("Reynolds number in air", "1", 0.0, 2e4, "check speed and diameter", open_low=True)
WEBER_AIR = Range(
    "Weber number in air", "1", 0.0, 12.0, "a drop beyond 12 breaks up in flight; check speed and diameter"
)

# Drag law, fitted here at once to the standard drag curve of spheres (Clift, Grace & Weber 1978) and to the
# measured terminal speeds of real drops (Gunn & Kinzer 1949); see drag_coefficient
_FORM, _LAYER, _FILM, _FLATTENING = 0.332, 3.36, 37.8, 1 / 75

_NAMES = (
    "height_or_time", "diameter", "release_speed", "liquid_density", "surface_tension", "air_density", "air_viscosity",
    "gravity",
)  # fmt: skip


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


def conditions(
    liquid_density: Number, surface_tension: Number, air_density: Number, air_viscosity: Number, gravity: Number
) -> tuple[Any, ...]:
    return (
        LIQUID_DENSITY(liquid_density),
        SURFACE_TENSION(surface_tension),
        AIR_DENSITY_RANGE(air_density),
        AIR_VISCOSITY_RANGE(air_viscosity),
        GRAVITY(gravity),
    )


def drag_terms(diameter: Any, density: Any, tension: Any, air: Any, viscosity: Any, gravity: Any) -> tuple[Any, ...]:
    """Return pull and the drag's constants: drag = (film v + layer v^1.5 + form v²)(1 + (flat v²)²)."""
    pull = gravity * (1 - air / density)
    thickness, kinematic, inverse = 0.75 * air / density, viscosity / air, 1 / diameter
    film = (_FILM * thickness * kinematic) * inverse * inverse
    layer = (_LAYER * thickness * np.sqrt(kinematic)) * inverse * np.sqrt(inverse)
    flat = (np.sqrt(_FLATTENING) * air / tension) * diameter
    return pull, film, layer, (_FORM * thickness) * inverse, flat


def drag_factor(squared: Any, film: Any, layer: Any, form: Any, flat: Any) -> Any:
    """Return b [1/m] of drag = b v² at a given speed squared."""
    root = 1 / np.sqrt(np.sqrt(squared))
    bend = flat * squared
    return (form + root * (layer + root * film)) * (1 + bend * bend)


def drag_rate(pull: Any, film: Any, layer: Any, form: Any, flat: Any) -> Any:
    """Return a rough b near terminal speed [1/m]; one over it is the length of fall over which drag comes to tell."""
    sphere = np.sqrt(form) + film * (3 / np.sqrt(pull))
    return sphere * sphere + 0.75 * pull * flat


def resistance(speed: Any, film: Any, layer: Any, form: Any, flat: Any) -> Any:
    bend = flat * speed * speed
    return (film + layer * np.sqrt(speed) + form * speed) * (1 + bend * bend)


def same_shape(values: tuple[Any, ...]) -> None:
    broadcast(**{name: value for name, value in zip(_NAMES, values, strict=True) if np.ndim(value)}, one=0.0)


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
    the measured speeds. On a table set-up no drop of 2 mm or more gets near it.

    Examples
    --------
    >>> float(terminal_speed(0.005))
    9.08

    References
    ----------
    Gunn & Kinzer 1949, J. Meteorol. 6:243, Table 2 (the measurements the flattening was fitted to).
    """
    diameter = DIAMETER(diameter)
    around = conditions(liquid_density, surface_tension, air_density, air_viscosity, gravity)
    same_shape((0.0, diameter, 0.0, *around))
    pull, *drag = drag_terms(diameter, *around)
    speed = np.sqrt(pull / (2 * drag[2]))
    for _ in range(30):  # Newton's steps; the resistance grows with speed, so they close in from any start
        bend = (drag[3] * speed**2) ** 2
        squeeze = 1 + bend
        bracket = drag[0] + drag[1] * np.sqrt(speed) + drag[2] * speed
        force = bracket * squeeze * speed
        slope = (drag[0] + 1.5 * drag[1] * np.sqrt(speed) + 2 * drag[2] * speed) * squeeze
        slope = slope + 4 * bend * bracket
        speed = speed + (pull - force) / slope
    return speed
