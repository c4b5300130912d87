"""Relations of water: the fall of a drop, its wobble, its splash, and the gap that makes two meet."""

from __future__ import annotations

from typing import Any

from splashkit.workings.base import Relation, Symbol

_HEIGHT = Symbol("height", "h", "height the drop falls", "m", 0.02, 2.0)
_GRAVITY = Symbol("gravity", "g", "local gravity", "m/s2", 9.76, 9.84)
_WATER, _AIR = 1000.0, 1.2  # kg/m3, only to hand the same terminal speed to the numeric function


def _fall_in_vacuum(height: float, gravity: float) -> Any:
    from splashkit.drops.simple import fall_in_vacuum

    return fall_in_vacuum(height, gravity=gravity).time


def _speed_in_vacuum(height: float, gravity: float) -> Any:
    from splashkit.drops.simple import fall_in_vacuum

    return fall_in_vacuum(height, gravity=gravity).speed


def _fall_with_drag(height: float, gravity: float, terminal_speed: float) -> Any:
    from splashkit.drops.simple import fall_constant_drag

    diameter = 0.004
    coefficient = 4 * gravity * _WATER * diameter / (3 * _AIR * terminal_speed**2)
    # the numeric function takes the lift of the air off gravity: give it that much more
    whole = gravity / (1 - _AIR / _WATER)
    return fall_constant_drag(
        height, diameter, coefficient, liquid_density=_WATER, air_density=_AIR, gravity=whole
    ).time


def _meeting_gap(column_time: float, height: float, meeting_height: float, gravity: float) -> Any:
    from splashkit.drops.simple import fall_in_vacuum

    whole = fall_in_vacuum(height, gravity=gravity).time
    return column_time + whole - fall_in_vacuum(height - meeting_height, gravity=gravity).time


def _sheet_full_time(density: float, diameter: float, surface_tension: float) -> Any:
    from splashkit.splash import constants, forms

    return constants.SHEET_FULL * forms.capillary_time(diameter, density, surface_tension)


FALL_IN_VACUUM = Relation(
    name="fall_in_vacuum",
    title="How long a drop falls, without air",
    equation="time = sqrt(2 * height / gravity)",
    symbols=(Symbol("time", "t", "time of the fall", "s", 0.0, 2.0), _HEIGHT, _GRAVITY),
    source="derived here; any mechanics text",
    same_as=_fall_in_vacuum,
)

SPEED_IN_VACUUM = Relation(
    name="speed_in_vacuum",
    title="How fast a drop arrives, without air",
    equation="speed = sqrt(2 * gravity * height)",
    symbols=(Symbol("speed", "v", "speed at the water", "m/s", 0.0, 10.0), _HEIGHT, _GRAVITY),
    source="derived here; any mechanics text",
    same_as=_speed_in_vacuum,
)

FALL_WITH_DRAG = Relation(
    name="fall_with_drag",
    title="How long a drop falls, with the drag of the air",
    equation="time = terminal_speed / gravity * acosh(exp(gravity * height / terminal_speed**2))",
    symbols=(
        Symbol("time", "t", "time of the fall", "s", 0.0, 2.0),
        _HEIGHT,
        _GRAVITY,
        Symbol("terminal_speed", "V", "speed at which drag would balance the weight", "m/s", 5.0, 12.0),
    ),
    source="derived here for a drag coefficient that stays the same; any mechanics text",
    same_as=_fall_with_drag,
)

MEETING_GAP = Relation(
    name="meeting_gap",
    title="Gap between two drops that meet at a height above the water",
    equation="gap = column_time + sqrt(2 * height / gravity) - sqrt(2 * (height - meeting_height) / gravity)",
    symbols=(
        Symbol("gap", "Delta", "gap between the two releases", "s", 0.0, 1.0),
        Symbol(
            "column_time",
            "t_col",
            "time from first contact until the column reaches the meeting height",
            "s",
            0.01,
            0.3,
        ),
        _HEIGHT,
        Symbol("meeting_height", "z", "meeting height above the still water", "m", 0.001, 0.15),
        _GRAVITY,
    ),
    source="derived here, both drops of one size and without air",
    same_as=_meeting_gap,
    where=lambda height, meeting_height, **_: meeting_height < 0.95 * height,
)


def _fall_with_push(height: float, gravity: float, release_speed: float) -> Any:
    from splashkit.drops.simple import fall_in_vacuum

    return fall_in_vacuum(height, release_speed, gravity).time


def _wobble_frequency(diameter: float, density: float, surface_tension: float) -> Any:
    from splashkit.drops import wobble_frequency

    return wobble_frequency(diameter, density, surface_tension)


def _crater_depth(diameter: float, froude: float, bond: float) -> Any:
    from splashkit.splash import forms

    return forms.crater_depth(diameter, froude, bond)


def _column_start(depth: float, density: float, surface_tension: float, gravity: float) -> Any:
    from splashkit.splash import forms

    return forms.column_start(depth, density, surface_tension, gravity)


_DENSITY = Symbol("density", "rho", "density of the liquid", "kg/m3", 800.0, 1300.0)
_TENSION = Symbol("surface_tension", "sigma", "surface tension of the liquid", "N/m", 0.02, 0.08)
_DIAMETER = Symbol("diameter", "d", "diameter of the drop", "m", 1e-3, 8e-3)

