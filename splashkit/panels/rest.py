"""Lesson 09's third panel: how long the bowl takes to become still."""

from __future__ import annotations

from functools import lru_cache
from types import SimpleNamespace
from typing import Any

from splashkit import drops, liquids, splash, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number, Pick

LIQUIDS = (
    ("water", "water"),
    ("milk, whole", "milk"),
    ("glycerol and water, half by mass", "glycerol"),
    ("water with washing-up liquid", "soap"),
)
SURFACES = (("with a film, as on tap water", True), ("perfectly clean", False))
ALWAYS_FILM = ("milk", "soap")


@lru_cache(maxsize=8)
def liquid_of(kind: str) -> liquids.Liquid:
    """Make the liquid of a choice, at 20 degC."""
    if kind == "milk":
        return liquids.milk()
    if kind == "glycerol":
        return liquids.glycerol_water(mass_fraction=0.5)
    return liquids.with_detergent(liquids.water()) if kind == "soap" else liquids.water()


class Resting(Panel):
    """Bowl, liquid and surface; the ripples dying away, and how long to wait before the next frame."""

    title = "How long until the bowl is still?"
    lead = "Change the surface first, then the bowl. Compare the wait with the rule that people keep."
    presets = {
        "Cereal bowl": {"bowl_radius": 0.07, "bowl_depth": 0.04},
        "Baking dish": {"bowl_radius": 0.15, "bowl_depth": 0.05},
        "Milk": {"liquid": "milk", "film": True},
    }
    legend_words = (
        ("Solid blue line", "height of the ripples, for the surface you chose"),
        ("Pale blue area", "the band: the ripples may die twice as fast or half as fast"),
        ("Dashed line", "the same bowl with the other kind of surface"),
        ("Grey level line", "the height that counts as still"),
        ("Ring", "the wait: here the ripples have fallen to the grey line"),
        ("Green area and dotted line", "the wait people keep; common practice, no source"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        height = self.start("nozzle_height", 0.25)
        kind = "milk" if self.start("liquid", "water") == "milk" else "water"
        return [
            Number("bowl_radius", "Inner radius of the bowl", "m", 0.02, 0.5, self.start("bowl_radius", 0.1),
                   display="cm", step=0.5),
            Number("bowl_depth", "Depth of the liquid", "m", 3e-3, 0.2, self.start("bowl_depth", 0.05), display="mm",
                   step=1),
            Pick("liquid", "What is in the bowl", LIQUIDS, kind),
            Pick("film", "Its surface", SURFACES, True),
            Number("nozzle_height", "Nozzle height", "m", 0.05, 1.5, height, display="mm", step=5),
            Number("still", "Ripple height that counts as still", "m", 1e-5, 5e-4, 5e-5, display="mm", log=True),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.resting import DecayFigure

        return [DecayFigure()]

    def compute(self, state: Any) -> Any:
        """Compute the ripples of one drop and the wait."""
        liquid, diameter = liquid_of(state.liquid), self.start("first_diameter", 4e-3)
        fallen = drops.fall(
            drops.fall_height(state.nozzle_height, diameter), diameter, self.start("release_speed", 0.0)
        )
        given = (state.bowl_radius, state.bowl_depth, diameter, float(fallen.speed), liquid)
        chosen = splash.drop_ripples(*given, film=state.film)
        other = splash.drop_ripples(*given, film=not state.film)
        rocking = splash.bowl_wave(state.bowl_radius, state.bowl_depth, liquid, splash.SLOSH_ZERO, state.film)
        return SimpleNamespace(
            height=chosen.height, decay=chosen.wave.decay_time, wavelength=chosen.wave.wavelength,
            other_decay=other.wave.decay_time, still=state.still, film=state.film, rocking=rocking,
            wait=splash.resting_time(*given, film=state.film, still=state.still), rule=splash.COMMON_WAIT,
        )  # fmt: skip

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the wait and how it compares with the rule."""
        numbers = (
            f"One drop leaves ripples about {_mm(result.height)} high and "
            f"{units.format_quantity(result.wavelength, 'm', 2)} long. Every "
            f"{units.format_quantity(result.decay, 's', 2)} they fall to 37 % of their height. They are down to "
            f"{_mm(state.still)} {_seconds(result.wait)}. If you bump the table, the bowl rocks at "
            f"{units.format_quantity(result.rocking.frequency, 'Hz', 2)}; that needs "
            f"{units.format_quantity(result.rocking.decay_time, 's', 2)} to fall to 37 %."
        )
        return numbers, self._verdict(state, result)

    def _verdict(self, state: Any, result: Any) -> str:
        wait, rule = result.wait, result.rule
        if not state.film and state.liquid in ALWAYS_FILM:
            return "But milk and soapy water always have a film: choose that surface."
        if wait.value == 0:
            return "The ripples are lower than that from the start."
        if wait.value > rule.high:
            return "Longer than the few seconds people keep: such a surface is rare on a table, so test by eye."
        if wait.high < rule.value:
            return "The ten seconds people keep are more than enough."
        return "The ten seconds people keep are about right."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figure shows."""
        return (
            f"Ripples in the bowl against time: {_mm(result.height)} high at first, "
            f"{_mm(state.still)} {_seconds(result.wait)}. "
            "People wait ten seconds or so (common practice, no source)."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the wait."""
        if result.wait.value == 0:
            return []
        numbers = {"decay_time": float(result.decay), "height": float(result.height), "still": float(state.still)}
        return [("resting_time", numbers)]


def _mm(length: float) -> str:
    return f"{units.format_number(1e3 * float(length), 2)} mm"


def _seconds(wait: Any) -> str:
    if wait.high == 0:
        return "from the start"
    return f"after {wait.words(lambda time, digits: f'{units.format_number(time, digits)} s', 2)}"
