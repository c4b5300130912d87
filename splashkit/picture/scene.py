"""Scenes: the bodies of water in front of the light, and ready-made ones for lessons.

Times run on the scene's own clock. In :func:`falling_drop` zero is when the drop is at its given height;
in :func:`collision` zero is when the first drop touches the water.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from splashkit import liquids, splash
from splashkit.checks import Number, Range, of_kind, require
from splashkit.picture.bodies import Column, Drop
from splashkit.picture.camera import Camera
from splashkit.picture.films import Crown, Rim, Sheet
from splashkit.picture.shade import Lighting, Look, fresnel
from splashkit.units import format_quantity

DIAMETER = Range("drop diameter", "m", 0.2e-3, 0.012, "give metres: a 4 mm drop is 0.004")
SPEED = Range("falling speed", "m/s", -20, 20, "give metres a second, downward positive")
PLACE = Range("place of the drop", "m", -1, 2, "give metres above the reference height")
ACCELERATION = Range("acceleration", "m/s2", -20, 20, "give metres per second squared, downward positive")
WOBBLE = Range("wobble", "1", -0.4, 0.4, "give the share by which the height changes, up to 0.4")
FREQUENCY = Range("wobble frequency", "Hz", 0, 2000, "give swings a second")
PHASE = Range("wobble phase", "rad", -100, 100, "give radians")
GAP = Range("gap between the drops", "s", 1e-4, 2, "give seconds: 70 ms is 0.07")
FALL_SPEED = Range("falling speed", "m/s", 0.3, 9.5, "give metres a second, downward positive")
BOWL = Range("bowl radius", "m", 0.01, 1, "give metres")


CLEAR = Look()


@dataclass(frozen=True)
class Surface:
    """Still water at height zero, in a bowl; rings run out from the axis for ``rings_for`` seconds."""

    bowl_radius: float = 0.11
    rings_for: float = 0.0

    def __post_init__(self) -> None:
        BOWL(self.bowl_radius)


@dataclass(frozen=True)
class Scene:
    """Bodies, painted in order (far ones first), the water below them, and how the liquid looks.

    ``words`` says in a few words what is in the picture; ``met`` is when drop and column meet, if they do.
    ``untold`` (time, sentence) says what is not drawn from a time on; the frame's note carries it.
    """

    bodies: tuple[Any, ...]
    surface: Surface | None = None
    look: Look = CLEAR
    words: str = ""
    met: float | None = None
    untold: tuple[float, str] | None = None

    def window(self, camera: Camera) -> tuple[float, float]:
        """Return the times from and to which anything that moves can touch the frame [s]."""
        heights = camera.heights()
        low, high = float(heights[-1]), float(heights[0])
        if self.surface is not None:  # mirror images count too
            low, high = min(low, -high), max(high, -low)
        tilt = 0.03 * np.sin(camera.elevation)
        spans = [body.window(low - tilt, high + tilt) for body in self.bodies]
        return min((s[0] for s in spans), default=np.inf), max((s[1] for s in spans), default=-np.inf)

    def fastest(self, t: Any) -> Any:
        """Return the speed of whatever moves fastest at each instant [m/s]."""
        speeds = [body.fastest(t) * (body.extent(t)[0] >= 0) for body in self.bodies]
        return np.max(speeds, axis=0) if speeds else 0.0 * np.asarray(t)


@lru_cache(maxsize=4)
def backdrop(camera: Camera, lighting: Lighting, look: Look, surface: Surface | None) -> Any:
    """Return the luminance behind the bodies: the panel out of focus, and the water's surface with its rings."""
    x = camera.sideways()[None, :].astype(np.float32)
    z = camera.heights()[:, None].astype(np.float32)
    wide, high = camera.field
    half = np.float32(0.5 * np.hypot(wide, high))
    middle = np.float32(camera.aim[1])

    def panel(z: Any) -> Any:
        # the frame sees the middle three quarters of the panel, its upper part a little brighter
        u, v = 0.75 * (x - np.float32(camera.aim[0])) / half, 0.75 * (z - middle) / half
        far = u * u + v * v
        glow = np.float32(lighting.backlight) * (
            1 - np.float32(lighting.fall_off) * far * (np.float32(0.7) - np.float32(0.3) * v)
        )
        return np.maximum(glow, np.float32(lighting.surround))

    picture = panel(z) + np.zeros_like(x)
    if surface is not None:
        sine = float(max(np.sin(camera.elevation), 0.012))
        edge = np.float32(surface.bowl_radius * sine)
        seen = float(fresnel(np.pi / 2 - np.arcsin(sine)))
        row = slice(int(np.searchsorted(-z[:, 0], -(edge + 40 * camera.pixel))), None)
        near = z[row]
        if near.size:
            ground = np.float32(-1 / sine) * near
            far = np.sqrt(x * x + ground * ground) + np.float32(1e-4)
            rings = np.zeros_like(far)
            if surface.rings_for > 0:
                front = 0.28 * surface.rings_for
                for length, size in ((0.0105, 0.16), (0.0058, 0.07)):
                    wave = np.float32(2 * np.pi / length) * (far - np.float32(front))
                    rings += np.float32(size) * np.sin(wave)
                rings *= (
                    (ground / far)
                    * np.exp(-far / np.float32(0.045))
                    * np.clip((np.float32(front + 0.01) - far) / np.float32(0.01), 0, 1)
                    * np.clip((far - np.float32(0.004)) / np.float32(0.01), 0, 1)
                )
            mirrored = panel(2 * edge - near)
            deep = np.float32(water_glow(lighting, look))
            water = np.float32(seen) * mirrored * (1 + rings) + np.float32(1 - seen) * deep
            soft = np.float32(max(0.10 * float(edge), 1.5 * camera.pixel))
            share = np.clip((edge - near) / (2 * soft) + np.float32(0.5), 0, 1)
            share = share * share * (3 - 2 * share)
            # the far wall of the bowl: a soft dark line
            line = np.float32(0.22) * np.exp(-(((near - edge) / (np.float32(1.3) * soft)) ** 2))
            picture[row] = (picture[row] * (1 - share) + water * share) * (1 - line)
    picture = np.ascontiguousarray(picture, dtype=np.float32)
    picture.setflags(write=False)
    return picture


