"""What the first drop does to the water: one call, every time and size with its band."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from splashkit.checks import Number, Range, broadcast
from splashkit.estimate import Estimate
from splashkit.splash import bands, forms
from splashkit.splash.given import liquid_or_water

DIAMETER = Range("drop diameter", "m", 1e-3, 1e-2, "give metres: a 4 mm drop is 0.004")
SPEED = Range("impact speed", "m/s", 0.3, 8.0, "use the speed of a fall of 1 cm to 3 m")
BOWL_DEPTH = Range("depth of the liquid", "m", 0, 1.0, "give metres: 3 cm is 0.03", open_low=True)
GRAVITY = Range("gravity", "m/s2", 9.6, 10.0, "leave it at 9.80665 or take it from your latitude")
VISCOSITY = Range("viscosity of the liquid", "Pa s", 1e-4, 0.03, "thin the liquid; the models end near 10 mPa s")
TENSION = Range("surface tension of the liquid", "N/m", 0.015, 0.09, "give N/m: water is 0.073")
DENSITY = Range("density of the liquid", "kg/m3", 600, 1400, "give kg/m3: water is 998")

_WHY = "refitted on our own simulations and the 1908 sparks, each case predicted with itself left out"


@dataclass(frozen=True)
class Splash:
    """The first drop's splash. Times count from first contact; heights from the still level; all SI.

    ``column_start`` is when the column passes the still level. ``thick`` runs from 0 (thin column,
    its head pinches off) to 1 (thick column, goes back whole). Flags are True or False for each drop.
    """

    diameter: Any
    speed: Any
    liquid: Any
    bowl_depth: Any
    gravity: float
    weber: Any
    froude: Any
    reynolds: Any
    bond: Any
    crown_time: Estimate
    crater_depth: Estimate
    crater_time: Estimate
    crater_width: Estimate
    column_start: Estimate
    column_peak_height: Estimate
    column_peak_time: Estimate
    column_end: Estimate
    column_radius: Estimate
    pinch_off: Estimate
    head_diameter: Estimate
    second_column_start: Estimate
    thick: Any
    crown_may_close: Any
    entrains_bubble: Any
    between_kinds: Any
    head_pinches_off: Any
    bowl_shallow: Any
    bowl_too_shallow: Any
    outside: Any
    warnings: tuple[str, ...]

    def curve(self) -> dict[str, Any]:
        """Return the numbers that draw the height of the liquid on the axis against time."""
        return {
            "depth": self.crater_depth.value,
            "deepest": self.crater_time.value,
            "start": self.column_start.value,
            "height": self.column_peak_height.value,
            "peak": self.column_peak_time.value,
            "end": self.column_end.value,
            "power": forms.rise_power(self.weber),
        }


def first_drop(
    diameter: Number,
    speed: Number,
    liquid: Any = None,
    bowl_depth: Number | None = None,
    gravity: float = 9.80665,
) -> Splash:
    r"""Predict crown, crater and column of one drop on a still bowl of the same liquid.

    .. math:: \left(\tfrac{R}{d}\right)^4 + \tfrac{4}{Bo}\left(\tfrac{R}{d}\right)^2 = \tfrac{\varphi\,Fr}{3},
              \qquad t_{start} = \pi\Big/\sqrt{g k + \sigma k^3/\rho},\quad k = 3.1/R

    Parameters
    ----------
    diameter : float or array
        Drop diameter [m].
    speed : float or array
        Speed at contact [m/s].
    liquid : Liquid or None
        Liquid of drop and bowl; None is water at 20 degC [any].
    bowl_depth : float, array or None
        Depth of the liquid; None is a deep bowl [m].
    gravity : float
        Local gravity [m/s2].

    Returns
    -------
    Splash
        Estimates with bands, flags, and warnings in plain words.

    Raises
    ------
    ValueError
        If a value lies outside its range; the sentence says which and what to do.

    Notes
    -----
    Valid for Weber 155-920, Froude (V^2/gd) 70-280, Bond 1.2-8.9, Reynolds above 1600 and a bowl at
    least 25 mm and two crater depths deep. Beyond that the number comes with a warning and a wider
    band. The forms are fitted to axisymmetric simulations and one open spark series. Left out: the
    drop's wobble, swirl, an off-level bowl, the crown's break-up, polymers.
    A column ends no sooner than 1.12 times the time of its top, the least seen in the runs; only small drops
    from high up come so near. Viscosity does not enter: down to a Reynolds number of 1600 the runs show no
    clear effect.

    Examples
    --------
    >>> splash = first_drop(4e-3, 2.18)
    >>> round(splash.column_start.value * 1e3), round(splash.column_peak_height.value * 1e3)
    (35, 17)

    References
    ----------
    Energy balance of the crater: Engel 1966; Pumphrey & Elmore 1990 (abstracts). Wave period: Lamb,
    Hydrodynamics (from memory). Constants: own simulation (axisymmetric two-phase flow), not
    published, and Worthington, A Study of Splashes, 1908. The combination is derived here.
    """
    liquid = liquid_or_water(liquid)
    diameter, speed = DIAMETER(diameter), SPEED(speed)
    depth_of_bowl: Any = np.inf if bowl_depth is None else BOWL_DEPTH(bowl_depth)
    gravity = GRAVITY.one(gravity)
    d, v, bowl = (array[()] for array in broadcast(diameter=diameter, speed=speed, bowl_depth=depth_of_bowl))
    density, viscosity = DENSITY(liquid.density.value), VISCOSITY(liquid.viscosity.value)
    tension, tensions = TENSION(liquid.surface_tension.value), (liquid.surface_tension.low, liquid.surface_tension.high)

    mid = _centre(d, v, density, tension, gravity)
    ends = [_centre(d, v, density, end, gravity) for end in tensions]
    numbers = {
        "weber": density * v**2 * d / tension,
        "froude": v**2 / (gravity * d),
        "reynolds": density * v * d / viscosity,
        "bond": density * gravity * d**2 / tension,
    }
    bubble = bands.entrains_bubble(numbers["weber"], numbers["froude"])
    unsure = bands.between_kinds(numbers["weber"])
    distance = bands.outside(numbers)
    deep_enough = np.maximum(bands.DEEP_BOWL, 2 * mid["crater_depth"])
    shallow = bowl < deep_enough
    too_shallow = (bowl < bands.SHALLOW_BOWL) | (bowl < mid["crater_depth"])
    stretch = 1 + distance + 0.5 * bubble + 0.5 * shallow + 1.0 * too_shallow
    torn = stretch + 0.3 * unsure  # the kind of column matters only for these

    def make(name: str, wide: Any) -> Estimate:
        return bands.estimate(name, mid[name], wide, (ends[0][name], ends[1][name]), _WHY)

    made = {name: make(name, stretch) for name in ("crater_depth", "crater_time", "crater_width", "column_start")}
    torn_names = ("column_radius", "column_peak_height", "column_peak_time", "column_end", "pinch_off")
    made |= {name: make(name, torn) for name in torn_names}
    peak = made["column_peak_height"]
    # a bubble-catching splash reached a quarter to a half of this; a thin layer may give no column
    lowest = np.where(bowl < bands.EMPTY_BOWL, 0.0, np.where(bubble, 0.25 * peak.value, peak.low))
    lowest = np.minimum(np.where(too_shallow, 0.0, lowest), peak.low)[()]
    made["column_peak_height"] = peak._replace(low=lowest)
    radius, end = made["column_radius"], made["column_end"]
    return Splash(
        diameter=d,
        speed=v,
        liquid=liquid,
        bowl_depth=None if bowl_depth is None else bowl,
        gravity=gravity,
        **numbers,
        crown_time=Estimate(4.5 * d / v, 2.3 * d / v, 9 * d / v, "2.6 d/V in the 1908 sparks, 4-9 d/V in our runs"),
        **made,
        head_diameter=Estimate(
            3.8 * radius.value, 3.8 * radius.low, 3.8 * radius.high, "one pinching wave of the column (Rayleigh)"
        ),
        second_column_start=Estimate(
            1.16 * end.value, 1.1 * end.low, 1.3 * end.high, "seen once: 240 ms where the first ended at 207 ms (1908)"
        ),
        thick=forms.thickness(numbers["weber"]),
        crown_may_close=numbers["weber"] > bands.CLOSING_WEBER,
        entrains_bubble=bubble,
        between_kinds=unsure,
        head_pinches_off=mid["pinch_off"] < mid["column_peak_time"] * 1.1,
        bowl_shallow=shallow,
        bowl_too_shallow=too_shallow,
        outside=distance > 0,
        warnings=_warnings(numbers, bubble, unsure, bowl, mid["crater_depth"], liquid),
    )


def _centre(d: Any, v: Any, density: float, tension: float, gravity: float) -> dict[str, Any]:
    """Return the middle values of every form for one surface tension."""
    weber, froude = density * v**2 * d / tension, v**2 / (gravity * d)
    bond = density * gravity * d**2 / tension
    depth = forms.crater_depth(d, froude, bond)
    start = forms.column_start(depth, density, tension, gravity)
    radius, peak = forms.column_radius(depth, weber), forms.column_peak_time(start, weber)
    return {
        "crater_depth": depth,
        "crater_time": forms.deepest_time(depth, density, tension, gravity),
        "crater_width": 2 * depth,
        "column_start": start,
        "column_peak_height": forms.column_peak_height(depth, density, tension, gravity),
        "column_peak_time": peak,
        "column_end": np.maximum(forms.column_end(start, bond), forms.least_column_end(peak))[()],
        "column_radius": radius,
        "pinch_off": forms.pinch_off(start, radius, density, tension),
    }


def _warnings(
    numbers: dict[str, Any], bubble: Any, unsure: Any, bowl: Any, crater: Any, liquid: Any
) -> tuple[str, ...]:
    """Collect the plain sentences that belong to this splash (or to any of an array of them)."""
    said = bands.outside_sentences(numbers)
    if np.any(bubble):
        said.append(
            "This drop may catch a bubble under its crater: the column is then thin, fast and short, "
            "and poor for a meeting. Change the height or the drop size."
        )
    if np.any(unsure):
        said.append(
            "This splash lies between a thin and a thick column; nobody here knows where one turns into the other. "
            "Expect either; the bands of the column are wider."
        )
    if np.any(numbers["weber"] > bands.CLOSING_WEBER):
        said.append(
            "The crown may close to a bubble above such a strong impact (seen in 1908 from 1 m with 7 mm drops); "
            "a closed crown spoils the column."
        )
    limits = (
        (bowl < bands.EMPTY_BOWL, "Below 3 mm of liquid no jet drops were seen: do not expect a column."),
        (
            (bowl >= bands.EMPTY_BOWL) & ((bowl < bands.SHALLOW_BOWL) | (bowl < crater)),
            "The bowl is too shallow: the crater reaches its floor and the column is low or missing. Add liquid.",
        ),
        (
            (bowl >= bands.SHALLOW_BOWL) & (bowl >= crater) & (bowl < np.maximum(bands.DEEP_BOWL, 2 * crater)),
            "The bowl is shallow for this drop: times hold, but the column may rise higher than said. "
            "25 mm of liquid, or twice the crater's depth if that is more, is deep.",
        ),
        (bowl < bands.CROWN_BOWL, "Below 5 mm of liquid the crown is less regular than on a deep bowl."),
    )
    said += [sentence for test, sentence in limits if np.any(test)]
    if not liquid.newtonian:
        said.append("A thickener holds the column's head longer, or for good; no measured times were found.")
    return tuple(said) + tuple(liquid.warnings)
