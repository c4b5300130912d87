"""Lesson 09's second panel: how much to weigh for a wanted viscosity, as a sheet to print."""

from __future__ import annotations

import base64
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import liquids, units
from splashkit.look import escape
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number, Pick

HOLDS = (("nothing: it is empty", "nothing"), ("water", "water"))
STEPS = (("0.1 g", 1e-4), ("1 g", 1e-3), ("2 g", 2e-3), ("5 g", 5e-3))
WARMER = 5.0  # degC, for the second curve
SHEET_NOTES = (
    "Weigh, do not measure by the jug: glycerol is a quarter heavier than water.",
    "Stir until no streaks show. Let the bubbles rise. Cover the bowl: glycerol draws water from the air.",
    "Warm or cool the mix to the temperature above, then fill the pipe. One degree changes it by a few per cent.",
    "Nothing from the bowl is drunk. Spilt glycerol is slippery: wipe the floor at once.",
    "Rinse valve, pipe and nozzle with plain water as soon as you stop.",
)
STYLE = "body{font:12pt sans-serif;max-width:40em;margin:2em auto}td{padding:.3em 1.5em .3em 0}caption{text-align:left}"


@lru_cache(maxsize=64)
def curve_at(temperature: float) -> tuple[Any, Any]:
    """Work out viscosity against share once for each temperature."""
    shares = np.linspace(0, 0.9, 91)
    return shares, liquids.glycerol_viscosity(shares, temperature)


