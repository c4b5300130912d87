"""Every combination of marks at once, and by how many stops each one misses the wish.

All misses are counted in stops of light, the one currency of the trade: a factor of two in flash
duration is one stop of power; an aperture mark for depth is worth its light.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from splashkit.exposure import guide_number_distance
from splashkit.lens import airy_diameter, aperture_for_depth, depth_of_field
from splashkit.settings.wish import Gear, Wish

TOLERANCE = 1e-9  # stops: rounding of the arithmetic, nothing else


class Setting(NamedTuple):
    """One full set of settings and what it gives, in SI; blur and depth on the subject, the rest on the sensor."""

    power: float
    f_number: float
    iso: float
    distance: float
    light_time: float
    motion_blur: float
    depth: float
    diffraction: float
    blur: float


class Change(NamedTuple):
    """One change to a wish or to the gear: what, from, to (SI), how large in stops, and in words."""

    quantity: str
    before: float
    after: float
    stops: float
    sentence: str = ""


class Table(NamedTuple):
    """Everything known about every combination; the axes are power, aperture, ISO."""

    light_time: Any
    motion_blur: Any
    depth: Any
    diffraction: Any
    distance: Any
    blur: Any
    excess: dict[str, Any]  # stops beyond each limit; negative means to spare

    def missed(self, *but: str) -> Any:
        """Return the stops missed in all, leaving out the named limits."""
        shape = self.distance.shape
        total = np.zeros(shape)
        for name, stops in self.excess.items():
            if name not in but:
                total = total + np.where(stops > TOLERANCE, stops, 0.0)
        return total


def tabulate(wish: Wish, gear: Gear) -> Table:
    """Work out every combination of marks.

    Parameters
    ----------
    wish : Wish
        What the frame must show [SI].
    gear : Gear
        What there is to set [SI].

    Returns
    -------
    Table
        Results and misses on a grid of power, aperture and ISO [SI, stop].

    Raises
    ------
    ValueError
        Never for a valid wish and gear.

    Notes
    -----
    Valid for the ranges of wish and gear. The distance is always the one that exposes as wished.

    Examples
    --------
    >>> tabulate(Wish(1e-4, 2.0, 0.005, 0.5), Gear(40)).distance.shape
    (8, 19, 13)

    References
    ----------
    Derived here from the guide number and the depth of field.
    """
    power = np.array(gear.powers)[:, None, None]
    aperture = np.array(gear.apertures)[None, :, None]
    iso = np.array(gear.isos)[None, None, :]
    scale, pupils, focal = wish.magnification, gear.pupil_ratio, gear.focal_length
    light_time = gear.durations()[:, None, None]
    motion = wish.speed * light_time
    depth = np.asarray(depth_of_field(focal, aperture, scale, pupils, gear.blur_circle).total)
    needed = float(aperture_for_depth(focal, wish.depth, scale, pupils, gear.blur_circle))
    airy = np.asarray(airy_diameter(aperture, scale, pupils))
    distance = guide_number_distance(gear.guide_number, aperture, power, iso, scale, pupils)
    distance = distance * np.exp2(-(gear.loss + wish.level) / 2)
    ends = wish.depth * scale**2 / (2 * aperture * (1 + scale / pupils))
    blur = np.sqrt((motion * scale) ** 2 + ends**2 + airy**2)
    with np.errstate(divide="ignore"):
        excess = {
            "motion": np.log2(motion / wish.motion_blur),
            "depth": 2 * np.log2(needed / aperture),
            "diffraction": 2 * np.log2(airy / float(gear.diffraction or 0)),
            "dark": 2 * np.log2(gear.nearest / distance),
            "bright": 2 * np.log2(distance / gear.farthest),
        }
    return Table(light_time, motion, depth, airy, distance, blur, excess)


def settings_from(table: Table, gear: Gear, chosen: Any) -> tuple[Setting, ...]:
    """List the chosen combinations, best first: lowest ISO, then least blur, then farthest flash.

    Parameters
    ----------
    table : Table
        The grid of combinations [SI].
    gear : Gear
        What there is to set [SI].
    chosen : array of bool
        Which combinations to list [yes or no].

    Returns
    -------
    tuple of Setting
        The settings, best first [SI].

    Raises
    ------
    ValueError
        Never for a valid table.

    Notes
    -----
    Valid for any choice, also an empty one.

    Examples
    --------
    >>> table = tabulate(Wish(1e-3, 2.0, 0.001, 0.5), Gear(40))
    >>> settings_from(table, Gear(40), table.missed() == 0)[0].iso
    100.0

    References
    ----------
    House order of preference; no outside source.
    """
    p, a, i = np.nonzero(chosen)
    iso = np.array(gear.isos)[i]
    blur, distance = np.broadcast_to(table.blur, table.distance.shape)[p, a, i], table.distance[p, a, i]
    order = np.lexsort((-distance, blur, iso))
    p, a, iso, blur, distance = p[order], a[order], iso[order], blur[order], distance[order]
    columns = (
        np.array(gear.powers)[p],
        np.array(gear.apertures)[a],
        iso,
        distance,
        table.light_time[p, 0, 0],
        table.motion_blur[p, 0, 0],
        table.depth[0, a, 0],
        table.diffraction[0, a, 0],
        blur,
    )
    return tuple(Setting(*row) for row in zip(*(column.tolist() for column in columns), strict=True))


def spare(table: Table, name: str) -> float:
    """Return by how many stops one limit could be tightened alone with a setting still left.

    Parameters
    ----------
    table : Table
        The grid of combinations [SI].
    name : str
        The limit: ``'motion'``, ``'depth'``, ``'diffraction'``, ``'dark'`` or ``'bright'`` [word].

    Returns
    -------
    float
        Stops to spare; negative when it must be loosened, minus infinity when that alone cannot help [stop].

    Raises
    ------
    ValueError
        Never for a valid table.

    Notes
    -----
    Valid for any table. For light, the stops are what may be lost (dark) or gained (bright) at the flash.

    Examples
    --------
    >>> spare(tabulate(Wish(1e-3, 2.0, 0.001, 0.5), Gear(40)), "motion") > 0
    True

    References
    ----------
    Derived here.
    """
    # light taken away helps what was too bright, so the two ends of the distance go together
    left_out = ("dark", "bright") if name in ("dark", "bright") else (name,)
    met = table.missed(*left_out) == 0
    room = -np.broadcast_to(table.excess[name], met.shape)[met]
    if not (table.missed() == 0).any():
        room = room[room < 0]
    return float(room.max(initial=-np.inf))


def change_for(name: str, stops: float, wish: Wish, gear: Gear) -> Change:
    """Turn stops missed into the change that makes up for them.

    Parameters
    ----------
    name : str
        The limit that is missed [word].
    stops : float
        By how much [stop].
    wish : Wish
        What the frame must show [SI].
    gear : Gear
        What there is to set [SI].

    Returns
    -------
    Change
        What to change, from and to [SI].

    Raises
    ------
    ValueError
        If the limit is unknown.

    Notes
    -----
    Valid for stops above zero.

    Examples
    --------
    >>> change_for("motion", 1.0, Wish(1e-4, 2.0, 0.005, 0.5), Gear(40)).after > 2e-4
    True

    References
    ----------
    Derived here.
    """
    if name == "motion":
        return Change("motion_blur", wish.motion_blur, round_safely(wish.motion_blur * 2**stops, np.ceil), stops)
    if name == "depth":
        # the exact depth at the aperture that many stops wider, not a proportion of the old depth
        args = (gear.focal_length, wish.depth, wish.magnification, gear.pupil_ratio, gear.blur_circle)
        wider = float(aperture_for_depth(*args)) * 2 ** (-stops / 2)
        factor = 1 + wish.magnification / gear.pupil_ratio
        square = wish.magnification**2 - (wider * gear.blur_circle / gear.focal_length) ** 2
        return Change(
            "depth", wish.depth, round_safely(2 * wider * gear.blur_circle * factor / square, np.floor), stops
        )
    before = float(gear.diffraction or 0)
    if name == "diffraction":
        return Change("diffraction", before, round_safely(before * 2 ** (stops / 2), np.ceil), stops)
    sign = {"dark": -1.0, "bright": 1.0}[name]
    return Change("loss", gear.loss, gear.loss + sign * stops, stops)


def round_safely(value: float, way: Any) -> float:
    """Round to three digits toward the safe side, so that the number shown is a number that works.

    Parameters
    ----------
    value : float
        A number above zero [any unit].
    way : function
        ``numpy.ceil`` to round up, ``numpy.floor`` to round down [function].

    Returns
    -------
    float
        The rounded number [as the value].

    Raises
    ------
    ValueError
        Never for a number above zero.

    Notes
    -----
    Valid for numbers above zero.

    Examples
    --------
    >>> round(round_safely(0.0123401, np.ceil), 6)
    0.0124

    References
    ----------
    House rule; no outside source.
    """
    unit = 10.0 ** (np.floor(np.log10(value)) - 2)
    return float(way(value / unit) * unit)


def smaller_magnification(wish: Wish, gear: Gear) -> float | None:
    """Find the largest magnification below the wish that some setting can meet.

    Parameters
    ----------
    wish : Wish
        What the frame must show [SI].
    gear : Gear
        What there is to set [SI].

    Returns
    -------
    float or None
        Magnification, or none when even an eighth of the wish does not help [1].

    Raises
    ------
    ValueError
        Never for a valid wish and gear.

    Notes
    -----
    Valid down to an eighth of the wish; found on a fine ladder, so up to 1.5 % below the exact limit.

    Examples
    --------
    >>> smaller_magnification(Wish(1e-3, 2.0, 0.02, 1.0), Gear(40)) < 1.0
    True

    References
    ----------
    Derived here.
    """
    steps = wish.magnification * np.exp2(-np.arange(1, 145) / 48)

    def met(k: int) -> bool:
        return bool((tabulate(replace(wish, magnification=float(steps[k])), gear).missed() == 0).any())

    low, high = -1, None
    for k in range(11, len(steps), 12):  # quarter stops first, then the fine steps between
        if met(k):
            high = k
            break
        low = k
    if high is None:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if met(middle) else (middle, high)
    return float(steps[high])
