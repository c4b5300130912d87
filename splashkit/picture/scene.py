"""Scenes: the bodies of water in front of the light, and the plainest of them, a falling drop.

Times run on the scene's own clock; in :func:`falling_drop` zero is when the drop is at its given height.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit import liquids
from splashkit.checks import Number, Range, of_kind
from splashkit.picture.bodies import Drop
from splashkit.picture.camera import Camera
from splashkit.picture.shade import Look
from splashkit.units import format_quantity

DIAMETER = Range("drop diameter", "m", 0.2e-3, 0.012, "give metres: a 4 mm drop is 0.004")
SPEED = Range("falling speed", "m/s", -20, 20, "give metres a second, downward positive")
PLACE = Range("place of the drop", "m", -1, 2, "give metres above the reference height")
ACCELERATION = Range("acceleration", "m/s2", -20, 20, "give metres per second squared, downward positive")
WOBBLE = Range("wobble", "1", -0.4, 0.4, "give the share by which the height changes, up to 0.4")
FREQUENCY = Range("wobble frequency", "Hz", 0, 2000, "give swings a second")
PHASE = Range("wobble phase", "rad", -100, 100, "give radians")
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
    ``untold``, pairs of a time and a sentence, says what is not drawn from then on; the frame's note carries it.
    """

    bodies: tuple[Any, ...]
    surface: Surface | None = None
    look: Look = CLEAR
    words: str = ""
    met: float | None = None
    untold: tuple[tuple[float, str], ...] = ()

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
        first, last = np.min(t), np.max(t)
        speeds = [0.0 * np.asarray(t)]
        for body in self.bodies:
            start, end = body.window(-1e3, 1e3)
            if start <= last and end >= first:
                speeds.append(body.fastest(t) * (body.extent(t)[0] >= 0))
        return np.max(speeds, axis=0)


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
    return Scene((drop,), None, look_or_clear(look), words)


def look_or_clear(look: Look | None) -> Look:
    """Return the look, or clear water's for None; refuse anything else."""
    if look is None:
        return CLEAR
    of_kind(look, Look, "look", "build a picture.Look first")
    return look