class Mixing(Panel):
    """Wanted viscosity, volume, pipe, bottle and scale; masses to weigh, and how far the mix may be off."""

    title = "A mixing sheet"
    lead = "Say how thick you want it and how much you need. The sheet tells what to weigh."
    presets = {
        "Twice as thick as water": {"viscosity": 2e-3},
        "Six times as thick": {"viscosity": 6e-3},
        "Bottle of 86 %": {"purity": 0.86},
    }
    legend_words = (
        ("Solid blue line", "viscosity against the share of glycerol, at the temperature you set"),
        ("Dashed line", "the same mixes 5 °C warmer: all of them are thinner"),
        ("Ring and dotted lines", "your mix"),
        ("Sheet", "what to weigh, rounded to what your scale can show; the boxes are for ticking off"),
        ("Band of the viscosity", "the formula's own error and one step of the scale on each weighing"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        warm = float(self.start("liquid_temperature", 20.0))
        return [
            Number("viscosity", "Wanted viscosity", "Pa s", 7e-4, 0.05, 4e-3, display="mPa s", log=True),
            Number("volume", "Wanted in bowl and tank", "m3", 5e-5, 5e-3, 8e-4, display="mL", step=50,
                   quantity="amount wanted in bowl and tank"),
            Number("pipe_volume", "Held by pipe and valve", "m3", 0.0, 3e-4, 4e-5, display="mL", step=5,
                   quantity="amount held by pipe and valve"),
            Pick("holds", "What the pipe holds now", HOLDS, "nothing"),
            Number("temperature", "Temperature in use", "degC", 5.0, 35.0, warm, display="°C", step=1),
            Number("purity", "Glycerol in the bottle, by mass", "1", 0.5, 1.0, 1.0, display="%", step=1,
                   quantity="share of glycerol in the bottle by mass"),
            Pick("step", "Smallest step of the scale", STEPS, 1e-3),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.liquid import MixCurve

        return [MixCurve()]

    def compute(self, state: Any) -> Any:
        """Compute the mix."""
        mix = liquids.mix_for_viscosity(
            state.viscosity, state.volume, state.temperature, state.pipe_volume, state.holds, state.purity, state.step
        )
        shares, here = curve_at(state.temperature)
        warmer = curve_at(state.temperature + WARMER)[1]
        return SimpleNamespace(mix=mix, shares=shares, here=here, warmer=warmer, temperature=state.temperature,
                               rows=_rows(mix, state))  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Give the sheet, and a link that saves it as a page of its own."""
        rows = "".join(
            f'<tr><th scope="row">{escape(what)}</th><td><strong>{escape(much)}</strong></td><td>{box}</td></tr>'
            for what, much, box in result.rows
        )
        notes = "".join(f"<li>{escape(note)}</li>" for note in SHEET_NOTES)
        table = f"<table>{rows}</table>"
        page = (
            f"<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'><title>Mixing sheet</title>"
            f"<style>{STYLE}</style></head><body><h1>Mixing sheet</h1>{table}<ul>{notes}</ul>"
            "<p>Date: ____________ Measured temperature: ________ °C</p></body></html>"
        )
        data = base64.b64encode(page.encode()).decode("ascii")
        link = (
            f'<a style="text-decoration:underline" download="mixing_sheet.html" href="data:text/html;base64,{data}">'
            "Save this sheet, to print it</a>"
        )
        return [f"<div><strong>Mixing sheet</strong>{table}<p>{link}</p></div>"]

    def sheet(self) -> str:
        """Give the sheet as plain text."""
        lines = [f"{'[ ]' if box else '   '} {what}: {much}" for what, much, box in self.result.rows]
        return "\n".join(["Mixing sheet", *lines, *(f"- {note}" for note in SHEET_NOTES)])

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say what to weigh and how sure it is."""
        mix = result.mix
        bottle, water = _on_scale(mix.bottle, state.step), _on_scale(mix.water, state.step)
        numbers = (
            f"For {units.format_quantity(mix.volume, 'm3')} of {units.format_quantity(state.viscosity, 'Pa s')} at "
            f"{units.format_number(state.temperature)} °C, weigh {bottle} from the glycerol bottle and {water} of "
            f"water. The mix holds {units.format_number(100 * mix.mass_fraction)} % glycerol by mass, and comes out at "
            f"{mix.viscosity.text('Pa s')}."
        )
        if state.pipe_volume > 0 and state.holds == "water":
            numbers += " The water in the pipe is counted: run it out into the mix first."
        warmer = liquids.glycerol_viscosity(mix.mass_fraction, state.temperature + 1)
        change = 100 * (1 - float(warmer) / float(mix.viscosity.value))
        if mix.mass_fraction < 1e-3:
            return numbers, "That is plain water: nothing to mix."
        if state.viscosity > 0.01:
            return numbers, "The splash model was never tried on a mix this thick: expect to find the gap by frames."
        return numbers, f"One degree warmer makes it {units.format_number(change, 2)} % thinner: measure the bowl."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figure shows."""
        return (
            f"Viscosity against share of glycerol: {units.format_quantity(state.viscosity, 'Pa s')} at "
            f"{units.format_number(100 * result.mix.mass_fraction)} % by mass and "
            f"{units.format_number(state.temperature)} °C; 5 °C warmer all mixes are thinner."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the mass to weigh."""
        mix = result.mix
        density = float(liquids.glycerol_density(mix.mass_fraction, state.temperature))
        return [
            ("mix_bottle", {
                "mass_share": mix.mass_fraction, "density": density, "volume": state.volume,
                "pipe_volume": state.pipe_volume, "purity": state.purity,
            })
        ]  # fmt: skip


def _on_scale(mass: float, step: float) -> str:
    """Write a mass as the scale can show it."""
    shown = round(mass / step) * step
    return f"{1e3 * shown:.1f} g" if step < 1e-3 else f"{1e3 * shown:.0f} g"


def _rows(mix: liquids.Mix, state: Any) -> tuple[tuple[str, str, str], ...]:
    """Make the lines of the sheet: what, how much, and a box to tick."""
    rows = [
        (
            "Wanted",
            f"{units.format_quantity(state.viscosity, 'Pa s')} at {units.format_number(state.temperature)} °C",
            "",
        ),
        ("From the glycerol bottle", _on_scale(mix.bottle, state.step), "☐"),
        ("Water to add", _on_scale(mix.water, state.step), "☐"),
    ]
    if state.pipe_volume > 0 and state.holds == "water":
        rows.append(("Water run out of the pipe", units.format_quantity(state.pipe_volume, "m3"), "☐"))
    elif state.pipe_volume > 0:
        rows.append(("Of the mix, for the pipe", units.format_quantity(state.pipe_volume, "m3"), "☐"))
    share = units.format_number(100 * mix.mass_fraction)
    rows += [
        ("Makes", f"{units.format_quantity(mix.volume, 'm3')}, {share} % glycerol by mass", ""),
        ("Will be", mix.viscosity.text("Pa s"), ""),
    ]
    return tuple(rows)
