"""The simple forms behind the splash: numbers in, numbers out, constants as arguments.

The refit script fits these very functions, so the form that is fitted is the form that runs.
Everything is SI; arrays broadcast. ``depth`` is the deepest the crater gets.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from splashkit.splash import constants as fitted

# midpoints for the opening-time integral, after y = sin(angle), which takes the corner out of it
_SINE = np.sin((np.arange(48) + 0.5) / 48 * np.pi / 2)
_COSINE = np.sqrt(1 - _SINE**2)


def crater_depth(
    diameter: Any, froude: Any, bond: Any, share: float = fitted.DEPTH_SHARE, fade: float = fitted.DEPTH_FADE
) -> Any:
    """Depth of a hemisphere whose weight and skin hold a share of the drop's energy."""
    held = np.minimum(share * (froude / 120.0) ** -fade, 1.0)
    return diameter * np.sqrt(np.sqrt(4 / bond**2 + held * froude / 3) - 2 / bond)


def bond_of_depth(depth: Any, density: Any, tension: Any, gravity: Any) -> Any:
    """Weight against surface tension at the size of the crater."""
    return density * gravity * depth**2 / tension


def deepest_time(depth: Any, density: Any, tension: Any, gravity: Any, inertia: float = fitted.CRATER_INERTIA) -> Any:
    """Time a hemisphere needs to open, by its energy balance with a share of its full inertia."""
    skin = np.asarray(4 / bond_of_depth(depth, density, tension, gravity))[..., None]
    integrand = np.sqrt(_SINE**3 / ((1 - _SINE**4) + skin * (1 - _SINE**2))) * _COSINE
    return np.sqrt(4 * inertia * depth / gravity) * integrand.mean(axis=-1) * np.pi / 2


def column_start(depth: Any, density: Any, tension: Any, gravity: Any, wavenumber: float = fitted.WAVENUMBER) -> Any:
    """Half a period of the gravity-capillary wave that fits the crater."""
    k = wavenumber / depth
    return np.pi / np.sqrt(gravity * k + tension * k**3 / density)


def column_peak_height(depth: Any, density: Any, tension: Any, gravity: Any, reach: float = fitted.REACH) -> Any:
    """Crater depth times the share of its energy that is weight and not skin."""
    return reach * depth / (1 + 4 / bond_of_depth(depth, density, tension, gravity))


def column_radius(depth: Any, weber: Any, widest: float = fitted.WIDEST, bend: float = fitted.WIDEST_WEBER) -> Any:
    """Radius of the column at half its height: grows with the Weber number, then bends over."""
    return widest * depth * np.tanh(weber / bend)


def thickness(weber: Any) -> Any:
    """Share of a thick column, 0 (thin) to 1 (thick), across the gap in which no case lies."""
    return 0.5 * (1 + np.tanh((weber - fitted.SWITCH_WEBER) / (2 * fitted.SWITCH_WIDTH)))


def column_peak_time(start: Any, weber: Any, thin: float = fitted.TOP_THIN, thick: float = fitted.TOP_THICK) -> Any:
    """Time at which the connected column is highest."""
    return start * (thin + thick * thickness(weber))


def column_end(start: Any, bond: Any, end: float = fitted.END, power: float = fitted.END_POWER) -> Any:
    """Time at which the column is back at the level: heavier columns hold together longer."""
    return start * end * (bond / 3.0) ** power


def least_column_end(peak: Any, least: float = fitted.LEAST_END) -> Any:
    """Soonest end of a column that was highest at ``peak``."""
    return least * peak


def pinch_off(start: Any, radius: Any, density: Any, tension: Any, growth: float = fitted.PINCH) -> Any:
    """Time at which the fastest pinching wave has cut off the head."""
    return start + growth * np.sqrt(density * radius**3 / tension)


def rise_power(weber: Any, thin: float = fitted.RISE_THIN, thick: float = fitted.RISE_THICK) -> Any:
    """How strongly the rise slows: a thin column is cut off while it still climbs."""
    return thin + thick * thickness(weber)


def surface_height(
    time: Any, depth: Any, deepest: Any, start: Any, height: Any, peak: Any, end: Any, power: Any
) -> Any:
    """Height of the liquid on the axis above the still level: crater floor, rise, fall, level."""
    with np.errstate(invalid="ignore", divide="ignore"):
        opening = -depth * (1 - np.clip(1 - time / deepest, 0, 1) ** fitted.OPENING)
        closing = -depth * (1 - np.clip((time - deepest) / (start - deepest), 0, 1) ** fitted.CLOSING)
        rising = height * (1 - np.clip(1 - (time - start) / (peak - start), 0, 1) ** power)
        falling = height * (1 - np.clip((time - peak) / (end - peak), 0, 1) ** 2)
    inside = np.select([time < deepest, time < start, time < peak], [opening, closing, rising], falling)
    return np.where((time <= 0) | (time >= end), 0.0, inside)


def surface_speed(time: Any, depth: Any, deepest: Any, start: Any, height: Any, peak: Any, end: Any, power: Any) -> Any:
    """Speed of the liquid on the axis, upward positive: the slope of :func:`surface_height`."""
    with np.errstate(invalid="ignore", divide="ignore"):
        opening = -depth / deepest * fitted.OPENING * np.clip(1 - time / deepest, 0, 1) ** (fitted.OPENING - 1)
        closed = np.clip((time - deepest) / (start - deepest), 0, 1)
        closing = depth / (start - deepest) * fitted.CLOSING * closed ** (fitted.CLOSING - 1)
        rising = height / (peak - start) * power * np.clip(1 - (time - start) / (peak - start), 0, 1) ** (power - 1)
        falling = -2 * height / (end - peak) * np.clip((time - peak) / (end - peak), 0, 1)
    inside = np.select([time < deepest, time < start, time < peak], [opening, closing, rising], falling)
    return np.where((time <= 0) | (time >= end), 0.0, inside)


def sheet_radius_max(diameter: Any, weber: Any, spread: float = fitted.SHEET_SPREAD) -> Any:
    """Largest radius of the sheet of a drop on a target of about its own size."""
    return diameter * (0.5 + spread * np.sqrt(weber))


def capillary_time(diameter: Any, density: Any, tension: Any) -> Any:
    """Time scale on which surface tension pulls the sheet of one drop back."""
    return np.sqrt(density * diameter**3 / (6 * tension))


def sheet_shape(time: Any, full_time: Any, start_radius: Any, radius_max: Any) -> Any:
    """Radius of the sheet: out, fullest at ``full_time``, back at three times that."""
    u = np.clip(time / full_time, 0, 3)
    return start_radius + (radius_max - start_radius) * 2.25 * u * (1 - u / 3) ** 2
