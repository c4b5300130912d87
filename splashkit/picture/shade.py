"""How water looks: what each facet of it shows of the backlight and of the key light.

A camera far away looks along one direction. A facet of a drop, named by its normal, then shows always
the same thing: the part of the backlight its refracted ray comes from (upside down), dimmed by the light
lost at the two surfaces; or the dark room, past the backlight's edge; plus the mirror image of the lights.
So one small table over all normals shades every body. Values are luminances; the panel's middle is 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.checks import Range, require
from splashkit.picture.optics import HALF_ANGLE, INDEX, WATER_INDEX, fresnel

STRENGTH = Range("strength of a light", "1", 0, 1000, "give 0 for off, 1 for the normal strength")
SHARE = Range("share", "1", 0, 1, "give a number from 0 to 1")
DIRECTION = Range("direction of the key light", "rad", -np.pi, np.pi, "give radians to the right and up")
SURROUND = Range("luminance of the dark room", "1", 0, 1, "give a small share of the backlight, such as 0.02")

TABLE = 513  # facets a side of the table of normals
RADII = 4096  # steps of the angle of incidence
RIM = 0.985  # an edge pixel sees facets from here to the rim; this one stands for their mean
REACH = 1.05  # the table runs a little past the unit disc, so that edge pixels find the edge's own shade


@dataclass(frozen=True)
class Lighting:
    """A round backlight panel and one key light (a softbox in front, to one side).

    ``key_direction`` is (right, up) seen from the drop, zero at the camera. ``fall_off`` is how much darker
    the panel is at its edge than in its middle. A ``backlight`` of 0 is a dark background. The size
    is chosen so that clear drops stand out, with dark rims before a bright middle (house choice, no source).
    """

    half_angle: float = float(np.radians(24))
    backlight: float = 1.0
    key: float = 1.0
    key_direction: tuple[float, float] = (float(np.radians(-48)), float(np.radians(42)))
    key_half_angle: float = float(np.radians(13))
    surround: float = 0.03
    fall_off: float = 0.5

    def __post_init__(self) -> None:
        HALF_ANGLE(self.half_angle)
        for strength in (self.backlight, self.key):
            STRENGTH(strength)
        require(len(self.key_direction) == 2, DIRECTION.quantity, str(self.key_direction), "two angles", "right, up")
        for angle in self.key_direction:
            DIRECTION(angle)
        HALF_ANGLE(self.key_half_angle)
        SURROUND(self.surround)
        SHARE(self.fall_off)


@dataclass(frozen=True)
class Look:
    """How the liquid itself looks: ``colour`` is what one drop's width lets through in red, green, blue.

    ``cloudiness`` runs from 0 (clear) to 1 (milk). ``colour=(0, 0, 0)`` is ink: a plain silhouette.
    """

    colour: tuple[float, float, float] = (1.0, 1.0, 1.0)
    cloudiness: float = 0.0
    index: float = WATER_INDEX

    def __post_init__(self) -> None:
        require(len(self.colour) == 3, "colour of the liquid", str(self.colour), "three shares", "red, green, blue")
        for share in (*self.colour, self.cloudiness):
            SHARE(share)
        INDEX(self.index)

    @property
    def channels(self) -> int:
        """1 when the liquid is grey, 3 when it has a colour."""
        return 1 if len(set(self.colour)) == 1 else 3


def _smooth(value: Any, low: float, high: float) -> Any:
    share = np.clip((value - low) / (high - low), 0, 1)
    return share * share * (3 - 2 * share)


def _panel(lighting: Lighting, distance: Any) -> tuple[Any, Any]:
    """Luminance at a distance from the panel's middle, in its radii: the even part, and what is added upward."""
    inside = 1 - _smooth(distance, 0.965, 1.035)
    near = np.minimum(distance, 1)
    fall = lighting.backlight * lighting.fall_off * near**2
    even = inside * np.maximum(lighting.backlight - 0.7 * fall, lighting.surround) + (1 - inside) * lighting.surround
    upward = inside * 0.3 * fall * near + (1 - inside) * 0.35 * lighting.surround
    return even, upward


def _key_direction(lighting: Lighting) -> Any:
    right, up = lighting.key_direction
    return np.array([np.sin(right) * np.cos(up), np.sin(up), np.cos(right) * np.cos(up)], dtype=np.float32)