def water_glow(lighting: Lighting, look: Look) -> float:
    """Luminance that comes up out of the bowl: dark for clear water, pale for milk."""
    return float(0.05 + look.cloudiness * (0.4 * lighting.key + 0.12 * lighting.backlight))


def falling_drop(
    diameter: Number = 4e-3,
    speed: Number = 2.2,
    height: Number = 0.0,
    acceleration: Number = 0.0,
    side: Number = 0.0,
    wobble: Number = 0.0,
    wobble_frequency: Number | None = None,
    wobble_phase: Number = 0.0,
    look: Look | None = None,
) -> Scene:
    r"""Make a scene of one falling drop before the backlight.

    .. math:: z(t) = z_0 - v t - \tfrac12 a t^2

    Parameters
    ----------
    diameter : float
        Diameter of the drop when round [m].
    speed : float
        Falling speed at time zero, downward positive [m/s].
    height : float
        Height of its centre at time zero [m].
    acceleration : float
        Downward acceleration; 0 keeps the motion even [m/s2].
    side : float
        Distance to the right of the axis [m].
    wobble : float
        Share by which its height grows at the top of a swing; negative is flattened [1].
    wobble_frequency : float or None
        Swings a second; None takes that of water of this size [Hz].
    wobble_phase : float
        Phase of the swing at time zero [rad].
    look : Look or None
        Colour and cloudiness; None is clear water [any].

    Returns
    -------
    Scene
        The scene.

    Raises
    ------
    ValueError
        If a value lies outside its range.

    Notes
    -----
    Valid for a drop that keeps its volume; the wobble is that of the lowest mode, egg or cushion shaped.

    Examples
    --------
    >>> falling_drop(4e-3, 2.2).words
    'a 4 mm drop falling at 2.2 m/s'

    References
    ----------
    Uniform fall: derived here. Wobble: Rayleigh's lowest mode (Lamb, Hydrodynamics), through splashkit.drops.
    """
    d = DIAMETER.one(diameter)
    swing = WOBBLE.one(wobble)
    if wobble_frequency is None:
        water = liquids.water()
        stiff = 64 * water.surface_tension.value / (water.density.value * d**3)
        rate = float(np.sqrt(stiff) / (2 * np.pi)) if swing else 0.0
    else:
        rate = FREQUENCY.one(wobble_frequency)
    drop = Drop(
        diameter=d,
        speed=SPEED.one(speed),
        height=PLACE.one(height),
        acceleration=ACCELERATION.one(acceleration),
        side=PLACE.one(side),
        wobble=swing,
        wobble_frequency=rate,
        wobble_phase=PHASE.one(wobble_phase),
    )
    words = f"a {format_quantity(d, 'm')} drop falling at {format_quantity(drop.speed, 'm/s')}"
    return Scene((drop,), None, _look(look), words)


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
    Valid where splash.first_drop and splash.sheet are. Shapes are round about the axis; the crown does not
    break up and heads that pinch off are not drawn. The bell's sag of 0.5-1 m/s is that of a thin column.
    No model says what a second drop makes of an open crater: after it lands there, no column is drawn.

    Examples
    --------
    >>> scene = collision(4e-3, 2.18, gap=0.069)
    >>> 0.05 < scene.met < 0.07
    True

    References
    ----------
    Heights, times and the sheet's radius: splashkit.splash. Shapes of foot, head and bell: own simulation
    (axisymmetric two-phase flow), not published.
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
    curve = made.curve()
    g = float(made.gravity)
    crater = float(made.crater_depth.value)
    column = Column(
        start=float(curve["start"]), peak_time=float(curve["peak"]), end=float(curve["end"]),
        peak_height=float(curve["height"]), radius=float(made.column_radius.value), foot=1.05 * crater,
        power=float(curve["power"]),
    )  # fmt: skip

    # where the second drop's lowest point meets the column's tip
    t = np.linspace(column.start, gap, 4001) if gap > column.start else np.array([gap])
    late = gap - t
    # before it was let go, the second drop is not there
    lowest = np.where(late < v2 / g, v2 * late - 0.5 * g * late * late, np.inf)
    tip = column.tip(t)
    touch = np.flatnonzero((tip > 0) & (lowest <= tip))
    let_go = gap - v2 / g
    second = Drop(
        d2, v2, 0.5 * d2, gap, acceleration=g, floor=(0.0, 0.0), start=let_go, end=gap + d2 / v2, name="second drop"
    )  # fmt: skip
    met, film = None, None
    if touch.size:
        met, high = float(t[touch[0]]), float(tip[touch[0]])
        falling = v2 - g * (gap - met)
        closing = falling + float((column.tip(met) - column.tip(met - 5e-4)) / 5e-4)
        closing = min(max(closing, 0.25), 10.0)
        if sheet is None:
            sheet = splash.sheet(d2, closing, liquid, 0.0, column.radius)
        thick = float(np.clip(made.thick, 0, 1))
        sink = 0.12 + 0.10 * (1 - thick)
        film = Sheet(
            start=met, end=met + float(sheet.end_time.value), height=high, drop_diameter=d2,
            radius_max=float(sheet.radius_max.value), full_time=float(sheet.full_time.value), sink=sink,
            sag=float(np.clip(0.32 * falling * (1 - 0.6 * thick), 0.1, 1.0)),
            beads=int(np.clip(round(float(sheet.fingers.value)), 8, 40)),
        )  # fmt: skip
        column = Column(**{**vars(column), "cap": (met, high, -sink), "sheet_gone": film.end})
        second = Drop(
            d2, v2, 0.5 * d2, gap, acceleration=g, floor=(high - sink * (gap - met), -sink),
            end=met + 1.15 * d2 / falling, name="second drop",
        )  # fmt: skip
    first = Drop(d1, v1, 0.5 * d1, 0.0, acceleration=g, floor=(0.0, 0.0), start=-v1 / g, end=d1 / v1, name="first drop")
    crown = Crown(
        start=0.25 * d1 / v1, end=0.62 * column.start, height_max=0.5 * crater, radius_max=1.1 * crater, beads=15
    )
    back: list[Any] = [Rim(crown, near=False)]
    front: list[Any] = [crown, Rim(crown, near=True)]
    if film is not None:
        back.append(Rim(film, near=False))
        front += [film, Rim(film, near=True)]
    columns: tuple[Column, ...] = (column,)
    if film is not None:
        untold = film.end, "What the second drop broke off is not drawn."
    elif gap <= column.start:
        untold = gap, "What the second drop made of the open crater is not drawn."
        columns = ()  # the column of a crater left alone would be untrue
    else:
        untold = gap, "Of the second drop's own splash, only the crown is drawn."
        own = splash.first_drop(d2, v2, liquid)
        begin = gap + 0.25 * d2 / v2
        deep = float(own.crater_depth.value)
        again = Crown(start=begin, end=begin + 0.62 * float(own.column_start.value), height_max=0.5 * deep,
                      radius_max=1.1 * deep, beads=15)  # fmt: skip
        back.append(Rim(again, near=False))
        front += [again, Rim(again, near=True)]
    bodies = (*back, *columns, first, second, *front)
    when = "they miss" if met is None else f"they meet {format_quantity(met, 's')} after the first touch"
    words = f"two drops {format_quantity(gap, 's')} apart: {when}"
    return Scene(bodies, Surface(), _look(look), words, met, untold)


def _look(look: Look | None) -> Look:
    """Return the look, or clear water's for None; refuse anything else."""
    if look is None:
        return CLEAR
    of_kind(look, Look, "look", "build a picture.Look first")
    return look
