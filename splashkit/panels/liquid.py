"""Lesson 09's first panel: what is in the bowl, and what it does to the splash."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import liquids, timing, units
from splashkit.look import escape
from splashkit.panels.base import Panel
from splashkit.panels.cautions import plain
from splashkit.panels.controls import Control, Number, Pick
from splashkit.splash.impact import VISCOSITY

LIQUIDS = (
    ("water", "water"),
    ("milk, whole (3.5 % fat)", "milk"),
    ("milk, skimmed (0.1 % fat)", "skimmed milk"),
    ("glycerol and water, weighed", "glycerol by mass"),
    ("glycerol and water, by the jug", "glycerol by volume"),
    ("ethanol and water, strength as on a bottle", "ethanol"),
    ("water with washing-up liquid", "soap"),
    ("water with a pinch of xanthan", "xanthan"),
    ("dyed water", "dye"),
)
SHARED = ("glycerol by mass", "glycerol by volume", "ethanol")  # those that need a share
FROM_RIG = {"water": "water", "milk": "milk", "thickened_water": "xanthan", "glycerol_water": "glycerol by mass"}
GRAVITY = 9.80665
WARM = 20.0  # degC, of the water that all are compared with
ONE = 1e-3  # s; a shift of the gap below this is lost in the valve's own spread

RINSE = "Rinse valve, pipe and nozzle with plain water as soon as you stop; what dries in a valve makes it stick."
CARE = {
    "milk": (RINSE,), "skimmed milk": (RINSE,), "glycerol by mass": (RINSE,), "glycerol by volume": (RINSE,),
    "xanthan": (RINSE, "A little goes a long way (common practice, no source): dust it in while you stir."),
    "soap": ("One drop of washing-up liquid is plenty (common practice, no source).",),
}  # fmt: skip


def liquid_of(kind: str, share: float, temperature: float) -> liquids.Liquid:
    """Make the liquid of a choice."""
    match kind:
        case "milk" | "skimmed milk":
            return liquids.milk(0.035 if kind == "milk" else 0.001, temperature)
        case "glycerol by mass":
            return liquids.glycerol_water(mass_fraction=share, temperature=temperature)
        case "glycerol by volume":
            return liquids.glycerol_water(volume_fraction=share, temperature=temperature)
        case "ethanol":
            return liquids.ethanol_water(volume_fraction=share, temperature=temperature)
    clean = liquids.water(temperature)
    changed = {"soap": liquids.with_detergent, "xanthan": liquids.pinch_of_xanthan, "dye": liquids.dyed}
    return changed[kind](clean) if kind in changed else clean


@cache
def the_map() -> dict[str, Any]:
    """Work out every liquid of the map once, at 20 degC."""
    points = {}
    for name in ("water", "milk", "skimmed milk", "soap"):
        one = liquid_of(name, 0.0, 20.0)
        points[name] = (float(one.surface_tension.value), float(one.viscosity.value))
    shares = np.linspace(0, 1, 41)
    mixes = {"glycerol": liquids.glycerol_water, "ethanol": liquids.ethanol_water}
    made = {name: mix(mass_fraction=shares) for name, mix in mixes.items()}
    return {"points": points} | {n: (shares, one.surface_tension.value, one.viscosity.value) for n, one in made.items()}


class BowlLiquid(Panel):
    """Liquid, share and temperature; where it stands among the others, and splash, gap and sheet beside water."""

    title = "What is in the bowl?"
    lead = "Change the liquid. Watch which way the ring moves, then which numbers of the splash follow."
    presets = {
        "Whole milk": {"kind": "milk", "temperature": 20.0},
        "Half glycerol, by the jug": {"kind": "glycerol by volume", "share": 0.5, "temperature": 20.0},
        "Half glycerol, weighed": {"kind": "glycerol by mass", "share": 0.5, "temperature": 20.0},
        "Soapy water": {"kind": "soap", "temperature": 20.0},
    }
    legend_words = (
        ("Left figure: ring with cross", "the liquid you chose; the cross is the band of its two properties"),
        ("Circle", "water; dyed water stands at the same place"),
        ("Squares", "milk: filled is whole, open is skimmed"),
        ("Diamond with dotted line", "soapy water: at rest it stands at the diamond, freshly stretched it is somewhere "
                                     "on the line"),
        ("Dashed curve, and curve of dashes and dots", "glycerol and water; ethanol and water; marks tell the share "
                                                       "by mass"),
        ("Dotted arrow with a question mark", "a pinch of xanthan: thicker than water, by how much nobody can say"),
        ("Right figure: ring and thin line", "water at 20 °C and its band"),
        ("Right figure: dot and thick line", "the liquid you chose and its band"),
        ("Number at the right", "how far the dot is from the ring, in ms above and in mm below"),
        ("Before you pour", "cautions and good advice for this liquid"),
        ("How far to trust the numbers", "where the splash lies beyond the cases that were checked"),
    )  # fmt: skip

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        kind = FROM_RIG.get(self.start("liquid", "water"), "water")
        warm = float(self.start("liquid_temperature", 20.0))
        return [
            Pick("kind", "What is in the bowl", LIQUIDS, kind),
            Number("share", "Share of glycerol or ethanol", "1", 0.0, 1.0, 0.5, display="%", step=1),
            Number("temperature", "Temperature of the liquid", "degC", 5.0, 40.0, warm, display="°C", step=1),
        ]

    def make_figures(self) -> list[Any]:
        """Make the two figures."""
        from splashkit.figures.liquid import PropertyMap, SplashCompare

        return [PropertyMap(), SplashCompare()]

    def compute(self, state: Any) -> Any:
        """Compute the liquid, and the meeting at the column's top in it and in water."""
        liquid = liquid_of(state.kind, state.share, state.temperature)
        if not hasattr(self, "_water_plan"):
            self._water_plan = self._plan(liquids.water(WARM))
        water = self._water_plan
        plan = None if liquid.viscosity.value > VISCOSITY.high else self._plan(liquid)
        notes = tuple(dict.fromkeys([*CARE.get(state.kind, ()), *liquid.notes, *liquid.warnings]))
        doubts = [] if plan is None else plain(warning for warning in plan.warnings if warning not in notes)
        return SimpleNamespace(
            liquid=liquid, plan=plan, water=water, notes=notes, doubts=tuple(doubts), limit=VISCOSITY.high,
            times=_rows(plan, water, _TIMES), sizes=_rows(plan, water, _SIZES), **the_map(),
        )  # fmt: skip

    def _plan(self, liquid: liquids.Liquid) -> timing.Plan:
        rig = self.rig
        return timing.gap_for_meeting(
            self.start("nozzle_height", 0.25), self.start("first_diameter", 4e-3), liquid,
            second_diameter=rig.second_diameter, release_speed=self.start("release_speed", 0.0),
            bowl_depth=rig.bowl_depth,
        )  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Give the cautions of this liquid, and the model's own in plain words, as lists beside the figures."""
        made = ""
        for head, notes in (("Before you pour", result.notes), ("How far to trust the numbers", result.doubts)):
            listed = "".join(f"<li>{escape(note)}</li>" for note in notes)
            made += f"<strong>{head}</strong><ul>{listed}</ul>" if listed else ""
        return [f"<div>{made}</div>"] if made else []

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say what it is and what it does."""
        liquid, plan, water = result.liquid, result.plan, result.water
        thick = liquid.viscosity.text("Pa s")
        if not liquid.newtonian:
            thick = f"at least {units.format_quantity(float(liquid.viscosity.value), 'Pa s')}, how much more is unknown"
        numbers = (
            f"{liquid.name[0].upper()}{liquid.name[1:]} at {units.format_number(state.temperature)} °C: "
            f"viscosity {thick}; surface tension {liquid.surface_tension.text('N/m')}; "
            f"density {units.format_quantity(float(liquid.density.value), 'kg/m3', 4)}."
        )
        if plan is not None:
            size = units.format_quantity(float(self.start("first_diameter", 4e-3)), "m")
            height = units.format_quantity(float(self.start("nozzle_height", 0.25)), "m")
            numbers += (
                f" With drops of {size} from {height}, the gap for a meeting at the column's top is "
                f"{plan.gap.text('s')}; in water{self._warm(state)} it is "
                f"{units.format_quantity(float(water.gap.value), 's')}."
            )
        return numbers, self._verdict(state, result)

    @staticmethod
    def _warm(state: Any) -> str:
        # the water to compare with stays at 20 °C
        return "" if abs(state.temperature - WARM) < 0.05 else f" at {WARM:g} °C"

    def _verdict(self, state: Any, result: Any) -> str:
        kind, plan, water, warm = state.kind, result.plan, result.water, self._warm(state)
        if plan is None:
            return (
                f"Too thick for the splash model ({units.format_quantity(result.limit, 'Pa s')} at most): try frames."
            )
        if kind == "xanthan":
            return "The times are those of water. What the pinch does to them, only test frames can say."
        shift = float(plan.gap.value - water.gap.value)
        size = units.format_quantity(abs(shift), "s", 2)
        said = f"Set the gap {size} {'longer' if shift > 0 else 'shorter'} than for water{warm}."
        if kind == "water" and not warm:
            said = "This is what the others are measured against."
        elif abs(shift) < ONE:
            said = f"For the gap it is as good as water{warm}."
        if kind == "soap":
            said = f"Set the gap up to {size} longer than for water{warm}: a fresh surface is not yet soapy all over."
        if float(plan.meeting.splash.reynolds) < 1600:
            said = f"Thicker than the liquids behind the model, so this is a guess. {said}"
        return said

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        liquid = result.liquid
        return (
            f"{liquid.name} among the other liquids: {units.format_quantity(float(liquid.viscosity.value), 'Pa s')}, "
            f"{units.format_quantity(float(liquid.surface_tension.value), 'N/m')}. "
            + ("No splash model." if result.plan is None else f"Column, gap and sheet beside water: {_listed(result)}.")
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show when the column starts in this liquid."""
        if result.plan is None:
            return []
        splash, liquid = result.plan.meeting.splash, result.liquid
        return [
            ("column_start", {
                "gravity": GRAVITY, "depth": float(splash.crater_depth.value),
                "surface_tension": float(liquid.surface_tension.value), "density": float(liquid.density.value),
            })
        ]  # fmt: skip


_TIMES = (
    ("column starts", lambda plan: plan.meeting.splash.column_start),
    ("column on top", lambda plan: plan.meeting.splash.column_peak_time),
    ("column gone", lambda plan: plan.meeting.splash.column_end),
    ("gap of the drops", lambda plan: plan.gap),
)
_SIZES = (
    ("crater depth", lambda plan: plan.meeting.splash.crater_depth),
    ("column height", lambda plan: plan.meeting.splash.column_peak_height),
    ("sheet radius", lambda plan: plan.sheet.radius_max),
)


def _rows(plan: Any, water: Any, wanted: Any) -> tuple[tuple[str, Any, Any], ...]:
    return tuple((words, None if plan is None else get(plan), get(water)) for words, get in wanted)


def _listed(result: Any) -> str:
    rows = [(words, one, "s") for words, one, _ in result.times] + [(words, one, "m") for words, one, _ in result.sizes]
    return ", ".join(f"{words} {units.format_quantity(float(one.value), unit)}" for words, one, unit in rows)