def _key_spot(lighting: Lighting, nx: Any, ny: Any, nz: Any) -> Any:
    """Luminance of the key light in the mirror of each facet: a square softbox, soft at its edge."""
    k = _key_direction(lighting)
    across = np.cross(np.array([0.0, 1.0, 0.0], dtype=np.float32), k)
    across = across / max(float(np.linalg.norm(across)), 1e-6)
    upward = np.cross(k, across)
    mx, my, mz = 2 * nz * nx, 2 * nz * ny, 2 * nz * nz - 1
    size = np.float32(np.tan(lighting.key_half_angle))
    ahead = np.maximum(k[0] * mx + k[1] * my + k[2] * mz, np.float32(1e-3))
    u = (across[0] * mx + across[1] * my + across[2] * mz) / (ahead * size)
    v = (upward[0] * mx + upward[1] * my + upward[2] * mz) / (ahead * size)
    u *= u
    v *= v
    return np.float32(70 * lighting.key) * (1 - _smooth(np.sqrt(np.sqrt(u * u + v * v)), 0.35, 1.3))


def _normals() -> tuple[Any, ...]:
    """Normals of the facets of a table, the place of each in a table by radius, and which way is up.

    Not kept: they take 3 ms and would hold 6 MB. ``place`` is of the kind NumPy looks up with, which saves as much.
    """
    side = np.linspace(-REACH, REACH, TABLE, dtype=np.float32)
    nx: Any
    ny: Any
    nx, ny = np.meshgrid(side, side)
    out = np.hypot(nx, ny)
    rho = np.minimum(out, np.float32(RIM))
    shrink = rho / np.maximum(out, np.float32(1e-9))
    nx, ny = nx * shrink, ny * shrink
    nz = np.sqrt(1 - rho * rho)
    place = np.rint(np.arcsin(rho) * np.float32((RADII - 1) / (np.pi / 2))).astype(np.intp)
    return nx, ny, nz, place, ny / np.maximum(rho, np.float32(1e-9))


@lru_cache(maxsize=2)  # 3 MB each, 9 with colour; one light needs two: with a horizon, and upright without
def facet_tables(lighting: Lighting, look: Look, horizon: float | None = None) -> tuple[Any, Any, Any]:
    """Return three tables over the normals of facets: a solid body's shade, a film's loss and its own light.

    Each is flat, ``TABLE`` x ``TABLE`` facets, row by the upward part of the normal (first row looks down).
    A colour adds a last axis of three. A film takes the share lost from what is behind it, and adds its own light.
    ``horizon`` is how high the water's edge stands behind, as an angle; a facet that bends the view below it
    shows the water, which mirrors about half of the panel.
    """
    nx, ny, nz, place, up = _normals()
    solids: list[Any] = []
    losses: list[Any] = []
    owns: list[Any] = []
    # everything but the key light depends on the angle of incidence and, evenly, on up and down
    i = np.minimum(np.linspace(0, np.pi / 2, RADII), np.pi / 2 - 1e-4)
    r = np.arcsin(np.sin(i) / look.index)
    reflected = fresnel(i, look.index)
    size = np.tan(min(lighting.half_angle, 1.55))
    # straight through: bent twice, so seen from the other side of the panel, upside down
    out = np.tan(np.minimum(2 * (i - r), 1.55)) / size
    through, through_up = _panel(lighting, out)
    over_water = None
    if horizon is not None:
        down = (np.float32(np.tan(horizon) / size) + out.astype(np.float32)[place] * up) / np.float32(0.10)
        over_water = 1 - np.float32(0.42) * np.clip(down + np.float32(0.5), 0, 1)
    # mirrored off the front: near the rim the mirror looks forward again, at the panel
    turn = np.pi - 2 * i
    mirror, mirror_up = _panel(lighting, np.tan(np.clip(turn, 0, 1.55)) / size)
    mirror = np.where(turn < 1.55, mirror, lighting.surround)
    mirror_up = np.where(turn < 1.55, mirror_up, 0)
    passed = (1 - reflected) ** 2

    spot = _key_spot(lighting, nx, ny, nz)
    spot *= reflected.astype(np.float32)[place]
    colour = np.asarray(look.colour[: 1 if look.channels == 1 else 3], dtype=float)
    c = look.cloudiness
    cloud = None
    if c:
        # a cloudy drop glows by the key light in front and, faintly, by the panel through it
        k = _key_direction(lighting)
        facing = np.clip(k[0] * nx + k[1] * ny + k[2] * nz, 0, 1)
        glow = 0.05 + lighting.backlight * (0.16 + 0.22 * np.sin(i) ** 3)
        cloud = np.float32(0.75 * lighting.key) * facing + glow.astype(np.float32)[place]
    film_reflected = 2 * reflected / (1 + reflected)
    film_mirror = np.where(reflected > 0, film_reflected / reflected, 0)
    for share in colour:
        tint = share ** np.cos(r) if share > 0 else 0 * r  # less water towards the rim, so paler
        clear = tint * (1 - c) * passed
        solid = (clear * through).astype(np.float32)[place] - (clear * through_up).astype(np.float32)[place] * up
        if over_water is not None:
            solid *= over_water
        solid += (0.004 * tint + reflected * mirror).astype(np.float32)[place]
        solid += (reflected * mirror_up).astype(np.float32)[place] * up + spot
        thin = max(share, 1e-4) ** 0.12 if share > 0 else 0.02
        lost = (1 - (1 - film_reflected) * (1 - 0.7 * c) * thin).astype(np.float32)[place]
        own = (0.5 * film_mirror * reflected * mirror).astype(np.float32)[place] + np.float32(0.6) * spot
        if cloud is not None:
            solid += np.float32(c * share**0.5) * cloud
            own += np.float32(0.6 * c * share**0.5) * cloud
        for held, table in ((solids, solid), (losses, lost), (owns, own)):
            held.append(table.ravel())
    tables = (held[0] if len(held) == 1 else np.stack(held, axis=-1) for held in (solids, losses, owns))
    return tuple(tables)  # type: ignore[return-value]


