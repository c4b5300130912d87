"""The scene of two drops: splash, crown, column, and the sheet where the second drop meets the column.

Time zero is when the first drop touches the water.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from splashkit import splash
from splashkit.checks import Number, Range, of_kind, require
from splashkit.picture.bodies import Column, Drop
from splashkit.picture.column import SWELL
from splashkit.picture.films import Crown, Film, Sheet, layers
from splashkit.picture.hollow import Hollow
from splashkit.picture.scene import DIAMETER, Scene, Surface, look_or_clear
from splashkit.picture.shade import Look
from splashkit.units import format_quantity

GAP = Range("gap between the drops", "s", 1e-4, 2, "give seconds: 70 ms is 0.07")
FALL_SPEED = Range("falling speed", "m/s", 0.3, 9.5, "give metres a second, downward positive")
HEAD_SPEED = 0.45  # m/s upward, of a head as it pinches off: 0.37-0.6 in our own simulation, not published

AFTER_SHEET = "Where the sheet's water went is drawn, not predicted."
INTO_CRATER = "What the second drop made of the open crater is not drawn."
ONLY_CROWN = "Of the second drop's own splash, only the crown is drawn."
HEAD_LEFT_OUT = "The column's loose head, which the second drop may meet first, is not drawn."


def collision(
    diameter: Number = 4e-3,
    speed: Number = 2.18,
    gap: Number = 0.069,
    second_diameter: Number | None = None,
    second_speed: Number | None = None,
    liquid: Any = None,
    look: Look | None = None,
    made: Any = None,
    sheet: Any = None,
) -> Scene:
    r"""Make the scene of two drops: splash, crown, column, and the sheet where the second drop meets the column.

    .. math:: z_2(t) = \tfrac{d_2}{2} + v_2\,(t_{gap} - t) - \tfrac12 g\,(t_{gap} - t)^2

    Parameters
    ----------
    diameter : float
        Diameter of the first drop [m].
    speed : float
        Its speed as it reaches the water [m/s].
    gap : float
        From the first drop's touch to when the second would touch the still water [s].
    second_diameter : float or None
        Diameter of the second drop; None is the same [m].
    second_speed : float or None
        Its speed at the still water; None is the same [m/s].
    liquid : Liquid or None
        The liquid; None is water at 20 degC [any].
    look : Look or None
        Colour and cloudiness; None is clear water [any].
    made : Splash or None
        What the first drop does, such as your rig's own; None asks splash.first_drop [any].
    sheet : Sheet or None
        What the second drop does; None asks splash.sheet [any].

    Returns
    -------
    Scene
        The scene; ``met`` is the time of the meeting, or None when drop and column miss each other.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid where splash.first_drop and splash.sheet are. Walls are round about the axis; where fingers stand and when
    they shed is drawn, not predicted. The bell's sag of 0.5-1 m/s is that of a thin column. A loose head that the
    second drop may meet in the air is left out, and so is the column of a crater into which the second drop fell.

    Examples
    --------
    >>> scene = collision(4e-3, 2.18, gap=0.069)
    >>> 0.05 < scene.met < 0.07
    True

    References
    ----------
    Heights, times and the sheet's radius: splashkit.splash. Shapes of foot, head and bell: own simulation
    (axisymmetric two-phase flow), not published. Sizes of droplets and loose head: Rayleigh 1878, from memory.
    """
    d1, v1 = DIAMETER.one(diameter), FALL_SPEED.one(speed)
    d2 = d1 if second_diameter is None else DIAMETER.one(second_diameter)
    v2 = v1 if second_speed is None else FALL_SPEED.one(second_speed)
    gap = GAP.one(gap)
    made = splash.first_drop(d1, v1, liquid) if made is None else made
    of_kind(made, splash.Splash, "splash", "call splash.first_drop and hand on what it returns")
    if sheet is not None:
        of_kind(sheet, splash.Sheet, "sheet", "call splash.sheet, or take the sheet of a plan")
    require(np.ndim(made.column_start.value) == 0, "splash", "an array of splashes", "a single one", "give one case")
    sheds = bool(getattr(made.liquid, "newtonian", True))  # a thickener's threads hold together
    g = float(made.gravity)
    column = _column(made)
    touch = _touch(column, v2, gap, g)
    first = Drop(d1, v1, 0.5 * d1, 0.0, acceleration=g, floor=(0.0, 0.0), start=-v1 / g, end=d1 / v1, name="first drop")
    second = Drop(
        d2, v2, 0.5 * d2, gap, acceleration=g, floor=(0.0, 0.0), start=gap - v2 / g, end=gap + d2 / v2,
        name="second drop",
    )  # fmt: skip
    films: list[Film] = [_crown(made, 0.0, d1 / v1, sheds)]
    hollows = [_hollow(made, films[0], 0.0)]
    met = None
    columns: tuple[Any, ...] = (column,)
    untold: tuple[tuple[float, str], ...]
    if touch is not None:
        met, high = touch
        falling = v2 - g * (gap - met)
        closing = falling + float((column.tip(met) - column.tip(met - 5e-4)) / 5e-4)
        if sheet is None:
            sheet = splash.sheet(d2, min(max(closing, 0.25), 10.0), liquid, 0.0, column.radius)
        film = _sheet(made, sheet, met, high, d2, falling, sheds)
        capped = replace(column, cap=(met, high, -film.sink), sheds=_pinches(made, sheds))
        film = _ended(replace(film, column=capped))
        films.append(film)
        columns = (replace(capped, sheet_gone=film.end - 0.1 * (film.end - met)),)
        second = replace(
            second, floor=(high - film.sink * (gap - met), -film.sink), start=-np.inf, end=met + 1.15 * d2 / falling
        )
        untold = ((film.end, AFTER_SHEET),)
        if _pinches(made, sheds) and met > column.peak_time + d2 / v2:
            columns = (replace(columns[0], sheds=False),)
            untold = ((column.peak_time, HEAD_LEFT_OUT), *untold)
    elif gap <= column.start:
        columns = ()  # the column of a crater left alone would be untrue
        untold = ((gap, INTO_CRATER),)
    else:
        own = splash.first_drop(d2, v2, liquid)
        films.append(_crown(own, gap, d2 / v2, sheds))
        hollows.append(_hollow(own, films[-1], gap))
        untold = ((gap, ONLY_CROWN),)
        if _pinches(made, sheds):
            whole, head = replace(column, sheds=True), _head(column, g)
            if _cross(head, second):
                untold = ((column.peak_time, HEAD_LEFT_OUT), *untold)
            else:
                columns = (whole, head)
    back, front = zip(*(layers(one) for one in films), strict=True)
    bodies = (*hollows, *back, *columns, first, second, *(body for several in front for body in several))
    when = "they miss" if met is None else f"they meet {format_quantity(met, 's')} after the first touch"
    words = f"two drops {format_quantity(gap, 's')} apart: {when}"
    return Scene(bodies, Surface(), look_or_clear(look), words, met, untold)


def _column(made: splash.Splash) -> Column:
    """The column as the splash model has it, its head still on."""
    curve = made.curve()
    return Column(
        start=float(curve["start"]), peak_time=float(curve["peak"]), end=float(curve["end"]),
        peak_height=float(curve["height"]), radius=float(made.column_radius.value),
        foot=1.05 * float(made.crater_depth.value), power=float(curve["power"]),
    )  # fmt: skip


def _touch(column: Column, speed: float, gap: float, g: float) -> tuple[float, float] | None:
    """When and how high the second drop's lowest point meets the column's tip."""
    t = np.linspace(column.start, gap, 4001) if gap > column.start else np.array([gap])
    late = gap - t
    # before it was let go, the second drop is not there
    lowest = np.where(late < speed / g, speed * late - 0.5 * g * late * late, np.inf)
    tip = column.tip(t)
    touch = np.flatnonzero((tip > 0) & (lowest <= tip))
    return (float(t[touch[0]]), float(tip[touch[0]])) if touch.size else None


def _pinches(made: splash.Splash, sheds: bool) -> bool:
    return bool(made.head_pinches_off) and sheds


def _head(column: Column, g: float) -> Drop:
    """The loose head. It leaves as the connected column stands highest: so it did in the fine runs of our own
    simulation, to a tenth of a millisecond. From there it rose another 7-18 mm, at 0.37-0.6 m/s when it left."""
    size = 2 * SWELL * column.radius
    swing = np.sqrt(64 * 0.0728 / (998 * size**3)) / (2 * np.pi)
    height = column.peak_height - 0.5 * size
    flight = (HEAD_SPEED + np.sqrt(HEAD_SPEED**2 + 2 * g * (height + 0.6 * size))) / g
    return Drop(
        size, -HEAD_SPEED, height, column.peak_time, acceleration=g, wobble=0.1, wobble_frequency=float(swing),
        floor=(0.0, 0.0), start=column.peak_time, end=column.peak_time + float(flight), name="loose head",
    )  # fmt: skip


def _cross(head: Drop, second: Drop) -> bool:
    """Whether the second drop meets the loose head in the air."""
    t = np.linspace(head.start, min(head.end, second.end), 400)
    near = np.abs(head.centre(t) - second.centre(t)) < 0.55 * (head.diameter + second.diameter)
    return bool(second.end > head.start and np.any(near & (t >= second.start)))


def _sheet(
    made: splash.Splash, sheet: splash.Sheet, met: float, high: float, diameter: float, falling: float, sheds: bool
) -> Sheet:
    """The umbrella; a thick column carries it flatter (own simulation, not published)."""
    thick = float(np.clip(made.thick, 0, 1))
    return Sheet(
        start=met, end=met + float(sheet.end_time.value), height=high, drop_diameter=diameter,
        radius_max=float(sheet.radius_max.value), full_time=float(sheet.full_time.value),
        sink=0.12 + 0.10 * (1 - thick), sag=float(np.clip(0.32 * falling * (1 - 0.6 * thick), 0.1, 1.0)),
        beads=float(np.clip(sheet.fingers.value, 6, 40)), sheds=sheds,
    )  # fmt: skip


def _hollow(made: splash.Splash, crown: Film, touch: float) -> Hollow:
    return Hollow(
        crown, float(made.crater_depth.value), float(made.crater_time.value), touch,
        touch + float(made.column_start.value),
    )  # fmt: skip


def _ended(film: Sheet) -> Sheet:
    """The sheet, over at the latest when its rim reaches the water."""
    t = np.linspace(film.start, film.end, 400)
    wet = np.flatnonzero(film.rim(t)[1] < 0.3e-3)
    return replace(film, end=float(t[max(int(wet[0]), 20)])) if wet.size else film


def _crown(made: splash.Splash, touch: float, passing: float, sheds: bool) -> Crown:
    """The crown of one drop. It stands highest when the splash model says, and is a low ring of lobes, then gone,
    before the column comes (at 0.78 and 0.88 of that time in the sparks of 1908).

    Number of fingers: a rim as thick as the local Bond number of one allows at the drop's deceleration V^2/d has a
    radius of d / 2 sqrt(We); round a ring of 0.72 d, a wave of 9.02 radii gives sqrt(We) (derived here; rim after
    Wang et al. 2018, from memory). How high and wide a crown gets has no source.
    """
    start, end = touch + 0.25 * passing, touch + 0.85 * float(made.column_start.value)
    depth = float(made.crater_depth.value)
    rise = (touch + float(made.crown_time.value) - start) / (end - start)
    return Crown(
        start=start, end=end, height_max=0.5 * depth, radius_max=1.1 * depth, rise=float(np.clip(rise, 0.15, 0.45)),
        beads=float(np.clip(np.sqrt(made.weber), 6, 40)), sheds=sheds,
    )  # fmt: skip
