"""Lesson 11's measuring aids for lengths: drops on a scale, and the flash from a smeared drop."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, measure, units
from splashkit.checks import Range, require
from splashkit.panels.controls import Control, Ladder, Number, Pick
from splashkit.panels.entries import Blank, Ruler
from splashkit.panels.measuring import Aid, words

_ALONG = Range("length along the fall", "m", 1e-4, 0.5, "measure the drop's image on the subject's scale")
_ACROSS = Range("length across the fall", "m", 0.5e-3, 8e-3, "measure the drop's image on the subject's scale")


class WeighDrops(Aid):
    """Drop size from the mass of many drops."""

    title = "Drop size, from the scale"
    lead = "The numbers are an invented example: write yours over them."
    steps = (
        "Put a small cup on the scale and set it to zero. Cover it between readings: water dries away.",
        "Let a counted number of equal drops fall in, at the valve opening that you shoot with.",
        "Write the mass. Fifty drops or more make a kitchen scale good enough.",
    )
    legend_words = (
        ("Blue line and dot", "the diameter of one drop, and how many you weighed"),
        ("Pale band", "what the scale's error leaves open if this many drops of your size are weighed"),
    )
    LIQUIDS = (("Water", 998.2), ("Milk", 1030.0), ("Water with 40 % glycerol by weight", 1099.0))

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        return [
            Number("mass", "Mass of all drops", "kg", 1e-5, 0.05, 3.35e-3, display="g", step=0.05),
            Number("count", "Number of drops", "1", 1, 1000, 100, quantity="number of drops"),
            Number("error", "Scale reads to about", "kg", 1e-6, 1e-3, 1e-5, display="g", log=True,
                   quantity="scale's error"),
            Pick("density", "Liquid", self.LIQUIDS, 998.2),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.measuring import WeighFigure

        return [WeighFigure()]

    def compute(self, state: Any) -> Any:
        """Find the ball of the same mass."""
        size = measure.drop_from_weighing(state.mass, state.count, state.density, state.error)
        require(0.5e-3 <= size.value <= 8e-3, "drop diameter", words(float(size.value), "m"), "from 0.5 mm to 8 mm",
                "check the mass and the number of drops")  # fmt: skip
        counts = np.geomspace(1, 1000, 60)
        each = measure.drop_from_weighing(state.mass / state.count * counts, counts, state.density, state.error)
        return SimpleNamespace(
            size=size, counts=counts, low=each.low, high=each.high, count=state.count, value=float(size.value),
            half=float(size.high - size.value), mass=state.mass,
        )  # fmt: skip

    def found(self, result: Any) -> dict[str, float]:
        """Give diameter, mass and number."""
        return {"first_diameter": result.value, "weighed_mass": result.mass, "weighed_drops": result.count}

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the size with its band, and what it means for the timing."""
        numbers = f"One drop weighs {words(state.mass / state.count, 'kg')}: a diameter of {result.size.text('m')}."
        share = result.half / result.value
        good = "good enough" if share < 0.01 else "not good enough: weigh more drops"
        return self._spoken(numbers, f"Known to {units.format_number(100 * share, 2)} %, {good}.")

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the cube root."""
        return [("drop_from_weighing", {"mass": state.mass, "density": state.density, "count": state.count})]


class MeasureFlash(Aid):
    """Flash duration from the length of a blurred drop."""

    title = "Flash duration, from a smeared drop"
    lead = "The numbers are an invented example: write yours over them. Lengths may be in pixels, such as 450 px."
    steps = (
        "Dark room, flash at the power you want to know, one drop in the air, low in its fall.",
        "Measure the drop's image along the fall and across it, in the same frame.",
        "Write the height of its middle above the water: the fall gives the speed.",
    )
    legend_words = (
        ("Two circles", "the drop when the light began (broken line) and when it ended"),
        ("Pale shape", "everything between: what the frame records"),
        ("Black measure", "the length along the fall, which you read in the frame"),
        ("Red measure", "how far the drop moved while the light lasted"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        return [
            Blank("streak", "Length along the fall", "m", "mm", 4.9e-3, pixels=True, check=_ALONG),
            Blank("across", "Length across the fall", "m", "mm", 4.0e-3, pixels=True, check=_ACROSS),
            Number("seen", "Drop's middle above the water", "m", 0.0, 0.5, 0.02, display="mm", quantity="height seen"),
            self._height(),
            Ladder("power", "Flash power here", units.FLASH_POWERS, "power", self.start("flash_power", 1 / 32)),
            Number("error", "Error of reading a length", "m", 0.01e-3, 0.5e-3, 0.05e-3, display="mm", step=0.01),
            *Ruler().controls[:2],
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.measuring import StreakFigure

        return [StreakFigure()]

    def compute(self, state: Any) -> Any:
        """Take the drop's own size off the smear, and divide by its speed."""
        lengths = [Ruler.length(value, state) for value in (state.streak, state.across)]
        require(None not in lengths, "two lengths", "a blank", "both given", "measure along and across the fall")
        streak, across = (float(value or 0.0) for value in lengths)
        fallen = state.nozzle_height - across / 2 - state.seen
        require(fallen > 0.005, "height seen", words(state.seen, "m"), "at least 5 mm below the nozzle",
                "measure up from the still water")  # fmt: skip
        speed = float(drops.fall(fallen, across, self.start("release_speed", 0.0)).speed)
        duration = measure.flash_duration_from_blur(streak, across, speed, state.error)
        return SimpleNamespace(duration=duration, speed=speed, streak=streak, across=across, moved=streak - across,
                               power=state.power)  # fmt: skip

    def found(self, result: Any) -> dict[str, float]:
        """Give the flash's duration, and the power that it belongs to."""
        require(float(result.duration.value) > 0, "flash duration", words(float(result.duration.value), "s"),
                "more than 0", "the drop is not smeared: the flash is shorter than you can read")  # fmt: skip
        return {"flash_t01": float(result.duration.value), "flash_power": float(result.power)}

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the duration."""
        moved = words(result.moved, "m", 2) if result.moved > 0 else "too little to measure"
        numbers = f"The drop fell at {words(result.speed, 'm/s')} and moved {moved} while the light lasted."
        low = float(result.duration.low)
        told = "" if low > 0 else " The smear is too short to tell it from none: this is an upper end only."
        power = units.format_power(state.power)
        return self._spoken(
            numbers, f"At {power} power the light lasts {result.duration.text('s')}, nearest to t0.1.{told}"
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the division."""
        if result.moved <= 0:
            return []
        return [("flash_from_blur", {"streak": result.streak, "diameter": result.across, "speed": result.speed})]