def facet_index(nx: Any, ny: Any) -> Any:
    """Return the place in a facet table of each normal, given its parts to the right and up."""
    half = (TABLE - 1) / 2
    # past the table's edge nothing covers; whatever a lookup clipped to the table finds there is not seen
    across = nx * np.float32(half / REACH) + np.float32(half + 0.5)
    upward = ny * np.float32(half / REACH) + np.float32(half + 0.5)
    return across.astype(np.int32) + upward.astype(np.int32) * np.int32(TABLE)


def water_glow(lighting: Lighting, look: Look) -> float:
    """Luminance that comes up out of the bowl: dark for clear water, pale for milk."""
    return float(0.05 + look.cloudiness * (0.4 * lighting.key + 0.12 * lighting.backlight))


@lru_cache(maxsize=2)
def water_table(lighting: Lighting, look: Look) -> Any:
    """Return what each facet of the water's own surface shows: the lights it mirrors, and what comes up through it."""
    nx, ny, nz, place, up = _normals()
    i = np.minimum(np.linspace(0, np.pi / 2, RADII), np.pi / 2 - 1e-4)
    reflected = fresnel(i, look.index)
    turn = np.pi - 2 * i
    size = np.tan(min(lighting.half_angle, 1.55))
    mirror, mirror_up = _panel(lighting, np.tan(np.clip(turn, 0, 1.55)) / size)
    shone = np.where(turn < 1.55, mirror, lighting.surround) * reflected + (1 - reflected) * water_glow(lighting, look)
    table = shone.astype(np.float32)[place]
    table += np.where(turn < 1.55, mirror_up * reflected, 0).astype(np.float32)[place] * up
    # the softbox in a surface that is never quite still: weaker and never blinding
    table += np.minimum(np.float32(0.35) * _key_spot(lighting, nx, ny, nz) * reflected.astype(np.float32)[place], 0.35)
    if look.cloudiness:
        # a cloudy surface is brighter where it faces the key light
        k = _key_direction(lighting)
        facing = np.clip(k[0] * nx + k[1] * ny + k[2] * nz, 0, 1)
        table += np.float32(0.4 * look.cloudiness * lighting.key) * (facing - np.float32(k[1]))
    flat = averaged(np.maximum(table, 0).ravel(), 0.12)
    return flat if look.channels == 1 else np.repeat(flat[:, None], 3, axis=1)


BLURS = (0.0, 0.03, 0.06, 0.12, 0.28)  # how far a table may be averaged, in parts of a body's radius


@lru_cache(maxsize=4)  # 1 MB each; one scene needs at most four
def smooth_table(lighting: Lighting, look: Look, horizon: float | None, blur: float) -> Any:
    """Return the solid table averaged over what one pixel spans: bodies a few pixels wide need it."""
    return averaged(facet_tables(lighting, look, horizon)[0], blur)


def averaged(sharp: Any, blur: float) -> Any:
    """Average a table over a part of a body's radius."""
    width = round(blur * (TABLE - 1) / (2 * REACH))
    if width < 2:
        return sharp
    table: Any = sharp.reshape(TABLE, TABLE, -1)
    for axis in (0, 1):
        for _ in range(2):
            padding = [(0, 0)] * 3
            padding[axis] = (width // 2 + 1, width // 2)
            run = np.cumsum(np.pad(table, padding, mode="edge"), axis=axis)
            ahead = run[width:] if axis == 0 else run[:, width:]
            table = (ahead - (run[:-width] if axis == 0 else run[:, :-width])) / np.float32(width)
            table = table[:TABLE] if axis == 0 else table[:, :TABLE]
    return np.ascontiguousarray(table.reshape(sharp.shape), dtype=np.float32)


def blur_for(pixel: float, radius: float) -> float:
    """Return the step of averaging that fits a body's radius in pixels."""
    wanted = 0.8 * pixel / radius
    return min(BLURS, key=lambda step: abs(step - wanted))
