"""What each facet of water shows of the backlight and of the key light.

A camera far away looks along one direction. A facet of a drop, named by its normal, then shows always
the same thing: the part of the backlight its refracted ray comes from (upside down), dimmed by the light
lost at the two surfaces; or the dark room, past the backlight's edge; plus the mirror image of the lights.
So one small table over all normals shades every body. Values are luminances; the panel's middle is 1.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from splashkit.picture.optics import fresnel
from splashkit.picture.shade import Lighting, Look, key_direction, panel, smooth_step, water_glow

TABLE = 513  # facets a side of the table of normals
MIDDLE = TABLE // 2
QUARTERS = ((1, 1), (1, -1), (-1, 1), (-1, -1))  # upward and to the right, as signs
RADII = 4096  # steps of the angle of incidence
RIM = 0.985  # an edge pixel sees facets from here to the rim; this one stands for their mean
REACH = 1.05  # the table runs a little past the unit disc, so that edge pixels find the edge's own shade


def _facets() -> tuple[Any, ...]:
    """Normals of the facets of a table's upper right quarter, from its middle outward: right, up, ahead.

    Then the place of each in a table by radius, and which way is up. The other quarters are its mirror images.
    Not kept: they take a millisecond and would hold 2 MB. ``place`` is of the kind NumPy looks up with.
    """
    side = np.linspace(0, REACH, MIDDLE + 1, dtype=np.float32)
    out = np.hypot(side, side[:, None])
    rho = np.minimum(out, np.float32(RIM))
    shrink = rho / np.maximum(out, np.float32(1e-9))
    nx, ny = side * shrink, side[:, None] * shrink
    place = np.rint(np.arcsin(rho) * np.float32((RADII - 1) / (np.pi / 2))).astype(np.intp)
    return nx, ny, np.sqrt(1 - rho * rho), place, ny / np.maximum(rho, np.float32(1e-9))


def _quarter(table: Any, up: int, right: int) -> Any:
    """Return one quarter of a table, from its middle outward; signs say which."""
    return table[MIDDLE::up, MIDDLE::right]


def _whole(even: Any, upward: Any, facets: tuple[Any, ...]) -> Any:
    """Lay two tables by angle of incidence out over all facets: the even part, and what is added upward."""
    _, _, _, place, up = facets
    table = np.empty((TABLE, TABLE), dtype=np.float32)
    even, upward = even.astype(np.float32)[place], upward.astype(np.float32)[place] * up
    for sign, half in ((1, even + upward), (-1, even - upward)):
        for right in (1, -1):
            _quarter(table, sign, right)[...] = half
    return table


def _key_spot(lighting: Lighting, reflected: Any, facets: tuple[Any, ...]) -> Any:
    """Luminance of the key light in the mirror of each facet: a square softbox, soft at its edge."""
    nx, ny, nz, place, _ = facets
    k = key_direction(lighting)
    across = np.cross(np.array([0.0, 1.0, 0.0], dtype=np.float32), k)
    across = across / max(float(np.linalg.norm(across)), 1e-6)
    upward = np.cross(k, across)
    size = np.float32(np.tan(lighting.key_half_angle))
    # only facets whose mirrored view runs near enough to the light's middle are worked out
    least = 1 / np.hypot(1, 1.6 * float(size)) if size < 500 else -1.0
    table = np.zeros((TABLE, TABLE), dtype=np.float32)
    for up, right in QUARTERS:
        ahead = 2 * nz * (right * k[0] * nx + up * k[1] * ny + k[2] * nz) - k[2]
        lit = np.nonzero(ahead > np.float32(least))
        x, y, z = right * nx[lit], up * ny[lit], nz[lit]
        mx, my, mz = 2 * z * x, 2 * z * y, 2 * z * z - 1
        far = np.maximum(ahead[lit], np.float32(1e-3)) * size
        u = (across[0] * mx + across[1] * my + across[2] * mz) / far
        v = (upward[0] * mx + upward[1] * my + upward[2] * mz) / far
        u *= u
        v *= v
        edge = 1 - smooth_step(np.sqrt(np.sqrt(u * u + v * v)), 0.35, 1.3)
        shone = (70 * lighting.key * reflected).astype(np.float32)
        _quarter(table, up, right)[lit] = edge * shone[place[lit]]
    return table


def _facing_key(lighting: Lighting, facets: tuple[Any, ...]) -> Any:
    """How far each facet faces the key light, 0 to 1."""
    nx, ny, nz, _, _ = facets
    k, table = key_direction(lighting), np.empty((TABLE, TABLE), dtype=np.float32)
    for up, right in QUARTERS:
        facing = right * k[0] * nx + up * k[1] * ny + k[2] * nz
        np.clip(facing, 0, 1, out=_quarter(table, up, right))
    return table


def _incidence(lighting: Lighting, look: Look) -> tuple[Any, ...]:
    """Steps of the angle of incidence; there the angle inside, the share reflected, and what the mirror shows."""
    i = np.minimum(np.linspace(0, np.pi / 2, RADII), np.pi / 2 - 1e-4)
    # near the rim the mirror looks forward again, at the panel
    turn = np.pi - 2 * i
    mirror, upward = panel(lighting, np.tan(np.clip(turn, 0, 1.55)) / _size(lighting))
    mirror, upward = np.where(turn < 1.55, mirror, lighting.surround), np.where(turn < 1.55, upward, 0)
    return i, np.arcsin(np.sin(i) / look.index), fresnel(i, look.index), mirror, upward


def _size(lighting: Lighting) -> float:
    return float(np.tan(min(lighting.half_angle, 1.55)))


def _cloud(lighting: Lighting, i: Any, facets: tuple[Any, ...]) -> Any:
    """A cloudy liquid glows by the key light in front and, faintly, by the panel through it."""
    glow = 0.05 + lighting.backlight * (0.16 + 0.22 * np.sin(i) ** 3)
    return np.float32(0.75 * lighting.key) * _facing_key(lighting, facets) + _whole(glow, 0 * i, facets)


def _flat(tables: list[Any]) -> Any:
    """Facets row by row; a colour adds a last axis of three."""
    return tables[0].ravel() if len(tables) == 1 else np.stack([table.ravel() for table in tables], axis=-1)


@lru_cache(maxsize=2)  # 1 MB each, 3 with colour; one light needs two: with a horizon, and upright without
def solid_table(lighting: Lighting, look: Look, horizon: float | None = None) -> Any:
    """Return the shade of a solid body for each normal.

    It is flat, ``TABLE`` x ``TABLE`` facets, row by the upward part of the normal (first row looks down).
    A colour adds a last axis of three. ``horizon`` is how high the water's edge stands behind, as an angle; a facet
    that bends the view below it shows the water, which mirrors about half of the panel.
    """
    facets = _facets()
    # everything but the key light depends on the angle of incidence and, evenly, on up and down
    i, r, reflected, mirror, mirror_up = _incidence(lighting, look)
    # straight through: bent twice, so seen from the other side of the panel, upside down
    out = np.tan(np.minimum(2 * (i - r), 1.55)) / _size(lighting)
    through, through_up = panel(lighting, out)
    over_water = None
    if horizon is not None:
        low = _whole(np.full(RADII, np.tan(horizon) / _size(lighting)), out, facets) / np.float32(0.10)
        over_water = 1 - np.float32(0.42) * np.clip(low + np.float32(0.5), 0, 1)
    spot, c = _key_spot(lighting, reflected, facets), look.cloudiness
    cloud = _cloud(lighting, i, facets) if c else None
    solids = []
    for share in look.colour[: look.channels]:
        tint = share ** np.cos(r) if share > 0 else 0 * r  # less water towards the rim, so paler
        clear = tint * (1 - c) * (1 - reflected) ** 2
        shine = 0.004 * tint + reflected * mirror
        if over_water is None:
            solid = _whole(clear * through + shine, reflected * mirror_up - clear * through_up, facets)
        else:
            solid = _whole(clear * through, -clear * through_up, facets) * over_water
            solid += _whole(shine, reflected * mirror_up, facets)
        solid += spot
        if cloud is not None:
            solid += np.float32(c * share**0.5) * cloud
        solids.append(solid)
    return _flat(solids)


@lru_cache(maxsize=1)  # 2 MB, 6 with colour
def film_tables(lighting: Lighting, look: Look) -> tuple[Any, Any]:
    """Return what a film takes from the light behind it, as a share, and its own light; flat as the above."""
    facets = _facets()
    i, _, reflected, mirror, _ = _incidence(lighting, look)
    spot, c = _key_spot(lighting, reflected, facets), look.cloudiness
    cloud = _cloud(lighting, i, facets) if c else None
    film_reflected = 2 * reflected / (1 + reflected)
    losses, owns = [], []
    for share in look.colour[: look.channels]:
        thin = max(share, 1e-4) ** 0.12 if share > 0 else 0.02
        losses.append(_whole(1 - (1 - film_reflected) * (1 - 0.7 * c) * thin, 0 * i, facets))
        own = _whole(0.5 * film_reflected * mirror, 0 * i, facets) + np.float32(0.6) * spot
        if cloud is not None:
            own += np.float32(0.6 * c * share**0.5) * cloud
        owns.append(own)
    return _flat(losses), _flat(owns)


def facet_index(nx: Any, ny: Any) -> Any:
    """Return the place in a facet table of each normal, given its parts to the right and up."""
    half = (TABLE - 1) / 2
    # past the table's edge nothing covers; whatever a lookup clipped to the table finds there is not seen
    across = nx * np.float32(half / REACH) + np.float32(half + 0.5)
    upward = ny * np.float32(half / REACH) + np.float32(half + 0.5)
    return across.astype(np.int32) + upward.astype(np.int32) * np.int32(TABLE)


@lru_cache(maxsize=2)
def water_table(lighting: Lighting, look: Look) -> Any:
    """Return what each facet of the water's own surface shows: the lights it mirrors, and what comes up through it."""
    facets = _facets()
    _, _, reflected, mirror, mirror_up = _incidence(lighting, look)
    shone = mirror * reflected + (1 - reflected) * water_glow(lighting, look)
    table = _whole(shone, mirror_up * reflected, facets)
    # the softbox in a surface that is never quite still: weaker and never blinding
    table += np.minimum(np.float32(0.35) * _key_spot(lighting, reflected, facets), np.float32(0.35))
    if look.cloudiness:
        # a cloudy surface is brighter where it faces the key light
        level = key_direction(lighting)[1]
        table += np.float32(0.4 * look.cloudiness * lighting.key) * (_facing_key(lighting, facets) - level)
    flat = averaged(np.maximum(table, 0).ravel(), 0.12)
    return flat if look.channels == 1 else np.repeat(flat[:, None], 3, axis=1)


BLURS = (0.0, 0.03, 0.06, 0.12, 0.28)  # how far a table may be averaged, in parts of a body's radius


@lru_cache(maxsize=4)  # 1 MB each; one scene needs at most four
def smooth_table(lighting: Lighting, look: Look, horizon: float | None, blur: float) -> Any:
    """Return the solid table averaged over what one pixel spans: bodies a few pixels wide need it."""
    return averaged(solid_table(lighting, look, horizon), blur)


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