FALL_WITH_PUSH = Relation(
    name="fall_with_push",
    title="How long a drop falls, without air, when the valve gives it a push",
    equation="time = (sqrt(release_speed**2 + 2 * gravity * height) - release_speed) / gravity",
    symbols=(
        Symbol("time", "t", "time of the fall", "s", 0.0, 2.0),
        _HEIGHT,
        _GRAVITY,
        Symbol("release_speed", "v_0", "speed of the drop as it lets go", "m/s", 0.0, 3.0),
    ),
    source="derived here; any mechanics text",
    same_as=_fall_with_push,
)

HEIGHT_COST = Relation(
    name="height_cost",
    title="What a little more height costs",
    equation="late = height_change / speed",
    symbols=(
        Symbol("late", "t_late", "time by which the drop arrives later", "s", 0.0, 1.0),
        Symbol("height_change", "h_more", "height added", "m", 1e-4, 0.05),
        Symbol("speed", "v", "speed of the drop at the water", "m/s", 0.1, 8.0),
    ),
    source="derived here: the last stretch is passed at the landing speed",
    alone="it is a distance over a speed; the panel takes the exact difference of two falls",
)

WOBBLE_FREQUENCY = Relation(
    name="wobble_frequency",
    title="How often a drop swings between long and flat",
    equation="frequency = 4 / pi * sqrt(surface_tension / (density * diameter**3))",
    symbols=(
        Symbol("frequency", "f", "number of swings in a second", "Hz", 1.0, 2000.0),
        _TENSION,
        _DENSITY,
        _DIAMETER,
    ),
    source="Rayleigh 1879, lowest mode, written with the diameter",
    same_as=_wobble_frequency,
)

CRATER_DEPTH = Relation(
    name="crater_depth",
    title="How deep the crater gets",
    equation="depth = diameter * sqrt(sqrt(4 / bond**2 + 0.57 * (froude / 120)**(-0.208) * froude / 3) - 2 / bond)",
    symbols=(
        Symbol("depth", "R", "depth of the crater at its deepest", "m", 0.0, 0.1),
        _DIAMETER,
        Symbol("froude", "F", "Froude number: speed squared over gravity times diameter", "1", 20.0, 600.0),
        Symbol("bond", "B", "Bond number: weight of the drop against its surface tension", "1", 0.1, 15.0),
    ),
    source="energy balance after Engel 1966; share of the energy fitted to our own simulations",
    same_as=_crater_depth,
)

COLUMN_START = Relation(
    name="column_start",
    title="When the column passes the still level",
    equation="start = pi / sqrt(gravity * 3.1 / depth + surface_tension / density * (3.1 / depth)**3)",
    symbols=(
        Symbol("start", "t_start", "time from first contact to the column at the level", "s", 1e-3, 0.3),
        _GRAVITY,
        Symbol("depth", "R", "depth of the crater at its deepest", "m", 2e-3, 0.04),
        _TENSION,
        _DENSITY,
    ),
    source="our own: half a period of the wave that fits the crater (Lamb), 3.1 fitted to our own simulations",
    same_as=_column_start,
)

SHEET_FULL_TIME = Relation(
    name="sheet_full_time",
    title="How long the sheet takes to its fullest",
    equation="full_time = 0.557 * sqrt(density * diameter**3 / (6 * surface_tension))",
    symbols=(
        Symbol("full_time", "t_full", "time from the meeting to the fullest sheet", "s", 1e-4, 0.1),
        Symbol("density", "rho", "density of the liquid", "kg/m3", 700.0, 1300.0),
        Symbol("diameter", "d", "second drop's diameter", "m", 1e-3, 8e-3),
        Symbol("surface_tension", "sigma", "surface tension of the liquid", "N/m", 0.02, 0.08),
    ),
    source="time scale of Villermaux & Bossa 2011 (from memory); its factor from own simulation, not published",
    same_as=_sheet_full_time,
)

LIGHT_DELAY = Relation(
    name="light_delay",
    title="When the light must come, from the first drop's release",
    equation="delay = first_fall + column_time + sheet_time",
    symbols=(
        Symbol("delay", "t_light", "delay from the first release to the light", "s", 0.0, 3.0),
        Symbol("first_fall", "t_fall", "time of the first drop's fall", "s", 0.02, 1.0),
        Symbol("column_time", "t_col", "time from first contact until drop and column meet", "s", 0.01, 0.3),
        Symbol("sheet_time", "t_full", "time from the meeting to the fullest sheet", "s", 1e-4, 0.1),
    ),
    source="derived here",
    alone="a plain sum of three times that are computed elsewhere",
)

RELATIONS = (
    FALL_IN_VACUUM,
    SPEED_IN_VACUUM,
    FALL_WITH_DRAG,
    FALL_WITH_PUSH,
    HEIGHT_COST,
    WOBBLE_FREQUENCY,
    CRATER_DEPTH,
    COLUMN_START,
    MEETING_GAP,
    SHEET_FULL_TIME,
    LIGHT_DELAY,
)
