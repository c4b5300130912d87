"""Lesson 07's panel: crown, crater and column of the first drop against time, and a cut through it at one moment."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, liquids, splash, units
from splashkit.estimate import Estimate
from splashkit.panels.base import Panel
from splashkit.panels.cautions import few
from splashkit.panels.controls import Control, Number, Pick

words = units.format_quantity

LIQUIDS = (
    ("water", "water"),
    ("whole milk", "milk"),
    ("half glycerol, half water by mass", "glycerol_water"),
    ("water with washing-up liquid", "detergent"),
    ("water with a pinch of xanthan", "thickened_water"),
)


@cache
def liquid(name: str) -> Any:
    """Make each liquid once, at 20 °C."""
    water = liquids.water()
    made = {
        "water": lambda: water,
        "milk": liquids.milk,
        "glycerol_water": lambda: liquids.glycerol_water(mass_fraction=0.5),
        "detergent": lambda: liquids.with_detergent(water),
        "thickened_water": lambda: liquids.pinch_of_xanthan(water),
    }
    return made[name]()


def landing_speed(height: float, diameter: float, what: Any) -> float:
    """Give the speed at contact of a drop that lets go by itself."""
    fallen = drops.fall(
        drops.fall_height(height, diameter), diameter,
        liquid_density=what.density.value, surface_tension=what.surface_tension.value,
    )  # fmt: skip
    return float(fallen.speed)


def about(estimate: Estimate, unit: str) -> str:
    """Write an estimate with two digits: its band allows no more."""
    return estimate.words(lambda x, digits: millimetres(x, digits) if unit == "m" else words(x, unit, digits), 2)


def millimetres(length: float, digits: int = 2) -> str:
    """Write a length in millimetres: nobody here sees a thousandth of one."""
    return f"{units.format_number(1e3 * length, digits)} mm"


def place(height: float) -> str:
    """Say where the middle stands; less than a twentieth of a millimetre is level."""
    return "level" if abs(height) < 5e-5 else f"{millimetres(abs(height))} {'above' if height > 0 else 'below'}"


# the drop that the prose speaks of, in a deep bowl: each button starts from it
_USUAL = {"height": 0.25, "diameter": 4e-3, "bowl_depth": 0.05, "what": "water"}


class FirstSplash(Panel):
    """Height, drop, liquid, bowl depth and a moment; times with bands, and the shape of the water then."""

    title = "What does the first drop do to the water?"
    lead = "Move the time after contact. Then change drop and liquid, and see which numbers follow."
    presets = {
        "At contact": {"moment": 0.0, **_USUAL},
        "Crater deepest": {"moment": 0.020, **_USUAL},
        "Column at its top": {"moment": 0.060, **_USUAL},
        "Large drop from high up": {"moment": 0.110, **_USUAL, "height": 0.60, "diameter": 5e-3},
    }
    legend_words = (
        ("Solid blue line", "height of the water in the middle: below zero the crater's floor, above it the column"),
        ("Blue shading", "the band: a real splash may run anywhere in it"),
        ("Black marks with bars", "four moments, and how early or late each may come"),
        ("Orange strip", "the crown may be highest anywhere in it; the sources disagree"),
        ("Dashed green line and dot", "the moment you chose"),
        ("Right figure, pale blue", "the water and the drop, cut through the middle, to scale"),
        ("Right figure, dashed orange", "the crown's walls, hinted only: no source gives their height"),
        ("Right figure, black bar", "how low or high the water in the middle may stand"),
        ("Hatched", "the bowl's floor, where it is near enough to be seen"),
        ("Roundings of the shapes", "drawn to join the computed sizes; they are not computed"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        mine = self.start("liquid", "water")
        return [
            Number("moment", "Time after contact", "s", -0.01, 0.4, 0.060, display="ms", step=1.0,
                   advice="the splash is over within 400 ms"),
            Number("height", "Nozzle height", "m", 0.05, 2.0, self.start("nozzle_height", 0.25), display="mm",
                   step=5, advice="measure from the nozzle's tip to the still water"),
            Number("diameter", "Drop diameter", "m", 1e-3, 8e-3, self.start("first_diameter", 4e-3), display="mm",
                   step=0.1),
            Number("bowl_depth", "Depth of the liquid", "m", 2e-3, 0.2, self.start("bowl_depth", 0.05), display="mm",
                   log=True),
            Pick("what", "Liquid of drop and bowl", LIQUIDS, mine if mine in dict(LIQUIDS).values() else "water"),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.first_splash import SectionFigure, SplashTimeFigure

        return [SplashTimeFigure(), SectionFigure()]

    def compute(self, state: Any) -> Any:
        """Compute the splash, its curve and the moment."""
        what = liquid(state.what)
        speed = landing_speed(state.height, state.diameter, what)
        made = splash.first_drop(state.diameter, speed, what, state.bowl_depth)
        times = np.linspace(0, float(made.column_end.high), 181)
        height = splash.column_height(made, np.append(times, state.moment))
        now = splash.column_height(made, state.moment)
        return SimpleNamespace(
            splash=made, speed=speed, moment=state.moment, now=now, times=times, bowl_depth=state.bowl_depth,
            height=height._replace(value=height.value[:-1], low=height.low[:-1], high=height.high[:-1]),
            width=splash.crater_width(made, state.moment),
        )  # fmt: skip

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the landmarks with their bands, the moment, and the warnings."""
        made = result.splash
        size = words(state.diameter, "m")
        numbers = (
            f"{'An' if size.startswith('8') else 'A'} {size} drop from {words(state.height, 'm')} lands at "
            f"{words(result.speed, 'm/s')}. Crater: {about(made.crater_depth, 'm')} deep, after "
            f"{about(made.crater_time, 's')}. Column: starts after {about(made.column_start, 's')}, is highest after "
            f"{about(made.column_peak_time, 's')} with {about(made.column_peak_height, 'm')}, and is gone after "
            f"{about(made.column_end, 's')}. {self._moment(result)}"
        )
        return numbers, f"{self._phase(result)} {few(made.warnings)}".strip()

    def _moment(self, result: Any) -> str:
        t, z = result.moment, result.now
        if t <= 0:
            if t == 0:
                return "At contact the water is still flat."
            high = words(-t * result.speed, "m", 2)
            return f"{words(-t, 's')} before contact the water is flat, and the drop's lowest point is {high} above it."
        if float(z.high - z.low) < 1e-5 and z.value == 0:
            return f"At {words(t, 's')} the column has surely fallen back."
        return (
            f"At {words(t, 's')} the middle stands {place(float(z.value))} the still level; the band runs from "
            f"{place(float(z.low))} to {place(float(z.high))}."
        ).replace("level the still level", "at the still level")

    def _phase(self, result: Any) -> str:
        made, t = result.splash, result.moment
        deep, top = float(made.crater_time.value), float(made.column_peak_time.value)
        names = (
            (0.0, "You see the drop before it touches."),
            (1e-6, "You see the drop at its first touch."),
            (float(made.diameter) / result.speed, "You see the drop going in."),
            (deep - 2e-3, "You see the crater opening, with the crown on its edge."),
            (deep + 2e-3, "You see the crater at its deepest."),
            (float(made.column_start.value), "You see the crater closing."),
            (top - 2e-3, "You see the column rising."),
            (top + 2e-3, "You see the column at its top."),
            (float(made.column_end.value), "You see the column sinking."),
        )
        said = next((said for end, said in names if t < end), "By the middle of the band, the column is gone.")
        if bool(made.head_pinches_off) and float(made.pinch_off.value) < t < float(made.column_end.value):
            said += " Its head may have come loose and fly on above; it is not drawn."
        return said

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        made = result.splash
        return (
            f"Height of the water in the middle against time: crater deepest after {words(made.crater_time.value, 's')}"
            f", column from {words(made.column_start.value, 's')}, highest after "
            f"{words(made.column_peak_time.value, 's')}. Beside it a cut to scale at {words(result.moment, 's')}: the "
            f"middle stands {place(float(result.now.value))}."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the crater's depth and the start of the column."""
        made = result.splash
        depth, froude, bond = (float(x) for x in (made.crater_depth.value, made.froude, made.bond))
        shown: list[tuple[Any, dict[str, float]]] = []
        if 20 <= froude <= 600:  # beyond, the share of the energy is not this simple form
            shown.append(("crater_depth", {"diameter": state.diameter, "froude": froude, "bond": bond}))
        start = {"gravity": made.gravity, "depth": depth, "surface_tension": float(made.liquid.surface_tension.value),
                 "density": float(made.liquid.density.value)}  # fmt: skip
        return [*shown, ("column_start", start)]
